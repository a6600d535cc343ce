//! What the terminals of the units are joined to: bars that two or more share, and what has only
//! one.

use crate::assemble::nets::{array_net, bank_nets, net_of};
use crate::declared::Subject;
use crate::draw::palette;
use crate::draw::scene::Paint;
use crate::engine::Site;
use crate::field::Field;
use crate::fold::Folded;
use crate::tidy::values::{bond, pole};
use crate::value::{Bond, Pole, Value};
use coldcheck_core::plan::{BondPlace, OperatingState};
use std::collections::BTreeMap;

/// What a bar carries, in the order in which bars stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Carries {
    Battery,
    Line,
    Neutral,
    Earth,
    Solar,
}

/// A bar, or anything else that two or more terminals are joined to.
#[derive(Clone, Debug)]
pub(super) struct Bar {
    pub(super) name: String,
    carries: Carries,
}

impl Bar {
    pub(super) const fn colour(&self) -> &'static str {
        match self.carries {
            Carries::Battery => palette::BATTERY,
            Carries::Line | Carries::Neutral | Carries::Earth => palette::INK,
            Carries::Solar => palette::SENSOR,
        }
    }

    pub(super) const fn paint(&self) -> Paint {
        let dash = match self.carries {
            Carries::Battery | Carries::Line | Carries::Solar => "",
            Carries::Neutral => "9 3",
            Carries::Earth => "3 3",
        };
        Paint::line(self.colour(), 32, dash)
    }
}

/// A conductor from a terminal.
#[derive(Clone, Debug)]
pub(super) struct Line {
    terminal: String,
    /// What it is joined to, in words.
    to: String,
    /// The bar, if that is one.
    pub(super) bar: Option<usize>,
    net: Option<Folded>,
    carries: Carries,
    /// Whether it leads to the bar of its own name.
    is_own: bool,
    /// Whether it is of the output, on whose bars neutral and earth are joined.
    is_out: bool,
}

impl Line {
    pub(super) fn words(&self, side: &str, bars: &[Bar]) -> String {
        let terminal =
            if self.terminal.is_empty() { String::new() } else { format!(" {}", self.terminal) };
        let is_drawn = self.bar.is_some_and(|bar| bar < bars.len());
        if is_drawn && self.is_own {
            return format!("{side}{terminal}");
        }
        format!("{side}{terminal}: {}", self.to)
    }
}

/// The conductors of one side of a unit.
#[derive(Clone, Debug)]
pub(super) struct Side {
    pub(super) word: &'static str,
    pub(super) lines: Vec<Line>,
    /// What is said where there are none.
    says: String,
}

impl Side {
    /// Whether every conductor goes to the bar of its own name, so that one row of words is enough.
    pub(super) fn is_close(&self, bars: &[Bar]) -> bool {
        let fits = |line: &Line| line.is_own && line.bar.is_some_and(|bar| bar < bars.len());
        !self.lines.is_empty() && self.lines.iter().all(fits)
    }

    pub(super) fn words(&self) -> String {
        if self.lines.is_empty() {
            return format!("{}: {}", self.word, self.says);
        }
        let terminals: Vec<_> = self.lines.iter().map(|line| line.terminal.as_str()).collect();
        format!("{} {}", self.word, terminals.join(" ")).trim_end().to_owned()
    }

    /// All of it, where it has no more than one conductor.
    pub(super) fn whole(&self) -> String {
        self.lines.first().map_or_else(|| self.words(), |line| line.words(self.word, &[]))
    }

    pub(super) fn title(&self) -> String {
        if self.lines.is_empty() {
            return self.words();
        }
        let each = self.lines.iter().map(|line| format!("{} to {}", line.terminal, line.to));
        format!("{} {}", self.word, each.collect::<Vec<_>>().join(", "))
    }
}

/// All bars, and the sides of every unit.
#[derive(Debug)]
pub(super) struct Bars {
    pub(super) all: Vec<Bar>,
    sides: Vec<Vec<Side>>,
    /// Places where neutral and earth are joined, in words, and how they join these bars.
    pub(super) bonds: Vec<(String, Joins)>,
    /// The bar of the neutral.
    pub(super) neutral: Option<usize>,
    /// The bar of the earth.
    pub(super) earth: Option<usize>,
}

impl Bars {
    pub(super) fn of(site: &Site) -> Self {
        let units = 0..site.declared.units.len();
        let mut sides: Vec<Vec<Side>> = units.map(|unit| sides_of(site, unit)).collect();
        let mut counts: BTreeMap<(Carries, Folded), (usize, String)> = BTreeMap::new();
        for line in sides.iter().flatten().flat_map(|side| &side.lines) {
            if let Some(net) = &line.net {
                let known = counts.entry((line.carries, net.clone())).or_default();
                known.0 += 1;
                known.1.clone_from(&line.to);
            }
        }
        let shared: Vec<_> = counts.iter().filter(|(_, (count, _))| *count > 1).collect();
        let bars = shared
            .iter()
            .map(|((carries, _), (_, name))| Bar { name: name.clone(), carries: *carries })
            .collect();
        for line in sides.iter_mut().flatten().flat_map(|side| &mut side.lines) {
            let is_this = |(carries, net): &(Carries, Folded)| {
                *carries == line.carries && Some(net) == line.net.as_ref()
            };
            line.bar = shared.iter().position(|(key, _)| is_this(key));
        }
        let most = |wanted: Carries| {
            let out = sides.iter().flatten().flat_map(|side| &side.lines);
            let own = out.filter(|line| line.is_out && line.carries == wanted);
            let mut met = vec![0; shared.len()];
            own.filter_map(|line| line.bar).for_each(|bar| met[bar] += 1);
            let most = met.iter().max().filter(|most| **most > 0)?;
            met.iter().position(|count| count == most)
        };
        let (neutral, earth) = (most(Carries::Neutral), most(Carries::Earth));
        let bonds = match site.declared.agreed(Subject::Group, Field::Bonds) {
            Some(Value::Bonds(bonds)) => {
                bonds.iter().map(|one| (bond(one), joins(site, one))).collect()
            }
            _ => Vec::new(),
        };
        Self { all: bars, sides, bonds, neutral, earth }
    }

