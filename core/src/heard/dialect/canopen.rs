//! CANopen: heartbeat and boot-up, emergency, and answers about the identity object.
//!
//! Identifiers and objects are those of CiA 301, as the package `canopen` of PyPI uses them, which
//! `tests/listening.rs` holds this against. Process data is left alone: its identifiers may be
//! moved, and a moved one would look like a stranger.

use super::Sighting;
use crate::frame::{Frame, FrameId};

/// Function codes: the four high bits of an identifier; the seven low ones are the node.
const EMERGENCY: u16 = 0x080;
const SERVICE_ANSWER: u16 = 0x580;
const HEARTBEAT: u16 = 0x700;
const NODE: u16 = 0x07F;

/// The state in a boot-up message.
const BOOT_UP: u8 = 0;

/// Identity object, part 4: serial number.
const SERIAL: [u8; 3] = [0x18, 0x10, 4];
/// Software version as the maker writes it.
const SOFTWARE: [u8; 3] = [0x0A, 0x10, 0];

pub(super) fn read(frame: &Frame) -> Option<Sighting> {
    let FrameId::Standard(id) = frame.id() else { return None };
    let address = id & NODE;
    if address == 0 {
        return None;
    }
    let seen = Sighting { address, ..Sighting::default() };
    match id & !NODE {
        HEARTBEAT => {
            let [state] = frame.data() else { return None };
            // The highest bit was a toggle in an older form of the message.
            let is_start = state & 0x7F == BOOT_UP;
            Some(Sighting { is_start, is_beat: !is_start, ..seen })
        }
        EMERGENCY => Some(seen),
        SERVICE_ANSWER => Some(answer(frame.data(), seen)),
        _ => None,
    }
}

/// What an answer of up to four bytes says, if it is about the sender itself.
fn answer(data: &[u8], seen: Sighting) -> Sighting {
    let [command, low, high, part, value @ ..] = data else { return seen };
    let Some(value) = value.first_chunk::<4>() else { return seen };
    // An upload answer with the data in it: 0b010x_nnes with e set; with s set, nn bytes are unused.
    if command & 0b1110_0010 != 0b0100_0010 {
        return seen;
    }
    let unused = if command & 1 == 0 { 0 } else { command.wrapping_shr(2) & 0b11 };
    match [*low, *high, *part] {
        SERIAL => {
            Sighting { identity: Some(u32::from_le_bytes(*value).into()), has_serial: true, ..seen }
        }
        SOFTWARE => {
            let length = 4usize.saturating_sub(unused.into());
            Sighting { firmware: version(value.get(..length).unwrap_or(&[])), ..seen }
        }
        _ => seen,
    }
}

/// A version of up to four signs, such as `2.14`, as parts in the bytes of a number.
fn version(text: &[u8]) -> Option<u32> {
    let mut parts = [0u8; 4];
    let mut place = parts.iter_mut();
    let mut part = place.next()?;
    let mut any = false;
    for sign in text {
        match sign {
            b'0'..=b'9' => {
                *part = part.checked_mul(10)?.checked_add(sign.wrapping_sub(b'0'))?;
                any = true;
            }
            b'.' => part = place.next()?,
            // Fills up what is left.
            0 | b' ' => break,
            _ => return None,
        }
    }
    any.then(|| u32::from_be_bytes(parts))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sighting(id: u16, data: &[u8]) -> Option<Sighting> {
        read(&Frame::new(FrameId::standard(id).expect("11 bits"), data).expect("short"))
    }

    #[test]
    fn a_heartbeat_and_a_boot_up_tell_who_is_there() {
        let beat = sighting(0x77F, &[0x85]).expect("a heartbeat");
        assert_eq!((beat.address, beat.is_beat, beat.is_start), (127, true, false));
        let start = sighting(0x701, &[0]).expect("a boot-up");
        assert_eq!((start.address, start.is_beat, start.is_start), (1, false, true));
        for (id, data) in [(0x700, &[5][..]), (0x701, &[]), (0x701, &[5, 0]), (0x601, &[5; 8])] {
            assert_eq!(sighting(id, data), None, "{id:#x}");
        }
        assert_eq!(read(&Frame::new(FrameId::Extended(0x701), &[5]).expect("short")), None);
    }

    #[test]
    fn an_emergency_tells_who_sent_it_and_no_more() {
        let told = sighting(0x085, &[0x10, 0x81, 0x11, 0, 0, 0, 0, 0]);
        assert_eq!(told, Some(Sighting { address: 5, ..Sighting::default() }));
        // The same function code without a node is for all: a signal to synchronise.
        assert_eq!(sighting(0x080, &[]), None);
    }

    #[test]
    fn an_answer_about_the_identity_object_tells_the_serial_number() {
        let told = sighting(0x583, &[0x43, 0x18, 0x10, 4, 0x78, 0x56, 0x34, 0x12]);
        let told = told.expect("an answer");
        assert_eq!((told.address, told.identity), (3, Some(0x1234_5678)));
        assert!(told.has_serial);
        // A part of another answer, an answer in segments, and an abort.
        for data in [
            [0x43, 0x18, 0x10, 3, 1, 0, 0, 0],
            [0x41, 0x18, 0x10, 4, 4, 0, 0, 0],
            [0x80, 0x18, 0x10, 4, 0, 0, 2, 6],
        ] {
            let told = sighting(0x583, &data).expect("an answer");
            assert_eq!((told.identity, told.has_serial, told.is_beat), (None, false, false));
        }
        assert_eq!(sighting(0x583, &[0x43, 0x18]).map(|told| told.identity), Some(None));
    }

    #[test]
    fn a_short_software_version_is_told_whole() {
        let told = |command: u8, text: [u8; 4]| {
            let [a, b, c, d] = text;
            sighting(0x583, &[command, 0x0A, 0x10, 0, a, b, c, d]).expect("an answer").firmware
        };
        assert_eq!(told(0x43, *b"2.14"), Some(0x020E_0000));
        assert_eq!(told(0x47, *b"2.1x"), Some(0x0201_0000));
        assert_eq!(told(0x42, *b"3 \0\0"), Some(0x0300_0000));
        // Without the bit that says so, no byte is unused, whatever the number of them.
        assert_eq!(told(0x4E, *b"2.14"), Some(0x020E_0000));
        assert_eq!(told(0x43, *b"v2.1"), None);
        assert_eq!(told(0x43, *b"2999"), None);
        assert_eq!(told(0x43, *b"    "), None);
    }
}
