//! Acts in the person's words.

use super::act::{Act, Dial, Seat};
use super::model::Model;
use crate::assemble::units::SETTINGS;
use crate::engine::Site;
use crate::field::Field;
use crate::tidy;
use crate::words;
use coldcheck_core::place::PortId;
use coldcheck_core::plan::{CableKind, EndKind, EndRecord, Role, Terminator, UnitRecord};

/// The person's words for acts.
pub struct Words<'w> {
    /// The site.
    pub site: &'w Site,
    /// Its records.
    pub before: &'w Model,
}

impl Words<'_> {
    fn unit(&self, unit: u8) -> &str {
        let map = &self.site.assembled.map.units;
        map.get(usize::from(unit)).map_or("?", |unit| &self.site.declared.units[*unit].name)
    }

    fn cable(&self, cable: usize) -> String {
        let map = &self.site.assembled.map.cables;
        let label = map.get(cable).map(|cable| self.site.declared.cables[*cable].label.clone());
        match label {
            Some(label) if label.to_lowercase().contains("cable") || label.contains(' ') => label,
            Some(label) => format!("cable {label}"),
            None => "the new cable".to_owned(),
        }
    }

    fn port(&self, port: u8) -> &str {
        self.site.profile.port_name(PortId(port))
    }

    fn seat(&self, seat: Seat) -> String {
        let map = &self.site.assembled.map;
        let declared = &self.site.declared;
        let index = usize::from(seat.index);
        match EndKind::from_code(seat.kind) {
            Some(EndKind::Unit) if seat.port == EndRecord::NO_PORT => {
                self.unit(seat.index).to_owned()
            }
            Some(EndKind::Unit) => {
                format!("socket {} of {}", self.port(seat.port), self.unit(seat.index))
            }
            Some(EndKind::Pack) => {
                let pack = map.packs.get(index).map(|pack| declared.packs[*pack].name.clone());
                format!("the data socket of {}", pack.unwrap_or_default())
            }
            Some(EndKind::Sensor) => {
                let sensor = map.sensors.get(index);
                sensor.map_or_else(String::new, |at| declared.sensors[*at].0.name.clone())
            }
            Some(EndKind::Device) => {
                let device = map.devices.get(index);
                device.map_or_else(String::new, |at| declared.devices[*at].0.name.clone())
            }
            Some(EndKind::Open) | None => "nowhere".to_owned(),
        }
    }

    fn sensor(&self, sensor: u8) -> String {
        self.seat(Seat::at(EndKind::Sensor, sensor))
    }

    /// An act in one sentence, on the state that it is done in.
    pub fn says(&self, act: Act, state: &Model) -> String {
        let seat_of =
            |end: EndRecord| self.seat(Seat { kind: end.kind, index: end.index, port: end.port });
        match act {
            Act::MovePlug { cable, end, to } => {
                let record = state.cables[cable];
                let (from, to) = (seat_of(record.ends[end]), self.seat(to));
                if record.kind() == Some(CableKind::Terminator) {
                    format!("move the terminator plug ({}) from {from} to {to}", self.cable(cable))
                } else {
                    format!("move the plug of {} from {from} to {to}", self.cable(cable))
                }
            }
            Act::TurnCable { cable } => {
                let [one, two] = state.cables[cable].ends;
                let turned = |end: EndRecord, port: u8| seat_of(EndRecord { port, ..end });
                format!(
                    "turn {}: its plugs go into {} and {}",
                    self.cable(cable),
                    turned(one, two.port),
                    turned(two, one.port)
                )
            }
            Act::ExchangePlugs { unit, ports: [one, two] } => format!(
                "exchange the plugs in sockets {} and {} of {}",
                self.port(one),
                self.port(two),
                self.unit(unit)
            ),
            Act::AddCable { ends: [one, two], kind } => {
                let kind = CableKind::from_code(kind).map_or("", CableKind::word);
                format!("run a new {kind} cable from {} to {}", self.seat(one), self.seat(two))
            }
            Act::RemoveCable { cable } => {
                let [one, two] = state.cables[cable].ends;
                let cable = self.cable(cable);
                format!("take out {cable}, from {} to {}", seat_of(one), seat_of(two))
            }
            Act::Unplug { cable } => {
                let own = state.cables[cable].ends.iter().find(|end| end.unit().is_some());
                let at = own.map_or_else(String::new, |end| seat_of(*end));
                format!("take the terminator plug ({}) out of {at}", self.cable(cable))
            }
            Act::ReplaceCable { cable } => {
                let wanted = state.demands().lead_wiring();
                let wiring =
                    wanted.map_or_else(String::new, |wiring| format!(" ({})", wiring.word()));
                format!("replace {} by a lead as it is demanded{wiring}", self.cable(cable))
            }
            Act::ScreenOnce { cable } => {
                format!(
                    "earth the screen of {} at one end and insulate it at the other",
                    self.cable(cable)
                )
            }
            Act::SwitchTerminator { unit, on } => {
                let has_plug = |unit: u8| {
                    state.units[usize::from(unit)].terminator() == Some(Terminator::Plug)
                };
                let unit_name = self.unit(unit);
                match (
                    on,
                    has_plug(unit),
                    state.units.iter().any(|one| one.terminator() == Some(Terminator::Plug)),
                ) {
                    (false, true, _) => format!("take the terminator plug out of {unit_name}"),
                    (false, false, _) => format!("switch the terminator of {unit_name} off"),
                    (true, _, true) => format!("plug a terminator into {unit_name}"),
                    (true, _, false) => format!("switch the terminator of {unit_name} on"),
                }
            }
            Act::MoveTerminator { from, to } => format!(
                "move the terminator from {0} to {1}: off at {0}, on at {1}",
                self.unit(from),
                self.unit(to)
            ),
            Act::Rejoin { unit, terminal, net } => {
                let words = super::conductors::words(self.before, terminal, net);
                let [side, pole, bar] = words.unwrap_or_default();
                format!("join {pole} of {} ({side}) to {bar}", self.unit(unit))
            }
            Act::Set { unit, what } => self.dial(unit, what, state),
            Act::SetPacks(count) => format!("set the number of packs to {count}"),
            Act::SetCapacity(capacity) => format!("set the capacity of the bank to {capacity} Wh"),
            Act::SetPackAddress { pack, address } => {
                let map = &self.site.assembled.map.packs;
                let pack = map.get(usize::from(pack));
                let name = pack.map_or("?", |pack| &self.site.declared.packs[*pack].name);
                format!("set the address of {name} to {address}")
            }
            Act::TurnSensor { sensor } => {
                format!("turn {} round on its conductor", self.sensor(sensor))
            }
            Act::SetRatio { sensor } => {
                format!("set the ratio of {} to that on its plate", self.sensor(sensor))
            }
            Act::SetInput { sensor } => {
                format!("put the lead of {} on the input of its own leg", self.sensor(sensor))
            }
        }
    }

    fn dial(&self, unit: u8, what: Dial, state: &Model) -> String {
        let name = self.unit(unit);
        let said = |field: Field, other: u8| {
            let map = &self.site.assembled.map.units;
            let subject = map.get(usize::from(other)).map(|at| crate::declared::Subject::Unit(*at));
            let facts =
                subject.map_or(&[][..], |subject| self.site.declared.stated(subject, field));
            let value =
                facts.first().map(|fact| tidy::values::said(&self.site.declared, field, fact));
            format!(
                "set the {} of {name} to {}, as {}",
                field.key(),
                value.unwrap_or_default(),
                self.unit(other)
            )
        };
        match what {
            Dial::Role(code) => {
                format!("set {name} as {}", Role::from_code(code).map_or("", Role::word))
            }
            Dial::Address(address) => format!("set the address of {name} to {address}"),
            Dial::Count(count) => format!("set the unit count of {name} to {count}"),
            Dial::Parallel => format!("set {name} to the mode of a group"),
            Dial::AsUnit(setting, other) => {
                let at = usize::from(setting);
                // What the other unit has by then may be what a third one has on the sheets, or new.
                let number = state.units[usize::from(other)].settings[at];
                let units = || self.before.units.iter();
                let has = |own: &UnitRecord| own.settings[at] == number;
                let same = units().nth(other.into()).is_some_and(has);
                let first = units().position(has).and_then(|at| u8::try_from(at).ok());
                match first {
                    Some(_) if same => said(SETTINGS[at], other),
                    Some(first) => said(SETTINGS[at], first),
                    None => format!(
                        "set the {} of {name} to that of {}",
                        SETTINGS[at].key(),
                        self.unit(other)
                    ),
                }
            }
            Dial::BitRateAs(other) => said(Field::BitRate, other),
            Dial::BitRate(rate) => {
                format!("set the bit rate of {name} to {}", words::bit_rate(rate))
            }
            Dial::LineFormatAs(other) => said(Field::LineFormat, other),
            Dial::ProtocolAs(pack) => {
                let packs = &self.site.assembled.map.packs;
                let pack = packs.get(usize::from(pack));
                let pack = pack.map_or("the battery", |at| &self.site.declared.packs[*at].name);
                format!("set the battery protocol of {name} to that of {pack}")
            }
            Dial::BatteryType(_) => {
                format!("set the battery type of {name} to the one that uses the battery link")
            }
        }
    }
}
