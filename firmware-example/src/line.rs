//! The bytes between the interrupt that receives them and the loop that listens.

use core::cell::RefCell;
use critical_section::Mutex;
use heapless::Deque;

/// As many as two of the longest lines of text, and some: at 115,200 bits a second a byte comes
/// every 87 µs.
const ROOM: usize = 80;

struct Line {
    bytes: Deque<u8, ROOM>,
    is_stopped: bool,
    has_lost: bool,
}

static LINE: Mutex<RefCell<Line>> =
    Mutex::new(RefCell::new(Line { bytes: Deque::new(), is_stopped: false, has_lost: false }));

/// Nothing is borrowed twice: each use is a critical section and calls nothing else.
fn with<T>(act: impl FnOnce(&mut Line) -> T) -> Option<T> {
    critical_section::with(|section| {
        LINE.borrow(section).try_borrow_mut().ok().map(|mut line| act(&mut line))
    })
}

/// Whether a byte finds room; if not, [`take`] says when it does. For the interrupt.
pub(crate) fn has_room() -> bool {
    with(|line| {
        line.is_stopped = line.bytes.is_full();
        !line.is_stopped
    })
    .unwrap_or(false)
}

/// Puts a byte at the end. For the interrupt.
pub(crate) fn put(byte: u8, is_after_loss: bool) {
    with(|line| {
        line.has_lost |= is_after_loss || line.bytes.push_back(byte).is_err();
    });
}

/// Takes the first byte, and lets the interrupt go on if it had stopped.
pub(crate) fn take() -> Option<u8> {
    let (byte, was_stopped) =
        with(|line| (line.bytes.pop_front(), core::mem::take(&mut line.is_stopped)))?;
    if was_stopped {
        crate::board::resume_line();
    }
    byte
}

/// Whether bytes were lost since the last call.
pub(crate) fn has_lost() -> bool {
    with(|line| core::mem::take(&mut line.has_lost)).unwrap_or(false)
}
