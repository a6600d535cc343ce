//! How a right group is fitted: every fact that a rule looks at, and nothing wrong.

use super::group::{Group, Layout, Thing, unit_name};
use crate::field::Field;
use crate::profile;
use crate::site_file::List;
use coldcheck_core::plan::{AddressRange, Demand, Leg, PortClass, Role, Terminator};
use std::sync::Arc;

/// What every group of the library is fitted with.
const PACKS: u16 = 2;

impl Group {
    /// Builds a right group; `None` if the profile has no such group.
    pub fn build(layout: Layout) -> Option<Self> {
        let profile = profile::parse(layout.profile, profile::builtin(layout.profile)?).ok()?;
        let mut group = Self {
            layout,
            profile: Arc::new(profile),
            lines: Vec::new(),
            things: Vec::new(),
            retouches: Vec::new(),
            photographed: None,
            sized: false,
        };
        let count = group.layout.order.len();
        let fewest: u32 = group.demanded(Demand::UnitsMin).unwrap_or(2);
        let range: AddressRange =
            group.demanded(Demand::AddressRange).unwrap_or(AddressRange { low: 1, high: 32 });
        let fits = u32::try_from(count).is_ok_and(|count| count >= fewest)
            && group.layout.order.iter().all(|unit| (range.low..=range.high).contains(unit))
            && group.layout.coordinator < count
            && group.is_ring() == (group.layout.terminator == Terminator::Off);
        if !fits {
            return None;
        }
        group.add_lines();
        group.add_units();
        group.add_link();
        group.add_battery();
        group.add_sensors();
        group.add_meter();
        Some(group)
    }

    /// Demands that the profile leaves open, and facts about the group.
    fn add_lines(&mut self) {
        let count = self.layout.order.len();
        let leader_is_end = self.ends().contains(&self.owner());
        for (demand, value) in [
            (Demand::Medium, "can"),
            (Demand::BitRate, "500 kbit/s"),
            (Demand::Pairing, "A to B"),
            (Demand::UnitsMax, "32"),
            (Demand::MaxStub, "2 m"),
            (Demand::TerminatorOhms, "120 ohm"),
            (Demand::AddressRange, "1-32"),
            (Demand::AddressesContiguous, "yes"),
            (Demand::LeadWiring, "straight"),
            (Demand::BatteryLeadWiring, "special"),
            (Demand::PairPins, "1 and 2"),
            (Demand::WiredPins, "1, 2, 3"),
            (Demand::CommonPin, "3"),
            (Demand::ModelAlike, "yes"),
            (Demand::ChargeLimitFor, "bank"),
            (Demand::Sensors, "2"),
            (Demand::ArrowTowards, "house"),
        ] {
            if !self.profile.demands.contains_key(&demand) {
                self.set_line(demand.key(), value);
            }
        }
        if leader_is_end && !self.has_phases() {
            self.set_line(Demand::CoordinatorPlace.key(), "end of line");
        }
        let arrays: Vec<_> =
            (1..=count).map(|unit| format!("roof {unit} -> unit {unit}")).collect();
        for (field, value) in [
            (Field::Profile, self.layout.profile),
            (Field::Site, "Proof"),
            (Field::PacksFitted, &PACKS.to_string()),
            (Field::PacksSet, &PACKS.to_string()),
            (Field::LeadPack, "1"),
            (Field::CapacitySet, "10 kWh"),
            (Field::SupplyBreaker, "63 A"),
            (Field::Bonds, RIGHT_BOND),
            (Field::ChangeoverNeutral, "yes"),
            (Field::Arrays, &arrays.join("; ")),
        ] {
            self.set_line(field.key(), value);
        }
    }

