//! Frames as text on a serial line: the open SLCAN form that adapters for CAN speak.
//!
//! | line | meaning |
//! |---|---|
//! | `tIIILDD…` | frame with 11 bits: three digits of identifier, length, data |
//! | `TIIIIIIIILDD…` | frame with 29 bits: eight digits of identifier |
//! | `rIIIL`, `RIIIIIIIIL` | request for a frame |
//! | `Fxx` | state of the adapter's controller |
//! | `sarrrttt` | the same, changed: `a`, `w`, `p` or `b`, then two error counters in decimal |
//! | `elkk…` | so many kinds of errors, a letter each |
//!
//! All other digits are hexadecimal; a line ends with a carriage return, or with a bell for "refused".
//! Four more digits after a frame are its time in milliseconds, which begins again after a minute.
//! The form is that of the package python-can of PyPI, which `tests/listening.rs` holds this
//! against; the bits of `F` are from memory; `s` and `e` are those that the driver `slcan` of the
//! Linux kernel (`drivers/net/can/slcan/slcan-core.c`) takes.

use crate::frame::{Frame, FrameId};
use crate::heard::{BusError, BusState, Controller};
use crate::plan::Milliseconds;

/// The longest line: a frame with 29 bits, eight bytes and a time.
const LONGEST: usize = 30;

/// What a line said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Line {
    /// A frame, with the adapter's time if it gives any: 0 to 59,999 ms.
    Frame(Frame, Option<Milliseconds>),
    /// The state of the adapter's controller.
    Status(Status),
    /// An answer without a frame: "done" or "refused".
    Answer,
    /// No line of this form, or one that was too long.
    Garbled,
}

/// What an adapter says about its controller: one bit each. The low byte is that of `F`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Status(pub u16);

impl Status {
    /// A counter has reached 96.
    pub const WARNING: u16 = 1 << 2;
    /// Frames were lost in the adapter.
    pub const OVERRUN: u16 = 1 << 3;
    /// A counter has reached 128.
    pub const PASSIVE: u16 = 1 << 5;
    /// The bus was in error.
    pub const BUS_ERROR: u16 = 1 << 7;
    /// The transmit counter has reached 256.
    pub const OFF: u16 = 1 << 8;
    /// Nobody confirmed a frame.
    pub const ACKNOWLEDGE: u16 = 1 << 9;
    /// A bit was not the one that was sent.
    pub const BIT: u16 = 1 << 10;
    /// A frame had a wrong form, stuffing or checksum.
    pub const FRAME: u16 = 1 << 11;

    /// Hands it on.
    pub fn tell(self, controller: &mut Controller) {
        for (bit, state) in Self::STATES {
            if self.0 & bit != 0 {
                controller.state(*state);
            }
        }
        for (bit, error) in Self::ERRORS {
            if self.0 & bit != 0 {
                controller.error(*error);
            }
        }
    }

    const STATES: &[(u16, BusState)] = &[
        (Self::WARNING, BusState::Warning),
        (Self::PASSIVE, BusState::Passive),
        (Self::OFF, BusState::Off),
    ];
    /// Lost frames are left out, since they say nothing about the bus.
    const ERRORS: &[(u16, BusError)] = &[
        (Self::BUS_ERROR, BusError::Other),
        (Self::ACKNOWLEDGE, BusError::Acknowledge),
        (Self::BIT, BusError::Bit),
        (Self::FRAME, BusError::Frame),
    ];
}

/// Puts lines together from single bytes.
///
/// ```
/// use coldcheck_core::frame::{Frame, FrameId};
/// use coldcheck_core::slcan::{Line, Reader};
///
/// let mut reader = Reader::new();
/// let lines: Vec<_> = b"t70315\r".iter().filter_map(|byte| reader.push(*byte)).collect();
/// // The data is one digit short.
/// assert_eq!(lines, [Line::Garbled]);
/// let lines: Vec<_> = b"t703105\r".iter().filter_map(|byte| reader.push(*byte)).collect();
/// let frame = Frame::new(FrameId::Standard(0x703), &[5]).ok_or("one byte")?;
/// assert_eq!(lines, [Line::Frame(frame, None)]);
/// # Ok::<(), &str>(())
/// ```
#[derive(Clone, Debug)]
pub struct Reader {
    line: [u8; LONGEST],
    length: usize,
    is_too_long: bool,
}

impl Default for Reader {
    fn default() -> Self {
        Self::new()
    }
}

impl Reader {
    /// At the beginning of a line.
    pub const fn new() -> Self {
        Self { line: [0; LONGEST], length: 0, is_too_long: false }
    }

