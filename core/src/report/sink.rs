//! What one rule writes through.

use super::Report;
use crate::finding::{Finding, Outcome, Quantity, Span, Unknown};
use crate::place::Place;
use crate::plan::{Datum, Demand};
use crate::rule::Severity;
use crate::rules::RuleId;
use crate::sets::{CableSet, NodeSet, PackSet, SensorSet, UnitSet};

// None of a sink's functions is inlined: rules call them only to tell a fault, and each copy would
// cost the microcontroller more than the call.

/// What one rule writes through: it knows the rule's name and severity, so that a rule cannot
/// sign with another's.
///
/// [`Sink::add`], [`Sink::open`] and [`Sink::gap`] each begin an entry; the calls that follow add
/// to it: first the places that identify it, then others to look at.
#[derive(Debug)]
pub struct Sink<'r, 'm> {
    report: &'r mut Report<'m>,
    rule: RuleId,
    severity: Severity,
    asks: bool,
    outcome: Outcome,
    slot: Slot,
}

/// Where the entry that is being written lies.
#[derive(Clone, Copy, Debug)]
enum Slot {
    Finding(usize),
    Unknown(usize),
    Dropped,
}

impl<'r, 'm> Sink<'r, 'm> {
    pub(crate) fn new(
        report: &'r mut Report<'m>,
        rule: RuleId,
        severity: Severity,
        asks: bool,
    ) -> Self {
        Self { report, rule, severity, asks, outcome: Outcome::Met, slot: Slot::Dropped }
    }

    /// Goes on with another rule.
    #[inline(always)]
    pub(crate) const fn begin(&mut self, rule: RuleId, severity: Severity, asks: bool) {
        self.rule = rule;
        self.severity = severity;
        self.asks = asks;
        self.outcome = Outcome::Met;
        self.slot = Slot::Dropped;
    }

