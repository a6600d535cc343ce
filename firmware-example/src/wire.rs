//! Where the log goes: defmt frames over semihosting, so that an emulator or a probe shows them.
//!
//! A ready-made logger exists, but it panics when it is entered twice, and a gateway must not
//! carry a panic. This one drops the inner message instead.
#![allow(unsafe_code, reason = "defmt's logger trait is unsafe to implement")]

use core::cell::UnsafeCell;
use core::sync::atomic::{AtomicBool, Ordering};
use cortex_m_semihosting::hio::{HostStream, hstdout};
use critical_section::RestoreState;

#[defmt::global_logger]
struct Wire;

struct State {
    /// Whether a message is being written.
    busy: AtomicBool,
    /// Only touched by the holder of `busy`, inside a critical section.
    inner: UnsafeCell<Inner>,
}

struct Inner {
    encoder: defmt::Encoder,
    out: Option<HostStream>,
    restore: RestoreState,
}

// SAFETY: `inner` is only reached inside a critical section by the one that set `busy`.
unsafe impl Sync for State {}

static STATE: State = State {
    busy: AtomicBool::new(false),
    inner: UnsafeCell::new(Inner {
        encoder: defmt::Encoder::new(),
        out: None,
        restore: RestoreState::invalid(),
    }),
};

fn send(out: &mut Option<HostStream>, bytes: &[u8]) {
    if let Some(out) = out {
        // Nobody is left to tell if the line is down.
        let _ = out.write_all(bytes);
    }
}

impl State {
    /// Runs `act` on the inner state if a message is being written.
    fn with(&self, act: impl FnOnce(&mut defmt::Encoder, &mut Option<HostStream>)) {
        if self.busy.load(Ordering::Relaxed) {
            // SAFETY: `busy` is set only between `acquire` and `release`, inside a critical
            // section, and defmt calls `write` from nowhere else.
            let inner = unsafe { &mut *self.inner.get() };
            act(&mut inner.encoder, &mut inner.out);
        }
    }
}

// SAFETY: `acquire` enters a critical section that `release` leaves, so no two messages mix.
unsafe impl defmt::Logger for Wire {
    fn acquire() {
        // SAFETY: paired with the release in `release`.
        let restore = unsafe { critical_section::acquire() };
        if STATE.busy.swap(true, Ordering::Relaxed) {
            return;
        }
        // SAFETY: this call has just set `busy`, inside a critical section.
        let inner = unsafe { &mut *STATE.inner.get() };
        inner.restore = restore;
        if inner.out.is_none() {
            inner.out = hstdout().ok();
        }
        inner.encoder.start_frame(|bytes| send(&mut inner.out, bytes));
    }

    unsafe fn flush() {
        // The host has the bytes when a write returns.
    }

    unsafe fn release() {
        STATE.with(|encoder, out| encoder.end_frame(|bytes| send(out, bytes)));
        if STATE.busy.swap(false, Ordering::Relaxed) {
            // SAFETY: `busy` was set, so `acquire` has run and left its state here.
            unsafe { critical_section::release((*STATE.inner.get()).restore) };
        }
    }

    unsafe fn write(bytes: &[u8]) {
        STATE.with(|encoder, out| encoder.write(bytes, |part| send(out, part)));
    }
}