    pub(super) fn sides(&self, unit: usize) -> &[Side] {
        self.sides.get(unit).map_or(&[], Vec::as_slice)
    }
}

/// How a bond joins the bars of the units' outputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Joins {
    /// Always.
    Always,
    /// In some operating states.
    Sometimes,
    /// Not at all, or nobody can tell from its words.
    Unknown,
}

/// Only a place on the units' side is one on their bars: what stands before a changeover, on a
/// generator, or nobody knows where is told in words.
fn joins(site: &Site, bond: &Bond) -> Joins {
    let declared = &site.declared;
    let has = |subject, field| !declared.stated(subject, field).is_empty();
    let supplied = [Field::AcIn, Field::GeneratorIn];
    let has_changeover = has(Subject::Group, Field::ChangeoverNeutral)
        || (0..declared.units.len())
            .any(|unit| supplied.iter().any(|field| has(Subject::Unit(unit), *field)));
    let is_here = match bond.kind {
        BondPlace::BackupBoard | BondPlace::BehindChangeover | BondPlace::UnitRelay => true,
        BondPlace::MainBoard => !has_changeover,
        BondPlace::BeforeChangeover | BondPlace::GeneratorFrame | BondPlace::Other => false,
    };
    let all = OperatingState::WORDS.iter().fold(0, |all, (_, code)| all | code);
    match bond.closed {
        _ if !is_here => Joins::Unknown,
        0 => Joins::Unknown,
        closed if closed == all => Joins::Always,
        _ => Joins::Sometimes,
    }
}

fn sides_of(site: &Site, unit: usize) -> Vec<Side> {
    let declared = &site.declared;
    let mut sides = vec![battery(site, unit)];
    for field in [Field::AcOut, Field::AcIn, Field::GeneratorIn] {
        let stated = declared.stated(Subject::Unit(unit), field);
        if stated.is_empty() && field != Field::AcOut {
            continue;
        }
        let lines = match declared.agreed(Subject::Unit(unit), field) {
            Some(Value::Conductors(conductors)) => conductors
                .iter()
                .map(|conductor| {
                    let net = net_of(field, conductor).and_then(|(_, net)| net);
                    let to = net.as_ref().map_or_else(|| "nothing".to_owned(), Folded::spoken);
                    let own = own_bar(conductor.pole);
                    Line {
                        terminal: pole(conductor.pole).to_owned(),
                        to,
                        bar: None,
                        net,
                        carries: match conductor.pole {
                            Pole::L1 | Pole::L2 | Pole::L3 => Carries::Line,
                            Pole::N => Carries::Neutral,
                            Pole::Earth => Carries::Earth,
                        },
                        is_own: own.iter().any(|own| conductor.to.is(own)),
                        is_out: field == Field::AcOut,
                    }
                })
                .collect(),
            _ => Vec::new(),
        };
        sides.push(Side { word: field.key(), lines, says: missing(stated.len()) });
    }
    sides.extend(solar(site, unit));
    sides
}

/// What is said in place of a value.
fn missing(stated: usize) -> String {
    if stated > 1 { "the sheets disagree" } else { "not declared" }.to_owned()
}

fn battery(site: &Site, unit: usize) -> Side {
    let declared = &site.declared;
    let stated = declared.stated(Subject::Unit(unit), Field::Bank);
    let lines = match declared.agreed(Subject::Unit(unit), Field::Bank) {
        Some(Value::Name(name)) => {
            let [(_, plus), _] = bank_nets(name);
            vec![Line {
                terminal: String::new(),
                to: format!("bank {}", name.spoken().to_uppercase()),
                bar: None,
                net: Some(plus),
                carries: Carries::Battery,
                is_own: false,
                is_out: false,
            }]
        }
        _ => Vec::new(),
    };
    Side { word: "battery", lines, says: missing(stated.len()) }
}

fn solar(site: &Site, unit: usize) -> Option<Side> {
    let declared = &site.declared;
    let Some(Value::Arrays(arrays)) = declared.agreed(Subject::Group, Field::Arrays) else {
        return None;
    };
    let own = arrays.iter().filter(|(_, name)| declared.unit_called(name) == Some(unit));
    let lines: Vec<_> = own
        .map(|(array, _)| Line {
            terminal: String::new(),
            to: array.spoken(),
            bar: None,
            net: Some(array_net(array)),
            carries: Carries::Solar,
            is_own: false,
            is_out: false,
        })
        .collect();
    (!lines.is_empty()).then_some(Side { word: "solar", lines, says: String::new() })
}

/// Names of the bar that a pole belongs on.
const fn own_bar(pole: Pole) -> &'static [&'static str] {
    match pole {
        Pole::L1 => &["bar L1"],
        Pole::L2 => &["bar L2"],
        Pole::L3 => &["bar L3"],
        Pole::N => &["bar N", "neutral bar"],
        Pole::Earth => &["earth bar"],
    }
}
