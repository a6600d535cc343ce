//! Threads that take blocks in turn, and their reports put back in order.
//!
//! Memory goes round in a circle: reader, worker, writer, and back. There are so many pieces of it
//! and no more, whatever the input.

use super::blocks::{self, Block, Blocks};
use crate::batch::{self, Answer, MOST_BYTES, Settings, Worker};
use coldcheck_core::finding::Verdict;
use std::collections::BTreeMap;
use std::io::{self, Read};
use std::sync::Mutex;
use std::sync::mpsc::{Receiver, Sender, channel};

/// Pieces of memory for each thread: one that it works on, and one that waits.
const PIECES: usize = 2;

/// What was found so far.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Count {
    /// Lines or images.
    pub(super) entries: u64,
    /// Those of them that could not be read.
    pub(super) unread: u64,
    /// The worst verdict of the others.
    pub(super) worst: Option<Verdict>,
}

impl Count {
    fn add(&mut self, answer: Answer) {
        self.entries += 1;
        match answer {
            Answer::Verdict(verdict) => self.worst = self.worst.max(Some(verdict)),
            Answer::Unread => self.unread += 1,
        }
    }

    fn add_all(&mut self, other: Self) {
        self.entries += other.entries;
        self.unread += other.unread;
        self.worst = self.worst.max(other.worst);
    }
}

/// Memory of one block: what was read, and what is to be written about it.
#[derive(Debug, Default)]
struct Piece {
    input: Vec<u8>,
    output: Vec<u8>,
}

/// A block on its way to a worker: its place in the order of all of them.
struct Job {
    place: u64,
    block: Block,
    piece: Piece,
}

/// A block on its way back; or the end of the input, if it could not be read on.
struct Done {
    place: u64,
    count: Count,
    piece: Piece,
}

/// Why a run ended before the end of its input.
#[derive(Debug)]
pub(super) enum Stopped {
    /// The input cannot be read.
    Reading(io::Error),
    /// The output cannot be written.
    Writing(io::Error),
}

/// Judges every entry of the input and hands the reports on in order, with the count so far.
pub(super) fn run<R: Read + Send>(
    mut input: Blocks<R>,
    images: bool,
    threads: usize,
    settings: &Settings,
    mut write: impl FnMut(&[u8], &Count) -> io::Result<()>,
) -> Result<Count, Stopped> {
    let mut total = Count::default();
    if threads == 1 {
        let mut worker = Worker::new(settings);
        let mut piece = Piece::default();
        while let Some(block) = input.next(&mut piece.input).map_err(Stopped::Reading)? {
            total.add_all(judge(&mut worker, &block, images, &mut piece));
            write(&piece.output, &total).map_err(Stopped::Writing)?;
        }
        return Ok(total);
    }
    let (free, take_free) = channel::<Piece>();
    let (jobs, take_jobs) = channel::<Job>();
    let (done, take_done) = channel::<Done>();
    let take_jobs = Mutex::new(take_jobs);
    for _ in 0..threads * PIECES {
        let _ = free.send(Piece::default());
    }
    std::thread::scope(|scope| {
        let reader = scope.spawn(move || read(&mut input, &take_free, &jobs));
        for _ in 0..threads {
            let (done, take_jobs) = (done.clone(), &take_jobs);
            scope.spawn(move || work(settings, images, take_jobs, &done));
        }
        drop(done);
        let written = put_in_order(&take_done, &free, |piece, count| {
            total.add_all(count);
            write(piece, &total)
        });
        // Whoever waits for memory or for a reader of its reports ends.
        drop((free, take_done));
        let read = reader.join().unwrap_or_else(|_| Err(io::Error::other("a thread failed")));
        written.map_err(Stopped::Writing)?;
        read.map_err(Stopped::Reading)
    })?;
    Ok(total)
}

fn read<R: Read>(
    input: &mut Blocks<R>,
    free: &Receiver<Piece>,
    jobs: &Sender<Job>,
) -> io::Result<()> {
    let mut place = 0;
    while let Ok(mut piece) = free.recv() {
        let Some(block) = input.next(&mut piece.input)? else { break };
        if jobs.send(Job { place, block, piece }).is_err() {
            break;
        }
        place += 1;
    }
    Ok(())
}

fn work(settings: &Settings, images: bool, jobs: &Mutex<Receiver<Job>>, done: &Sender<Done>) {
    let mut worker = Worker::new(settings);
    loop {
        // One waits for a job while it holds the lock, the others for the lock: the same to them.
        let job = jobs.lock().map(|jobs| jobs.recv());
        let Ok(Ok(Job { place, block, mut piece })) = job else { break };
        let count = judge(&mut worker, &block, images, &mut piece);
        if done.send(Done { place, count, piece }).is_err() {
            break;
        }
    }
}

fn put_in_order(
    done: &Receiver<Done>,
    free: &Sender<Piece>,
    mut write: impl FnMut(&[u8], Count) -> io::Result<()>,
) -> io::Result<()> {
    let mut waiting = BTreeMap::new();
    let mut next = 0;
    while let Ok(block) = done.recv() {
        waiting.insert(block.place, block);
        while let Some(block) = waiting.remove(&next) {
            write(&block.piece.output, block.count)?;
            next += 1;
            // The reader may have come to the end.
            let _ = free.send(block.piece);
        }
    }
    Ok(())
}

/// Judges the entries of a block.
fn judge(worker: &mut Worker<'_>, block: &Block, images: bool, piece: &mut Piece) -> Count {
    let mut count = Count::default();
    let out = &mut piece.output;
    out.clear();
    match *block {
        Block::TooLong(number) => count.add(batch::too_long(number, images, out)),
        Block::CutShort(number) => {
            let says = "the input ends inside of this image";
            count.add(batch::unread(number, says, "as many bytes as its length says", out));
        }
        Block::Whole(mut number) => {
            let mut rest = piece.input.as_slice();
            loop {
                let entry = if images { blocks::image(rest) } else { blocks::line(rest) };
                let Some((entry, behind)) = entry else { break };
                count.add(if entry.len() > MOST_BYTES {
                    batch::too_long(number, images, out)
                } else if images {
                    worker.image(number, entry, out)
                } else {
                    worker.line(number, entry, out)
                });
                (rest, number) = (behind, number + 1);
            }
        }
    }
    count
}
