//! Lines as candump writes them, into a log and onto a screen.
//!
//! | part | meaning |
//! |---|---|
//! | `(…)` | time: seconds, or day and time of day |
//! | `can0` | interface |
//! | `123`, `12345678` | identifier of 11 or 29 bits; with bit 29 set an error frame |
//! | `#11.22`, `#R`, `#R8` | in a log: data, a request, a request with a length |
//! | `##…` | in a log: a frame of CAN FD |
//! | `[2]  11 22`, `[0]  remote request` | on a screen: length and data; two digits for CAN FD |
//! | `R`, `T`, `RX`, `TX` | received, or sent by the recorder itself |

use super::error_frame::FLAG;
use super::{ErrorFrame, Said, Stamp};
use coldcheck_core::frame::{Frame, FrameId};

/// What a line holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Written<'l> {
    pub(super) stamp: Option<Stamp>,
    pub(super) interface: &'l str,
    pub(super) said: Said,
}

/// The longest name of an interface: names on Linux have 15 signs, and other systems have longer
/// ones.
const LONGEST_INTERFACE: usize = 32;

/// Reads a line of either form.
pub(super) fn read(line: &[u8]) -> Option<Written<'_>> {
    // Signs behind the data may be in any code.
    let end = line.iter().position(|byte| *byte == b'\'').unwrap_or(line.len());
    let text = std::str::from_utf8(line.get(..end)?).ok()?;
    let (stamp, rest) = match text.strip_prefix('(') {
        None => (None, text),
        Some(text) => {
            let (stamp, rest) = text.split_once(')')?;
            (Some(Stamp::read(stamp.trim())?), rest)
        }
    };
    let mut words = rest.split_ascii_whitespace();
    let interface = words.next().filter(|name| {
        name.len() <= LONGEST_INTERFACE && name.bytes().all(|byte| byte.is_ascii_graphic())
    })?;
    let word = words.next()?;
    let said = match word.split_once('#') {
        Some((id, data)) => logged(id, data, words)?,
        None => shown(word, words)?,
    };
    Some(Written { stamp, interface, said })
}

/// `123#1122`, and perhaps who sent it.
fn logged<'w>(id: &str, data: &str, mut words: impl Iterator<Item = &'w str>) -> Option<Said> {
    let sent = match (words.next(), words.next()) {
        (None | Some("R"), None) => false,
        (Some("T"), None) => true,
        _ => return None,
    };
    let id = Id::read(id)?;
    if data.contains('#') || data.contains(':') {
        return Some(Said::Other);
    }
    let Id::Frame(id) = id else {
        let bytes = Bytes::read(data)?;
        return id.error(bytes.as_slice());
    };
    let frame = match data.strip_prefix('R') {
        Some("") => Frame::request(id, 0)?,
        Some(length) => Frame::request(id, digit(length)?)?,
        None => Frame::new(id, Bytes::read(without_raw_length(data)).as_ref()?.as_slice())?,
    };
    Some(if sent { Said::Sent(frame) } else { Said::Frame(frame) })
}

/// `123   [2]  11 22`, with `RX - -` or `TX - -` in front where candump was asked for it.
fn shown<'w>(first: &'w str, mut words: impl Iterator<Item = &'w str>) -> Option<Said> {
    let mut word = first;
    let sent = word == "TX";
    if sent || word == "RX" {
        let is_flag = |flag: &&str| flag.len() == 1;
        words.next().filter(is_flag)?;
        words.next().filter(is_flag)?;
        word = words.next()?;
    }
    let id = Id::read(word)?;
    let length = words.next()?.strip_prefix('[')?.strip_suffix(']')?;
    if length.len() == 2 && length.bytes().all(|byte| byte.is_ascii_digit()) {
        return Some(Said::Other);
    }
    let length = digit(length).filter(|length| *length <= 8)?;
    let mut bytes = Bytes::default();
    for place in 0..length {
        let word = words.next()?;
        if place == 0 && word == "remote" && words.next() == Some("request") {
            let Id::Frame(id) = id else { return None };
            return Some(Said::Frame(Frame::request(id, length)?));
        }
        bytes.push(byte(word)?)?;
    }
    let frame = match (id, words.next()) {
        (Id::Error(_), _) => return id.error(bytes.as_slice()),
        (Id::Frame(id), None) => Frame::new(id, bytes.as_slice())?,
        (Id::Frame(id), Some("remote")) if length == 0 => Frame::request(id, 0)?,
        (Id::Frame(_), Some(_)) => return None,
    };
    Some(if sent { Said::Sent(frame) } else { Said::Frame(frame) })
}

#[derive(Clone, Copy, Debug)]
enum Id {
    Frame(FrameId),
    Error(u32),
}

impl Id {
    /// Three digits for 11 bits, eight for 29.
    fn read(text: &str) -> Option<Self> {
        if !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return None;
        }
        let bits = u32::from_str_radix(text, 16).ok()?;
        match text.len() {
            3 => FrameId::standard(u16::try_from(bits).ok()?).map(Self::Frame),
            8 if bits & FLAG != 0 && bits < FLAG << 1 => Some(Self::Error(bits)),
            8 => FrameId::extended(bits).map(Self::Frame),
            _ => None,
        }
    }

    fn error(self, data: &[u8]) -> Option<Said> {
        let Self::Error(classes) = self else { return None };
        Some(Said::Error(ErrorFrame::new(classes, data)))
    }
}

/// Up to eight bytes.
#[derive(Clone, Copy, Debug, Default)]
struct Bytes {
    bytes: [u8; 8],
    length: usize,
}

