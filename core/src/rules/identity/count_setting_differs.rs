//! All units are set to the same number of units.
use super::counts;
use crate::alike::Agreement;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "count-setting-differs",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::CountSetting]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Count,
    text: Text {
        title: "The unit-count settings differ",
        says: "The unit counts differ: look at {places}[, set to {value}][, where the others have \
               {wanted}]",
        why: "One part of the group waits for a unit that never comes, or shuts one out that is \
              there.",
        act: "Set the same unit count at every unit: the number that is really fitted.",
        prove: "Read the unit count back on every unit: the same number, and as many units as you \
                can count.",
        source: "common practice, no source",
        spoils: "the unit counts differ",
        example: Example {
            site: examples::LINE,
            edits: &[("address = 3, count = 3", "address = 3, count = 2")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let mut counts = counts(links, sink);
    match Agreement::of(&counts) {
        Agreement::All(_) => {}
        Agreement::Tie(everyone) => {
            sink.add().at_units(everyone);
        }
        Agreement::Odd { majority, odd } => {
            sink.add().at_units(odd).wanted(Quantity::units(majority));
            // Several odd ones may differ among themselves; then the sheet shows the values.
            counts.keep(odd);
            if let Agreement::All(Some(count)) = Agreement::of(&counts) {
                sink.value(Quantity::units(count));
            }
        }
    }
}
