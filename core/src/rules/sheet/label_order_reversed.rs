//! Two sheets must not number the units from opposite ends.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "label-order-reversed",
    severity: Severity::NoStart,
    asks: true,
    needs: Needs::NOTHING.doubted_by(&[RuleId::UnitListedTwice, RuleId::SheetsDisagree]),
    after: &[],
    check: Check::Reader,
    shows: Datum::Serial,
    text: Text {
        title: "Two sheets number the units from opposite ends",
        says: "By their serial numbers, one sheet numbers {places} from one end of the row and \
               another sheet from the other end",
        why: "The right cables and settings then go to the wrong units: the battery link and the \
              sensors to the last unit, the addresses the other way round.",
        act: "Compare the serial number on each unit with the label on it, let every display blink \
              or show its number, and correct the labels or the sheet.",
        prove: "Each unit shows the serial number that both sheets give to its label.",
        source: "common practice, no source",
        spoils: "two sheets number the units from opposite ends",
        example: Example {
            site: examples::SHEETS,
            edits: &[("Box 1,1,7001", "Box 1,1,7003"), ("Box 3,0x10,7003", "Box 3,0x10,7001")],
            with: &[],
        },
    },
};
