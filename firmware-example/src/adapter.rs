//! A CAN adapter on a serial line that speaks SLCAN, as a controller.

use crate::can::{CanFrame, Port};
use crate::{board, line};
use coldcheck_core::frame::{Frame, FrameId};
use coldcheck_core::heard::Heard;
use coldcheck_core::plan::Milliseconds;
use coldcheck_core::slcan::{Clock, Line, Reader, Status};
use coldcheck_core::units::BitsPerSecond;
use embedded_can::ErrorKind;

/// Ends what the line brings. No adapter sends it; tests do.
const END_OF_TRANSMISSION: u8 = 0x04;

/// Bit rates in bit/s that an adapter knows by number, as the package `python-can` has them.
const RATES: [u32; 9] =
    [10_000, 20_000, 50_000, 100_000, 125_000, 250_000, 500_000, 800_000, 1_000_000];

/// The adapter, and what it said besides frames.
pub(crate) struct Adapter {
    reader: Reader,
    clock: Clock,
    time: Option<Milliseconds>,
    status: Option<Status>,
    is_over: bool,
}

/// Bytes of the serial line were lost, or it takes none.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lost;

impl embedded_can::Error for Lost {
    fn kind(&self) -> ErrorKind {
        ErrorKind::Overrun
    }
}

impl Adapter {
    pub(crate) fn new() -> Self {
        let clock = Clock::default();
        Self { reader: Reader::new(), clock, time: None, status: None, is_over: false }
    }

    /// Takes a byte, and gives the frame that it ends.
    #[inline(never)]
    fn push(&mut self, byte: u8) -> Option<Frame> {
        if byte == END_OF_TRANSMISSION {
            self.is_over = true;
            return None;
        }
        match self.reader.push(byte)? {
            Line::Frame(frame, time) => {
                self.time = time.map(|time| self.clock.at(time));
                return Some(frame);
            }
            Line::Status(status) => self.status = Some(status),
            Line::Answer | Line::Garbled => {}
        }
        None
    }
}

impl embedded_can::nb::Can for Adapter {
    type Frame = CanFrame;
    type Error = Lost;

    fn transmit(&mut self, frame: &CanFrame) -> nb::Result<Option<CanFrame>, Lost> {
        let (kind, digits) = match frame.0.id() {
            FrameId::Standard(_) => (b't', 3),
            FrameId::Extended(_) => (b'T', 8),
        };
        board::send(kind);
        send_digits(frame.0.id().bits(), digits);
        send_digits(u32::try_from(frame.0.length()).unwrap_or(0), 1);
        for byte in frame.0.data() {
            send_digits((*byte).into(), 2);
        }
        board::send(b'\r');
        Ok(None)
    }

    fn receive(&mut self) -> nb::Result<CanFrame, Lost> {
        while !self.is_over && self.status.is_none() {
            let Some(byte) = line::take() else { break };
            if let Some(frame) = self.push(byte) {
                return Ok(CanFrame(frame));
            }
        }
        if line::has_lost() { Err(nb::Error::Other(Lost)) } else { Err(nb::Error::WouldBlock) }
    }
}

impl Port for Adapter {
    /// Closes the adapter, sets bit rate and times, and opens it so that it only listens.
    fn open(&mut self, rate: Option<BitsPerSecond>) {
        *self = Self::new();
        say(b"C\r");
        let place = rate.and_then(|rate| RATES.iter().position(|known| *known == rate.0));
        if let Some(number) = place.and_then(|place| u32::try_from(place).ok()) {
            say(b"S");
            send_digits(number, 1);
            say(b"\r");
        }
        say(b"Z1\r");
        say(if cfg!(feature = "status-frame") { b"O\r" } else { b"L\r" });
    }

    fn frame_of(frame: &CanFrame) -> Option<Frame> {
        Some(frame.0)
    }

    fn time(&self) -> Option<Milliseconds> {
        self.time
    }

    fn tell(&mut self, heard: &mut Heard) {
        if let Some(status) = self.status.take() {
            status.tell(heard.controller());
        }
    }

    fn is_over(&self) -> bool {
        self.is_over
    }
}

fn say(bytes: &[u8]) {
    for byte in bytes {
        board::send(*byte);
    }
}

/// So many hexadecimal digits, the highest first.
fn send_digits(number: u32, digits: u32) {
    for place in (0..digits).rev() {
        let digit = number.wrapping_shr(place.wrapping_mul(4)) & 0xF;
        let [digit, ..] = digit.to_le_bytes();
        board::send(if digit < 10 {
            digit.wrapping_add(b'0')
        } else {
            digit.wrapping_sub(10).wrapping_add(b'A')
        });
    }
}
