//! What of the link, and of the battery's data leads, a power-up reads.

use crate::engine::{self, Site};
use crate::meter::names::Names;
use crate::meter::told;
use crate::meter::topology::Topology;
use coldcheck_core::finding::{Finding, Unknown};
use coldcheck_core::place::Place;
use coldcheck_core::plan::{CableKind, Plan};
use coldcheck_core::report::Report;
use coldcheck_core::rules::{self, RuleId};

/// Both ends of the link with all plugged in, and what must be read there.
pub(super) fn pair(site: &Site) -> Vec<(String, Option<(f64, f64)>)> {
    let Ok(plan) = engine::plan(site) else { return Vec::new() };
    let is_sound = is_link_sound(&plan);
    let topology = Topology::of(&plan);
    if topology.cables.is_empty() {
        return Vec::new();
    }
    let names = Names::of(site, &topology);
    let sheet = told::sheet(&plan, &topology, &names);
    let whole = sheet.steps.iter().take_while(|step| !step.place.contains("@pull"));
    let plugged = whole.filter(|step| !step.place.starts_with("plug"));
    let told = |step: &told::Step| {
        (step.place.clone(), is_sound.then_some((step.band.low, step.band.high)))
    };
    plugged.take(2).map(told).collect()
}

/// Whether no rule about cables, ports and terminators of the link is broken: a pair that reads as a
/// wrong link must is no right one.
fn is_link_sound(plan: &Plan<'_>) -> bool {
    // Whatever finds no room comes after what does: one finding is enough to know.
    let mut findings = [Finding::BLANK; 64];
    let mut places = [Place::Group; 256];
    let mut unknowns = [Unknown::BLANK; 64];
    let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
    rules::check(plan, &mut report);
    let is_of_link =
        |rule: RuleId| rule.number() <= LAST_OF_TERMINATION && !SAME_OHMS.contains(&rule);
    !report.findings().iter().any(|finding| is_of_link(finding.rule))
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

/// Units at which a data lead of the battery ends.
pub(super) fn battery_heard_at(site: &Site) -> Vec<String> {
    let Ok(plan) = engine::plan(site) else { return Vec::new() };
    let leads = plan.cables.iter().filter(|cable| cable.kind() == Some(CableKind::Battery));
    let units = leads.flat_map(|cable| cable.ends.iter().filter_map(|end| end.unit()));
    let mut names: Vec<String> = Vec::new();
    for unit in units {
        let own = site.assembled.map.units.get(unit.index());
        let name = own.and_then(|own| site.declared.units.get(*own)).map(|unit| unit.name.clone());
        names.extend(name.filter(|name| !names.contains(name)));
    }
    names
}
