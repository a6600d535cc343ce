//! An address must be written in one base.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "address-hex-decimal",
    severity: Severity::NoStart,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::Address,
    text: Text {
        title: "One address is written in two bases",
        says: "Two sheets give {places} an address with the same digits in two bases: {value}",
        why: "A number written in one base and keyed in in the other is another number: 10 is ten, \
              0x10 is sixteen. The unit then answers where nobody asks, or not at all.",
        act: "Read the address on the display or the switches of the unit, and write it with its \
              base: 0x in front of a hexadecimal one.",
        prove: "The unit answers under the address that both sheets give, read back from the unit.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::SHEETS,
            edits: &[("Box 3,0x10,7003", "Box 3,10,7003")],
            with: &[],
        },
    },
};