    /// Takes the next byte; says what the line said when the byte ends it. An empty line is the
    /// answer "done"; a line feed after it is passed over.
    pub fn push(&mut self, byte: u8) -> Option<Line> {
        match byte {
            b'\r' => {
                let line = self.line.get(..self.length).unwrap_or(&[]);
                let said = if self.is_too_long { Line::Garbled } else { read(line) };
                self.start();
                Some(said)
            }
            // Refused; whatever stood before it was cut off.
            0x07 => {
                self.start();
                Some(Line::Answer)
            }
            b'\n' if self.length == 0 => None,
            _ => {
                if let Some(place) = self.line.get_mut(self.length) {
                    *place = byte;
                    self.length = self.length.saturating_add(1);
                } else {
                    self.is_too_long = true;
                }
                None
            }
        }
    }

    const fn start(&mut self) {
        self.length = 0;
        self.is_too_long = false;
    }
}

/// What a line says, without its end.
pub fn read(line: &[u8]) -> Line {
    let Some((kind, rest)) = line.split_first() else { return Line::Answer };
    let said = match kind {
        b't' => frame(rest, 3, false),
        b'T' => frame(rest, 8, false),
        b'r' => frame(rest, 3, true),
        b'R' => frame(rest, 8, true),
        b'F' => status(rest),
        b's' => state(rest),
        b'e' => errors(rest),
        // Confirms that a frame was sent; versions and serial numbers of the adapter.
        b'z' | b'Z' | b'V' | b'v' | b'N' => Some(Line::Answer),
        _ => None,
    };
    said.unwrap_or(Line::Garbled)
}

fn status(digits: &[u8]) -> Option<Line> {
    let (bits, rest) = number(digits, 2)?;
    let bits = u16::try_from(bits).ok()?;
    rest.is_empty().then_some(Line::Status(Status(bits)))
}

/// A letter and two counters of three digits; the letter follows from them.
fn state(line: &[u8]) -> Option<Line> {
    let (letter, counters) = line.split_first()?;
    let (_, rest) = number(counters, 6)?;
    let bits = match letter {
        b'a' => 0,
        b'w' => Status::WARNING,
        b'p' => Status::PASSIVE,
        b'b' => Status::OFF,
        _ => return None,
    };
    rest.is_empty().then_some(Line::Status(Status(bits)))
}

/// A digit that counts the letters after it.
fn errors(line: &[u8]) -> Option<Line> {
    let (count, letters) = number(line, 1)?;
    if usize::try_from(count) != Ok(letters.len()) {
        return None;
    }
    let mut bits = 0;
    for letter in letters {
        bits |= match letter {
            b'a' => Status::ACKNOWLEDGE,
            b'b' | b'B' => Status::BIT,
            b'c' | b'f' | b's' => Status::FRAME,
            b'o' | b'O' => Status::OVERRUN,
            _ => return None,
        };
    }
    Some(Line::Status(Status(bits)))
}

fn frame(digits: &[u8], digits_of_id: usize, is_request: bool) -> Option<Line> {
    let (id, rest) = number(digits, digits_of_id)?;
    let id = if digits_of_id == 3 {
        FrameId::standard(u16::try_from(id).ok()?)?
    } else {
        FrameId::extended(id)?
    };
    let (length, mut rest) = number(rest, 1)?;
    let length = u8::try_from(length).ok()?;
    let frame = if is_request {
        Frame::request(id, length)?
    } else {
        let mut data = [0; Frame::MOST_BYTES];
        let bytes = data.get_mut(..usize::from(length))?;
        for byte in &mut *bytes {
            let (value, tail) = number(rest, 2)?;
            *byte = u8::try_from(value).ok()?;
            rest = tail;
        }
        Frame::new(id, bytes)?
    };
    if rest.is_empty() {
        return Some(Line::Frame(frame, None));
    }
    let (time, rest) = number(rest, 4)?;
    (rest.is_empty() && time < MINUTE).then_some(Line::Frame(frame, Some(Milliseconds(time))))
}

/// A number of so many hexadecimal digits, and what follows it.
fn number(digits: &[u8], count: usize) -> Option<(u32, &[u8])> {
    let (digits, rest) = digits.split_at_checked(count)?;
    let mut number = 0u32;
    for digit in digits {
        let value = match digit {
            b'0'..=b'9' => digit.wrapping_sub(b'0'),
            b'A'..=b'F' => digit.wrapping_sub(b'A').wrapping_add(10),
            b'a'..=b'f' => digit.wrapping_sub(b'a').wrapping_add(10),
            _ => return None,
        };
        number = number.wrapping_shl(4) | u32::from(value);
    }
    Some((number, rest))
}

/// The adapter's clock begins again after so many milliseconds.
const MINUTE: u32 = 60_000;

/// A clock that goes on where that of the adapter begins again. It needs a frame a minute.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Clock {
    minutes: u32,
    last: Option<u32>,
}

