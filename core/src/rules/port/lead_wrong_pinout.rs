//! The plugs of a lead are wired for the sockets that it joins.
use super::{is_crossed, is_matter_of_crossing, misses_the_pair};
use crate::plan::Wiring;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "lead-wrong-pinout",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::any(&[Demand::LeadWiring, Demand::BatteryLeadWiring, Demand::PairPins])
        .whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Wiring,
    text: Text {
        title: "A lead is wired for another pair of sockets",
        says: "Lead {places} is not wired as demanded",
        why: "The plug fits and the wires land on other pins. Both ends are set rightly and still \
             hear nothing; the layout can differ between two years of the same unit.",
        act: "Make or buy the lead for these two sockets.",
        prove: "Power off, the lead unplugged at both ends: continuity pin by pin agrees with the \
               socket tables of both ends.",
        source: "demand of the profile or the site; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#"to = "U1 battery", wiring = "special""#,
                r#"to = "U1 battery", wiring = "straight""#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let demands = links.plan.demands;
    let mut wrong = CableSet::EMPTY;
    let mut unknown = CableSet::EMPTY;
    let mut all = CableSet::EMPTY;
    let mut judge = |cables: CableSet, is_wrong: &dyn Fn(Wiring) -> bool| {
        all = all.or(cables);
        for id in cables {
            match links.plan.cable(id).and_then(|cable| cable.wiring()) {
                Some(wiring) if is_wrong(wiring) => wrong.insert(id),
                Some(_) => {}
                None => unknown.insert(id),
            }
        }
    };
    let differs =
        |wanted| move |wiring: Wiring| wiring != wanted && !is_matter_of_crossing(wiring, wanted);
    if let Some(wanted) = demands.lead_wiring() {
        judge(links.link_cables, &differs(wanted));
    } else if let Some(pair) = demands.pair_pins() {
        judge(links.link_cables, &|wiring| !is_crossed(wiring) && misses_the_pair(wiring, pair));
    }
    if let Some(wanted) = demands.battery_lead_wiring() {
        judge(links.battery_cables, &differs(wanted));
    }
    sink.add_cables(wrong);
    if unknown == all && !all.is_empty() {
        sink.open(Datum::Wiring).at_cables(unknown);
    } else {
        sink.gap_cables(Datum::Wiring, unknown);
    }
}
