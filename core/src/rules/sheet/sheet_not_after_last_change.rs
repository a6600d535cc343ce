//! A sheet must be younger than the last change of the plant.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "sheet-not-after-last-change",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::UnitList,
    text: Text {
        title: "A sheet is older than the last change",
        says: "A sheet is of {value}, and the last change was on {wanted}",
        why: "What was added, removed or exchanged since then is not on the sheet, so what is \
              checked is not what stands there.",
        act: "Walk along the plant with the sheet, correct it, and write the new date on it.",
        prove: "The date of every sheet is that of the last change, or later.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::SHEETS,
            edits: &[("sheet date = 2026-05-20", "sheet date = 2026-03-01")],
            with: &[],
        },
    },
};