impl Bytes {
    /// Two digits for each byte, with points between the bytes or without.
    fn read(text: &str) -> Option<Self> {
        let mut bytes = Self::default();
        let mut rest = text;
        while !rest.is_empty() {
            let (pair, tail) = rest.split_at_checked(2)?;
            bytes.push(byte(pair)?)?;
            rest = match tail.strip_prefix('.') {
                Some("") => return None,
                Some(behind) => behind,
                None => tail,
            };
        }
        Some(bytes)
    }

    fn push(&mut self, byte: u8) -> Option<()> {
        *self.bytes.get_mut(self.length)? = byte;
        self.length += 1;
        Some(())
    }

    fn as_slice(&self) -> &[u8] {
        self.bytes.get(..self.length).unwrap_or(&[])
    }
}

/// A controller may say a length above eight for eight bytes; candump writes it behind them.
fn without_raw_length(data: &str) -> &str {
    match data.split_once('_') {
        Some((bytes, length))
            if matches!(length.as_bytes(), [b'9' | b'A'..=b'F' | b'a'..=b'f']) =>
        {
            bytes
        }
        _ => data,
    }
}

fn byte(text: &str) -> Option<u8> {
    let is_pair = text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    is_pair.then(|| u8::from_str_radix(text, 16).ok()).flatten()
}

fn digit(text: &str) -> Option<u8> {
    match text.as_bytes() {
        [digit @ b'0'..=b'9'] => Some(digit - b'0'),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn standard(id: u16, data: &[u8]) -> Said {
        Said::Frame(Frame::new(FrameId::standard(id).unwrap(), data).unwrap())
    }

    fn request(id: FrameId, length: u8) -> Said {
        Said::Frame(Frame::request(id, length).unwrap())
    }

    #[test]
    fn lines_of_a_log_are_read() {
        let stamp = Some(Stamp(1_436_509_052_249_713));
        let line = b"(1436509052.249713) vcan0 044#2A366C2BBA";
        let data = [0x2A, 0x36, 0x6C, 0x2B, 0xBA];
        let written = Written { stamp, interface: "vcan0", said: standard(0x44, &data) };
        assert_eq!(read(line), Some(written));
        let long = FrameId::Extended(0x18EE_FF80);
        for (frame, said) in [
            ("123#", standard(0x123, &[])),
            ("123#11.22", standard(0x123, &[0x11, 0x22])),
            ("123#1122334455667788_F", standard(0x123, &[17, 34, 51, 68, 85, 102, 119, 136])),
            ("123#R", request(FrameId::Standard(0x123), 0)),
            ("18EEFF80#R8", request(long, 8)),
            ("18EEFF80#00 R", Said::Frame(Frame::new(long, &[0]).unwrap())),
            ("18EEFF80#00 T", Said::Sent(Frame::new(long, &[0]).unwrap())),
            ("123##1112233", Said::Other),
            ("20000020#0000000000000000", Said::Error(ErrorFrame::new(0x20, &[]))),
        ] {
            let line = format!("(1.0) can0 {frame}");
            assert_eq!(read(line.as_bytes()).map(|written| written.said), Some(said), "{frame}");
        }
    }

    #[test]
    fn lines_of_a_screen_are_read() {
        for (line, said) in [
            ("can0  123   [2]  11 22", standard(0x123, &[0x11, 0x22])),
            ("(000.001000)  can0  123   [0] ", standard(0x123, &[])),
            ("(2015-07-10 08:17:32.2)  can0  123   [1]  FF   '.'", standard(0x123, &[0xFF])),
            ("can0  RX - -  123   [1]  FF", standard(0x123, &[0xFF])),
            (
                "can0  TX B E  123   [0]",
                Said::Sent(Frame::request(FrameId::Standard(0), 0).unwrap()),
            ),
            ("can0  123   [0]  remote request", request(FrameId::Standard(0x123), 0)),
            ("can0  123   [4]  remote request", request(FrameId::Standard(0x123), 4)),
            ("can0  123  [12]  11 22 33 44 55 66 77 88 99 AA BB CC", Said::Other),
            (
                "can0  20000004   [8]  00 20 00 00 00 00 00 00   ERRORFRAME",
                Said::Error(ErrorFrame::new(4, &[0, 0x20])),
            ),
        ] {
            let read = read(line.as_bytes()).unwrap_or_else(|| panic!("{line}"));
            match (said, read.said) {
                (Said::Sent(_), Said::Sent(frame)) => assert_eq!(frame.id().bits(), 0x123),
                (said, read) => assert_eq!(read, said, "{line}"),
            }
            assert_eq!(read.interface, "can0");
        }
    }

    #[test]
    fn what_is_no_line_is_not_read() {
        for line in [
            "",
            "(",
            "()",
            "(1.0)",
            "(1.0) can0",
            "(1.0) can0 123",
            "(x) can0 123#",
            "123#11",
            "can0 800#",
            "can0 12#11",
            "can0 1234#11",
            "can0 123#1",
            "can0 123#1g",
            "can0 123#112233445566778899",
            "can0 123#11.",
            "can0 123#R9",
            "can0 123#Rx",
            "can0 123#11 X",
            "can0 123#11 R T",
            "can0 40000000#",
            "can0 80000000#",
            "can0 20000020#R",
            "can0 +12#11",
            "can0 123 [1]",
            "can0 123 [2] 11",
            "can0 123 [9] 11",
            "can0 123 [1] 11 22",
            "can0 123 1 11",
            "can0 TX 123 [0]",
            "cän0 123#11",
            "an-interface-with-far-too-long-a-name 123#11",
            "can0 20000020 [4] remote request",
        ] {
            assert_eq!(read(line.as_bytes()), None, "{line}");
        }
        assert_eq!(read(b"can0 123#\xFF"), None);
    }
}
