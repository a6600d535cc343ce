//! What is read from one line, before it is put in order. Words stay in the line; here is only
//! where they stand. The memory is used again for the next line.

use super::memo::NameId;
use crate::field::Field;
use coldcheck_core::plan::{
    CableRecord, Demand, DeviceRecord, GroupRecord, PackRecord, PowerRecord, Scope, SensorRecord,
    Terminal, UnitRecord,
};

/// A stretch of the line, as bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Span {
    start: u32,
    end: u32,
}

impl Span {
    /// Where a part of the line stands in it.
    pub(super) fn of(line: &str, part: &str) -> Self {
        // Both are slices of one text, so the difference of their addresses is an offset.
        let start = part.as_ptr().addr().wrapping_sub(line.as_ptr().addr());
        let end = start.wrapping_add(part.len());
        let short = |at| u32::try_from(at).unwrap_or(u32::MAX);
        Self { start: short(start), end: short(end) }
    }

    pub(super) fn text(self, line: &str) -> &str {
        let at = |at| usize::try_from(at).unwrap_or(usize::MAX);
        line.get(at(self.start)..at(self.end)).unwrap_or("")
    }
}

/// A set of fields.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Seen(u128);

impl Seen {
    /// Adds a field; false if it was there.
    pub(super) fn add(&mut self, field: Field) -> bool {
        let bit = 1u128 << field.position();
        let is_new = self.0 & bit == 0;
        self.0 |= bit;
        is_new
    }
}

// Fields above are for sizes only, and left to the general reader.
const _: () = assert!(Field::Code.position() <= 128);

/// A name where it is written, with its number in the memo.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Called {
    pub(super) span: Span,
    pub(super) word: Option<u16>,
}

impl Called {
    /// Whether two are written with the same letters.
    pub(super) fn is(self, other: Self, line: &str) -> bool {
        match (self.word, other.word) {
            (Some(one), Some(other)) => one == other,
            (_, _) => self.span.text(line) == other.span.text(line),
        }
    }
}

#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Unit {
    pub(super) name: Called,
    pub(super) key: NameId,
    pub(super) number: Option<u16>,
    /// Whether its name is no common word with a number.
    pub(super) is_odd: bool,
    /// Whether a side of it is wired straight, which means another line with a phase.
    pub(super) is_straight: bool,
    pub(super) seen: Seen,
    pub(super) known: u64,
    pub(super) record: UnitRecord,
    pub(super) power: PowerRecord,
}

/// An end of a cable as it is written: position of the name among the things, and the socket.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Written {
    pub(super) name: Option<(Called, u16)>,
    pub(super) port: Option<Span>,
}

#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Cable {
    pub(super) label: Option<(Span, NameId)>,
    pub(super) ends: [Written; 2],
    pub(super) kind: u8,
    /// The columns that were there, one bit each.
    pub(super) columns: u16,
    pub(super) seen: Seen,
    pub(super) record: CableRecord,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Pack {
    pub(super) name: Called,
    pub(super) key: NameId,
    pub(super) record: PackRecord,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Device {
    pub(super) name: Called,
    pub(super) key: NameId,
    pub(super) record: DeviceRecord,
}

/// Facts of which only equal or not matters: each value gets a number.
pub(super) const COLUMNS: usize = 10;

/// The column of such a fact.
pub(super) fn column(field: Field) -> Option<usize> {
    let setting = crate::assemble::units::SETTINGS.iter().position(|setting| *setting == field);
    #[allow(clippy::wildcard_enum_match_arm, reason = "all others are settings or have no column")]
    match field {
        Field::Model => Some(MODEL),
        Field::Protocol | Field::PackProtocol => Some(PROTOCOL),
        Field::LineFormat => Some(LINE_FORMAT),
        _ => setting.map(|setting| setting + FIRST_SETTING),
    }
}

pub(super) const MODEL: usize = 0;
pub(super) const PROTOCOL: usize = 1;
pub(super) const LINE_FORMAT: usize = 2;
pub(super) const FIRST_SETTING: usize = 3;

/// A value in a column: whose it is, and the number by which it is compared.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    /// A unit, or a pack behind all units.
    pub(super) whose: u8,
    pub(super) value: u32,
    /// Whether the number is that of a name.
    pub(super) is_name: bool,
}

/// What packs are in a column: behind all units.
pub(super) const FIRST_PACK: u8 = 64;

