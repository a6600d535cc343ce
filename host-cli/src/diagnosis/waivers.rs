//! Waivers held against what was found: which finding a named person lets stand today.

use super::{Diagnosis, Diagnostic, NamedPlace};
use crate::date::Date;
use crate::declared::{Covered, Declared, Subject, Waiver};
use crate::engine::Site;
use coldcheck_core::report::Tally;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::RuleId;

/// The day against which waivers are held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day {
    /// The day.
    pub date: Date,
    /// Whether it is the clock's and not one that a person gave.
    pub from_clock: bool,
}

/// A finding that a waiver lets stand.
#[derive(Clone, Debug)]
pub struct Waived {
    /// What was found.
    pub finding: Diagnostic,
    /// What lets it stand.
    pub waiver: Waiver,
}

/// A waiver that lets nothing stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IdleWaiver {
    /// The waiver.
    pub waiver: Waiver,
    /// Why.
    pub why: Idle,
}

/// Why a waiver lets nothing stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Idle {
    /// What it would let stand is a danger.
    Danger,
    /// Its last day is past.
    Expired,
    /// Its rule found nothing.
    NothingFound,
    /// Its rule found something, but not at the places that it names.
    OtherPlaces,
    /// Its rule could not be checked.
    NotChecked,
    /// Its rule was not looked at in this scope.
    OutOfScope,
    /// It is not known what day it is.
    NoDate,
}

impl Idle {
    /// The reason in words.
    pub const fn says(self) -> &'static str {
        match self {
            Self::Danger => "refused: a danger cannot be waived, so the finding stands",
            Self::Expired => "expired: it holds no more",
            Self::NothingFound => "it fits nothing: its rule found nothing",
            Self::OtherPlaces => {
                "it fits nothing: it must name every place of a finding, and does not"
            }
            Self::NotChecked => "it fits nothing: its rule could not be checked",
            Self::OutOfScope => "it fits nothing: its rule is not in scope",
            Self::NoDate => "not applied: no date was given to hold it against",
        }
    }

    /// The reason in one word, for programs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Expired => "expired",
            Self::NothingFound => "nothing-found",
            Self::OtherPlaces => "other-places",
            Self::NotChecked => "not-checked",
            Self::OutOfScope => "out-of-scope",
            Self::NoDate => "no-date",
        }
    }
}

/// Every waiver of a site, before a day is known.
pub(super) fn undated(declared: &Declared) -> Vec<IdleWaiver> {
    let idle = |waiver: &Waiver| IdleWaiver { waiver: waiver.clone(), why: Idle::NoDate };
    declared.waivers.iter().map(idle).collect()
}

impl Diagnosis {
    /// Holds the site's waivers against a day. What a waiver lets stand goes to another list and
    /// counts no more for the verdict; a danger goes nowhere.
    pub fn waive(&mut self, site: &Site, day: Day) {
        let waivers = &site.declared.waivers;
        if waivers.is_empty() {
            return;
        }
        self.day = Some(day);
        let mut used = vec![false; waivers.len()];
        let mut refused = vec![false; waivers.len()];
        for finding in std::mem::take(&mut self.findings) {
            let fitting = (0..waivers.len())
                .filter(|position| fits(&site.declared, site, &waivers[*position], &finding));
            let mut lets = None;
            for position in fitting {
                if finding.severity == Severity::Danger {
                    refused[position] = true;
                } else if waivers[position].until >= day.date {
                    used[position] = true;
                    lets.get_or_insert(position);
                }
            }
            match lets {
                Some(position) => {
                    uncount(&mut self.tally, &finding);
                    self.waived.push(Waived { finding, waiver: waivers[position].clone() });
                }
                None => self.findings.push(finding),
            }
        }
        self.idle_waivers = (0..waivers.len())
            .filter(|position| !used[*position])
            .map(|position| {
                let waiver = waivers[position].clone();
                let why = if refused[position] {
                    Idle::Danger
                } else if waiver.until < day.date {
                    Idle::Expired
                } else {
                    self.why_nothing(waiver.rule)
                };
                IdleWaiver { waiver, why }
            })
            .collect();
        let verdict = self.tally.verdict(!self.undeclared.is_empty());
        self.verdict = verdict.max(self.least_of_log());
    }

    fn why_nothing(&self, rule: RuleId) -> Idle {
        if !self.stages.contains(&super::stage(rule)) {
            Idle::OutOfScope
        } else if self.not_checked.iter().any(|entry| entry.rule == rule) {
            Idle::NotChecked
        } else if !self.met.contains(&rule) {
            Idle::OtherPlaces
        } else {
            Idle::NothingFound
        }
    }
}

/// Whether a waiver covers a finding: its rule, and every place that identifies it. A place that
/// joins the finding later was never weighed by the person, so the waiver fits no more.
fn fits(declared: &Declared, site: &Site, waiver: &Waiver, finding: &Diagnostic) -> bool {
    let covers = |place: &NamedPlace| {
        waiver.covers.iter().any(|covered| covers(declared, site, *covered, place))
    };
    let about_group = finding.places.iter().all(|place| *place == NamedPlace::Group);
    waiver.rule == finding.rule
        && if about_group { waiver.covers.is_empty() } else { finding.places.iter().all(covers) }
}

fn covers(declared: &Declared, site: &Site, covered: Covered, place: &NamedPlace) -> bool {
    match (place, covered) {
        (NamedPlace::Unit { name, .. }, Covered::Thing(Subject::Unit(unit))) => {
            declared.units[unit].name == *name
        }
        (NamedPlace::Unit { name, port, .. }, Covered::Port(unit, own)) => {
            declared.units[unit].name == *name
                && port.as_deref() == Some(site.profile.port_name(own))
        }
        (NamedPlace::Unit { name, terminator, .. }, Covered::Terminator(unit)) => {
            declared.units[unit].name == *name && *terminator
        }
        (NamedPlace::Cable(label), Covered::Thing(Subject::Cable(cable))) => {
            declared.cables[cable].label == *label
        }
        (NamedPlace::Sensor { name, .. }, Covered::Thing(Subject::Sensor(sensor))) => {
            declared.sensors[sensor].0.name == *name
        }
        (NamedPlace::Pack(name), Covered::Thing(Subject::Pack(pack))) => {
            declared.packs[pack].name == *name
        }
        (NamedPlace::Device(name), Covered::Thing(Subject::Device(device))) => {
            declared.devices[device].0.name == *name
        }
        _ => false,
    }
}

/// Takes a finding out of the counts, as the report put it in.
const fn uncount(tally: &mut Tally, finding: &Diagnostic) {
    let count = match finding.severity {
        Severity::Danger => &mut tally.dangers,
        Severity::NoStart => &mut tally.no_starts,
        Severity::Degraded => &mut tally.degraded,
        Severity::Note => &mut tally.notes,
    };
    *count = count.saturating_sub(1);
    if finding.rule.rule().asks {
        tally.questions = tally.questions.saturating_sub(1);
    }
}
