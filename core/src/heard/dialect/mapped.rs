//! The frames that a profile lists.

use super::Sighting;
use crate::frame::Frame;
use crate::plan::FrameRecord;

pub(super) fn read(frame: &Frame, map: &[FrameRecord]) -> Option<Sighting> {
    let position = map.iter().position(|kind| kind.matches(frame))?;
    let kind = map.get(position)?;
    let identity = kind.serial.value(frame).map(u64::from);
    Some(Sighting {
        address: u16::try_from(kind.address.value(frame)?).ok()?,
        is_beat: position == 0,
        is_start: false,
        role: kind.role.value(frame).and_then(|number| kind.role_of(number)),
        count: kind.count.value(frame).and_then(|count| u16::try_from(count).ok()),
        firmware: kind.firmware.version(frame),
        identity,
        has_serial: identity.is_some(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::FrameId;
    use crate::plan::{FieldRecord, Role};

    const fn field(start: u8, width: u8) -> FieldRecord {
        FieldRecord { start, width }
    }

    #[test]
    fn the_first_kind_that_fits_is_taken() {
        let state = FrameRecord {
            id: 0x300.into(),
            mask: 0x7F0.into(),
            address: field(FieldRecord::FIRST_OF_ID, 4),
            role: field(0, 2),
            count: field(8, 8),
            coordinator: 1,
            follower: 2,
            ..FrameRecord::default()
        };
        let about = FrameRecord {
            id: 0x340.into(),
            mask: 0x7FF.into(),
            address: field(0, 8),
            firmware: field(8, 16 | FieldRecord::MOST_SIGNIFICANT_FIRST),
            serial: field(24, 32),
            ..FrameRecord::default()
        };
        let read = |id, data: &[u8]| {
            let frame = Frame::new(FrameId::standard(id).expect("11 bits"), data).expect("short");
            read(&frame, &[state, about])
        };
        assert_eq!(
            read(0x304, &[2, 6]),
            Some(Sighting {
                address: 4,
                is_beat: true,
                role: Some(Role::Follower),
                count: Some(6),
                ..Sighting::default()
            })
        );
        assert_eq!(
            read(0x340, &[4, 2, 14, 0x40, 0xE2, 0x01, 0]),
            Some(Sighting {
                address: 4,
                firmware: Some(0x020E_0000),
                identity: Some(123_456),
                has_serial: true,
                ..Sighting::default()
            })
        );
        assert_eq!(read(0x340, &[]), None);
        assert_eq!(read(0x350, &[4]), None);
    }
}
