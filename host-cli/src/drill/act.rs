//! What a learner can do to find out: where to look, to measure, to listen, and what it costs.

use super::bench::Bench;
use crate::site_file::List;

/// One act that gives a reading.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Act {
    /// The settings on a unit's display.
    Settings(u16),
    /// A unit's plate and its address switches.
    Plate(u16),
    /// A unit's data sockets and terminator.
    Sockets(u16),
    /// A unit's AC terminals, on the dead plant.
    Terminals(u16),
    /// A unit's battery terminals, on the dead plant.
    BatterySide(u16),
    /// A cable followed from end to end, and its print.
    Cable(String),
    /// The pins of a cable, from plug to plug.
    Pins(String),
    /// The plugs of a cable moved by hand, the meter on the pair.
    Move(String),
    /// A cable that is known to be good in place of this one.
    Exchange(String),
    /// A pack.
    Pack(String),
    /// A sensor with its lead.
    Sensor(String),
    /// Another device.
    Device(String),
    /// Main board, feeder, changeover and bonds, on the dead plant.
    Board,
    /// What is set about the battery, and its pre-charge.
    Battery,
    /// Arrays and strings.
    Roof,
    /// What the maker and the plan demand.
    Demands,
    /// The row of a cable on the cable list.
    Row(String),
    /// The heading of the cable list.
    Heading,
    /// What the settings list says of a thing.
    Section(String),
    /// What the settings list says of the group.
    TopLines,
    /// Every other sheet there is.
    OtherSheets,
    /// Ohms between the two wires of the pair in a socket of a unit, all plugged in.
    Ohms(u16),
    /// A cable pulled at a unit: ohms into the socket, and into the loose plug.
    Pull(String, u16),
    /// Ohms from either wire to the common, in a socket of a unit.
    Common(u16),
    /// The gateway, listening for twelve seconds.
    Listen,
}

impl Act {
    /// Every act on paper.
    pub fn on_paper(bench: &Bench) -> Vec<Self> {
        let group = &bench.right;
        let rows = group.things(List::Cable).map(|cable| Self::Row(cable.name.clone()));
        let lists = [List::Unit, List::Pack, List::Sensor, List::Device];
        let sections = lists.into_iter().flat_map(|list| group.things(list));
        let sections = sections.map(|thing| Self::Section(thing.name.clone()));
        let rest = [Self::Heading, Self::TopLines, Self::OtherSheets];
        rows.chain(sections).chain(rest).collect()
    }

    /// Every act at the plant that a group has room for.
    pub fn at_plant(bench: &Bench) -> Vec<Self> {
        let group = &bench.right;
        let mut units = group.layout.order.clone();
        units.sort_unstable();
        let names = |list: List| group.things(list).map(|thing| thing.name.clone());
        let mut acts = vec![Self::Listen];
        for unit in &units {
            let unit = *unit;
            acts.extend([
                Self::Ohms(unit),
                Self::Settings(unit),
                Self::Plate(unit),
                Self::Sockets(unit),
                Self::Terminals(unit),
                Self::BatterySide(unit),
                Self::Common(unit),
            ]);
        }
        for (position, cable) in bench.link.cables.iter().enumerate() {
            for end in bench.link.topology.cables[position].ends {
                let number = super::plant::number_of(&bench.link.points[end]);
                acts.extend(number.map(|unit| Self::Pull(cable.clone(), unit)));
            }
            acts.extend([
                Self::Pins(cable.clone()),
                Self::Move(cable.clone()),
                Self::Exchange(cable.clone()),
            ]);
        }
        acts.extend(names(List::Cable).map(Self::Cable));
        acts.extend(names(List::Pack).map(Self::Pack));
        acts.extend(names(List::Sensor).map(Self::Sensor));
        acts.extend(names(List::Device).map(Self::Device));
        acts.extend([Self::Board, Self::Battery, Self::Roof, Self::Demands]);
        acts
    }

