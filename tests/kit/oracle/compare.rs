//! Core against oracle, rule by rule.

use super::{Judged, Judgment, Places};
use coldcheck_core::finding::{Finding, Outcome, Unknown};
use coldcheck_core::place::Place;
use coldcheck_core::plan::{DeviceKind, Plan};
use coldcheck_core::report::Report;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::{RULES, RuleId, check};
use std::collections::BTreeMap;

/// A rule on which core and oracle do not agree.
#[derive(Clone, Debug)]
pub struct Difference {
    /// The rule.
    pub rule: &'static str,
    /// What the core says.
    pub core: String,
    /// What the oracle says.
    pub oracle: String,
}

/// Counts of what was compared.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Plans that were judged.
    pub plans: u64,
    /// Rules of which both say that they are broken.
    pub broken: u64,
    /// Rules of which both say that they are met.
    pub met: u64,
    /// Rules that nobody demands.
    pub undemanded: u64,
    /// Rules that the core leaves open because of another that is broken.
    pub blocked: u64,
    /// Rule and the broken rule that it waits for, where the oracle calls both broken.
    pub held_back: BTreeMap<(&'static str, &'static str), u64>,
}

impl Tally {
    /// Adds the counts of another.
    pub fn add(&mut self, other: &Self) {
        self.plans += other.plans;
        self.broken += other.broken;
        self.met += other.met;
        self.undemanded += other.undemanded;
        self.blocked += other.blocked;
        for (pair, count) in &other.held_back {
            *self.held_back.entry(*pair).or_default() += count;
        }
    }
}

/// Runs the core and compares. It keeps the memory that the core writes into.
pub struct Comparer {
    findings: Vec<Finding>,
    places: Vec<Place>,
    unknowns: Vec<Unknown>,
    ids: BTreeMap<&'static str, (RuleId, Severity)>,
    /// What was counted so far.
    pub tally: Tally,
}

impl Default for Comparer {
    fn default() -> Self {
        Self {
            findings: vec![Finding::BLANK; 512],
            places: vec![Place::Group; 4096],
            unknowns: vec![Unknown::BLANK; 64],
            ids: RULES.iter().map(|(id, rule)| (rule.slug, (*id, rule.severity))).collect(),
            tally: Tally::default(),
        }
    }
}

impl Comparer {
    /// Checks a plan and compares with what the oracle says of the same site.
    ///
    /// # Panics
    /// If the oracle judges a rule that the core does not have.
    pub fn compare(&mut self, plan: &Plan<'_>, judged: &[Judged]) -> Vec<Difference> {
        let mut report = Report::new(&mut self.findings, &mut self.places, &mut self.unknowns);
        check(plan, &mut report);
        self.tally.plans += 1;
        let mut differences = Vec::new();
        for (rule, judgment) in judged {
            let (id, severity) = self.ids[rule];
            let outcome = report.outcome(id);
            let agree = match (outcome, judgment) {
                (Outcome::Broken, Judgment::Broken(places)) => {
                    self.tally.broken += 1;
                    places.is_none_or(|places| places_of(plan, &report, id) == places)
                }
                (Outcome::Met, Judgment::Met | Judgment::NotBroken) => {
                    self.tally.met += 1;
                    true
                }
                (Outcome::Undemanded(_), Judgment::Undemanded | Judgment::NotBroken) => {
                    self.tally.undemanded += 1;
                    true
                }
                // What nobody demands may as well wait for a rule that is broken.
                (Outcome::Blocked(cause), _) => {
                    self.tally.blocked += 1;
                    let slug = cause.rule().slug;
                    let of_cause = judged.iter().find(|(other, _)| *other == slug);
                    if judgment.is_broken() {
                        *self.tally.held_back.entry((rule, slug)).or_default() += 1;
                    }
                    severity != Severity::Danger
                        && report.outcome(cause) == Outcome::Broken
                        && of_cause.is_none_or(|(_, judgment)| judgment.is_broken())
                }
                (
                    Outcome::NotRun
                    | Outcome::Met
                    | Outcome::Broken
                    | Outcome::Undemanded(_)
                    | Outcome::Missing(_),
                    _,
                ) => false,
            };
            if !agree {
                differences.push(Difference {
                    rule,
                    core: told(plan, &report, id),
                    oracle: format!("{judgment:?}"),
                });
            }
        }
        differences
    }
}

/// The places of a rule's findings, all together.
fn places_of(plan: &Plan<'_>, report: &Report<'_>, rule: RuleId) -> Places {
    let mut out = Places::default();
    for finding in report.findings().iter().filter(|finding| finding.rule == rule) {
        for place in report.places(finding.places) {
            match place {
                Place::Unit(unit) | Place::Port(unit, _) | Place::Terminator(unit) => {
                    out.add_unit(unit.index());
                }
                Place::Cable(cable) => out.add_cable(cable.index()),
                Place::Sensor(sensor) => {
                    let leads = plan.cables().filter(|(_, record)| {
                        record.ends.iter().any(|end| end.sensor() == Some(*sensor))
                    });
                    leads.for_each(|(cable, _)| out.add_cable(cable.index()));
                }
                Place::Device(device) => {
                    let kind = plan.devices.get(device.index()).and_then(|record| record.kind());
                    let same = plan.devices().filter(|(other, record)| {
                        other.index() < device.index() && record.kind() == kind
                    });
                    let shift = if kind == Some(DeviceKind::Gateway) { 32 } else { 0 };
                    out.devices |= 1 << (same.count() + shift);
                }
                Place::Pack(_) | Place::Group => {}
            }
        }
    }
    out
}

fn told(plan: &Plan<'_>, report: &Report<'_>, rule: RuleId) -> String {
    let outcome = report.outcome(rule);
    match outcome {
        Outcome::Broken => format!("Broken({:?})", places_of(plan, report, rule)),
        Outcome::NotRun
        | Outcome::Met
        | Outcome::Undemanded(_)
        | Outcome::Missing(_)
        | Outcome::Blocked(_) => format!("{outcome:?}"),
    }
}
