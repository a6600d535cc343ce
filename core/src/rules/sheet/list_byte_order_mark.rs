//! The first heading of a list must stand by itself.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "list-byte-order-mark",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableList,
    text: Text {
        title: "Foreign signs stick to the first heading of a list",
        says: "Foreign signs stick to the first heading, {value}[; read as {wanted} until you \
               confirm it]",
        why: "A mark that programs put at the start of a file was saved as letters. The heading is \
              no longer the word that was meant.",
        act: "Take the signs in front of the word away, or save the list again as UTF-8.",
        prove: "The first heading is one of the words that a cable list has.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::SHEETS,
            edits: &[("cable,from,to,kind,length", "ď»żcable,from,to,kind,length")],
            with: &[],
        },
    },
};
