//! What profile and site demand together.

use crate::declared::Declared;
use crate::profile::Profile;
use coldcheck_core::plan::{
    CountSetting, DataSet, Datum, Demand, DemandRecord, DemandSet, Dialect, Shape,
};
use std::collections::BTreeMap;

/// What the profile demands, changed by what the site says. Where the sheets contradict each
/// other, nothing is demanded: the question comes first.
pub fn effective_demands(declared: &Declared, profile: &Profile) -> BTreeMap<Demand, u32> {
    let stated = declared.demands().map(|(demand, facts)| match facts {
        [fact] => (demand, fact.value.number()),
        _ => (demand, None),
    });
    let mut demands = effective(stated, profile);
    // Of a supply with one line one sensor sees all.
    if !declared.says_how_many_sensors() && declared.has_one_line() {
        demands.entry(Demand::Sensors).or_insert(1);
    }
    demands
}

/// What the profile demands, changed by these demands of the site; one without a value is one that
/// the site contradicts itself about.
fn effective(
    site: impl Iterator<Item = (Demand, Option<u32>)>,
    profile: &Profile,
) -> BTreeMap<Demand, u32> {
    let mut demands: BTreeMap<Demand, u32> =
        profile.demands.iter().map(|(demand, demanded)| (*demand, demanded.bits)).collect();
    let mut terminators_stated = false;
    for (demand, bits) in site {
        terminators_stated |= demand == Demand::TerminatorsAt;
        let Some(site) = bits else {
            demands.remove(&demand);
            continue;
        };
        let bits = demands.get(&demand).map_or(site, |own| demand.stricter(*own, site));
        demands.insert(demand, bits);
    }
    // A frame map without frames says nothing: the question comes first.
    let frame_map = u32::from(Dialect::FrameMap.code());
    if profile.frames.is_empty() && demands.get(&Demand::Dialect) == Some(&frame_map) {
        demands.remove(&Demand::Dialect);
    }
    let ring = u32::from(Shape::Ring.code());
    let profile_shape = profile.demands.get(&Demand::LinkShape).map(|own| own.bits);
    let is_ring = |shape: Option<u32>| shape == Some(ring);
    // A ring has no ends: where the site makes a ring of a line, or a line of a ring, what the
    // profile demands of terminators was said of the other shape.
    if is_ring(demands.get(&Demand::LinkShape).copied()) != is_ring(profile_shape)
        && !terminators_stated
    {
        demands.remove(&Demand::TerminatorsAt);
    }
    demands
}

/// The record of what is demanded of a site.
pub(super) fn record(declared: &Declared, profile: &Profile) -> DemandRecord {
    demand_record(&effective_demands(declared, profile), profile)
}

/// The record of what is demanded of a site that states these demands.
pub(crate) fn stated_demands(site: &[(Demand, u32)], profile: &Profile) -> DemandRecord {
    let stated = site.iter().map(|(demand, bits)| (*demand, Some(*bits)));
    demand_record(&effective(stated, profile), profile)
}

fn demand_record(effective: &BTreeMap<Demand, u32>, profile: &Profile) -> DemandRecord {
    let mut record = DemandRecord::default();
    let mut stated = 0;
    for (demand, bits) in effective {
        stated |= DemandSet::of(&[*demand]).0;
        record.values[demand.position() as usize] = (*bits).into();
    }
    record.stated = stated.into();
    let mut must_declare = profile.must_declare;
    if !effective.contains_key(&Demand::TerminatorsAt) {
        must_declare = must_declare.without(DataSet::of(&[Datum::Terminator]));
    }
    // Followers need not carry a count that only coordinators are set to.
    if effective.get(&Demand::CountSetting) == Some(&CountSetting::Coordinator.code().into()) {
        must_declare = must_declare.without(DataSet::of(&[Datum::Count]));
    }
    record.must_declare = must_declare.0.into();
    record
}
