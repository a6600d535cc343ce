//! What a person does at the plant, and what it costs.

use super::cost;
use super::done::{dial, rejoin, replace};
use super::levers::Levers;
use super::model::Model;
use coldcheck_core::place::PortId;
use coldcheck_core::plan::{
    Arrow, CableKind, CableRecord, EndKind, EndRecord, Role, Screen, Setting, Terminator,
};

/// One act. Units, cables and all others are positions in the plan; a cable's end is 0 or 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Act {
    /// A plug goes into another socket. A terminator plug takes its terminator along.
    MovePlug {
        /// The cable.
        cable: usize,
        /// Which end.
        end: usize,
        /// The unit or pack that it goes to.
        to: Seat,
    },
    /// A cable is turned end for end: each plug into the kind of socket that the other had.
    TurnCable {
        /// The cable.
        cable: usize,
    },
    /// The plugs in two sockets of one unit change places.
    ExchangePlugs {
        /// The unit.
        unit: u8,
        /// The sockets.
        ports: [u8; 2],
    },
    /// A new cable.
    AddCable {
        /// Its ends.
        ends: [Seat; 2],
        /// The code of its kind.
        kind: u8,
    },
    /// A cable is taken out.
    RemoveCable {
        /// The cable.
        cable: usize,
    },
    /// A terminator plug is taken out.
    Unplug {
        /// The plug.
        cable: usize,
    },
    /// A cable is replaced by one that is wired and made as demanded.
    ReplaceCable {
        /// The cable.
        cable: usize,
    },
    /// The screen of a cable is earthed at one end only.
    ScreenOnce {
        /// The cable.
        cable: usize,
    },
    /// A terminator is switched, plugged or unplugged.
    SwitchTerminator {
        /// The unit.
        unit: u8,
        /// Whether it is on afterwards.
        on: bool,
    },
    /// A terminator goes from one unit to another: off here, on there.
    MoveTerminator {
        /// From this unit.
        from: u8,
        /// To this one.
        to: u8,
    },
    /// A conductor of the AC side goes to another bar.
    Rejoin {
        /// The unit.
        unit: u8,
        /// The terminal, by its position.
        terminal: u8,
        /// The number of the net that it is on afterwards.
        net: u8,
    },
    /// A setting of a unit is changed.
    Set {
        /// The unit.
        unit: u8,
        /// What is set.
        what: Dial,
    },
    /// The number of packs is set.
    SetPacks(u16),
    /// The capacity of the bank is set, in watt-hours.
    SetCapacity(u32),
    /// The address of a pack is set.
    SetPackAddress {
        /// The pack.
        pack: u8,
        /// The address.
        address: u16,
    },
    /// A sensor is turned round on its conductor.
    TurnSensor {
        /// The sensor.
        sensor: u8,
    },
    /// The ratio that a sensor is set to becomes that of the sensor.
    SetRatio {
        /// The sensor.
        sensor: u8,
    },
    /// A sensor is assigned to the input of its own leg.
    SetInput {
        /// The sensor.
        sensor: u8,
    },
}

/// Where a plug can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Seat {
    /// The code of what it is at.
    pub kind: u8,
    /// Which one.
    pub index: u8,
    /// The socket.
    pub port: u8,
}

/// A setting of a unit with its new value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dial {
    /// The role, by its code.
    Role(u8),
    /// The address.
    Address(u16),
    /// The unit count.
    Count(u16),
    /// The mode of a group.
    Parallel,
    /// A setting that must be alike, by position, as this unit has it.
    AsUnit(u8, u8),
    /// The bit rate, as this unit has it.
    BitRateAs(u8),
    /// The bit rate that the link has.
    BitRate(u32),
    /// The line format, as this unit has it.
    LineFormatAs(u8),
    /// The protocol, as this pack has it.
    ProtocolAs(u8),
    /// The battery type, by its code.
    BatteryType(u8),
}

/// The position of the battery type among the settings that can have to agree.
pub(super) const BATTERY_TYPE: u8 = Setting::BatteryType.code() - 1;

const BATTERY_TYPES: Levers = Levers::ALIKE.or(Levers::BATTERY_TYPE);