    fn add_units(&mut self) {
        let bit_rate = self.stated(Demand::BitRate);
        let [frequency, _] = self.frequencies();
        let count = self.layout.order.len().to_string();
        for unit in 1..=u16::try_from(self.layout.order.len()).unwrap_or(u16::MAX) {
            let phase = self.phase(unit);
            let terminates = self.ends().contains(&unit);
            let all_alike = self.layout.terminator == Terminator::Automatic && !self.is_ring();
            let terminator =
                if terminates || all_alike { self.layout.terminator } else { Terminator::Off };
            let role = if self.leads(unit) { Role::Coordinator } else { Role::Follower };
            let output = phase.map_or_else(|| RIGHT_OUTPUT.to_owned(), output_of_leg);
            let input = input_from(phase, "supply");
            let mut thing = Thing::new(List::Unit, unit_name(unit), &[]);
            for (field, value) in [
                (Field::Role, role.word()),
                (Field::Address, &unit.to_string()),
                (Field::Count, &count),
                (Field::Terminator, terminator.word()),
                (Field::Firmware, "2.14"),
                (Field::Bank, "A"),
                (Field::Model, "six"),
                (Field::Serial, &(7000 + unit).to_string()),
                (Field::Switches, &switches(unit)),
                (Field::Mode, "parallel"),
                (Field::BitRate, &bit_rate),
                (Field::LineFormat, "19200 8N1"),
                (Field::Frequency, frequency),
                (Field::ChargeVoltage, "56.4 V"),
                (Field::ChargeLimit, "80 A"),
                (Field::BatteryType, "data link"),
                (Field::Protocol, "frame set 2"),
                (Field::AcOut, &output),
                (Field::AcIn, &input),
            ] {
                thing.set(field.key(), value);
            }
            if terminates {
                thing.set(Field::TerminatorOhms.key(), "120 ohm");
            }
            if let Some(leg) = phase {
                thing.set(Field::Phase.key(), leg.word());
            }
            self.things.push(thing);
        }
    }

    /// What the profile demands, else what the group states.
    fn stated(&self, demand: Demand) -> String {
        let by_profile = self.profile.demands.get(&demand).map(|demanded| demanded.text.clone());
        by_profile.or_else(|| self.line(demand.key()).map(str::to_owned)).unwrap_or_default()
    }

    /// The phase that a unit makes, where each phase has its own set: the owner of the battery
    /// link makes L1, the others follow along the link.
    pub fn phase(&self, unit: u16) -> Option<Leg> {
        const LEGS: [Leg; 3] = [Leg::L1, Leg::L2, Leg::L3];
        if !self.has_phases() {
            return None;
        }
        let count = self.layout.order.len();
        let at = self.layout.order.iter().position(|other| *other == unit)?;
        LEGS.get((at + count - self.layout.coordinator) % count % LEGS.len()).copied()
    }

    fn leads(&self, unit: u16) -> bool {
        let Some(leg) = self.phase(unit) else { return unit == self.owner() };
        self.leader_of(leg) == Some(unit)
    }

    /// The coordinator of a phase: the first one of it behind the owner of the battery link.
    pub fn leader_of(&self, leg: Leg) -> Option<u16> {
        let from_owner = self.layout.order.iter().cycle().skip(self.layout.coordinator);
        from_owner
            .take(self.layout.order.len())
            .copied()
            .find(|unit| self.phase(*unit) == Some(leg))
    }

    fn add_link(&mut self) {
        let [onward, back] = self.link_sockets();
        let order = self.layout.order.clone();
        let next = order.iter().skip(1).chain(order.iter().take(usize::from(self.is_ring())));
        for (index, (from, to)) in order.iter().zip(next).enumerate() {
            self.things.push(Thing::new(
                List::Cable,
                format!("C{}", index + 1),
                &[
                    ("from", &unit_name(*from)),
                    ("from_port", &onward),
                    ("to", &unit_name(*to)),
                    ("to_port", &back),
                    ("kind", "link"),
                    ("length", &format!("{}.5 m", index % 3 + 1)),
                    (Field::Construction.key(), "twisted pair"),
                    (Field::Wiring.key(), "straight"),
                    (Field::Pins.key(), "1, 2, 3"),
                    (Field::Screen.key(), "one end"),
                ],
            ));
        }
        if self.layout.terminator == Terminator::Plug {
            for (number, unit) in (1..).zip(self.ends()) {
                let socket = self.free_socket(unit).unwrap_or_default();
                self.things.push(plug(number, unit, &socket));
            }
        }
    }

