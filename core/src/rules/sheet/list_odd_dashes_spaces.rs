//! Names must be written with the same letters everywhere.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "list-odd-dashes-spaces",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A name is written with foreign or lost letters",
        says: "The name {value} is written with letters of another script, or has lost some[: \
               cable {places}][; read as {wanted} until you confirm it]",
        why: "Letters of two scripts look the same and are not: two names that read alike are two \
              units for a program. A letter that was lost may have been any.",
        act: "Type the name again in the list, with the letters that the settings have.",
        prove: "The name in the list and the name in the settings are found by one search.",
        source: "common practice, no source",
        spoils: "it is not known which unit a name means",
        example: Example {
            site: examples::SHEETS,
            edits: &[("C2,Box 2 A,", "C2,Вох 2 A,")],
            with: &[],
        },
    },
};
