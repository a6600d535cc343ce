//! The bytes between the interrupt that receives them and the loop that listens: a ring of which
//! the interrupt moves only the one end, and the loop only the other.
//!
//! Both run on one core, so that what is written in an order is seen in it, if the compiler keeps
//! to it: a fence for the compiler is all it takes.

use core::sync::atomic::{AtomicBool, AtomicU8, Ordering, Ordering::Relaxed, compiler_fence};

/// More than two of the longest lines of text: at 115,200 bits a second a byte comes every 87 µs.
/// A power of two, so that a count of bytes, which begins again at 256, tells the place.
const ROOM: u8 = 64;

static BYTES: [AtomicU8; ROOM as usize] = [const { AtomicU8::new(0) }; ROOM as usize];
/// How many bytes were put, and taken.
static PUT: AtomicU8 = AtomicU8::new(0);
static TAKEN: AtomicU8 = AtomicU8::new(0);
static IS_STOPPED: AtomicBool = AtomicBool::new(false);
static HAS_LOST: AtomicBool = AtomicBool::new(false);

/// The place of the byte with a number.
fn place(number: u8) -> &'static AtomicU8 {
    let [first, ..] = &BYTES;
    BYTES.get(usize::from(number % ROOM)).unwrap_or(first)
}

/// Whether a byte finds room; if not, [`take`] says when it does. For the interrupt.
pub(crate) fn has_room() -> bool {
    let is_full = PUT.load(Relaxed).wrapping_sub(TAKEN.load(Relaxed)) >= ROOM;
    IS_STOPPED.store(is_full, Relaxed);
    !is_full
}

/// Puts a byte at the end, where there is room. For the interrupt.
pub(crate) fn put(byte: u8, is_after_loss: bool) {
    if is_after_loss {
        HAS_LOST.store(true, Relaxed);
    }
    let number = PUT.load(Relaxed);
    place(number).store(byte, Relaxed);
    compiler_fence(Ordering::Release);
    PUT.store(number.wrapping_add(1), Relaxed);
}

/// Takes the first byte, and lets the interrupt go on if it had stopped.
#[inline(never)]
pub(crate) fn take() -> Option<u8> {
    let number = TAKEN.load(Relaxed);
    if number == PUT.load(Relaxed) {
        return None;
    }
    compiler_fence(Ordering::Acquire);
    let byte = place(number).load(Relaxed);
    compiler_fence(Ordering::Release);
    TAKEN.store(number.wrapping_add(1), Relaxed);
    if IS_STOPPED.load(Relaxed) {
        // The interrupt is off, so that nobody else touches this.
        IS_STOPPED.store(false, Relaxed);
        crate::board::resume_line();
    }
    Some(byte)
}

/// Whether bytes were lost since the last call.
pub(crate) fn has_lost() -> bool {
    HAS_LOST.load(Relaxed) && HAS_LOST.swap(false, Relaxed)
}
