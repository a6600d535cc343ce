//! A drawing must not show the sockets exchanged throughout.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "drawing-wrong",
    severity: Severity::NoStart,
    asks: true,
    needs: Needs::NOTHING.doubted_by(&[RuleId::SheetsDisagree]),
    after: &[],
    check: Check::Reader,
    shows: Datum::Socket,
    text: Text {
        title: "Two lists have all sockets exchanged",
        says: "Two lists give the same cables, and in every one the sockets are exchanged alike: \
               {places}; one of the lists, most likely the drawing, is wrong throughout",
        why: "Everyone who follows the wrong one makes the same mistake, and a second person who \
              checks against it finds nothing.",
        act: "Compare both lists with the print beside the sockets of one unit, correct the wrong \
              one, and let a second person repeat it.",
        prove: "Both lists name for each plug the socket that is printed beside it.",
        source: "common practice, no source",
        spoils: "it is not known which sockets are right",
        example: Example {
            site: examples::SHEETS,
            edits: &[
                ("C1;Box 1 A;Box 2 B", "C1;Box 1 B;Box 2 A"),
                ("C2;Box 2 A;Box 3 B", "C2;Box 2 B;Box 3 A"),
            ],
            with: &[],
        },
    },
};
