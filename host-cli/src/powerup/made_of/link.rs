//! What of the link, and of the battery's data leads, a power-up reads.

use super::sound::is_link_sound;
use crate::engine::{self, Site};
use crate::meter::names::Names;
use crate::meter::told;
use crate::meter::topology::Topology;
use coldcheck_core::plan::CableKind;

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
