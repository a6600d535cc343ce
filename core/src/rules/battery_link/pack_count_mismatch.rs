//! The number of packs that is set is the number that is fitted.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "pack-count-mismatch",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::PacksSet]).also(&[Datum::PacksFitted]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::PacksSet,
    text: Text {
        title: "The number of packs set is not the number fitted",
        says: "{value} packs are set and {wanted} are fitted",
        why: "The battery refuses to start, or the limits are those of another battery.",
        act: "Set the number of packs that is really fitted.",
        prove: "Count the packs; on the running group the sum of their capacities is right.",
        source: "common practice, no source",
        spoils: "it is not known how many packs there are",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""packs set" = 2"#, r#""packs set" = 3"#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let group = links.plan.group;
    let set = group.packs_set.get();
    let listed = u16::try_from(links.plan.packs.len()).unwrap_or(u16::MAX);
    let fitted = if group.declares(Datum::PacksFitted) {
        group.packs_fitted.get()
    } else if listed > set {
        // A list may leave packs out, but names none that is not there.
        listed
    } else {
        sink.open(Datum::PacksFitted);
        return;
    };
    if set != fitted {
        sink.add().value(Quantity::Packs(set)).wanted(Quantity::Packs(fitted));
    }
}
