//! Listening on the link, until the window has passed or nothing can come any more.

use crate::can::{Port, bus_error};
use crate::{LISTEN_MS, board};
use coldcheck_core::frame::Frame;
use coldcheck_core::heard::{Heard, Listener};
use coldcheck_core::plan::{Milliseconds, Plan};
use coldcheck_core::signal::Lamp;
use embedded_can::Error;

/// Takes note of what comes. Times are those of the frames, where they have any; while nothing
/// comes, the board's clock goes on. Meanwhile the lamp shows the verdict on the plan.
#[inline(never)]
pub(crate) fn listen<C: Port>(plan: &Plan<'_>, can: &mut C, lamp: Lamp, heard: &mut Heard) {
    let listener = Listener::of(plan);
    let mut clock = board::Clock::start();
    let mut last_frame = Milliseconds(0);
    let mut first_time = None;
    loop {
        let now = clock.now();
        board::light(lamp.is_lit(now.0));
        match can.receive() {
            Ok(frame) => {
                let time = can.time().unwrap_or(now);
                if let Some(frame) = C::frame_of(&frame) {
                    hear(heard, time, &frame, listener.as_ref());
                }
                first_time = first_time.or(Some(heard.now()));
                last_frame = now;
            }
            Err(nb::Error::Other(error)) => heard.controller().error(bus_error(error.kind())),
            Err(nb::Error::WouldBlock) if can.is_over() => return,
            Err(nb::Error::WouldBlock) => {}
        }
        can.tell(heard);
        let quiet = now.0.saturating_sub(last_frame.0);
        let end = heard.now().0.saturating_add(quiet);
        let first_time = first_time.unwrap_or(Milliseconds(0));
        if end.saturating_sub(first_time.0) >= LISTEN_MS {
            heard.pass(Milliseconds(end));
            return;
        }
    }
}

#[inline(never)]
fn hear(heard: &mut Heard, time: Milliseconds, frame: &Frame, listener: Option<&Listener<'_>>) {
    heard.hear(time, frame, listener);
}