/// Everything that one line says.
#[derive(Debug, Default)]
pub(super) struct Site {
    pub(super) units: Vec<Unit>,
    pub(super) cables: Vec<Cable>,
    pub(super) packs: Vec<Pack>,
    pub(super) devices: Vec<Device>,
    /// By the leg.
    pub(super) sensors: [Option<SensorRecord>; 3],
    pub(super) columns: [Vec<Entry>; COLUMNS],
    pub(super) terminals: Vec<(u8, Terminal, Option<NameId>)>,
    pub(super) demands: Vec<(Demand, u32)>,
    pub(super) group: GroupRecord,
    pub(super) group_seen: Seen,
    /// Lists that were there.
    pub(super) lists: u8,
    pub(super) lists_cables: bool,
    pub(super) known: u64,
    pub(super) lead_pack: Option<u32>,
    pub(super) bonds: Option<u16>,
    pub(super) arrays: Option<u16>,
    pub(super) name: Option<Span>,
    pub(super) profile: Option<Span>,
    pub(super) scope: Option<Scope>,
}

/// Terminals of one side of a unit: three lines, neutral and earth.
const POLES: usize = 5;

/// The neutral of each input, and its lines.
const INPUTS: [(Terminal, [Terminal; 3]); 2] = [
    (Terminal::InN, [Terminal::InL1, Terminal::InL2, Terminal::InL3]),
    (Terminal::GeneratorN, [Terminal::GeneratorL1, Terminal::GeneratorL2, Terminal::GeneratorL3]),
];

impl Site {
    /// Whether a bar of the supply or of the generator gets lines and neutrals, or two lines of one unit:
    /// the general way tells.
    pub(super) fn mixes_inputs(&self) -> bool {
        let terminals = &self.terminals;
        let mut before = None;
        terminals.iter().enumerate().any(|(at, (unit, own, net))| {
            if net.is_none() {
                return false;
            }
            // The lines of one side of a unit stand one behind the other.
            if let Some((_, lines)) = INPUTS.iter().find(|(_, lines)| lines.contains(own)) {
                let behind = terminals.iter().skip(at + 1).take(lines.len() - 1);
                let mut lines = behind.filter(|(of, line, _)| of == unit && lines.contains(line));
                return lines.any(|(_, _, other)| other == net);
            }
            let Some((_, lines)) = INPUTS.iter().find(|(neutral, _)| neutral == own) else {
                return false;
            };
            // Mostly all units have one neutral, and one look is enough.
            if before == Some((*own, *net)) {
                return false;
            }
            before = Some((*own, *net));
            terminals.iter().any(|(_, line, other)| other == net && lines.contains(line))
        })
    }

    /// Whether a unit states where conductors of its output or of an input go. On a line that is taken
    /// here each is at a bar of its own kind.
    pub(super) fn has_conductors(&self) -> bool {
        self.stating() != [0; 3]
    }

    /// Whether some units state the conductors of a side and others do not, or those of an input alone:
    /// the general way tells what was not checked.
    pub(super) fn states_in_part(&self) -> bool {
        let [outputs, inputs @ ..] = self.stating();
        let all = (0..self.units.len()).fold(0, |all, unit| all | 1 << unit);
        let is_part = |side: &u64| *side != 0 && *side != all;
        self.has_conductors() && (outputs != all || inputs.iter().any(is_part))
    }

    /// The units that state conductors of their output, of the supply's input, of the generator's: a bit
    /// each.
    fn stating(&self) -> [u64; 3] {
        let mut sides = [0; 3];
        for (unit, terminal, _) in &self.terminals {
            let side = match terminal.position().checked_sub(Terminal::OutL1.position()) {
                Some(behind) => behind / POLES,
                None => continue,
            };
            if let Some(side) = sides.get_mut(side) {
                *side |= 1 << unit;
            }
        }
        sides
    }

    pub(super) fn clear(&mut self) {
        let Self { units, cables, packs, devices, columns, terminals, demands, .. } = self;
        units.clear();
        cables.clear();
        packs.clear();
        devices.clear();
        terminals.clear();
        demands.clear();
        columns.iter_mut().for_each(Vec::clear);
        self.sensors = [None; 3];
        self.group = GroupRecord::default();
        self.group_seen = Seen::default();
        (self.lists, self.lists_cables, self.known) = (0, false, 0);
        (self.lead_pack, self.scope) = (None, None);
        (self.bonds, self.arrays) = (None, None);
        (self.name, self.profile) = (None, None);
    }
}
