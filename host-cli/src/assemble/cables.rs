//! Cable records.

use super::{Positions, natural};
use crate::declared::{Cable, Declared, End, Subject};
use crate::field::Field;
use crate::fold::Folded;
use coldcheck_core::plan::{CableRecord, Datum, EndKind, EndRecord};
use zerocopy::IntoBytes;

/// The records of all cables in the order of the plan, and which declared cable each one is.
pub(super) fn cables(declared: &Declared, positions: &Positions) -> (Vec<usize>, Vec<CableRecord>) {
    let mut rows: Vec<_> = declared
        .cables
        .iter()
        .enumerate()
        .map(|(index, cable)| {
            let record = record(declared, index, cable, positions);
            (cable.key.is_empty(), natural(&cable.key), record.as_bytes().to_vec(), record, index)
        })
        .collect();
    // Cables without a label, and cables with one label, go by all that is known of them.
    rows.sort_by(|a, b| (a.0, &a.1, &a.2).cmp(&(b.0, &b.1, &b.2)));
    let mut before: Option<&Folded> = None;
    rows.into_iter()
        .map(|(_, _, _, mut record, index)| {
            let key = &declared.cables[index].key;
            record.label_again = (!key.is_empty() && before == Some(key)).into();
            before = Some(key);
            (index, record)
        })
        .unzip()
}

fn record(declared: &Declared, index: usize, cable: &Cable, positions: &Positions) -> CableRecord {
    let subject = Subject::Cable(index);
    let mut ends = cable.ends.map(|end| end_record(end, positions));
    ends.sort_by_key(|end| (end.kind, end.index, end.port));
    let number = |field| declared.number(subject, field);
    let mut known = Vec::new();
    if cable.length().is_some() {
        known.push(Datum::Length);
    }
    for field in [Field::Construction, Field::Wiring, Field::Pins, Field::Screen, Field::PlugOhms] {
        if number(field).is_some() {
            known.extend(field.datum());
        }
    }
    let bits = known.iter().fold(0u16, |bits, datum| {
        bits | 1u16.checked_shl(datum.bit() - Datum::FIRST_OF_CABLES).unwrap_or(0)
    });
    let choice = |field| u8::try_from(number(field).unwrap_or(0)).unwrap_or(0);
    CableRecord {
        ends,
        declared: bits.into(),
        length: cable.length().map_or(0, |length| length.0).into(),
        plug_ohms: u16::try_from(number(Field::PlugOhms).unwrap_or(0)).unwrap_or(u16::MAX).into(),
        kind: cable.kind.map_or(0, |kind| kind.code()) | (choice(Field::AlsoCarries) & 0xF) << 4,
        construction: choice(Field::Construction),
        wiring: choice(Field::Wiring),
        pins: choice(Field::Pins),
        screen: choice(Field::Screen),
        ..CableRecord::default()
    }
}

fn end_record(end: End, positions: &Positions) -> EndRecord {
    let at = |kind: EndKind, positions: &[u8], declared: usize| EndRecord {
        kind: kind.code(),
        index: positions.get(declared).copied().unwrap_or(u8::MAX),
        port: EndRecord::NO_PORT,
    };
    match end {
        End::Unit(unit, port) => EndRecord {
            port: port.map_or(EndRecord::NO_PORT, |port| port.0),
            ..at(EndKind::Unit, &positions.units, unit)
        },
        End::Pack(pack) => at(EndKind::Pack, &positions.packs, pack),
        End::Sensor(sensor) => at(EndKind::Sensor, &positions.sensors, sensor),
        End::Device(device) => at(EndKind::Device, &positions.devices, device),
        End::Open => EndRecord { kind: EndKind::Open.code(), index: 0, port: EndRecord::NO_PORT },
        End::Unknown => EndRecord::UNKNOWN,
    }
}
