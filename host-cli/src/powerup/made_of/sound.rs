//! What of the sheets is wrong already: what is read there proves nothing.

use crate::declared::Subject;
use crate::engine::{self, Site};
use crate::field::Field;
use crate::sizing::given::Given;
use crate::sizing::site as sizes;
use crate::sizing::work::Whose;
use crate::value::Value;
use coldcheck_core::finding::{Finding, Unknown};
use coldcheck_core::place::Place;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::rules::{self, RuleId};

/// What the core finds of a plan, with room for all of it at the largest site.
fn found<T>(plan: &Plan<'_>, of: impl FnOnce(&Report<'_>) -> T) -> T {
    let mut findings = vec![Finding::BLANK; 1024];
    let mut places = vec![Place::Group; 8192];
    let mut unknowns = vec![Unknown::BLANK; 1024];
    let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
    rules::check(plan, &mut report);
    of(&report)
}

/// Whether no rule about cables, ports and terminators of the link is broken: a pair that reads as a
/// wrong link must is no right one.
pub(super) fn is_link_sound(plan: &Plan<'_>) -> bool {
    let is_of_link =
        |rule: RuleId| rule.number() <= LAST_OF_TERMINATION && !SAME_OHMS.contains(&rule);
    found(plan, |report| !report.findings().iter().any(|finding| is_of_link(finding.rule)))
}

/// Numbers of rules about link, ports and terminators go so far, as `core/src/rules.rs` has them.
const LAST_OF_TERMINATION: u8 = 43;

/// Those of them whose faults leave the ohms of the pair as they are.
const SAME_OHMS: &[RuleId] = &[
    RuleId::LinkTooLong,
    RuleId::LinkStubTooLong,
    RuleId::LinkCableUnsuitable,
    RuleId::LinkScreenBothEnds,
    RuleId::ExtraConductorsConnected,
    RuleId::SignalCommonMissing,
    RuleId::PortPairingAgainstPolicy,
];

/// Rules about the bars that conductors of a unit are at.
const OF_BARS: &[RuleId] =
    &[RuleId::AcLegCrossed, RuleId::NeutralNotCommon, RuleId::InputLegsNotAsOutput];

/// Declared units of which a conductor is at a wrong bar by the sheets, beside the others or by the
/// bar's own name: one that is found there is where it must not be.
pub(super) fn units_at_wrong_bars(site: &Site) -> Vec<usize> {
    let Ok(plan) = engine::plan(site) else { return Vec::new() };
    let of_rules = found(&plan, |report| {
        let wrong = report.findings().iter().filter(|finding| OF_BARS.contains(&finding.rule));
        let places = wrong.flat_map(|finding| report.places(finding.places));
        let units = places.filter_map(|place| {
            let Place::Unit(unit) = place else { return None };
            site.assembled.map.units.get(unit.index()).copied()
        });
        units.collect::<Vec<usize>>()
    });
    let by_name = (0..site.declared.units.len()).filter(|unit| {
        [Field::AcOut, Field::AcIn, Field::GeneratorIn].into_iter().any(|field| {
            match site.declared.agreed(Subject::Unit(*unit), field) {
                Some(Value::Conductors(all)) => all.iter().any(|one| one.is_misplaced().is_some()),
                Some(_) | None => false,
            }
        })
    });
    of_rules.into_iter().chain(by_name).chain(beside_others(site, &plan)).collect()
}

/// The same by the rule that looks at bars beside those of other units: two lines on one bar, a line
/// where others have neutrals.
fn beside_others(site: &Site, plan: &Plan<'_>) -> Vec<usize> {
    let sheet = sizes::of(&Given::new(&site.declared, plan.demands));
    let broken = sheet.judgements.iter().filter(|judgement| {
        judgement.rule == RuleId::LineOnNeutralBar && matches!(judgement.outcome, Ok(Some(_)))
    });
    broken
        .flat_map(|judgement| match &judgement.whose {
            Whose::Units(units) => units.clone(),
            Whose::Group | Whose::Sensor(_) | Whose::Array(..) => {
                (0..site.declared.units.len()).collect()
            }
        })
        .collect()
}
