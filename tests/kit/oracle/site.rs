//! A site as the oracle knows it: plain lists, and the same site as a line of JSON.

use serde_json::{Map, Value, json};

/// Shape that is demanded of the link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// Open, with two ends.
    Line,
    /// Closed.
    Ring,
}

/// Which link sockets may meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pairing {
    /// Any two.
    Either,
    /// Two different ones.
    Across,
    /// Two of one name.
    Alike,
}

/// Which units lead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leaders {
    /// One for the group; it owns battery link and sensors.
    One,
    /// One a phase: that of L1 owns the battery link, each owns its phase's sensors.
    OneEachPhase,
}

/// Everything that is demanded; `None` is not demanded.
#[derive(Clone, Copy, Debug)]
#[allow(clippy::struct_excessive_bools, reason = "each is a demand of its own, made or not")]
pub struct Demands {
    /// Shape of the link.
    pub shape: Shape,
    /// Whether terminators belong at both ends (else nowhere).
    pub terminated: bool,
    /// Which link sockets may meet.
    pub pairing: Option<Pairing>,
    /// Lowest and highest address.
    pub address_range: Option<(u16, u16)>,
    /// Whether addresses must follow each other.
    pub contiguous: bool,
    /// The address of the coordinator.
    pub coordinator_address: Option<u16>,
    /// Whether the coordinator must sit at an end of the line.
    pub coordinator_at_end: bool,
    /// Who leads.
    pub leaders: Leaders,
    /// Whether only coordinators carry the unit count.
    pub count_at_coordinator: bool,
    /// Most units.
    pub max_units: Option<usize>,
    /// Whether every unit has a battery link of its own.
    pub battery_link_each: bool,
}

/// A unit's terminator.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Terminator {
    /// Off or not fitted.
    Off,
    /// On.
    On,
    /// Always on.
    BuiltIn,
    /// On where its unit is an end.
    Automatic,
}

/// A unit. Its name is its position plus one.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// Whether it leads.
    pub leads: bool,
    /// Its address; `None` says that it was given none.
    pub address: Option<u16>,
    /// The unit count that it is set to.
    pub count: u16,
    /// Its terminator.
    pub terminator: Terminator,
    /// Serial number.
    pub serial: Option<u32>,
    /// Phase, from 1, where each has its own coordinator.
    pub phase: u8,
}

/// A socket, by the names that profile `plain` gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Socket {
    /// First link socket.
    A,
    /// Second link socket.
    B,
    /// Battery data.
    Battery,
    /// Sensor leads.
    Sensor,
    /// Energy meter.
    Meter,
    /// Logger or computer.
    Service,
}

impl Socket {
    /// Its name on a sheet.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
            Self::Battery => "battery",
            Self::Sensor => "CT",
            Self::Meter => "meter",
            Self::Service => "service",
        }
    }

    /// Whether it is made for the link.
    pub const fn is_link(self) -> bool {
        matches!(self, Self::A | Self::B)
    }
}

/// What an end of a cable is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// A unit, and the socket if it was written down.
    Unit(usize, Option<Socket>),
    /// A box that joins cables.
    Splitter(usize),
    /// A gateway that listens, without a terminator.
    Gateway(usize),
    /// A battery pack.
    Pack(usize),
    /// The current transformer on this leg, from 1.
    Sensor(u8),
}

/// What a cable is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The shared pair.
    Link,
    /// Battery data.
    Battery,
    /// A sensor's lead.
    Sensor,
}

/// A cable. Its label is `C` and its position plus one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cable {
    /// Its ends.
    pub ends: [End; 2],
    /// What it is for.
    pub kind: Kind,
}

impl Cable {
    /// The ends that are at a unit.
    pub fn unit_ends(&self) -> impl Iterator<Item = (usize, Option<Socket>)> {
        self.ends.into_iter().filter_map(|end| match end {
            End::Unit(unit, socket) => Some((unit, socket)),
            End::Splitter(_) | End::Gateway(_) | End::Pack(_) | End::Sensor(_) => None,
        })
    }
}

/// A site.
#[derive(Clone, Debug)]
pub struct Site {
    /// What is demanded.
    pub demands: Demands,
    /// The units.
    pub units: Vec<Unit>,
    /// The cables.
    pub cables: Vec<Cable>,
}

/// Name of a unit on a sheet.
pub fn unit_name(unit: usize) -> String {
    format!("unit {}", unit + 1)
}

/// Label of a cable on a sheet. All have two digits, so that they keep their order.
pub fn cable_label(cable: usize) -> String {
    format!("C{:02}", cable + 1)
}

