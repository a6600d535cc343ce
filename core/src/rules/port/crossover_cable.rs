//! A crossed lead is not used where a straight one is needed, nor the reverse.
use super::{is_crossed, is_matter_of_crossing, misses_the_pair};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "crossover-cable",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::any(&[Demand::LeadWiring, Demand::PairPins]).some(&[Datum::Wiring]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Wiring,
    text: Text {
        title: "A lead is crossed where it must be straight, or the reverse",
        says: "Link cable {places} is crossed where it must not be, or the reverse",
        why: "In a crossed lead the pair of the link arrives at other pins: no link, and a powered \
             pin can meet a data pin.",
        act: "Fit the lead that is demanded; mark the crossed one and keep it away from this job.",
        prove: "Power off, the lead unplugged at both ends: continuity from pin 1 to pin 1 and so on \
               to 8 for a straight lead.",
        source: "pins of crossed leads: common practice, no source; demand of the profile or the site",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"wiring = "straight""#, r#"wiring = "crossover""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let demands = links.plan.demands;
    let (wanted, pair) = (demands.lead_wiring(), demands.pair_pins());
    let mut crossed = CableSet::EMPTY;
    for id in links.link_cables {
        let Some(wiring) = links.plan.cable(id).and_then(|cable| cable.wiring()) else { continue };
        let against =
            wanted.is_some_and(|wanted| wiring != wanted && is_matter_of_crossing(wiring, wanted));
        let moves_the_pair = pair.is_some_and(|pair| {
            wanted.is_none() && is_crossed(wiring) && misses_the_pair(wiring, pair)
        });
        if against || moves_the_pair {
            crossed.insert(id);
        }
    }
    sink.add_cables(crossed);
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Demand, Wiring};
    use crate::rules::RuleId;
    use crate::trial::{Trial, cable};

    const RULE: RuleId = RuleId::CrossoverCable;

    #[test]
    fn a_lead_that_is_wrong_in_another_way_is_told_as_that() {
        let straight = Wiring::Straight.code().into();
        let line = |wiring| Trial::line(3).demand(Demand::LeadWiring, straight).wired(0, wiring);
        assert_eq!(line(Wiring::CrossoverTwo).check().places(RULE), [[cable(0)]]);
        assert_eq!(line(Wiring::Straight).check().outcome(RULE), Outcome::Met);
        let special = line(Wiring::Special).check();
        assert_eq!(special.outcome(RULE), Outcome::Met);
        assert_eq!(special.broken(), [RuleId::LeadWrongPinout]);
    }
}
