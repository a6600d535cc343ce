//! Where the bytes of a log come from: a file, one that grows, standard input, an interface.

use super::live;
use crate::commands::files;
use crate::read::ReadError;
use coldcheck_core::plan::Milliseconds;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, sync_channel};
use std::thread;
use std::time::{Duration, Instant};

/// How much is read at once.
const PIECE: usize = 64 * 1024;
/// How many pieces wait to be heard.
const WAITING: usize = 4;
/// How often an idle file is looked at, and whether to stop.
const PAUSE: Duration = Duration::from_millis(100);

/// A piece of a log.
pub(super) enum Piece<'p> {
    Bytes(&'p [u8]),
    /// Nothing came, up to this time since listening began.
    Silence(Milliseconds),
    End,
}

type Bytes = Result<Vec<u8>, ReadError>;

pub(super) struct Source {
    pieces: Receiver<Bytes>,
    last: Vec<u8>,
    began: Instant,
    until: Option<Instant>,
    stopped: Arc<AtomicBool>,
    /// Whether time goes on while nothing comes: a file may be older than it looks.
    is_live: bool,
}

impl Source {
    /// A file or standard input; a file that grows is waited for.
    pub(super) fn file(path: &Path, follow: bool) -> Result<Self, ReadError> {
        let name = files::name(path);
        let cannot = move |error: &io::Error| {
            let says = format!("it cannot be read: {error}");
            ReadError::file(&name, says, "a log that can be read")
        };
        if files::is_stream(path) {
            return Ok(Self::of(|send| read_all(&mut io::stdin().lock(), send, None, cannot)));
        }
        if path.is_dir() {
            return Err(ReadError::file(&files::name(path), "this is a folder", "a log"));
        }
        let mut file = File::open(path).map_err(|error| cannot(&error))?;
        let wait = follow.then_some(PAUSE);
        Ok(Self::of(move |send| read_all(&mut file, send, wait, cannot)))
    }

    /// An interface of this machine.
    pub(super) fn live(interface: &str) -> Result<Self, ReadError> {
        let mut ears = live::open(interface)?;
        let mut source = Self::of(move |send| {
            loop {
                let piece = ears.hear();
                let is_over = piece.is_err();
                if send.send(piece).is_err() || is_over {
                    return;
                }
            }
        });
        source.is_live = true;
        Ok(source)
    }

    fn of(read: impl FnOnce(&SyncSender<Bytes>) + Send + 'static) -> Self {
        let (send, pieces) = sync_channel(WAITING);
        thread::spawn(move || read(&send));
        Self {
            pieces,
            last: Vec::new(),
            began: Instant::now(),
            until: None,
            stopped: Arc::default(),
            is_live: false,
        }
    }

    /// Ends after so long.
    pub(super) fn stop_after(&mut self, lasts: Option<Duration>) {
        self.until = lasts.and_then(|lasts| self.began.checked_add(lasts));
    }

    /// Ends when the person interrupts the program, so that the report still comes.
    pub(super) fn stop_when_asked(&self) {
        let stopped = Arc::clone(&self.stopped);
        // Without it the program ends at once, as any other does.
        let _ = ctrlc::set_handler(move || stopped.store(true, Ordering::Relaxed));
    }

    /// The next piece.
    pub(super) fn piece(&mut self) -> Result<Piece<'_>, ReadError> {
        loop {
            let now = Instant::now();
            let is_over = self.until.is_some_and(|until| now >= until);
            if is_over || self.stopped.load(Ordering::Relaxed) {
                return Ok(Piece::End);
            }
            let left = self.until.map_or(PAUSE, |until| until.saturating_duration_since(now));
            match self.pieces.recv_timeout(left.min(PAUSE)) {
                Ok(bytes) => {
                    self.last = bytes?;
                    return Ok(Piece::Bytes(&self.last));
                }
                Err(RecvTimeoutError::Disconnected) => return Ok(Piece::End),
                Err(RecvTimeoutError::Timeout) if self.is_live => {
                    let since = self.began.elapsed().as_millis();
                    let since = u32::try_from(since).unwrap_or(u32::MAX);
                    return Ok(Piece::Silence(Milliseconds(since)));
                }
                Err(RecvTimeoutError::Timeout) => {}
            }
        }
    }
}

/// Reads to the end; where a file may grow, on from there after each pause.
fn read_all(
    from: &mut dyn Read,
    out: &SyncSender<Bytes>,
    wait: Option<Duration>,
    cannot: impl Fn(&io::Error) -> ReadError,
) {
    loop {
        let mut piece = vec![0; PIECE];
        let sent = match from.read(&mut piece) {
            Ok(0) => match wait {
                Some(pause) => {
                    thread::sleep(pause);
                    continue;
                }
                None => return,
            },
            Ok(count) => {
                piece.truncate(count);
                out.send(Ok(piece))
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => out.send(Err(cannot(&error))),
        };
        if sent.is_err() {
            return;
        }
    }
}