    /// What it costs, in readings.
    pub const fn cost(&self) -> u32 {
        match self {
            Self::Pins(_) | Self::Exchange(_) | Self::Pull(..) => 2,
            Self::Settings(_)
            | Self::Plate(_)
            | Self::Sockets(_)
            | Self::Terminals(_)
            | Self::BatterySide(_)
            | Self::Cable(_)
            | Self::Move(_)
            | Self::Pack(_)
            | Self::Sensor(_)
            | Self::Device(_)
            | Self::Board
            | Self::Battery
            | Self::Roof
            | Self::Demands
            | Self::Row(_)
            | Self::Heading
            | Self::Section(_)
            | Self::TopLines
            | Self::OtherSheets
            | Self::Ohms(_)
            | Self::Common(_)
            | Self::Listen => 1,
        }
    }

    /// Whether somebody touches the plant for it: everything is off, locked and proven dead before.
    pub const fn touches(&self) -> bool {
        match self {
            Self::Sockets(_)
            | Self::Terminals(_)
            | Self::BatterySide(_)
            | Self::Pins(_)
            | Self::Move(_)
            | Self::Exchange(_)
            | Self::Sensor(_)
            | Self::Board
            | Self::Ohms(_)
            | Self::Pull(..)
            | Self::Common(_) => true,
            Self::Settings(_)
            | Self::Plate(_)
            | Self::Cable(_)
            | Self::Pack(_)
            | Self::Device(_)
            | Self::Battery
            | Self::Roof
            | Self::Demands
            | Self::Row(_)
            | Self::Heading
            | Self::Section(_)
            | Self::TopLines
            | Self::OtherSheets
            | Self::Listen => false,
        }
    }

    /// In a few words, for tables and buttons; no two of a bench have the same.
    pub fn short(&self) -> String {
        match self {
            Self::Settings(unit) => format!("settings of unit {unit}"),
            Self::Plate(unit) => format!("plate and switches of unit {unit}"),
            Self::Sockets(unit) => format!("sockets of unit {unit}"),
            Self::Terminals(unit) => format!("AC terminals of unit {unit}"),
            Self::BatterySide(unit) => format!("battery terminals of unit {unit}"),
            Self::Cable(cable) => format!("follow cable {cable}"),
            Self::Pins(cable) => format!("pins of cable {cable}"),
            Self::Move(cable) => format!("move the plugs of cable {cable}"),
            Self::Exchange(cable) => format!("another cable for {cable}"),
            Self::Pack(name) | Self::Sensor(name) | Self::Device(name) => name.clone(),
            Self::Board => "main board and changeover".to_owned(),
            Self::Battery => "battery settings".to_owned(),
            Self::Roof => "roof and strings".to_owned(),
            Self::Demands => "what is demanded".to_owned(),
            Self::Row(label) => format!("row of cable {label}"),
            Self::Heading => "heading of the cable list".to_owned(),
            Self::Section(name) => format!("section of {name}"),
            Self::TopLines => "lines of the group".to_owned(),
            Self::OtherSheets => "any other sheet".to_owned(),
            Self::Ohms(unit) => format!("ohms at unit {unit}"),
            Self::Pull(cable, unit) => format!("pull cable {cable} at unit {unit}"),
            Self::Common(unit) => format!("pair to common at unit {unit}"),
            Self::Listen => "listen".to_owned(),
        }
    }

    /// What the learner does.
    pub fn says(&self) -> String {
        let named = |unit: &u16| format!("unit {unit}");
        match self {
            Self::Settings(unit)
            | Self::Plate(unit)
            | Self::Sockets(unit)
            | Self::Terminals(unit)
            | Self::BatterySide(unit)
            | Self::Ohms(unit)
            | Self::Common(unit) => self.said_of(&named(unit), ""),
            Self::Pull(cable, unit) => self.said_of(&named(unit), &format!("cable {cable}")),
            Self::Cable(cable)
            | Self::Pins(cable)
            | Self::Move(cable)
            | Self::Exchange(cable)
            | Self::Row(cable) => self.said_of("", &format!("cable {cable}")),
            Self::Pack(name) | Self::Device(name) | Self::Section(name) => self.said_of("", name),
            Self::Sensor(name) => self.said_of("", &format!("sensor {name}")),
            Self::Board
            | Self::Battery
            | Self::Roof
            | Self::Demands
            | Self::Heading
            | Self::TopLines
            | Self::OtherSheets
            | Self::Listen => self.said_of("", ""),
        }
    }

