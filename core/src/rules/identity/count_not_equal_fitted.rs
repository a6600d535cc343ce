//! The unit count that all are set to is the number of units that are fitted.
use super::{common_count, counts};
use crate::alike::Agreement;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "count-not-equal-fitted",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::CountSetting]).whole(&[Datum::UnitList]),
    after: &[RuleId::UnitListedTwice, RuleId::CountSettingDiffers],
    check: Check::Link(check),
    shows: Datum::Count,
    text: Text {
        title: "The unit count is not the number fitted",
        says: "The unit count is set to {value} and {wanted} are fitted",
        why: "The group reports a missing unit and does not start, or one unit is left out and \
              totals stay wrong. Commonly a unit was added or taken away afterwards.",
        act: "Set the number that is really fitted at every unit.",
        prove: "Count the units and read the setting back on each: the same number.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[
                ("address = 1, count = 3", "address = 1, count = 4"),
                ("address = 2, count = 3", "address = 2, count = 4"),
                ("address = 3, count = 3", "address = 3, count = 4"),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let fitted = links.units.len();
    let agreed = common_count(links).or_else(|| match Agreement::of(&counts(links, sink)) {
        Agreement::All(count) => count,
        Agreement::Odd { .. } | Agreement::Tie(_) => None,
    });
    if let Some(count) = agreed
        && count != fitted
    {
        sink.add().value(Quantity::units(count)).wanted(Quantity::units(fitted));
    }
}
