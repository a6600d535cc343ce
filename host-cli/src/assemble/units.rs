//! Unit records.

use super::Map;
use super::intern::Interner;
use crate::declared::{Declared, Subject};
use crate::field::{About, Field};
use crate::value::{Conductor, Pole, Value, plain_version};
use coldcheck_core::place::UnitId;
use coldcheck_core::plan::{
    CableKind, CableRecord, DataSet, Datum, Setting, Terminator, UnitRecord,
};
use std::collections::BTreeSet;

/// The records of all units, in the order of the plan.
pub(super) fn units(
    declared: &Declared,
    map: &Map,
    cables: &[CableRecord],
    protocols: &Interner<'_>,
) -> Vec<UnitRecord> {
    let names = |field| {
        Interner::of(
            map.units.iter().filter_map(move |unit| declared.agreed(Subject::Unit(*unit), field)),
        )
    };
    let (models, serials, versions, formats) = (
        names(Field::Model),
        names(Field::Serial),
        names(Field::Firmware),
        names(Field::LineFormat),
    );
    let settings = SETTINGS.map(names);
    let plain = ways_of_writing(declared, map);
    (0u8..)
        .zip(&map.units)
        .map(|(position, unit)| {
            let subject = Subject::Unit(*unit);
            let fact = |field| declared.agreed(subject, field);
            let number = |field| declared.number(subject, field).unwrap_or(0);
            let choice = |field| u8::try_from(number(field)).unwrap_or(0);
            let small = |field| u16::try_from(number(field)).unwrap_or(u16::MAX);
            let (address, base) = match fact(Field::Address) {
                Some(Value::Address(address)) => (address.number, address.base),
                Some(Value::Nothing) => (0, UnitRecord::NO_ADDRESS),
                _ => (0, 0),
            };
            let switches = number(Field::Switches);
            let mut known = declared_data(declared, *unit);
            let mut terminator = choice(Field::Terminator);
            // A plug in the cable list says what the unit does, where its settings do not.
            if terminator == 0 && has_plug(cables, UnitId(position)) {
                terminator = Terminator::Plug.code();
                known = DataSet(known.0 | DataSet::of(&[Datum::Terminator]).0);
            }
            UnitRecord {
                declared: u32::try_from(known.0 & u64::from(u32::MAX)).unwrap_or(0).into(),
                number: declared.units[*unit].number.unwrap_or(0).into(),
                address: address.into(),
                count: small(Field::Count).into(),
                role: choice(Field::Role),
                mode: choice(Field::Mode),
                phase: choice(Field::Phase),
                terminator,
                terminator_ohms: small(Field::TerminatorOhms).into(),
                firmware: version(fact(Field::Firmware), &versions, &plain).into(),
                model: models.number(fact(Field::Model)).into(),
                serial: serial(fact(Field::Serial), &serials).into(),
                protocol: protocols.number(fact(Field::Protocol)).into(),
                settings: settings_of(&settings, fact),
                bit_rate: number(Field::BitRate).into(),
                switches: u16::try_from(switches & 0xFFFF).unwrap_or(0).into(),
                switch_count: u8::try_from(switches >> 16).unwrap_or(0),
                line_format: small_number(&formats, fact(Field::LineFormat)),
                charge_limit: number(Field::ChargeLimit).into(),
                address_base: base,
                battery_type: choice(Field::BatteryType),
            }
        })
        .collect()
}

/// The fields behind the settings that can have to agree, in order of [`Setting`]'s codes.
pub(crate) const SETTINGS: [Field; 7] = [
    Field::Frequency,
    Field::AcVoltage,
    Field::ChargeVoltage,
    Field::CutOffVoltage,
    Field::GridProfile,
    Field::BatteryType,
    Field::ChargeLimit,
];
const _: () = assert!(SETTINGS.len() == Setting::WORDS.len());

/// A small number for the value of each setting: equal values, equal numbers.
fn settings_of<'v>(
    values: &[Interner<'v>; 7],
    fact: impl Fn(Field) -> Option<&'v Value>,
) -> [u8; 8] {
    let mut numbers = [0; 8];
    for ((number, field), values) in numbers.iter_mut().zip(SETTINGS).zip(values) {
        *number = small_number(values, fact(field));
    }
    numbers
}

