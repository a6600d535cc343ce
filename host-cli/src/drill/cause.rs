//! What may be wrong: every fault that the models carry, at every place of a group.

use super::words::{Words, rule_of, words_of_done};
use crate::fault::heard::{HeardFault, Traffic, faults as heard_faults};
use crate::fault::{self, Group};
use crate::meter::fault::{Cut, Fault as Wires, singles};
use crate::meter::topology::{Topology, Wire};
use coldcheck_core::rule::{Check, Severity};
use coldcheck_core::rules::RuleId;

/// How a fault is made.
#[derive(Clone, Debug)]
pub enum What {
    /// A fact of the plant, or of the sheets, is another one.
    Declared(fault::Fault),
    /// The link as a circuit is another one, which no list shows.
    Wires(Wires),
    /// The two wires of this cable (a position in the topology) run in two pairs.
    Split(usize),
    /// What is heard is something else.
    Heard(HeardFault),
}

/// One fault at one place.
#[derive(Clone, Debug)]
pub struct Cause {
    /// Its kind: the name of a rule, or a kind that no rule names.
    pub kind: &'static str,
    /// Which of its kind, from 1.
    pub nth: usize,
    /// What was done, and where.
    pub done: String,
    /// How it is made.
    pub what: What,
}

/// Faults of the paper alone, beside those that readers find: the plant cannot be so, or there it is
/// a fault that a list does not show (`ring-closed`).
const PAPER: &[RuleId] = &[
    RuleId::PortListedTwice,
    RuleId::LinkSelfLoop,
    RuleId::TermListedTwoWays,
    RuleId::UnitListedTwice,
    RuleId::CableListedFromBothEnds,
    RuleId::AddressHexDecimal,
    RuleId::LinkRingClosed,
];

impl Cause {
    /// Its name among all of a group.
    pub fn id(&self) -> String {
        format!("{}/{}", self.kind, self.nth)
    }

    /// The words of its kind.
    pub fn words(&self) -> Words {
        let none = Words { kind: self.kind, title: "", why: "", act: "", prove: "" };
        words_of_done(self.kind, &self.done).unwrap_or(none)
    }

    /// How bad it is. What no rule names keeps a group from working well.
    pub fn severity(&self) -> Severity {
        rule_of(self.kind).map_or(Severity::Degraded, |rule| rule.rule().severity)
    }

    /// Whether the fault is one of the sheets, and the plant is right.
    pub fn is_paper(&self) -> bool {
        rule_of(self.kind)
            .is_some_and(|rule| matches!(rule.rule().check, Check::Reader) || PAPER.contains(&rule))
    }

    /// Whether a list can show it at all.
    pub const fn is_on_list(&self) -> bool {
        matches!(self.what, What::Declared(_))
    }
}

/// Every fault of a group: what a list shows, what only a meter shows, what is only heard.
pub(super) fn causes(
    group: &Group,
    topology: &Topology,
    names: (&[String], &[String]),
    right: &Traffic,
) -> Vec<Cause> {
    let mut all: Vec<Cause> = Vec::new();
    for fault in fault::faults(group) {
        let done = fault.done.clone();
        all.push(cause(fault.rule.rule().slug, done, What::Declared(fault)));
    }
    for wires in wires_of(topology) {
        let done = said(wires, names);
        all.push(cause(wires.kind().word(), done, What::Wires(wires)));
    }
    for (position, cable) in names.1.iter().enumerate() {
        let done = format!("the signal runs in two pairs of cable {cable}");
        all.push(cause("pair-split", done, What::Split(position)));
    }
    for fault in heard_faults(group, right) {
        // Several units at once are lost by a cable, which stands among the faults of the wires.
        let lost: usize = fault.findings.iter().map(|wanted| wanted.places.len()).sum();
        let by_cable = [RuleId::UnitSilent, RuleId::UnitComesAndGoes].contains(&fault.rule);
        // One fault is one claim, in however many ways it is heard.
        let done = fault.done.split(" (").next().unwrap_or_default().to_owned();
        let kind = fault.rule.rule().slug;
        let is_told = all.iter().any(|other| other.kind == kind && other.done == done);
        if (!by_cable || lost == 1) && !is_told {
            all.push(cause(kind, done, What::Heard(fault)));
        }
    }
    let mut counts = std::collections::BTreeMap::new();
    for cause in &mut all {
        let count = counts.entry(cause.kind).or_insert(0);
        *count += 1;
        cause.nth = *count;
    }
    all
}

fn cause(kind: &'static str, done: String, what: What) -> Cause {
    Cause { kind, nth: 0, done, what }
}

/// Faults of the link as a circuit: those that the meter's model ranks, and those that ohms between
/// the two wires never show.
fn wires_of(topology: &Topology) -> Vec<Wires> {
    let mut all = singles(topology);
    for (position, cable) in topology.cables.iter().enumerate() {
        let open = Wires::Open { cable: position, cut: Cut::One };
        if !all.contains(&open) {
            all.push(open);
        }
        // One of the two points; the fault is at the cable's plug there.
        let [point, _] = cable.ends;
        let wire = if position % 2 == 0 { Wire::High } else { Wire::Low };
        all.push(Wires::Grounded { point, wire, milliohms: 300 });
    }
    all
}

fn said(wires: Wires, (points, cables): (&[String], &[String])) -> String {
    let point = |at: usize| points.get(at).map_or("?", String::as_str);
    let cable = |at: usize| cables.get(at).map_or("?", String::as_str);
    match wires {
        Wires::Open { cable: at, cut: Cut::Both } => format!("cable {} is cut inside", cable(at)),
        Wires::Open { cable: at, cut: Cut::One } => {
            format!("one wire of cable {} is broken inside", cable(at))
        }
        Wires::Loose { cable: own, at } => {
            format!("the plug of cable {} at {} makes no contact", cable(own), point(at))
        }
        Wires::Swapped { cable: at } => {
            format!("the two wires of cable {} are exchanged", cable(at))
        }
        Wires::Shorted { cable: at } => format!("the two wires of cable {} touch", cable(at)),
        Wires::Missing { point: at } => {
            format!("the terminator of {} does nothing, though it shows on", point(at))
        }
        Wires::Extra { point: at } => format!("a terminator is hidden in {}", point(at)),
        Wires::Moved { from, to } => {
            format!("the terminator of {} is at {} instead", point(from), point(to))
        }
        Wires::Ring { a, b } => format!("a spare cable joins {} and {}", point(a), point(b)),
        Wires::Grounded { point: at, wire, .. } => {
            let wire = if wire == Wire::High { "first" } else { "second" };
            format!("the {wire} wire of the pair touches the common at {}", point(at))
        }
    }
}
