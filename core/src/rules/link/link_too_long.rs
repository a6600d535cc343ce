//! The link is no longer than its bit rate allows.
use super::{link_limit, measure};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-too-long",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::any(&[Demand::MaxLinkTotal, Demand::MaxCable, Demand::BitRate])
        .whole(&[Datum::CableList, Datum::CableEnds])
        .also_demands(&[Demand::Medium])
        .doubted_by(&[RuleId::LinkSelfLoop, RuleId::LinkDoubledPair]),
    after: &[RuleId::LinkRingClosed],
    check: Check::Link(check),
    shows: Datum::Length,
    text: Text {
        title: "The link is too long",
        says: "The link measures {value} where {wanted} is the limit[: cable {places}]",
        why: "A long link answers late: fine on the bench, frame errors on site, worse as the bit \
              rate rises.",
        act: "Take a shorter route, or lower the bit rate on all units.",
        prove: "Measure the cables and add them up; the sum stays below the limit. On the running \
                link the error counters stay still at full load.",
        source: "limit of the profile or the site; longest bus by bit rate: CiA DS-102 v2.0 and \
                 TIA-485-A (both read second-hand); what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LONG_LINE,
            edits: &[(r#"to = "U3 B", length = "2 m""#, r#"to = "U3 B", length = "28 m""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let demands = links.plan.demands;
    // Side branches have a limit of their own.
    let line = links.line_cables();
    let most = link_limit(demands);
    if most.is_none() && demands.max_cable().is_none() {
        // A bit rate alone says nothing without the medium.
        sink.undemanded(Demand::MaxLinkTotal);
        return;
    }
    let (total, unmeasured) = measure(links, sink, line, demands.max_cable());
    if let Some(limit) = most.filter(|limit| total > *limit) {
        sink.add()
            .value(Quantity::Length(total))
            .wanted(Quantity::Length(limit))
            .near_cables(line.without(unmeasured));
    } else {
        sink.open_cables(Datum::Length, unmeasured);
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::{CableKind, Datum, Demand, DeviceKind};
    use crate::rules::RuleId;
    use crate::trial::{B, Trial, at, at_device, cable};
    use crate::units::Millimetres;

    const RULE: RuleId = RuleId::LinkTooLong;

    #[test]
    fn a_sum_at_the_limit_is_met_and_one_millimetre_more_is_not() {
        let line = Trial::line(3).demand(Demand::MaxLinkTotal, 4000);
        assert_eq!(line.check().outcome(RULE), Outcome::Met);
        let answer = line.demand(Demand::MaxLinkTotal, 3999).check();
        let length = |millimetres| Some(Quantity::Length(Millimetres(millimetres)));
        assert_eq!(answer.values(RULE), [(length(4000), length(3999))]);
    }

    #[test]
    fn an_unmeasured_cable_leaves_it_open_unless_the_rest_is_too_long_already() {
        let line = Trial::line(4).unmeasured(1);
        let answer = line.clone().demand(Demand::MaxLinkTotal, 5000).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Length));
        assert_eq!(answer.lacking(RULE, Datum::Length), [cable(1)]);
        let answer = line.demand(Demand::MaxLinkTotal, 3000).check();
        assert_eq!(answer.outcome(RULE), Outcome::Broken);
    }

    #[test]
    fn one_cable_can_be_too_long_by_itself() {
        let answer = Trial::line(3).demand(Demand::MaxCable, 1500).check();
        assert_eq!(answer.places(RULE), [[cable(0)], [cable(1)]]);
        let at_the_limit = Trial::line(3).demand(Demand::MaxCable, 2000).check();
        assert_eq!(at_the_limit.outcome(RULE), Outcome::Met);
    }

    #[test]
    fn a_side_branch_is_not_added() {
        let answer = Trial::line(2)
            .demand(Demand::MaxLinkTotal, 2000)
            .device(DeviceKind::Gateway, None)
            .cable(CableKind::Link, [at(0, B), at_device(0)])
            .check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
    }

    #[test]
    fn without_a_limit_nobody_demands_it() {
        let demand = Demand::BitRate;
        assert_eq!(Trial::line(3).check().outcome(RULE), Outcome::Undemanded(demand));
    }
}
