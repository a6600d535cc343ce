//! All units are set to one speed of the link.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bitrate-mismatch",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::BitRate]).also_demands(&[Demand::BitRate]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::BitRate,
    text: Text {
        title: "Units are set to different speeds of the link",
        says: "The bit rate of {places} is not that of the link[, {wanted}]",
        why: "A unit of another speed hears only errors, and its own errors take the whole link \
             down.",
        act: "Set the same bit rate on all units.",
        prove: "Read the setting back on every unit. On the running link the error counters stay \
               still.",
        source: "ISO 11898-1, one bit rate on a bus (from memory)",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#""U3 link bit rate" = "500 kbit/s""#,
                r#""U3 link bit rate" = "250 kbit/s""#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(wanted) = links.plan.demands.bit_rate() else {
        let odd = links.odd_units(Datum::BitRate, |unit| unit.bit_rate().map(|rate| rate.0));
        sink.add_units(odd.unwrap_or_default());
        return;
    };
    if links.all_hold(Datum::BitRate, |unit| unit.bit_rate.get(), wanted.0) {
        return;
    }
    let other = links
        .units_where(|unit, wanted| unit.bit_rate().is_some_and(|rate| rate.0 != wanted), wanted.0);
    if !other.is_empty() {
        sink.add().at_units(other).wanted(Quantity::BitRate(wanted));
    }
}
