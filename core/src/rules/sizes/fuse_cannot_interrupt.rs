//! A battery fuse interrupts the current of a bolted fault.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "fuse-cannot-interrupt",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::BatteryVoltsMax]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Bank,
    text: Text {
        title: "A battery fuse cannot interrupt the fault current",
        says: "{value}[ at {places}], and {wanted} flow into a bolted fault",
        why: "It bursts or goes on burning as an arc, because direct current has no zero at which \
               an arc dies.",
        act: "Open the battery. Fit a fuse that is rated to interrupt this direct current at the \
               highest voltage of the bank, one in each branch.",
        prove: "By eye, dead: the direct current and the voltage that are printed on the fuse.",
        source: "Ohm's law; NFPA 70 (NEC), 110.9 (from memory)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 fuse interrupts" = "20 kA""#, r#""U3 fuse interrupts" = "2 kA""#)],
            with: &[],
        },
    },
};