    /// The same of any unit, cable or thing.
    pub fn says_of_any(&self) -> String {
        let thing = match self {
            Self::Pack(_) => "a pack",
            Self::Device(_) => "another device",
            Self::Section(_) => "a unit or a thing",
            Self::Sensor(_) => "a sensor",
            Self::Settings(_)
            | Self::Plate(_)
            | Self::Sockets(_)
            | Self::Terminals(_)
            | Self::BatterySide(_)
            | Self::Cable(_)
            | Self::Pins(_)
            | Self::Move(_)
            | Self::Exchange(_)
            | Self::Row(_)
            | Self::Board
            | Self::Battery
            | Self::Roof
            | Self::Demands
            | Self::Heading
            | Self::TopLines
            | Self::OtherSheets
            | Self::Ohms(_)
            | Self::Pull(..)
            | Self::Common(_)
            | Self::Listen => "a cable",
        };
        self.said_of("a unit", thing)
    }

    fn said_of(&self, unit: &str, thing: &str) -> String {
        match self {
            Self::Settings(_) => format!("Read the settings on the display of {unit}"),
            Self::Plate(_) => format!("Look at the plate and the address switches of {unit}"),
            Self::Sockets(_) => format!("Look at the data sockets and the terminator of {unit}"),
            Self::Terminals(_) => format!(
                "Dead: where each AC terminal of {unit} goes, by continuity to the bars; its \
                 breaker and conductors"
            ),
            Self::BatterySide(_) => {
                format!("Dead: bank, fuse and leads at the battery terminals of {unit}")
            }
            Self::Cable(_) => format!("Follow {thing} from end to end and read its print"),
            Self::Pins(_) => format!("Dead: {thing} out at both ends, continuity pin by pin"),
            Self::Move(_) => {
                format!("Dead: ohms on the pair while each plug of {thing} is moved by hand")
            }
            Self::Exchange(_) => {
                format!("Dead: one known to be good in place of {thing}; then see if all is well")
            }
            Self::Pack(_) => format!("Look at {thing}: its address and what is set on it"),
            Self::Sensor(_) => format!(
                "Look at {thing}: arrow, place, print and lead; never open the lead while current \
                 flows"
            ),
            Self::Device(_) => format!("Look at {thing} beside the units"),
            Self::Board => "Dead: main board, feeder, busbar, changeover, bonds".to_owned(),
            Self::Battery => {
                "Read what is set about the battery, and look at its pre-charge".to_owned()
            }
            Self::Roof => "Look at the plan of the roof, its strings and inputs".to_owned(),
            Self::Demands => "Read what the maker's manual and the plan demand".to_owned(),
            Self::Row(_) => format!("Read the row of {thing} on the cable list"),
            Self::Heading => "Read the heading of the cable list".to_owned(),
            Self::Section(_) => format!("Read what the settings list says of {thing}"),
            Self::TopLines => "Read what the settings list says of the group".to_owned(),
            Self::OtherSheets => "Ask whether there is any other sheet, and read it".to_owned(),
            Self::Ohms(_) => {
                format!("Dead: ohms between the two wires of the pair at {unit}, all plugged in")
            }
            Self::Pull(..) => format!(
                "Dead: pull {thing} at {unit}; into the socket and into the loose plug: ohms of \
                 the pair, and of either wire to the common"
            ),
            Self::Common(_) => {
                format!("Dead: ohms from either wire of the pair to the common at {unit}")
            }
            Self::Listen => "Let the gateway listen to the link for twelve seconds".to_owned(),
        }
    }
}
