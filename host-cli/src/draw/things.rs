//! What stands in each box: name, facts, sockets with the cables in them, and marks.

use super::marks::{Mark, Marks};
use super::order::{Node, is_plug};
use crate::declared::{Declared, End, Fact, Subject};
use crate::engine::Site;
use crate::field::Field;
use crate::phrase::counted;
use crate::tidy::values::said;
use crate::words;
use coldcheck_core::place::Place;
use coldcheck_core::place::{CableId, DeviceId, PackId, PortId, SensorId, UnitId};
use coldcheck_core::plan::{CableKind, Demand, PortClass, Terminator};
use std::collections::BTreeMap;

/// A cable's end in a socket: the declared cable and which of its two ends.
pub(super) type CableEnd = (usize, usize);

/// One cable in a socket.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    /// Which.
    pub(super) end: CableEnd,
    /// What stands on it, beside the socket.
    pub(super) label: String,
    /// Whether it is a plug, which goes nowhere else, and then whether it ends the link: it sits in a
    /// link socket that no cable needs.
    pub(super) plug: Option<bool>,
    /// Its place in the plan.
    pub(super) place: Option<Place>,
    /// Its marks, at the end that comes first.
    pub(super) marks: Vec<Mark>,
}

/// A socket with what is in it.
#[derive(Clone, Debug)]
pub(super) struct Socket {
    /// Its place in the plan, if it is a named one of a unit.
    pub(super) place: Option<Place>,
    /// Its name; empty where there is none.
    pub(super) name: String,
    /// Its marks.
    pub(super) marks: Vec<Mark>,
    /// Cables in it.
    pub(super) entries: Vec<Entry>,
}

/// The terminator of a unit or device.
#[derive(Clone, Debug)]
pub(super) struct Ending {
    /// What is said of it.
    pub(super) says: String,
    /// Whether it is on, if anybody says.
    pub(super) is_on: Option<bool>,
    /// Its place in the plan.
    pub(super) place: Option<Place>,
    /// Its marks.
    pub(super) marks: Vec<Mark>,
}

/// A box.
#[derive(Clone, Debug)]
pub(super) struct Thing {
    /// What for.
    pub(super) node: Node,
    /// Its place in the plan.
    pub(super) place: Option<Place>,
    /// Its name.
    pub(super) name: String,
    /// What it is or does, in a word.
    pub(super) role: String,
    /// Whether that is to be seen from afar.
    pub(super) leads: bool,
    /// Its marks.
    pub(super) marks: Vec<Mark>,
    /// What is set or fitted.
    pub(super) facts: Vec<String>,
    /// Where its arrow points, if it is a sensor.
    pub(super) arrow: Option<String>,
    /// Its terminator.
    pub(super) ending: Option<Ending>,
    /// Its sockets with something in them, or marked.
    pub(super) sockets: Vec<Socket>,
    /// Names of its other sockets.
    pub(super) free: Vec<String>,
}

/// Facts of a unit beside role and terminator, each behind its word.
const OF_UNITS: &[Field] = &[
    Field::Address,
    Field::Count,
    Field::Firmware,
    Field::Phase,
    Field::Mode,
    Field::Model,
    Field::BitRate,
    Field::Protocol,
    Field::BatteryType,
    Field::ChargeLimit,
    Field::Switches,
];
const OF_PACKS: &[Field] =
    &[Field::PackAddress, Field::PackCapacity, Field::PackProtocol, Field::PackChargeLimit];
const OF_SENSORS: &[Field] = &[
    Field::RatioFitted,
    Field::RatioSet,
    Field::SensorInput,
    Field::SensorPlace,
    Field::SensorRating,
    Field::VoltageReference,
];
const OF_DEVICES: &[Field] = &[Field::DeviceAddress, Field::DeviceAsks];
const OF_GROUP: &[Field] = &[
    Field::PacksFitted,
    Field::PacksSet,
    Field::LeadPack,
    Field::CapacitySet,
    Field::MeterAddressSet,
    Field::SupplyBreaker,
];

/// Makes boxes.
pub(super) struct Maker<'s> {
    /// The site.
    pub(super) site: &'s Site,
    /// The marks.
    pub(super) marks: &'s Marks,
}

/// What the sheets say of one thing; all of it, where they contradict each other.
pub(super) fn stated(declared: &Declared, subject: Subject, field: Field) -> Option<String> {
    let facts = declared.stated(subject, field);
    let values: Vec<_> = facts.iter().map(|fact| said(declared, field, fact)).collect();
    (!values.is_empty()).then(|| values.join(" or "))
}

fn id(order: &[usize], declared: usize) -> Option<u8> {
    crate::assemble::position_of(order, declared)
}

