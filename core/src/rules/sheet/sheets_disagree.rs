//! Two sheets, or two lines of one, must not give the same fact two values.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "sheets-disagree",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING.doubted_by(&[
        RuleId::ListSeparatorChanged,
        RuleId::ListSeparatorInText,
        RuleId::ListLineBreakInField,
        RuleId::LengthUnitUnclear,
    ]),
    after: &[],
    check: Check::Reader,
    shows: Datum::UnitList,
    text: Text {
        title: "The sheets disagree about one fact",
        says: "The sheets give {places} two values for one fact: {value}",
        why: "Nobody knows which value is true, so every check that needs the fact is open.",
        act: "Look at the plant, then correct the sheet that is wrong.",
        prove: "Both sheets give the same value, and it is the one seen at the plant.",
        source: "common practice, no source",
        spoils: "it is not known which of two values is true",
        example: Example {
            site: examples::LINE,
            edits: &[("cable = [\n", "\"unit 2 address\" = 5\ncable = [\n")],
            with: &[],
        },
    },
};
