//! What acts change in the records.

use super::act::{BATTERY_TYPE, Dial};
use super::model::Model;
use coldcheck_core::plan::{CableKind, Construction, Datum, Mode, Setting, Terminal};

pub(super) fn rejoin(after: &mut Model, unit: u8, terminal: u8, net: u8) {
    after.power[usize::from(unit)].nets[usize::from(terminal)] = net;
    let earths = [Terminal::OutEarth, Terminal::InEarth].map(Terminal::position);
    if earths.contains(&usize::from(terminal)) {
        let record = &mut after.units[usize::from(unit)];
        record.declared = (record.declared.get() | 1 << Datum::Earth.bit()).into();
    }
}

/// A lead as the profile or the site wants it; of what nobody demands, nothing is known any more.
pub(super) fn replace(after: &mut Model, cable: usize) {
    let demands = *after.demands();
    let record = &mut after.cables[cable];
    let is_battery = record.kind() == Some(CableKind::Battery);
    let wiring = if is_battery { demands.battery_lead_wiring() } else { demands.lead_wiring() };
    let has = |datum: Datum| 1_u16 << (datum.bit() - Datum::FIRST_OF_CABLES);
    let mut declared = record.declared.get();
    for datum in [Datum::Construction, Datum::Wiring, Datum::Pins] {
        declared &= !has(datum);
    }
    let was_known = record.construction != 0 && !is_battery;
    (record.wiring, record.construction, record.pins) = (0, 0, 0);
    if was_known {
        record.construction = Construction::TwistedPair.code();
        declared |= has(Datum::Construction);
    }
    if let Some(wiring) = wiring {
        record.wiring = wiring.code();
        declared |= has(Datum::Wiring);
    }
    if let Some(pins) = demands.wired_pins().filter(|_| !is_battery) {
        record.pins = pins.0;
        declared |= has(Datum::Pins);
    }
    record.declared = declared.into();
}

/// The number that a battery type has among the settings that must agree: equal types, equal
/// numbers. 0 where a unit states none.
fn battery_type_among_settings(after: &Model, unit: usize, code: u8) -> u8 {
    let at = usize::from(BATTERY_TYPE);
    if after.units[unit].settings[at] == 0 {
        return 0;
    }
    let numbers = after.units.iter().map(|own| (own.battery_type, own.settings[at]));
    match numbers.clone().find(|(own, number)| *own == code && *number != 0) {
        Some((_, number)) => number,
        None => numbers.map(|(_, number)| number).fold(0, u8::max).saturating_add(1),
    }
}

pub(super) fn dial(after: &mut Model, unit: usize, what: Dial) {
    let among_settings = if let Dial::BatteryType(code) = what {
        battery_type_among_settings(after, unit, code)
    } else {
        0
    };
    let as_unit = |other: u8| after.units[usize::from(other)];
    let (other, record) = match what {
        Dial::AsUnit(_, other) | Dial::BitRateAs(other) | Dial::LineFormatAs(other) => {
            let other = as_unit(other);
            (Some(other), &mut after.units[unit])
        }
        Dial::ProtocolAs(pack) => {
            after.units[unit].protocol = after.packs[usize::from(pack)].protocol;
            return;
        }
        Dial::Role(_)
        | Dial::Address(_)
        | Dial::Count(_)
        | Dial::Parallel
        | Dial::BitRate(_)
        | Dial::BatteryType(_) => (None, &mut after.units[unit]),
    };
    let mut declares = |datum: Datum| {
        record.declared = (record.declared.get() | 1 << datum.bit()).into();
    };
    match (what, other) {
        (Dial::Role(role), _) => record.role = role,
        (Dial::Address(address), _) => {
            declares(Datum::Address);
            record.address = address.into();
            record.address_base = 0;
            // Where the address is dialled in by switches, they are set to it.
            if record.declares(Datum::Switches) {
                record.switches = address.into();
            }
        }
        (Dial::Count(count), _) => {
            declares(Datum::Count);
            record.count = count.into();
        }
        (Dial::Parallel, _) => record.mode = Mode::Parallel.code(),
        (Dial::BatteryType(code), _) => {
            record.battery_type = code;
            record.settings[usize::from(BATTERY_TYPE)] = among_settings;
        }
        (Dial::BitRate(rate), _) => record.bit_rate = rate.into(),
        (Dial::AsUnit(setting, _), Some(other)) => {
            let at = usize::from(setting);
            record.settings[at] = other.settings[at];
            // What stands in the record besides.
            if at == usize::from(BATTERY_TYPE) {
                record.battery_type = other.battery_type;
            } else if at == usize::from(Setting::ChargeLimit.code() - 1) {
                record.charge_limit = other.charge_limit;
            }
        }
        (Dial::BitRateAs(_), Some(other)) => record.bit_rate = other.bit_rate,
        (Dial::LineFormatAs(_), Some(other)) => record.line_format = other.line_format,
        (
            Dial::AsUnit(..) | Dial::BitRateAs(_) | Dial::LineFormatAs(_) | Dial::ProtocolAs(_),
            _,
        ) => {}
    }
}