/// The row of a setting.
const fn setting(lever: Levers) -> (&'static str, u32, Levers) {
    ("change-setting", cost::SETTING, lever)
}

impl Dial {
    const fn lever(self) -> Levers {
        match self {
            Self::Role(_) => Levers::ROLE,
            Self::Address(_) => Levers::ADDRESS,
            Self::Count(_) => Levers::COUNT,
            Self::Parallel => Levers::MODE,
            // It is both a setting that must be alike and where the battery's state comes from.
            Self::AsUnit(setting, _) if setting == BATTERY_TYPE => BATTERY_TYPES,
            Self::AsUnit(..) => Levers::ALIKE,
            Self::BitRateAs(_) | Self::BitRate(_) => Levers::BIT_RATE,
            Self::LineFormatAs(_) => Levers::LINE_FORMAT,
            Self::ProtocolAs(_) => Levers::PROTOCOL,
            Self::BatteryType(_) => BATTERY_TYPES,
        }
    }
}

impl Seat {
    /// A unit's socket.
    pub const fn unit(unit: u8, port: PortId) -> Self {
        Self { kind: EndKind::Unit.code(), index: unit, port: port.0 }
    }

    /// A thing without sockets, or of which no socket is said.
    pub const fn at(kind: EndKind, index: u8) -> Self {
        Self { kind: kind.code(), index, port: EndRecord::NO_PORT }
    }

    const fn end(self) -> EndRecord {
        EndRecord { kind: self.kind, index: self.index, port: self.port }
    }
}

impl Act {
    /// Its word in JSON, what it costs, and of which levers it is one.
    const fn row(self) -> (&'static str, u32, Levers) {
        const TERMINATORS: Levers = Levers::TERMINATORS.or(Levers::TERMINATOR_PLUGS);
        const PLUGS: Levers = Levers::PLUGS.or(Levers::EXCHANGE);
        match self {
            Self::MovePlug { .. } => ("move-plug", cost::MOVE, PLUGS),
            Self::TurnCable { .. } => ("turn-cable", cost::EXCHANGE, PLUGS),
            Self::ExchangePlugs { .. } => ("exchange-plugs", cost::EXCHANGE, PLUGS),
            Self::AddCable { .. } => ("add-cable", cost::ADD, PLUGS),
            Self::RemoveCable { .. } => ("remove-cable", cost::REMOVE, PLUGS),
            Self::ReplaceCable { .. } => ("replace-cable", cost::REPLACE, Levers::REPLACE),
            Self::ScreenOnce { .. } => ("earth-screen-once", cost::MOVE, Levers::SCREEN),
            Self::Rejoin { .. } => ("rejoin-conductor", cost::REJOIN, Levers::CONDUCTORS),
            Self::SwitchTerminator { .. } | Self::Unplug { .. } => {
                ("switch-terminator", cost::SETTING, TERMINATORS)
            }
            Self::MoveTerminator { .. } => ("move-terminator", cost::MOVE, TERMINATORS),
            Self::TurnSensor { .. } => ("turn-sensor", cost::MOVE, Levers::ARROW),
            Self::SetInput { .. } => ("exchange-sensor-input", cost::MOVE, Levers::INPUT),
            Self::Set { what, .. } => setting(what.lever()),
            Self::SetPacks(_) => setting(Levers::PACKS),
            Self::SetCapacity(_) => setting(Levers::CAPACITY),
            Self::SetPackAddress { .. } => setting(Levers::PACK_ADDRESS),
            Self::SetRatio { .. } => setting(Levers::RATIO),
        }
    }

    /// What it costs.
    pub const fn cost(self) -> u32 {
        self.row().1
    }

