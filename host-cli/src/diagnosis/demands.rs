//! Demands that the site states, and what was stated without any rule to look at it.

use super::{stage, stages};
use crate::engine::Site;
use crate::phrase::all_of;
use crate::source::Origin;
use crate::words;
use coldcheck_core::links::Links;
use coldcheck_core::plan::{DataSet, Datum, Demand, DemandSet, Owner, Plan, Scope};
use coldcheck_core::rules::{POWER_DATA, RULES};

/// A demand that the sheets state, beside that of the profile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteDemand {
    /// Which.
    pub demand: Demand,
    /// Its value in words; several if the sheets contradict each other.
    pub value: String,
    /// What the profile says.
    pub profile: Option<String>,
    /// Where it is stated.
    pub origins: Vec<Origin>,
}

pub(super) fn of_the_site(site: &Site) -> Vec<SiteDemand> {
    site.declared
        .demands()
        .map(|(demand, facts)| {
            let values: Vec<_> = facts
                .iter()
                .filter_map(|fact| Some(words::demand(demand.kind(), fact.value.number()?)))
                .collect();
            let own = site.profile.demands.get(&demand);
            SiteDemand {
                demand,
                value: all_of(&values),
                profile: own.map(|own| words::demand(demand.kind(), own.bits)),
                origins: facts.iter().flat_map(|fact| fact.origins.iter().copied()).collect(),
            }
        })
        .collect()
}

/// Data and demands of the scope that no rule of the stages that ran reads: whoever wrote them
/// down must not take silence for a check.
pub(super) fn looked_at_by_none(site: &Site, plan: &Plan<'_>, is_heard: bool) -> Vec<&'static str> {
    let ran = stages(site, is_heard);
    let (mut data, mut demands) = (DataSet::EMPTY, DemandSet::EMPTY);
    for (id, rule) in RULES {
        if ran.contains(&stage(*id)) {
            let needs = &rule.needs;
            data = data.or(needs.whole).or(needs.some).or(needs.also);
            data = data.or(DataSet::of(&[rule.shows]));
            demands = DemandSet(demands.0 | needs.demands.0 | needs.any.0 | needs.also_demands.0);
        }
    }
    let declared = Links::build(plan).known.some;
    let in_scope = |datum: Datum| {
        let power = POWER_DATA.contains(datum);
        site.scope.covers(if power { Scope::POWER } else { Scope::COMMUNICATION })
    };
    // What follows from the cables was not written down by anyone.
    let written = |datum: Datum| {
        datum.owner() != Owner::Group
            || matches!(
                datum,
                Datum::Bonds | Datum::Changeover | Datum::PacksFitted | Datum::PacksSet
            )
    };
    let unread = declared.without(data);
    let unread = unread.iter().filter(|datum| written(*datum) && in_scope(*datum));
    let undemanded = site
        .declared
        .demands()
        .filter(|(demand, _)| !DemandSet::of(&[*demand]).without(demands).is_empty())
        .map(|(demand, _)| demand.key());
    unread.map(Datum::noun).chain(undemanded).collect()
}
