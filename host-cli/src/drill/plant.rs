//! The plant: what is really there, whatever the sheets say.

use super::bench::{Bench, Link};
use super::cause::{Cause, What};
use crate::fault::heard::{HeardFault, Traffic};
use crate::fault::{Group, unit_name};
use crate::field::Field;
use crate::meter::circuit::Circuit;
use crate::meter::fault::Fault as Wires;
use crate::read::RawSheet;
use crate::site_file::{List, SiteFile};
use coldcheck_core::plan::Role;
use std::sync::OnceLock;

/// Symptoms with which bad frames are counted.
const COUNTED: [&str; 2] = ["errors counted", "errors under load"];

/// The plant behind a bench.
#[derive(Debug)]
pub struct Plant<'b> {
    /// The site as it should be.
    pub bench: &'b Bench,
    /// Facts as they really are; what a list written from the plant would say.
    pub group: Group,
    /// What the sheets say instead, where the fault is one of paper.
    pub paper: Option<Group>,
    /// Faults of the link as a circuit.
    pub wires: Vec<Wires>,
    /// Cables whose signal runs in two pairs.
    pub split: Vec<usize>,
    /// Faults that are heard.
    pub heard: Vec<HeardFault>,
    /// Facts of units that these faults have set.
    told: Vec<(u16, Field)>,
    /// Whether the symptom is that bad frames are counted.
    pub counts_errors: bool,
    /// Whether the group states what sizes are computed from.
    pub is_sized: bool,
    made: Made,
}

/// What is made of a plant once it is asked for.
#[derive(Debug, Default)]
struct Made {
    file: OnceLock<SiteFile>,
    sheets: OnceLock<Vec<RawSheet>>,
    link: OnceLock<Own>,
    circuit: OnceLock<Option<Circuit>>,
}

/// The link of a plant.
#[derive(Debug)]
enum Own {
    /// The one that was planned.
    Planned,
    /// Another one.
    Other(Box<Link>),
    /// Another one that cannot be told as a circuit.
    Untold,
}

impl<'b> Plant<'b> {
    /// The plant as it should be.
    pub fn right(bench: &'b Bench) -> Self {
        Self {
            bench,
            group: bench.right.clone(),
            paper: None,
            wires: Vec::new(),
            split: Vec::new(),
            heard: Vec::new(),
            told: Vec::new(),
            counts_errors: false,
            is_sized: false,
            made: Made::default(),
        }
    }

    /// The plant with faults; `None` if one of them takes away what another one changes.
    pub fn with(bench: &'b Bench, causes: &[&Cause]) -> Option<Self> {
        let mut plant = Self::right(bench);
        for cause in causes {
            plant.make(cause)?;
        }
        let stated = |group: &Group| group.is_sized();
        plant.is_sized = stated(&plant.group) || plant.paper.as_ref().is_some_and(stated);
        Some(plant)
    }

    /// The same with everything stated that sizes are computed from.
    #[must_use]
    pub fn sized(mut self) -> Self {
        self.group.size();
        if let Some(paper) = &mut self.paper {
            paper.size();
        }
        self.is_sized = true;
        self.made = Made::default();
        self
    }

    fn make(&mut self, cause: &Cause) -> Option<()> {
        let symptom = super::words::symptom_of(cause.kind);
        self.counts_errors |= symptom.is_some_and(|symptom| COUNTED.contains(&symptom.name));
        match &cause.what {
            What::Declared(fault) if cause.is_paper() => {
                let mut paper = self.paper.take().unwrap_or_else(|| self.bench.right.clone());
                let made = fault.inject(&mut paper);
                self.paper = Some(paper);
                made.then_some(())
            }
            What::Declared(fault) => fault.inject(&mut self.group).then_some(()),
            What::Wires(wires) => {
                self.wires.push(*wires);
                Some(())
            }
            What::Split(cable) => {
                self.split.push(*cable);
                Some(())
            }
            What::Heard(fault) => {
                self.heard.push(fault.clone());
                self.tell_group(fault);
                Some(())
            }
        }
    }

    /// What a unit says of itself on the bus is set on it, and is seen there too.
    fn tell_group(&mut self, fault: &HeardFault) {
        let right = &self.bench.traffic;
        let mut traffic = right.clone();
        fault.inject(&mut traffic);
        if traffic.voices.len() < right.voices.len() {
            return;
        }
        for (unit, (was, is)) in (1..).zip(right.voices.iter().zip(&traffic.voices)) {
            let [major, minor] = is.firmware;
            for (differs, field, value) in [
                (was.role != is.role, Field::Role, is.role.word().to_owned()),
                (was.count != is.count, Field::Count, is.count.to_string()),
                (was.address != is.address, Field::Address, is.address.to_string()),
                (was.serial != is.serial, Field::Serial, is.serial.to_string()),
                (was.firmware != is.firmware, Field::Firmware, format!("{major}.{minor:02}")),
            ] {
                if differs {
                    self.told.push((unit, field));
                    self.group.set_unit(unit, field, &value);
                }
            }
        }
    }

