//! There are no more units than the link carries.
use crate::bus;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "count-over-limit",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::any(&[Demand::UnitsMax, Demand::NodeOhmsMin])
        .also_demands(&[Demand::Medium, Demand::TerminatorOhms]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::UnitList,
    text: Text {
        title: "There are more units than the link carries",
        says: "There are {value} units where {wanted} is the limit on one link",
        why: "Each unit loads the pair a little and takes its share of time. Above the limit some \
             will not join.",
        act: "Split the group, or ask the maker how more units are joined.",
        prove: "Count the units; on the running link every unit is heard.",
        source: "limit of the profile or the site; load of the nodes: lowest bus load of 45 ohm, \
                published by a transceiver maker; TIA-485-A, 32 unit loads (both read second-hand); what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""max units" = 8"#, r#""max units" = 2"#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let demands = links.plan.demands;
    let carried = demands.node_ohms_min().and_then(|least| {
        let terminator = demands.terminator_ohms().unwrap_or(bus::TERMINATOR);
        let most = bus::most_nodes(demands.medium()?, terminator, least);
        // Terminators that overload the driver by themselves are another rule's matter.
        (most != 0).then_some(most)
    });
    let limit = match (demands.units_max(), carried) {
        (Some(stated), Some(carried)) => stated.min(carried),
        (Some(limit), None) | (None, Some(limit)) => limit,
        (None, None) => {
            sink.undemanded(Demand::UnitsMax);
            return;
        }
    };
    if links.units.len() > limit {
        sink.add().value(Quantity::units(links.units.len())).wanted(Quantity::units(limit));
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::{Demand, Medium};
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::CountOverLimit;

    #[test]
    fn a_group_of_the_limit_is_met_and_one_unit_more_is_not() {
        assert_eq!(Trial::line(4).demand(Demand::UnitsMax, 4).check().outcome(RULE), Outcome::Met);
        let answer = Trial::line(5).demand(Demand::UnitsMax, 4).check();
        let units = |count| Some(Quantity::Units(count));
        assert_eq!(answer.values(RULE), [(units(5), units(4))]);
    }

    #[test]
    fn heavy_nodes_leave_room_for_fewer() {
        // Two terminators of 120 ohm and N nodes of 2 kohm stay above 45 ohm up to N = 11.
        let line = |count| {
            Trial::line(count)
                .demand(Demand::Medium, Medium::Can.code().into())
                .demand(Demand::NodeOhmsMin, 2000)
        };
        assert_eq!(line(11).check().outcome(RULE), Outcome::Met);
        assert_eq!(line(12).check().outcome(RULE), Outcome::Broken);
    }
}
