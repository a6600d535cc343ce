//! The battery link goes to the unit that owns it.
use super::{leads_to_units, needed_at_every_unit};
use crate::plan::{BatteryLinkOwner, Leg};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bms-lead-on-follower",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::BatteryLinkOwner])
        .whole(&[Datum::CableList])
        .some(&[Datum::Role])
        .also(&[Datum::Phase])
        .doubted_by(&[RuleId::CoordinatorTwo]),
    after: &[RuleId::BmsLeadMissing, RuleId::BmsLeadOnTwoUnits, RuleId::CoordinatorNone],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "The battery link is at the wrong unit",
        says: "The battery link[ {related}] goes to {places}, which does not own it",
        why: "The coordinator reports that there is no battery, while this unit shows values that \
              nobody uses.",
        act: "Move the battery link to the battery socket of the unit that owns it: the \
              coordinator, or that of L1 where each phase has its own.",
        prove: "By eye, cold: follow the cable from the lead pack to the battery socket of the unit \
                that owns it. On the running group that unit shows the battery's own volts and \
                charge.",
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
    let of_l1 = links.plan.demands.battery_link_owner() == Some(BatteryLinkOwner::CoordinatorOfL1);
    for cable in leads_to_units(links) {
        let Some((unit, _)) = links.unit_end(cable) else {
            sink.open(Datum::BatteryLeadEnds).at(Place::Cable(cable));
            continue;
        };
        let phase = links.plan.unit(unit).and_then(|record| record.phase());
        if links.followers.contains(unit) || of_l1 && phase.is_some_and(|leg| leg != Leg::L1) {
            sink.add().at(Place::Unit(unit)).near(Place::Cable(cable));
        } else if !links.coordinators.contains(unit) {
            sink.open(Datum::Role).at(Place::Unit(unit));
        } else if of_l1 && phase.is_none() {
            sink.open(Datum::Phase).at(Place::Unit(unit));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{BatteryLinkOwner, Datum, Demand, DeviceKind, Leg};
    use crate::rules::RuleId;
    use crate::trial::{Trial, at_device, cable, unit};

    const RULE: RuleId = RuleId::BmsLeadOnFollower;

    #[test]
    fn the_coordinator_of_another_phase_does_not_own_it() {
        let owner = BatteryLinkOwner::CoordinatorOfL1.code();
        let line = Trial::line(2).demand(Demand::BatteryLinkOwner, owner.into());
        assert_eq!(line.check().outcome(RULE), Outcome::Missing(Datum::Phase));
        let on = |leg: Leg| line.clone().unit(0, |unit| unit.phase = leg.code()).check();
        assert_eq!(on(Leg::L1).outcome(RULE), Outcome::Met);
        assert_eq!(on(Leg::L2).places(RULE), [[unit(0)]]);
    }

    #[test]
    fn a_lead_to_a_splitter_goes_nobody_knows_where() {
        // Cable 1 is the battery link of a line of two.
        let answer =
            Trial::line(2).device(DeviceKind::Splitter, None).move_end(1, 0, at_device(0)).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::BatteryLeadEnds));
        assert_eq!(answer.lacking(RULE, Datum::BatteryLeadEnds), [cable(1)]);
    }
}
