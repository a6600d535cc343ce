//! SAE J1939: the address in every identifier, and the NAME in an address claim.
//!
//! Layout of the identifier and of the NAME: SAE J1939-21 and J1939-81, as the packages `can-j1939`
//! and `cantools` of PyPI use them, which `tests/listening.rs` holds this against.

use super::Sighting;
use crate::frame::{Frame, FrameId};

/// The format byte of an address claim; the byte below is whom it is for.
const ADDRESS_CLAIM: u32 = 0xEE;
/// Bits that choose another page of meanings.
const OTHER_PAGE: u32 = 0b11 << 24;
/// Who has no address, and says so.
const NOBODY: u16 = 254;
/// Whom everybody listens to; nobody has it.
const EVERYBODY: u16 = 255;

pub(super) fn read(frame: &Frame) -> Option<Sighting> {
    let FrameId::Extended(id) = frame.id() else { return None };
    let [source, _, format, _] = id.to_le_bytes();
    let address = u16::from(source);
    if matches!(address, NOBODY | EVERYBODY) {
        return None;
    }
    let is_claim = u32::from(format) == ADDRESS_CLAIM && id & OTHER_PAGE == 0;
    let name = frame.data().first_chunk::<8>().filter(|_| is_claim);
    Some(Sighting {
        address,
        identity: name.map(|bytes| u64::from_le_bytes(*bytes)),
        ..Sighting::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sighting(id: u32, data: &[u8]) -> Option<Sighting> {
        read(&Frame::new(FrameId::extended(id).expect("29 bits"), data).expect("short"))
    }

    #[test]
    fn a_claim_tells_address_and_name() {
        // The NAME that the package can-j1939 2.0.12 makes of industry group 5, function 255,
        // maker 666, identity 1234567, arbitrary address; identifier by cantools 45.1.0.
        let name = 0xD000_FF00_5352_D687_u64;
        let claim = sighting(0x18EE_FF80, &name.to_le_bytes()).expect("a claim");
        assert_eq!((claim.address, claim.identity), (0x80, Some(name)));
        assert!(!claim.is_start && !claim.is_beat && !claim.has_serial);
    }

    #[test]
    fn any_frame_tells_the_address_but_only_a_claim_the_name() {
        for (id, data) in
            [(0x18FE_CA21, &[1; 8][..]), (0x18EE_FF21, &[1; 7]), (0x19EE_FF21, &[1; 8])]
        {
            let seen = sighting(id, data).expect("an address");
            assert_eq!((seen.address, seen.identity), (0x21, None), "{id:#x}");
        }
    }

    #[test]
    fn who_has_no_address_is_nobody() {
        assert_eq!(sighting(0x18EE_FFFE, &[1; 8]), None);
        assert_eq!(sighting(0x18EE_FFFF, &[1; 8]), None);
        assert_eq!(read(&Frame::new(FrameId::Standard(0x21), &[1; 8]).expect("short")), None);
    }
}
