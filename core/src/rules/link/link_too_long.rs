//! The link is no longer than its bit rate allows.
use crate::rule::prelude::*;
use crate::units::Millimetres;

pub(crate) const RULE: Rule = Rule {
    slug: "link-too-long",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList]),
    after: &[RuleId::LinkRingClosed],
    check: Check::Link(check),
    shows: Datum::Length,
    text: Text {
        title: "The link is too long",
        says: "The link measures {value} where {wanted} is the limit[: {places}]",
        why: "A long link answers late: fine on the bench, frame errors on site, worse as the bit \
              rate rises.",
        act: "Take a shorter route, lower the bit rate on all units, or fit a repeater.",
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
    let (hop_limit, total_limit) = (demands.max_cable(), demands.max_link_total());
    if hop_limit.is_none() && total_limit.is_none() {
        sink.undemanded(Demand::MaxLinkTotal);
        return;
    }
    let mut total = Millimetres(0);
    for cable in links.link_cables {
        let Some(length) = links.plan.cable(cable).and_then(|record| record.length()) else {
            continue;
        };
        total = total.saturating_add(length);
        if let Some(limit) = hop_limit.filter(|limit| length > *limit) {
            sink.add()
                .at(Place::Cable(cable))
                .value(Quantity::Length(length))
                .wanted(Quantity::Length(limit));
        }
    }
    if let Some(limit) = total_limit.filter(|limit| total > *limit) {
        sink.add().value(Quantity::Length(total)).wanted(Quantity::Length(limit));
        return;
    }
    let unmeasured = links.cables_without(Datum::Length);
    if !unmeasured.is_empty() {
        sink.open(Datum::Length).at_cables(unmeasured);
    }
}