    /// What the plant would be if it were as it should be, stated as fully as this one is.
    pub const fn reference(&self) -> &'b Group {
        if self.is_sized { &self.bench.sized } else { &self.bench.right }
    }

    /// What a list would say that shows every fault that a list can show.
    pub fn listed(&self) -> &Group {
        self.paper.as_ref().unwrap_or(&self.group)
    }

    /// Facts as they really are.
    pub fn file(&self) -> &SiteFile {
        self.made.file.get_or_init(|| self.group.site_file())
    }

    /// Facts as they were planned.
    pub fn planned(&self) -> &'b SiteFile {
        if self.is_sized { &self.bench.sized_file } else { &self.bench.right_file }
    }

    /// Sheets that show every fault that a list can show.
    pub fn listed_sheets(&self) -> &[RawSheet] {
        self.made.sheets.get_or_init(|| self.listed().sheets())
    }

    fn own_link(&self) -> &Own {
        self.made.link.get_or_init(|| {
            if shape(self.file()) == shape(&self.bench.right_file) {
                return Own::Planned;
            }
            let own = Link::of(&self.group.sheets());
            own.map_or(Own::Untold, |link| Own::Other(Box::new(link)))
        })
    }

    /// The link as the plant has it.
    pub fn link(&self) -> Option<&Link> {
        match self.own_link() {
            Own::Planned => Some(&self.bench.link),
            Own::Other(link) => Some(link),
            Own::Untold => None,
        }
    }

    /// Whether anything about the link as a circuit is otherwise than planned.
    pub fn is_other_link(&self) -> bool {
        !self.wires.is_empty() || !matches!(self.own_link(), Own::Planned)
    }

    /// The link as a net of resistors, all plugged in.
    pub(super) fn circuit(&self) -> Option<&Circuit> {
        let made = self.made.circuit.get_or_init(|| {
            let link = self.link()?;
            Some(Circuit::of(&link.topology, &link.usual, &self.wires, None))
        });
        made.as_ref()
    }

    /// What is heard, before the link keeps any of it back: units with the settings that they have.
    pub(super) fn voices(&self) -> Traffic {
        let mut traffic = self.bench.traffic.clone();
        for (unit, voice) in (1..).zip(&mut traffic.voices) {
            // What a fault does to a voice is done below, and once.
            let fact = |field: Field| {
                let is_told = self.told.contains(&(unit, field));
                let group = if is_told { &self.bench.right } else { &self.group };
                group.of_unit(unit, field)
            };
            if let Ok(count) = fact(Field::Count).parse() {
                voice.count = count;
            }
            if let Ok(serial) = fact(Field::Serial).parse() {
                voice.serial = serial;
            }
            let leads = fact(Field::Role) == Role::Coordinator.word();
            voice.role = if leads { Role::Coordinator } else { Role::Follower };
            let parts = fact(Field::Firmware).split_once('.');
            if let Some((Ok(major), Ok(minor))) =
                parts.map(|(major, minor)| (major.parse(), minor.parse()))
            {
                voice.firmware = [major, minor];
            }
            let planned = |field: Field| self.bench.right.of_unit(unit, field);
            let is_deaf = [Field::BitRate, Field::Mode]
                .into_iter()
                .any(|field| fact(field) != planned(field));
            match fact(Field::Address).parse() {
                // More than a frame has room for is no address on the bus.
                Ok(address) if !is_deaf && address < 128 => voice.address = address,
                _ => voice.until_ms = 0,
            }
        }
        for fault in &self.heard {
            fault.inject(&mut traffic);
        }
        traffic
    }

    /// Whether a unit is set to another speed of the link than planned.
    pub(super) fn has_other_speed(&self) -> bool {
        let key = Field::BitRate;
        let order = &self.group.layout.order;
        order
            .iter()
            .any(|unit| self.group.of_unit(*unit, key) != self.bench.right.of_unit(*unit, key))
    }
}

/// Everything of a site that the link as a circuit is made from.
fn shape(file: &SiteFile) -> Vec<String> {
    let keys = [Field::Terminator.key(), Field::TerminatorOhms.key()];
    file.tables
        .iter()
        .filter_map(|table| match table.list {
            List::Cable | List::Device => Some(format!("{:?}", table.entries)),
            List::Unit => Some(keys.map(|key| table.value(key)).join(" ")),
            List::Pack | List::Sensor | List::Waiver | List::ToDo => None,
        })
        .collect()
}

/// The number in a unit's name.
pub(super) fn number_of(name: &str) -> Option<u16> {
    let number = name.strip_prefix("unit ")?.parse().ok()?;
    (unit_name(number) == name).then_some(number)
}