    /// The report that it writes into.
    #[inline(always)]
    pub(crate) const fn report(&mut self) -> &mut Report<'m> {
        self.report
    }

    pub(crate) const fn outcome(&self) -> Outcome {
        self.outcome
    }

    /// Why the rule cannot be decided; the first reason counts, and a finding more than any.
    fn undecided(&mut self, why: Outcome) {
        if self.outcome == Outcome::Met {
            self.outcome = why;
        }
    }

    /// Begins a finding; without places it points at the whole group.
    #[inline(never)]
    pub fn add(&mut self) -> &mut Self {
        self.outcome = Outcome::Broken;
        self.report.may_spoil = true;
        let tally = &mut self.report.tally;
        let count = match self.severity {
            Severity::Danger => &mut tally.dangers,
            Severity::NoStart => &mut tally.no_starts,
            Severity::Degraded => &mut tally.degraded,
            Severity::Note => &mut tally.notes,
        };
        *count = count.saturating_add(1);
        if self.asks {
            self.report.add_questions(1);
        }
        let finding = Finding { rule: self.rule, places: self.report.new_span(), ..Finding::BLANK };
        let kept = self.kept(self.report.findings.kept());
        self.slot = self.report.findings.push(finding, kept).map_or(Slot::Dropped, Slot::Finding);
        if matches!(self.slot, Slot::Dropped) {
            let dropped = &mut self.report.tally.dropped_findings;
            *dropped = dropped.saturating_add(1);
        }
        self
    }

    /// Says that the rule cannot be decided, because the datum is missing at the places that
    /// follow. The rule ends as not checked unless it is broken elsewhere.
    #[inline(never)]
    pub fn open(&mut self, datum: Datum) -> &mut Self {
        self.undecided(Outcome::Missing(datum));
        self.gap(datum)
    }

    /// Says that the rule was checked, but not at the places that follow, because the datum is
    /// missing there.
    #[inline(never)]
    pub fn gap(&mut self, datum: Datum) -> &mut Self {
        let unknown = Unknown { rule: self.rule, datum, places: self.report.new_span() };
        self.slot = self.report.unknowns.push(unknown, 0).map_or(Slot::Dropped, Slot::Unknown);
        self
    }

    /// Says that a broken rule stands in the way, where only the check can tell. If that one could
    /// not be checked itself, what stood in its way is the reason.
    #[inline(never)]
    pub fn blocked_by(&mut self, rule: RuleId) {
        self.report.may_spoil = true;
        self.undecided(match self.report.outcome(rule) {
            Outcome::Broken | Outcome::Met | Outcome::NotRun => Outcome::Blocked(rule),
            root @ (Outcome::Blocked(_) | Outcome::Missing(_) | Outcome::Undemanded(_)) => root,
        });
    }

    /// Says that nobody demands what the rule checks.
    #[inline(never)]
    pub fn undemanded(&mut self, demand: Demand) {
        self.undecided(Outcome::Undemanded(demand));
    }

    /// What was declared.
    #[inline(never)]
    pub fn value(&mut self, value: Quantity) -> &mut Self {
        if let Some(finding) = self.finding() {
            finding.value = Some(value);
        }
        self
    }

    /// What was demanded, or what the others have.
    #[inline(never)]
    pub fn wanted(&mut self, wanted: Quantity) -> &mut Self {
        if let Some(finding) = self.finding() {
            finding.wanted = Some(wanted);
        }
        self
    }

    fn finding(&mut self) -> Option<&mut Finding> {
        match self.slot {
            Slot::Finding(position) => self.report.findings.items.get_mut(position),
            Slot::Unknown(_) | Slot::Dropped => None,
        }
    }

    /// Adds a place that identifies the entry.
    #[inline(never)]
    pub fn at(&mut self, place: Place) -> &mut Self {
        if let Some(span) = self.push(place) {
            span.places = span.places.saturating_add(1);
        }
        self
    }

    /// Adds units that identify it.
    #[inline(never)]
    pub fn at_units(&mut self, units: UnitSet) -> &mut Self {
        for unit in units {
            self.at(Place::Unit(unit));
        }
        self
    }

    /// Adds points of the link that identify it.
    #[inline(never)]
    pub fn at_nodes(&mut self, nodes: NodeSet) -> &mut Self {
        for node in nodes {
            self.at(node.place());
        }
        self
    }

    /// Adds terminators that identify it.
    #[inline(never)]
    pub fn at_terminators(&mut self, nodes: NodeSet) -> &mut Self {
        for node in nodes {
            self.at(node.unit().map_or_else(|| node.place(), Place::Terminator));
        }
        self
    }

    /// Adds cables that identify it.
    #[inline(never)]
    pub fn at_cables(&mut self, cables: CableSet) -> &mut Self {
        for cable in cables {
            self.at(Place::Cable(cable));
        }
        self
    }

    /// Adds sensors that identify it.
    #[inline(never)]
    pub fn at_sensors(&mut self, sensors: SensorSet) -> &mut Self {
        for sensor in sensors {
            self.at(Place::Sensor(sensor));
        }
        self
    }

    /// Adds packs that identify it.
    #[inline(never)]
    pub fn at_packs(&mut self, packs: PackSet) -> &mut Self {
        for pack in packs {
            self.at(Place::Pack(pack));
        }
        self
    }

    /// One finding at these cables, if there are any.
    #[inline(never)]
    pub fn add_cables(&mut self, cables: CableSet) {
        if !cables.is_empty() {
            self.add().at_cables(cables);
        }
    }

    /// One finding at these units, if there are any.
    #[inline(never)]
    pub fn add_units(&mut self, units: UnitSet) {
        if !units.is_empty() {
            self.add().at_units(units);
        }
    }

    /// One finding at these sensors, if there are any.
    #[inline(never)]
    pub fn add_sensors(&mut self, sensors: SensorSet) {
        if !sensors.is_empty() {
            self.add().at_sensors(sensors);
        }
    }

    /// As [`Sink::open`] at these units, if there are any.
    #[inline(never)]
    pub fn open_units(&mut self, datum: Datum, units: UnitSet) {
        if !units.is_empty() {
            self.open(datum).at_units(units);
        }
    }

    /// As [`Sink::open`] at these points of the link, if there are any.
    #[inline(never)]
    pub fn open_nodes(&mut self, datum: Datum, nodes: NodeSet) {
        if !nodes.is_empty() {
            self.open(datum).at_nodes(nodes);
        }
    }

    /// As [`Sink::open`] at these cables, if there are any.
    #[inline(never)]
    pub fn open_cables(&mut self, datum: Datum, cables: CableSet) {
        if !cables.is_empty() {
            self.open(datum).at_cables(cables);
        }
    }

    /// As [`Sink::gap`] at these units, if there are any.
    #[inline(never)]
    pub fn gap_units(&mut self, datum: Datum, units: UnitSet) {
        if !units.is_empty() {
            self.gap(datum).at_units(units);
        }
    }

    /// As [`Sink::gap`] at these points of the link, if there are any.
    #[inline(never)]
    pub fn gap_nodes(&mut self, datum: Datum, nodes: NodeSet) {
        if !nodes.is_empty() {
            self.gap(datum).at_nodes(nodes);
        }
    }

    /// As [`Sink::gap`] at these cables, if there are any.
    #[inline(never)]
    pub fn gap_cables(&mut self, datum: Datum, cables: CableSet) {
        if !cables.is_empty() {
            self.gap(datum).at_cables(cables);
        }
    }

    /// Adds a place to look at.
    #[inline(never)]
    pub fn near(&mut self, place: Place) -> &mut Self {
        if let Some(span) = self.push(place) {
            span.related = span.related.saturating_add(1);
        }
        self
    }

    /// Adds cables to look at.
    #[inline(never)]
    pub fn near_cables(&mut self, cables: CableSet) -> &mut Self {
        for cable in cables {
            self.near(Place::Cable(cable));
        }
        self
    }

    /// Stores a place and gives the span of the entry that it belongs to.
    fn push(&mut self, place: Place) -> Option<&mut Span> {
        if matches!(self.slot, Slot::Dropped) {
            return None;
        }
        let kept = self.kept(self.report.places.kept());
        if self.report.places.push(place, kept).is_none() {
            let dropped = &mut self.report.tally.dropped_places;
            *dropped = dropped.saturating_add(1);
            return None;
        }
        match self.slot {
            Slot::Finding(position) => {
                self.report.findings.items.get_mut(position).map(|finding| &mut finding.places)
            }
            Slot::Unknown(position) => {
                self.report.unknowns.items.get_mut(position).map(|unknown| &mut unknown.places)
            }
            Slot::Dropped => None,
        }
    }

    /// Room that this rule must leave to dangers.
    const fn kept(&self, kept: usize) -> usize {
        if matches!(self.severity, Severity::Danger) { 0 } else { kept }
    }
}

impl Report<'_> {
    fn new_span(&self) -> Span {
        Span { start: u16::try_from(self.places.used).unwrap_or(u16::MAX), ..Span::default() }
    }
}
