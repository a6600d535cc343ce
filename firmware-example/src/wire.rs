//! Where the log goes: defmt frames over semihosting, so that an emulator or a probe shows them.
//!
//! A ready-made logger exists, but it panics when it is entered twice, and a gateway must not
//! carry a panic. This one drops what a message says inside another message.
#![allow(unsafe_code, reason = "defmt's logger trait is unsafe to implement")]

use core::cell::UnsafeCell;
use core::sync::atomic::{AtomicU8, Ordering};
use cortex_m_semihosting::hio::{HostStream, hstdout};
use critical_section::RestoreState;

#[defmt::global_logger]
struct Wire;

struct State {
    /// How many messages are being written, one inside the other.
    depth: AtomicU8,
    /// Only touched inside a critical section, while `depth` is 1.
    inner: UnsafeCell<Inner>,
}

struct Inner {
    encoder: defmt::Encoder,
    out: Option<HostStream>,
    restore: RestoreState,
}

// SAFETY: `inner` is only reached inside a critical section.
unsafe impl Sync for State {}

static STATE: State = State {
    depth: AtomicU8::new(0),
    inner: UnsafeCell::new(Inner {
        encoder: defmt::Encoder::new(),
        out: None,
        restore: RestoreState::invalid(),
    }),
};

/// Semihosting stops a processor that nobody watches.
fn has_reader() -> bool {
    cfg!(feature = "emulator") || cortex_m::peripheral::DCB::is_debugger_attached()
}

fn send(out: &mut Option<HostStream>, bytes: &[u8]) {
    if let Some(out) = out {
        // Nobody is left to tell if the line is down.
        let _ = out.write_all(bytes);
    }
}

impl State {
    /// Runs `act` on the inner state if exactly one message is being written.
    fn with(&self, act: impl FnOnce(&mut Inner)) {
        if self.depth.load(Ordering::Relaxed) == 1 {
            // SAFETY: the depth is above 0 only inside a critical section, and `act` logs nothing.
            act(unsafe { &mut *self.inner.get() });
        }
    }

    /// Changes the depth and gives the new one. Inside a critical section only.
    fn step(&self, step: fn(u8, u8) -> u8) -> u8 {
        let depth = step(self.depth.load(Ordering::Relaxed), 1);
        self.depth.store(depth, Ordering::Relaxed);
        depth
    }
}

// SAFETY: the outermost `acquire` enters a critical section that the outermost `release` leaves,
// so no two messages mix.
unsafe impl defmt::Logger for Wire {
    fn acquire() {
        // SAFETY: paired with a release, here or in `release`.
        let restore = unsafe { critical_section::acquire() };
        if STATE.step(u8::saturating_add) > 1 {
            // SAFETY: the outer message holds a critical section of its own.
            unsafe { critical_section::release(restore) };
            return;
        }
        STATE.with(|inner| {
            inner.restore = restore;
            if inner.out.is_none() && has_reader() {
                inner.out = hstdout().ok();
            }
            inner.encoder.start_frame(|bytes| send(&mut inner.out, bytes));
        });
    }

    unsafe fn flush() {
        // The host has the bytes when a write returns.
    }

    unsafe fn release() {
        let mut restore = None;
        STATE.with(|inner| {
            inner.encoder.end_frame(|bytes| send(&mut inner.out, bytes));
            restore = Some(inner.restore);
        });
        STATE.step(u8::saturating_sub);
        if let Some(restore) = restore {
            // SAFETY: this is the state that the outermost `acquire` left.
            unsafe { critical_section::release(restore) };
        }
    }

    unsafe fn write(bytes: &[u8]) {
        STATE.with(|inner| inner.encoder.write(bytes, |part| send(&mut inner.out, part)));
    }
}
