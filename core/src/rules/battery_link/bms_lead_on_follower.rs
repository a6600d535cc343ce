//! The battery link goes to the unit that owns it.
use super::needed_at_every_unit;
use crate::plan::{BatteryLinkOwner, Leg};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bms-lead-on-follower",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::BatteryLinkOwner])
        .whole(&[Datum::CableList])
        .some(&[Datum::Role]),
    after: &[RuleId::BmsLeadMissing, RuleId::CoordinatorNone],
    check: Check::Link(check),
    shows: Datum::Role,
    text: Text {
        title: "The battery link is at the wrong unit",
        says: "The battery link[ {related}] goes to {places}, which does not own it",
        why: "The coordinator reports that there is no battery, while this unit shows values that \
              nobody uses.",
        act: "Move the battery link to the battery socket of the coordinator.",
        prove: "On the running group the coordinator shows the battery's own volts and charge.",
        source: "common practice, no source",
        spoils: "the battery link is at the wrong unit",
        example: Example {
            site: examples::LINE,
            edits: &[("to = \"U1 battery\"", "to = \"U2 battery\"")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if needed_at_every_unit(links) {
        sink.undemanded(Demand::BatteryLinkOwner);
        return;
    }
    let owners = match links.plan.demands.battery_link_owner() {
        Some(BatteryLinkOwner::CoordinatorOfL1) => {
            links.coordinators.and(links.units_of_phase(Leg::L1))
        }
        Some(BatteryLinkOwner::Coordinator | BatteryLinkOwner::EachUnit) | None => {
            links.coordinators
        }
    };
    let role_known = links.coordinators.or(links.followers);
    for cable in links.battery_cables {
        match links.unit_end(cable) {
            Some((unit, _)) if owners.contains(unit) => {}
            Some((unit, _)) if role_known.contains(unit) => {
                sink.add().at(Place::Unit(unit)).near(Place::Cable(cable));
            }
            Some((unit, _)) => {
                sink.open(Datum::Role).at(Place::Unit(unit));
            }
            None => {
                sink.open(Datum::CableEnds).at(Place::Cable(cable));
            }
        }
    }
}
