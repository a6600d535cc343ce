//! Frames as the lines of an adapter that speaks SLCAN.

use coldcheck_core::frame::{Frame, FrameId};
use coldcheck_core::plan::Milliseconds;
use std::fmt::Write;

/// The digits of an identifier: three for 11 bits, eight for 29.
pub fn digits_of(id: FrameId) -> String {
    match id {
        FrameId::Standard(bits) => format!("{bits:03X}"),
        FrameId::Extended(bits) => format!("{bits:08X}"),
    }
}

/// A frame as a line, with the adapter's time.
pub fn slcan(frame: &Frame, at: Milliseconds) -> String {
    let kind = match (frame.id(), frame.is_request()) {
        (FrameId::Standard(_), false) => 't',
        (FrameId::Standard(_), true) => 'r',
        (FrameId::Extended(_), false) => 'T',
        (FrameId::Extended(_), true) => 'R',
    };
    let mut line = format!("{kind}{}{}", digits_of(frame.id()), frame.length());
    for byte in frame.data() {
        // Writing to a text does not fail.
        let _ = write!(line, "{byte:02X}");
    }
    // The adapter's clock begins again after a minute.
    let _ = write!(line, "{:04X}\r", at.0 % 60_000);
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use coldcheck_core::slcan::{Line, read};

    #[test]
    fn a_line_reads_back() {
        let long = FrameId::Extended(0x18EE_FF80);
        for frame in [
            Frame::new(FrameId::Standard(1), &[]).unwrap(),
            Frame::new(long, &[0xAB; 8]).unwrap(),
            Frame::request(FrameId::Standard(0x7FF), 8).unwrap(),
            Frame::request(long, 0).unwrap(),
        ] {
            let line = slcan(&frame, Milliseconds(60_017));
            let text = line.strip_suffix('\r').unwrap().as_bytes();
            assert_eq!(read(text), Line::Frame(frame, Some(Milliseconds(17))));
        }
    }
}
