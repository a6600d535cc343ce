//! The link is no longer than its bit rate allows.
use crate::rule::prelude::*;
use crate::units::Millimetres;

pub(crate) const RULE: Rule = Rule {
    slug: "link-too-long",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::any(&[Demand::MaxLinkTotal, Demand::MaxCable])
        .whole(&[Datum::CableList, Datum::CableEnds]),
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
        source: "limit of the profile or the site; published lengths by bit rate: CiA DS-102 v2.0 \
                 (read second-hand)",
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
    let line = links.link_cables.without(links.stubs).without(links.self_loops);
    let mut total = Millimetres(0);
    let mut unmeasured = CableSet::EMPTY;
    for cable in line {
        let Some(length) = links.plan.cable(cable).and_then(|record| record.length()) else {
            unmeasured.insert(cable);
            continue;
        };
        total = total.saturating_add(length);
        if let Some(limit) = demands.max_cable().filter(|limit| length > *limit) {
            sink.add()
                .at(Place::Cable(cable))
                .value(Quantity::Length(length))
                .wanted(Quantity::Length(limit));
        }
    }
    if let Some(limit) = demands.max_link_total().filter(|limit| total > *limit) {
        sink.add()
            .value(Quantity::Length(total))
            .wanted(Quantity::Length(limit))
            .near_cables(line.without(unmeasured));
    } else if !unmeasured.is_empty() {
        sink.open(Datum::Length).at_cables(unmeasured);
    }
}