impl Maker<'_> {
    fn declared(&self) -> &Declared {
        &self.site.declared
    }

    fn facts(&self, subject: Subject, fields: &[Field]) -> Vec<String> {
        let fact = |field: &Field| {
            let value = stated(self.declared(), subject, *field)?;
            Some(format!("{} {value}", field.key()))
        };
        fields.iter().filter_map(fact).collect()
    }

    fn marks_at(&self, place: Option<Place>) -> Vec<Mark> {
        place.map_or_else(Vec::new, |place| self.marks.at(place).to_vec())
    }

    /// The box above all others: what is said of the whole group.
    pub(super) fn group(&self) -> Thing {
        let declared = self.declared();
        let mut facts = vec![counted(declared.units.len(), "unit")];
        facts.extend(self.shape());
        facts.extend(self.facts(Subject::Group, OF_GROUP));
        Thing {
            node: Node::Unit(usize::MAX),
            place: Some(Place::Group),
            name: "The group".to_owned(),
            role: String::new(),
            leads: false,
            marks: self.marks_at(Some(Place::Group)),
            facts,
            arrow: None,
            ending: None,
            sockets: Vec::new(),
            free: Vec::new(),
        }
    }

    /// The shape that the site states for the link; else the one that the profile demands, and that
    /// it is only demanded.
    fn shape(&self) -> Option<String> {
        let (declared, profile) = (self.declared(), &self.site.profile);
        let key = Demand::LinkShape.key();
        let own = declared.demands().find(|(demand, _)| *demand == Demand::LinkShape);
        let word =
            |fact: &Fact| Some(words::demand(Demand::LinkShape.kind(), fact.value.number()?));
        let own: Vec<_> = own.into_iter().flat_map(|(_, facts)| facts).filter_map(word).collect();
        if !own.is_empty() {
            return Some(format!("{key} {}", own.join(" or ")));
        }
        let shape = profile.demands.get(&Demand::LinkShape)?;
        Some(format!("profile {} demands {key} {}", profile.name, shape.text))
    }

    /// The box of a node.
    pub(super) fn thing(&self, node: Node) -> Thing {
        let (declared, map) = (self.declared(), &self.site.assembled.map);
        let place = match node {
            Node::Unit(unit) => id(&map.units, unit).map(|id| Place::Unit(UnitId(id))),
            Node::Device(at) => id(&map.devices, at).map(|id| Place::Device(DeviceId(id))),
            Node::Pack(pack) => id(&map.packs, pack).map(|id| Place::Pack(PackId(id))),
            Node::Sensor(at) => id(&map.sensors, at).map(|id| Place::Sensor(SensorId(id))),
            Node::Loose(_) => None,
        };
        let mut thing = Thing {
            node,
            place,
            name: String::new(),
            role: String::new(),
            leads: false,
            marks: self.marks_at(place),
            facts: Vec::new(),
            arrow: None,
            ending: None,
            sockets: self.sockets(node),
            free: Vec::new(),
        };
        match node {
            Node::Unit(unit) => self.fill_unit(&mut thing, unit),
            Node::Device(device) => {
                let (own, kind) = &declared.devices[device];
                thing.name.clone_from(&own.name);
                kind.word().clone_into(&mut thing.role);
                thing.facts = self.facts(Subject::Device(device), OF_DEVICES);
                let (term, ohms) = (Field::DeviceTerminator, Field::DeviceTerminatorOhms);
                let subject = Subject::Device(device);
                if !declared.stated(subject, term).is_empty() {
                    thing.ending = Some(self.ending(subject, term, ohms, None));
                }
            }
            Node::Pack(pack) => {
                thing.name.clone_from(&declared.packs[pack].name);
                "pack".clone_into(&mut thing.role);
                thing.facts = self.facts(Subject::Pack(pack), OF_PACKS);
                let lead = declared.number(Subject::Group, Field::LeadPack);
                if lead.is_some() && declared.packs[pack].number.map(u32::from) == lead {
                    "lead pack".clone_into(&mut thing.role);
                }
            }
            Node::Sensor(sensor) => {
                let (own, leg) = &declared.sensors[sensor];
                thing.name.clone_from(&own.name);
                thing.role = match leg {
                    Some(leg) => format!("sensor on {}", leg.word()),
                    None => "sensor".to_owned(),
                };
                let subject = Subject::Sensor(sensor);
                thing.arrow = stated(declared, subject, Field::Arrow);
                thing.facts = self.facts(subject, OF_SENSORS);
            }
            Node::Loose(cable) => {
                let ends = declared.cables[cable].ends;
                let unknown = ends.contains(&End::Unknown);
                let words = if unknown { "not known where" } else { "hangs free" };
                words.clone_into(&mut thing.name);
            }
        }
        thing
    }

    fn fill_unit(&self, thing: &mut Thing, unit: usize) {
        let declared = self.declared();
        let subject = Subject::Unit(unit);
        thing.name.clone_from(&declared.units[unit].name);
        let role = stated(declared, subject, Field::Role);
        thing.leads = role.as_deref().is_some_and(|role| role.contains("coordinator"));
        thing.role = role.unwrap_or_else(|| "role not declared".to_owned());
        thing.facts = self.facts(subject, OF_UNITS);
        if declared.stated(subject, Field::Address).is_empty() {
            thing.facts.insert(0, "no address declared".to_owned());
        }
        let terminator =
            id(&self.site.assembled.map.units, unit).map(|id| Place::Terminator(UnitId(id)));
        let (term, ohms) = (Field::Terminator, Field::TerminatorOhms);
        let mut ending = self.ending(subject, term, ohms, terminator);
        let plugged = thing.sockets.iter().flat_map(|socket| &socket.entries);
        if ending.is_on.is_none() && plugged.clone().any(|entry| entry.plug == Some(true)) {
            ending.is_on = Some(true);
            "terminator: plug".clone_into(&mut ending.says);
        }
        thing.ending = Some(ending);
        let ports = &self.site.profile.ports;
        let used: Vec<_> = thing.sockets.iter().filter_map(|socket| socket.place?.port()).collect();
        let free = (0u8..).zip(ports).filter(|(port, _)| !used.contains(&PortId(*port)));
        thing.free = free.map(|(_, port)| port.name.clone()).collect();
    }

    fn ending(&self, subject: Subject, term: Field, ohms: Field, place: Option<Place>) -> Ending {
        let declared = self.declared();
        let on = declared.number(subject, term).and_then(|code| u8::try_from(code).ok());
        let says = stated(declared, subject, term);
        let value = stated(declared, subject, ohms).map(|ohms| format!(", {ohms}"));
        let says = says.unwrap_or_else(|| "not declared".to_owned());
        Ending {
            says: format!("terminator: {says}{}", value.unwrap_or_default()),
            is_on: on.map(|code| code != Terminator::Off.code()),
            place,
            marks: self.marks_at(place),
        }
    }

    /// The sockets of a box that hold something or are marked.
    fn sockets(&self, node: Node) -> Vec<Socket> {
        let (declared, map) = (self.declared(), &self.site.assembled.map);
        let mut sockets: BTreeMap<Option<PortId>, Vec<Entry>> = BTreeMap::new();
        for (number, cable) in (0u8..).zip(map.cables.iter().copied()) {
            let plug = is_plug(declared, cable);
            let nodes = declared.cables[cable].ends.map(|end| super::order::node(cable, end));
            for (side, at) in nodes.into_iter().enumerate() {
                if at != node || plug && matches!(node, Node::Loose(_)) {
                    continue;
                }
                let port = match declared.cables[cable].ends[side] {
                    End::Unit(_, port) => port,
                    End::Pack(_) | End::Sensor(_) | End::Device(_) | End::Open | End::Unknown => {
                        None
                    }
                };
                let place = Place::Cable(CableId(number));
                sockets.entry(port).or_default().push(Entry {
                    end: (cable, side),
                    label: self.label(cable),
                    plug: plug.then_some(false),
                    place: Some(place),
                    marks: self.marks_at(Some(place)),
                });
            }
        }
        if let Node::Unit(unit) = node {
            let own = id(&map.units, unit).map(UnitId);
            for place in self.marks.places() {
                if let Place::Port(at, port) = place
                    && Some(at) == own
                {
                    sockets.entry(Some(port)).or_default();
                }
            }
        }
        sockets.into_iter().map(|(port, entries)| self.socket(node, port, entries)).collect()
    }

    fn socket(&self, node: Node, port: Option<PortId>, entries: Vec<Entry>) -> Socket {
        let place = match (node, port) {
            (Node::Unit(unit), Some(port)) => {
                id(&self.site.assembled.map.units, unit).map(|unit| Place::Port(UnitId(unit), port))
            }
            _ => None,
        };
        let mut entries = entries;
        let is_free = entries.len() == 1;
        let is_link = port.is_none_or(|port| {
            let port = self.site.profile.ports.get(usize::from(port.0));
            port.is_some_and(|port| port.class == PortClass::Link)
        });
        for plug in entries.iter_mut().filter_map(|entry| entry.plug.as_mut()) {
            *plug = is_free && is_link;
        }
        let name = match (node, port) {
            (Node::Unit(_), Some(port)) => self.site.profile.port_name(port).to_owned(),
            (Node::Unit(_), None) => "?".to_owned(),
            _ => String::new(),
        };
        Socket { place, name, marks: self.marks_at(place), entries }
    }

    /// What stands beside a socket: the cable's label and length, and its kind where it is no
    /// plain link.
    fn label(&self, cable: usize) -> String {
        let own = &self.declared().cables[cable];
        let mut label = own.label.clone();
        if own.kind == Some(CableKind::Terminator) {
            let ohms = stated(self.declared(), Subject::Cable(cable), Field::PlugOhms);
            label = format!("{label} plug {}", ohms.unwrap_or_default());
        }
        let lengths: Vec<_> =
            own.lengths.iter().map(|(length, _)| words::length(*length)).collect();
        if !lengths.is_empty() {
            label = format!("{label}, {}", lengths.join(" or "));
        }
        label
    }
}