impl Clock {
    /// The time since the beginning of the first minute.
    pub fn at(&mut self, time: Milliseconds) -> Milliseconds {
        if self.last.is_some_and(|last| time.0 < last) {
            self.minutes = self.minutes.saturating_add(MINUTE);
        }
        self.last = Some(time.0);
        Milliseconds(self.minutes.saturating_add(time.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heard::BusTrouble::{NobodyConfirms, NothingFits, NothingPasses};

    fn standard(id: u16, data: &[u8]) -> Frame {
        Frame::new(FrameId::standard(id).expect("11 bits"), data).expect("short")
    }

    #[test]
    fn frames_of_both_kinds_are_read() {
        for (line, frame, time) in [
            (&b"t1230"[..], standard(0x123, &[]), None),
            (b"t7FF2aB01", standard(0x7FF, &[0xAB, 1]), None),
            (b"t701105EA5F", standard(0x701, &[5]), Some(Milliseconds(59_999))),
            (
                b"T18EEFF808FFFFFFFFFFFFFFFF0001",
                Frame::new(FrameId::Extended(0x18EE_FF80), &[0xFF; 8]).expect("eight bytes"),
                Some(Milliseconds(1)),
            ),
            (b"r1238", Frame::request(FrameId::Standard(0x123), 8).expect("a length"), None),
            (b"R000000010", Frame::request(FrameId::Extended(1), 0).expect("a length"), None),
        ] {
            assert_eq!(read(line), Line::Frame(frame, time), "{:?}", str::from_utf8(line));
        }
    }

    #[test]
    fn what_is_no_line_is_garbled() {
        for line in [
            &b"t12"[..],
            b"t123",
            b"t1239",
            b"t123101F",
            b"t12310",
            b"t12g0",
            b"t8000",
            b"T200000000",
            b"t1230EA60",
            b"t1230EA5F0",
            b"r1239",
            b"F0",
            b"F001",
            b"sa05703",
            b"sx057033",
            b"sa0570333",
            b"e2a",
            b"e1x",
            b"e",
            b"x",
            b"\xFF",
        ] {
            assert_eq!(read(line), Line::Garbled, "{line:?}");
        }
        for line in [&b""[..], b"z", b"V1013"] {
            assert_eq!(read(line), Line::Answer, "{line:?}");
        }
    }

    #[test]
    fn lines_are_put_together_from_bytes() {
        let mut reader = Reader::new();
        let mut said = |bytes: &[u8]| -> Vec<Line> {
            bytes.iter().filter_map(|byte| reader.push(*byte)).collect()
        };
        let frame = Line::Frame(standard(0x701, &[5]), None);
        assert_eq!(said(b"t7"), []);
        assert_eq!(said(b"01105\r\nt701105\r"), [frame, frame]);
        assert_eq!(said(b"t70\x07t701105\r"), [Line::Answer, frame]);
        assert_eq!(said(b"t7\n01105\r"), [Line::Garbled]);
        assert_eq!(said(&[b't'; 31]), []);
        assert_eq!(said(b"\rt701105\r"), [Line::Garbled, frame]);
        assert_eq!(said(b"T18EEFF808FFFFFFFFFFFFFFFF0001\r").len(), 1);
    }

    #[test]
    fn the_state_of_the_adapter_is_handed_on() {
        let told = |bits| {
            let mut controller = Controller::default();
            Status(bits).tell(&mut controller);
            (controller.worst(), controller.is_troubled())
        };
        assert_eq!(read(b"FA4"), Line::Status(Status(0xA4)));
        assert_eq!(told(0), (BusState::Active, false));
        assert_eq!(told(Status::WARNING), (BusState::Warning, true));
        assert_eq!(told(Status::PASSIVE | Status::WARNING), (BusState::Passive, true));
        assert_eq!(told(Status::BUS_ERROR), (BusState::Active, true));
        assert_eq!(told(Status::OVERRUN), (BusState::Active, false));
    }

    #[test]
    fn changes_of_state_and_kinds_of_errors_are_handed_on() {
        // Lines that stand in the Linux driver as examples, and those of its other letters.
        for (line, bits) in [
            (&b"sb256256"[..], Status::OFF),
            (b"sa057033", 0),
            (b"sw096000", Status::WARNING),
            (b"sp000128", Status::PASSIVE),
            (b"e1a", Status::ACKNOWLEDGE),
            (b"e3bcO", 0xC08),
            (b"e4Bfos", Status::BIT | Status::FRAME | Status::OVERRUN),
        ] {
            assert_eq!(read(line), Line::Status(Status(bits)), "{:?}", str::from_utf8(line));
        }
        let told = |bits| {
            let mut controller = Controller::default();
            Status(bits).tell(&mut controller);
            (controller.worst(), controller.is_unanswered(), controller.trouble(0))
        };
        assert_eq!(told(Status::ACKNOWLEDGE), (BusState::Active, true, NobodyConfirms));
        assert_eq!(told(Status::OFF | Status::BIT), (BusState::Off, false, NothingPasses));
        assert_eq!(told(Status::FRAME), (BusState::Active, false, NothingFits));
    }

    #[test]
    fn the_clock_goes_on_after_a_minute() {
        let mut clock = Clock::default();
        let times = [59_000, 59_999, 10, 10, 30_000, 5].map(|time| clock.at(Milliseconds(time)).0);
        assert_eq!(times, [59_000, 59_999, 60_010, 60_010, 90_000, 120_005]);
    }
}
