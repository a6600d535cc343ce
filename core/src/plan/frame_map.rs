//! Which frames tell what: the part of a profile by which a gateway understands its units.
#![allow(unnameable_types, reason = "zerocopy's derive makes helper types that nobody names")]

use super::codes::Role;
use super::record::record;
use crate::frame::Frame;
use zerocopy::byteorder::little_endian::U32;

record! {
    /// One kind of frame, and where the facts lie in it. The units send the first kind of a map
    /// over and over, so that its rhythm tells who is there.
    FrameRecord, 20 bytes {
        /// Identifier; the highest bit says that it has 29 bits instead of 11.
        id: U32,
        /// Bits of the identifier that must be as in `id`.
        mask: U32,
        /// Where the sender's address lies.
        address: FieldRecord,
        /// Where its role lies.
        role: FieldRecord,
        /// Where its unit count lies.
        count: FieldRecord,
        /// Where its firmware lies: the version's parts, a byte each, the first of them first.
        firmware: FieldRecord,
        /// Where its serial number lies.
        serial: FieldRecord,
        /// The role's number for a coordinator.
        coordinator: u8,
        /// The role's number for a follower.
        follower: u8,
    }
}

record! {
    /// A run of bits in a frame.
    FieldRecord, 2 bytes {
        /// The lowest bit: 0 to 63 in the data, where bit 8 is the lowest of the second byte;
        /// from 64 on in the identifier.
        start: u8,
        /// How many bits, 1 to 32, 0 if the frame does not carry the fact. The highest bit says
        /// that the first byte is the most significant one.
        width: u8,
    }
}

impl FrameRecord {
    /// Says that the identifier has 29 bits.
    pub const EXTENDED: u32 = Frame::EXTENDED;

    /// Whether a frame is of this kind.
    pub fn matches(&self, frame: &Frame) -> bool {
        (frame.number() ^ self.id.get()) & (self.mask.get() | Self::EXTENDED) == 0
    }

    /// The role that a number stands for.
    pub const fn role_of(&self, number: u32) -> Option<Role> {
        let [number, 0, 0, 0] = number.to_le_bytes() else { return None };
        if number == self.coordinator {
            Some(Role::Coordinator)
        } else if number == self.follower {
            Some(Role::Follower)
        } else {
            None
        }
    }
}

impl FieldRecord {
    /// The first bit that lies in the identifier.
    pub const FIRST_OF_ID: u8 = 64;
    /// Says that the first byte is the most significant one.
    pub const MOST_SIGNIFICANT_FIRST: u8 = 0x80;
    /// Most bits of a field.
    pub const MOST_BITS: u8 = 32;

    /// How many bits it has; 0 if there is no such field.
    pub const fn bits(self) -> u8 {
        self.width & !Self::MOST_SIGNIFICANT_FIRST
    }

    /// Its value in a frame; `None` if the frame is too short or carries no such field.
    pub fn value(self, frame: &Frame) -> Option<u32> {
        let bits = self.bits();
        if bits > Self::MOST_BITS {
            return None;
        }
        let word = if let Some(start) = self.start.checked_sub(Self::FIRST_OF_ID) {
            u64::from(frame.number() & !Frame::EXTENDED).checked_shr(start.into())?
        } else {
            let end = self.start.saturating_add(bits);
            if usize::from(end) > frame.data().len().saturating_mul(8) {
                return None;
            }
            if self.width & Self::MOST_SIGNIFICANT_FIRST == 0 {
                u64::from_le_bytes(frame.bytes()).checked_shr(self.start.into())?
            } else {
                let above = 64u8.saturating_sub(end);
                u64::from_be_bytes(frame.bytes()).checked_shr(above.into())?
            }
        };
        // None for no bits.
        let kept = u64::MAX.checked_shr(64u8.saturating_sub(bits).into())?;
        u32::try_from(word & kept).ok()
    }

    /// Its value as the parts of a version, the first in the high byte.
    pub fn version(self, frame: &Frame) -> Option<u32> {
        let unused = Self::MOST_BITS.checked_sub(self.bits())?;
        self.value(frame)?.checked_shl(unused.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::FrameId;

    fn frame(id: u32, data: &[u8]) -> Frame {
        Frame::new(FrameId::extended(id).expect("29 bits"), data).expect("short")
    }

    fn field(start: u8, width: u8) -> FieldRecord {
        FieldRecord { start, width }
    }

    #[test]
    fn a_field_is_read_where_it_lies() {
        let frame = frame(0x1234_5678, &[0x21, 0x43, 0x65, 0x87]);
        let first = FieldRecord::MOST_SIGNIFICANT_FIRST;
        for (start, width, value) in [
            (0, 8, 0x21),
            (4, 4, 0x2),
            (4, 8, 0x32),
            (8, 16, 0x6543),
            (8, 16 | first, 0x4365),
            (0, 32, 0x8765_4321),
            (0, 32 | first, 0x2143_6587),
            (64, 8, 0x78),
            (72, 8, 0x56),
            (92, 1, 1),
        ] {
            assert_eq!(field(start, width).value(&frame), Some(value), "{start} {width}");
        }
        assert_eq!(field(8, 16 | first).version(&frame), Some(0x4365_0000));
    }

    #[test]
    fn a_field_past_the_data_is_not_there() {
        let frame = frame(1, &[1, 2]);
        for (start, width) in [(16, 1), (12, 8), (0, 17), (0, 0), (0, 33), (255, 8), (63, 0x7F)] {
            assert_eq!(field(start, width).value(&frame), None, "{start} {width}");
            assert_eq!(field(start, width).version(&frame), None, "{start} {width}");
        }
        // However long the data are, no field has no bits or more than a number has.
        let full = self::frame(1, &[1, 0, 0, 0, 0, 0, 0, 0]);
        assert_eq!((field(0, 0).value(&full), field(0, 33).value(&full)), (None, None));
    }

    #[test]
    fn a_mask_that_bears_the_mark_of_long_identifiers_tells_them_apart_all_the_same() {
        let bare =
            FrameRecord { id: 5.into(), mask: Frame::EXTENDED.into(), ..FrameRecord::default() };
        assert!(!bare.matches(&frame(5, &[])));
        let marked = FrameRecord { id: (5 | Frame::EXTENDED).into(), ..bare };
        assert!(marked.matches(&frame(5, &[])));
    }

    #[test]
    fn a_kind_of_frame_is_known_by_its_identifier() {
        let kind = FrameRecord {
            id: (0x300 | FrameRecord::EXTENDED).into(),
            mask: 0xFFF0.into(),
            coordinator: 1,
            ..FrameRecord::default()
        };
        assert!(kind.matches(&frame(0x30F, &[])));
        assert!(kind.matches(&frame(0x1_0300, &[])));
        assert!(!kind.matches(&frame(0x310, &[])));
        let standard = Frame::new(FrameId::Standard(0x300), &[]).expect("short");
        assert!(!kind.matches(&standard));
        assert_eq!(kind.role_of(1), Some(Role::Coordinator));
        assert_eq!(kind.role_of(0), Some(Role::Follower));
        assert_eq!([2, 256, 257].map(|number| kind.role_of(number)), [None; 3]);
    }
}