    fn add_battery(&mut self) {
        for number in 1..=PACKS {
            self.things.push(Thing::new(
                List::Pack,
                format!("pack {number}"),
                &[
                    (Field::PackAddress.key(), &number.to_string()),
                    (Field::PackProtocol.key(), "frame set 2"),
                    (Field::PackChargeLimit.key(), "50 A"),
                    (Field::PackCapacity.key(), "5 kWh"),
                ],
            ));
        }
        self.things.push(Thing::new(
            List::Cable,
            "P1",
            &[("from", "pack 1"), ("to", "pack 2"), ("kind", "pack link")],
        ));
        let socket = self.sockets(PortClass::Battery).concat();
        self.things.push(Thing::new(
            List::Cable,
            "B1",
            &[
                ("from", "pack 1"),
                ("to", &unit_name(self.owner())),
                ("to_port", &socket),
                ("kind", "battery"),
                (Field::Wiring.key(), "special"),
            ],
        ));
    }

    /// Legs with a sensor.
    pub fn sensor_legs(&self) -> Vec<Leg> {
        let all = [Leg::L1, Leg::L2, Leg::L3];
        all.into_iter().take(if self.has_phases() { 3 } else { 2 }).collect()
    }

    fn add_sensors(&mut self) {
        let socket = self.sockets(PortClass::Sensor).concat();
        for (number, leg) in (1..).zip(self.sensor_legs()) {
            let owner = self.leader_of(leg).filter(|_| self.has_phases()).unwrap_or(self.owner());
            let name = format!("CT {}", leg.word());
            self.things.push(Thing::new(
                List::Sensor,
                name.as_str(),
                &[
                    (Field::Arrow.key(), "house"),
                    (Field::SensorInput.key(), leg.word()),
                    (Field::VoltageReference.key(), leg.word()),
                    (Field::SensorPlace.key(), "supply side"),
                    (Field::RatioFitted.key(), RIGHT_RATIO),
                    (Field::RatioSet.key(), RIGHT_RATIO),
                    (Field::SensorRating.key(), "100 A"),
                ],
            ));
            self.things.push(Thing::new(
                List::Cable,
                format!("S{number}"),
                &[
                    ("from", &name),
                    ("to", &unit_name(owner)),
                    ("to_port", &socket),
                    ("kind", "sensor"),
                ],
            ));
        }
    }

    /// An energy meter, where units have a socket for one.
    fn add_meter(&mut self) {
        let Some(socket) = self.sockets(PortClass::Meter).first().cloned() else { return };
        self.set_line(Field::MeterAddressSet.key(), "5");
        let facts = [(Field::DeviceAddress.key(), "5"), (Field::DeviceAsks.key(), "no")];
        self.things.push(Thing::new(List::Device, "meter", &facts));
        self.things.push(Thing::new(
            List::Cable,
            "M1",
            &[
                ("from", "meter"),
                ("to", &unit_name(self.owner())),
                ("to_port", &socket),
                ("kind", "meter"),
            ],
        ));
    }
}

/// Output of a unit as it is joined in every right group without phases.
pub(super) const RIGHT_OUTPUT: &str = "L1->bar L1; L2->bar L2; N->bar N; PE->earth bar";

/// Output of a unit that makes one leg.
pub(super) fn output_of_leg(leg: Leg) -> String {
    format!("L->bar {}; N->bar N; PE->earth bar", leg.word())
}

/// Inputs of a unit from a source, of one leg or of two.
pub(super) fn input_from(phase: Option<Leg>, source: &str) -> String {
    let legs = phase.map_or_else(|| vec![Leg::L1, Leg::L2], |leg| vec![leg]);
    let terminal = |leg: &Leg| if phase.is_some() { "L" } else { leg.word() };
    let ends = legs.iter().map(|leg| format!("{}->{source} {}; ", terminal(leg), leg.word()));
    format!("{}N->{source} N; PE->earth bar", ends.collect::<String>())
}

/// Where neutral and earth are joined in every right group.
const RIGHT_BOND: &str = "main board (fixed, behind the changeover); generator frame (open)";

/// The ratio of every sensor, in part and setting, whose secondary nobody states.
pub(super) const RIGHT_RATIO: &str = "2000:1";

/// A terminator plug in a socket.
pub(super) fn plug(number: u16, unit: u16, socket: &str) -> Thing {
    let facts = [("from", &*unit_name(unit)), ("from_port", socket), ("kind", "terminator")];
    Thing::new(List::Cable, format!("T{number}"), &facts)
}

/// How many address switches a unit has.
pub(super) const SWITCHES: u32 = 6;

/// The switches that give an address, the first one counting one.
pub(super) fn switches(address: u16) -> String {
    (0..SWITCHES).map(|bit| if address >> bit & 1 == 0 { '0' } else { '1' }).collect()
}