    /// Its word in JSON.
    pub const fn word(self) -> &'static str {
        self.row().0
    }

    /// The ends of a new cable.
    pub(super) const fn new_cable(self) -> Option<[Seat; 2]> {
        if let Self::AddCable { ends, .. } = self { Some(ends) } else { None }
    }

    /// The levers of which it is one.
    pub(super) const fn levers(self) -> Levers {
        self.row().2
    }

    /// The site after it.
    pub fn done(self, model: &Model) -> Model {
        let mut after = model.clone();
        match self {
            Self::MovePlug { cable, end, to } => move_plug(&mut after, cable, end, to),
            Self::TurnCable { cable } => {
                let [one, two] = &mut after.cables[cable].ends;
                std::mem::swap(&mut one.port, &mut two.port);
            }
            Self::ExchangePlugs { unit, ports } => {
                let at = ports.map(|port| model.plugs_in(unit, PortId(port)).collect::<Vec<_>>());
                for (plugs, port) in at.iter().zip([ports[1], ports[0]]) {
                    for (cable, end) in plugs {
                        after.cables[*cable].ends[*end].port = port;
                    }
                }
            }
            Self::AddCable { ends, kind } => {
                let ends = ends.map(Seat::end);
                after.cables.push(CableRecord { ends, kind, ..CableRecord::default() });
                after.is_out.push(false);
            }
            Self::RemoveCable { cable } => after.is_out[cable] = true,
            Self::Unplug { cable } => {
                after.is_out[cable] = true;
                for end in model.cables[cable].ends {
                    unplugged(&mut after, end);
                }
            }
            Self::ReplaceCable { cable } => replace(&mut after, cable),
            Self::ScreenOnce { cable } => after.cables[cable].screen = Screen::OneEnd.code(),
            Self::SwitchTerminator { unit, on } => switch(&mut after, unit, on),
            Self::MoveTerminator { from, to } => {
                let word = model.units[usize::from(from)].terminator;
                switch(&mut after, from, false);
                after.units[usize::from(to)].terminator = word;
            }
            Self::Rejoin { unit, terminal, net } => rejoin(&mut after, unit, terminal, net),
            Self::Set { unit, what } => dial(&mut after, usize::from(unit), what),
            Self::SetPacks(count) => after.group.packs_set = count.into(),
            Self::SetCapacity(capacity) => after.group.capacity_set = capacity.into(),
            Self::SetPackAddress { pack, address } => {
                after.packs[usize::from(pack)].address = address.into();
                after.packs[usize::from(pack)].has_address = 1;
            }
            Self::TurnSensor { sensor } => {
                let sensor = &mut after.sensors[usize::from(sensor)];
                let is_house = sensor.arrow() == Some(Arrow::House);
                sensor.arrow = if is_house { Arrow::Street } else { Arrow::House }.code();
            }
            Self::SetRatio { sensor } => {
                let sensor = &mut after.sensors[usize::from(sensor)];
                sensor.ratio_set = sensor.ratio_fitted;
            }
            Self::SetInput { sensor } => {
                let sensor = &mut after.sensors[usize::from(sensor)];
                sensor.input = sensor.leg;
            }
        }
        after
    }
}

fn move_plug(after: &mut Model, cable: usize, end: usize, to: Seat) {
    let from = after.cables[cable].ends[end];
    after.cables[cable].ends[end] = to.end();
    if after.cables[cable].kind() == Some(CableKind::Terminator) && from.unit() != to.end().unit() {
        unplugged(after, from);
        if let Some(unit) = after.units.get_mut(usize::from(to.index)) {
            unit.terminator = Terminator::Plug.code();
        }
    }
}

/// A terminator plug went: the unit has none in a socket.
fn unplugged(after: &mut Model, from: EndRecord) {
    let Some(unit) = from.unit().and_then(|unit| after.units.get_mut(unit.index())) else { return };
    if unit.terminator() == Some(Terminator::Plug) {
        unit.terminator = Terminator::Off.code();
    }
}

fn switch(after: &mut Model, unit: u8, on: bool) {
    // Where others are plugged, a plug it is.
    let is_plug =
        |one: &coldcheck_core::plan::UnitRecord| one.terminator() == Some(Terminator::Plug);
    let word = if !on {
        Terminator::Off
    } else if after.units.iter().any(is_plug) {
        Terminator::Plug
    } else {
        Terminator::On
    };
    after.units[usize::from(unit)].terminator = word.code();
}

/// The other role's code.
pub const fn role_code(leads: bool) -> u8 {
    if leads { Role::Coordinator.code() } else { Role::Follower.code() }
}
