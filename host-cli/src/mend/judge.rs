//! What the core's check says of a state.

use super::bars;
use super::levers::{Levers, levers};
use super::model::Model;
use coldcheck_core::finding::{Finding, Quantity, Unknown};
use coldcheck_core::place::{Place, UnitId};
use coldcheck_core::plan::Scope;
use coldcheck_core::report::Report;
use coldcheck_core::rules::{self, RuleId};

/// Memory for reports.
pub struct Judge {
    findings: Vec<Finding>,
    places: Vec<Place>,
    unknowns: Vec<Unknown>,
    /// How many states were judged.
    pub judged: u64,
}

/// A broken rule at its places; cables by their positions in the model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// The rule.
    pub rule: RuleId,
    /// What identifies the finding.
    pub places: Vec<Place>,
    /// What is demanded, or what the others have.
    pub wanted: Option<Quantity>,
}

impl Default for Judge {
    fn default() -> Self {
        Self {
            findings: vec![Finding::BLANK; 1024],
            places: vec![Place::Group; 8192],
            unknowns: vec![Unknown::BLANK; 1024],
            judged: 0,
        }
    }
}

impl Judge {
    /// The findings of a state.
    pub fn broken(&mut self, model: &Model) -> Vec<Broken> {
        self.judged += 1;
        let (cables, positions) = model.present();
        let power = model.joined();
        let plan = model.plan(&cables, &power);
        let mut report = Report::new(&mut self.findings, &mut self.places, &mut self.unknowns);
        rules::check(&plan, &mut report);
        let own = |places: &[Place]| {
            let place = |place: &Place| match *place {
                Place::Cable(cable) => {
                    let at = positions.get(cable.index()).copied().unwrap_or(usize::MAX);
                    Place::Cable(super::model::cable_id(at))
                }
                place @ (Place::Group
                | Place::Unit(_)
                | Place::Port(..)
                | Place::Terminator(_)
                | Place::Sensor(_)
                | Place::Pack(_)
                | Place::Device(_)) => place,
            };
            places.iter().map(place).collect()
        };
        let told = |finding: &Finding| Broken {
            rule: finding.rule,
            places: own(report.places(finding.places)),
            wanted: finding.wanted,
        };
        let mut broken: Vec<Broken> = report.findings().iter().map(told).collect();
        broken.extend(bridged(model, &broken));
        broken
    }
}

/// Units of which two poles lie on one bar and no rule says so: rules look at outputs alone.
fn bridged(model: &Model, broken: &[Broken]) -> Vec<Broken> {
    if !model.group.scope().covers(Scope::POWER) {
        return Vec::new();
    }
    let rule = RuleId::AcLegCrossed;
    let is_told = |unit: UnitId| {
        let mut told = broken.iter().filter(|one| one.rule == rule).flat_map(|one| &one.places);
        told.any(|place| *place == Place::Unit(unit))
    };
    let units = (0_u8..).map(UnitId).zip(&model.power);
    let units = units.filter(|(unit, power)| bars::is_bridged(power) && !is_told(*unit));
    units.map(|(unit, _)| Broken { rule, places: vec![Place::Unit(unit)], wanted: None }).collect()
}

/// What acts can mend, by rules: all but those that were found to be beyond them.
#[derive(Clone, Debug, Default)]
pub struct Goal {
    /// The one rule that is looked at, if it is one alone; of others nothing is wanted then.
    pub only: Option<RuleId>,
    /// Rules that are broken at the beginning and that no act mends, with how many findings each.
    pub beyond: Vec<(RuleId, usize)>,
    /// Findings that a named person lets stand, each with all its places.
    pub waived: Vec<(RuleId, Vec<Place>)>,
}

impl Goal {
    /// Whether acts are to mend a rule.
    pub fn wants(&self, rule: RuleId) -> bool {
        let is_it = self.only.is_none_or(|only| only == rule);
        is_it && levers(rule) != Levers::NONE && !self.is_beyond(rule)
    }

    /// Whether a finding is one that stands by a waiver: of its rule, and at no other place.
    pub fn is_waived(&self, one: &Broken) -> bool {
        self.waived.iter().any(|(rule, places)| {
            *rule == one.rule && one.places.iter().all(|place| places.contains(place))
        })
    }

    fn is_beyond(&self, rule: RuleId) -> bool {
        self.beyond.iter().any(|(own, _)| *own == rule)
    }

    /// What of these findings is still to be mended; `None` if there is more of what no act mends
    /// than there was.
    pub fn left<'b>(&self, broken: &'b [Broken]) -> Option<Vec<&'b Broken>> {
        let counted = || broken.iter().filter(|one| !self.is_waived(one));
        let count = |rule: RuleId| counted().filter(|one| one.rule == rule).count();
        let others = counted().filter(|one| !self.wants(one.rule));
        let is_worse = self.only.is_none()
            && others.into_iter().any(|one| {
                let before = self.beyond.iter().find(|(rule, _)| *rule == one.rule);
                before.is_none_or(|(_, before)| count(one.rule) > *before)
            });
        let left = counted().filter(|one| self.wants(one.rule)).collect();
        (!is_worse).then_some(left)
    }
}
