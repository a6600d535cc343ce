//! A cable must end in a socket that the unit has.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "port-does-not-exist",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING.doubted_by(&[RuleId::LabelUnknownUnit]),
    after: &[],
    check: Check::Reader,
    shows: Datum::Socket,
    text: Text {
        title: "The sheet names a socket that the unit does not have",
        says: "The sheet names {places}, and the units of this profile have no such socket[; they \
               have {wanted}]",
        why: "Nobody can follow the list to this plug, so every check of sockets is open there.",
        act: "Look at the plug, then correct the socket on the list; where the unit calls its \
              sockets otherwise, say so once: `socket LEFT = A`.",
        prove: "Every socket on the list is printed beside a socket of that unit.",
        source: "common practice, no source",
        spoils: "it is not known which socket is meant",
        example: Example {
            site: examples::LINE,
            edits: &[(r#"from = "U2 A", to = "U3 B""#, r#"from = "U2 A", to = "U3 C""#)],
            with: &[],
        },
    },
};