impl Site {
    /// The site as a site file in JSON, every demand that matters stated.
    pub fn json(&self) -> Value {
        let units: Vec<Value> = self.units.iter().enumerate().map(|u| self.unit(u)).collect();
        let cables: Vec<Value> = self.cables.iter().enumerate().map(cable).collect();
        json!({
            "profile": "plain",
            "scope": "communication",
            "demands": self.demands.json(),
            "unit": units,
            "device": self.devices(),
            "cable": cables,
        })
    }

    /// Cables with their positions, without those that stand in the list a second time: both plugs
    /// in the same sockets as those of one before.
    pub fn single_cables(&self) -> impl Iterator<Item = (usize, &Cable)> {
        let known = |cable: &Cable| cable.unit_ends().all(|(_, socket)| socket.is_some());
        self.cables.iter().enumerate().filter(move |(index, cable)| {
            let [a, b] = cable.ends;
            let same = |other: &Cable| other.ends == [a, b] || other.ends == [b, a];
            !(known(cable) && self.cables.iter().take(*index).any(same))
        })
    }

    /// Splitters and gateways, none with a terminator.
    fn devices(&self) -> Vec<Value> {
        let mut names: Vec<String> = Vec::new();
        for end in self.cables.iter().flat_map(|cable| cable.ends) {
            let name = end_name(end);
            if matches!(end, End::Splitter(_) | End::Gateway(_)) && !names.contains(&name) {
                names.push(name);
            }
        }
        let device = |name| json!({ "name": name, "terminator": "off", "asks": "no" });
        names.into_iter().map(device).collect()
    }

    fn unit(&self, (index, unit): (usize, &Unit)) -> Value {
        let terminator = match unit.terminator {
            Terminator::Off => "off",
            Terminator::On => "on",
            Terminator::BuiltIn => "built in",
            Terminator::Automatic => "automatic",
        };
        let mut out = json!({
            "name": unit_name(index),
            "role": if unit.leads { "coordinator" } else { "follower" },
            "address": unit.address.map_or(json!("not set"), |address| json!(address)),
            "count": unit.count,
            "terminator": terminator,
        });
        if let Some(serial) = unit.serial {
            out["serial"] = json!(serial.to_string());
        }
        if self.demands.leaders == Leaders::OneEachPhase {
            out["phase"] = json!(format!("L{}", unit.phase));
        }
        out
    }
}

impl Demands {
    fn json(&self) -> Value {
        let by_phase = self.leaders == Leaders::OneEachPhase;
        let mut out = Map::new();
        let mut say = |key: &str, value: Value| {
            out.insert(key.to_owned(), value);
        };
        say("link shape", json!(if self.shape == Shape::Line { "line" } else { "ring" }));
        say("terminators at", json!(if self.terminated { "both ends" } else { "nowhere" }));
        say("coordinators", json!(if by_phase { "one a phase" } else { "one" }));
        let count_on = if self.count_at_coordinator { "coordinator" } else { "all units" };
        say("unit count set on", json!(count_on));
        let battery_at = match (self.battery_link_each, by_phase) {
            (true, _) => "each unit",
            (false, true) => "coordinator of L1",
            (false, false) => "coordinator",
        };
        say("battery link at", json!(battery_at));
        let sensors_at = if by_phase { "coordinator of the phase" } else { "coordinator" };
        say("sensors at", json!(sensors_at));
        if self.contiguous {
            say("addresses without gaps", json!("yes"));
        }
        if self.coordinator_at_end {
            say("coordinator place", json!("end of line"));
        }
        if let Some(pairing) = self.pairing {
            let words = match pairing {
                Pairing::Either => "either",
                Pairing::Across => "A to B",
                Pairing::Alike => "A to A",
            };
            say("sockets", json!(words));
        }
        if let Some((low, high)) = self.address_range {
            say("address range", json!(format!("{low}-{high}")));
        }
        if let Some(address) = self.coordinator_address {
            say("coordinator address", json!(address));
        }
        if let Some(units) = self.max_units {
            say("max units", json!(units));
        }
        Value::Object(out)
    }
}

fn end_name(end: End) -> String {
    match end {
        End::Unit(unit, _) => unit_name(unit),
        End::Splitter(number) => format!("splitter {}", number + 1),
        End::Gateway(number) => format!("gateway {}", number + 1),
        End::Pack(number) => format!("pack {}", number + 1),
        End::Sensor(leg) => format!("CT L{leg}"),
    }
}

fn cable((index, cable): (usize, &Cable)) -> Value {
    let kind = match cable.kind {
        Kind::Link => "link",
        Kind::Battery => "battery",
        Kind::Sensor => "sensor",
    };
    let mut out = json!({ "label": cable_label(index), "kind": kind });
    for (end, (place, port)) in cable.ends.iter().zip([("from", "from_port"), ("to", "to_port")]) {
        out[place] = json!(end_name(*end));
        if let End::Unit(_, Some(socket)) = end {
            out[port] = json!(socket.name());
        }
    }
    out
}
