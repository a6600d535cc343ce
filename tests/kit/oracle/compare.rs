//! Core against oracle, rule by rule.

use super::{JUDGED, Judged, Judgment, Places};
use coldcheck_core::finding::{Finding, Outcome, Unknown};
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Datum, DeviceKind, Plan};
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
                // A terminator that minds itself may become an end, once the line is whole.
                (Outcome::Missing(Datum::LineEnds), Judgment::Met | Judgment::NotBroken) => {
                    let is_broken = |slug: &&str| {
                        judged.iter().any(|(rule, judgment)| rule == slug && judgment.is_broken())
                    };
                    *rule == "term-missing-both-ends" && NO_LINE.iter().any(is_broken)
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

/// Rules of which one is broken wherever the link is no whole line.
const NO_LINE: [&str; 7] = [
    "link-self-loop",
    "link-star",
    "link-broken",
    "unit-not-on-link",
    "unit-listed-twice",
    "link-doubled-pair",
    "link-ring-closed",
];

/// Rules that the core takes for broken by the facts that are there, with the rule that would be
/// broken instead if the missing fact said otherwise: a fault in any case.
const OTHERWISE: [(&str, &str); 7] = [
    // Leads at a follower: whoever is not said to lead leads beside another, or nobody does.
    ("bms-lead-on-follower", "coordinator-two"),
    ("bms-lead-on-follower", "coordinator-none"),
    ("ct-on-follower", "coordinator-two"),
    ("ct-on-follower", "coordinator-none"),
    // Counts that are declared agree and are wrong; another count would differ.
    ("count-not-equal-fitted", "count-setting-differs"),
    // An end is open; if all others are open too, there is no terminator at all.
    ("term-missing-one-end", "term-missing-both-ends"),
    // A unit without a cable is alone, or stands in the list twice.
    ("unit-not-on-link", "unit-listed-twice"),
];

impl Comparer {
    /// Checks a plan from which facts were left out, and compares with what the oracle says of
    /// sites that could be meant: what the core finds must be so in all of them, and what it calls
    /// met without a gap must be met in all of them.
    ///
    /// # Panics
    /// If the oracle judges a rule that the core does not have.
    pub fn compare_open(&mut self, plan: &Plan<'_>, meant: &[Vec<Judged>]) -> Vec<Difference> {
        let mut report = Report::new(&mut self.findings, &mut self.places, &mut self.unknowns);
        check(plan, &mut report);
        self.tally.plans += 1;
        let mut differences = Vec::new();
        for (position, (rule, _)) in meant.iter().flatten().take(JUDGED.len()).enumerate() {
            let (id, _) = self.ids[rule];
            let outcome = report.outcome(id);
            let broken = |judged: &Vec<Judged>| judged[position].1.is_broken();
            let another = |judged: &Vec<Judged>, slug: &str| {
                judged.iter().any(|(other, judgment)| *other == slug && judgment.is_broken())
            };
            let or_another = |judged: &Vec<Judged>| {
                let mut others = OTHERWISE.iter().filter(|(one, _)| one == rule);
                broken(judged) || others.any(|(_, other)| another(judged, other))
            };
            let agree = match outcome {
                Outcome::Broken => {
                    self.tally.broken += 1;
                    meant.iter().all(or_another)
                }
                Outcome::Met if report.unknowns().iter().any(|unknown| unknown.rule == id) => true,
                Outcome::Met => {
                    self.tally.met += 1;
                    !meant.iter().any(broken)
                }
                Outcome::Undemanded(_) => !meant.iter().any(broken),
                Outcome::Blocked(cause) => report.outcome(cause) == Outcome::Broken,
                Outcome::Missing(_) => true,
                Outcome::NotRun => false,
            };
            if !agree {
                let said: Vec<_> = meant.iter().map(|judged| judged[position].1).collect();
                let core = told(plan, &report, id);
                differences.push(Difference { rule, core, oracle: format!("{said:?}") });
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