/// At most as many numbers as there are units.
fn small_number(values: &Interner<'_>, value: Option<&Value>) -> u8 {
    u8::try_from(values.number(value)).unwrap_or(u8::MAX)
}

/// The data that are declared for a unit and that all sheets agree on.
fn declared_data(declared: &Declared, unit: usize) -> DataSet {
    let subject = Subject::Unit(unit);
    let has = |field: Field| declared.agreed(subject, field).is_some();
    let mut known: Vec<Datum> = Field::of(About::Unit)
        .filter(|field| *field != Field::AcOut && has(*field))
        .filter_map(Field::datum)
        .collect();
    let joined = |field, wanted: fn(&Conductor) -> bool| match declared.agreed(subject, field) {
        Some(Value::Conductors(conductors)) => conductors.iter().any(wanted),
        _ => false,
    };
    let is_leg: fn(&Conductor) -> bool =
        |conductor| matches!(conductor.pole, Pole::L1 | Pole::L2 | Pole::L3);
    if joined(Field::AcOut, is_leg) && joined(Field::AcOut, |one| one.pole == Pole::N) {
        known.push(Datum::AcTerminals);
    }
    if [Field::AcIn, Field::GeneratorIn].into_iter().any(|field| joined(field, is_leg)) {
        known.push(Datum::InputTerminals);
    }
    if [Field::AcOut, Field::AcIn]
        .into_iter()
        .any(|field| joined(field, |one| one.pole == Pole::Earth))
    {
        known.push(Datum::Earth);
    }
    if declared.agreed(Subject::Group, Field::Arrays).is_some() {
        known.push(Datum::SolarInputs);
    }
    DataSet::of(&known)
}

fn has_plug(cables: &[CableRecord], unit: UnitId) -> bool {
    cables
        .iter()
        .filter(|cable| cable.kind() == Some(CableKind::Terminator))
        .any(|cable| cable.ends.iter().any(|end| end.unit() == Some(unit)))
}

/// Four parts in one number, or a number of its own from [`UnitRecord::FIRST_OTHER_SERIAL`] up. A version with zeros in
/// front, such as 3.02, is its parts unless another unit has the same parts without the zeros.
fn version(value: Option<&Value>, versions: &Interner<'_>, plain: &[[u8; 4]]) -> u32 {
    let parts = match value {
        Some(Value::Version(Ok(parts))) => Some(*parts),
        Some(Value::Version(Err(name))) => plain_version(name)
            .filter(|parts| plain.iter().filter(|one| *one == parts).count() == 1),
        Some(_) => None,
        None => return 0,
    };
    match parts {
        Some(parts) if parts[0] != u8::MAX => u32::from_be_bytes(parts),
        Some(_) | None => UnitRecord::FIRST_OTHER_VERSION | u32::from(versions.number(value)),
    }
}

/// The parts of every version on the site, once for each way of writing them.
fn ways_of_writing(declared: &Declared, map: &Map) -> Vec<[u8; 4]> {
    let versions: BTreeSet<&Value> = map
        .units
        .iter()
        .filter_map(|unit| declared.agreed(Subject::Unit(*unit), Field::Firmware))
        .collect();
    let parts = |version: &Value| {
        let Value::Version(version) = version else { return None };
        version.as_ref().map_or_else(plain_version, |parts| Some(*parts))
    };
    versions.into_iter().filter_map(parts).collect()
}

/// The serial as a number, or a number of its own from [`UnitRecord::FIRST_OTHER_SERIAL`] up.
fn serial(value: Option<&Value>, serials: &Interner<'_>) -> u32 {
    let plain = match value {
        Some(Value::Name(name)) => {
            let number = name.only().and_then(|digits| digits.parse::<u32>().ok());
            number.filter(|number| *number < UnitRecord::FIRST_OTHER_SERIAL)
        }
        Some(_) => None,
        None => return 0,
    };
    plain.unwrap_or_else(|| UnitRecord::FIRST_OTHER_SERIAL | u32::from(serials.number(value)))
}
