//! An earth conductor carries the fault current until the breaker trips.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "earth-conductor-too-small",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "An earth conductor is too small",
        says: "{value}[ at {places}] is too small; the least is {wanted}",
        why: "In a fault it can melt before the breaker trips, and the case of the unit stays \
               live.",
        act: "Keep the power off. Fit an earth conductor of at least this size.",
        prove: "By eye, dead: the size printed on the conductor. By meter: continuity from the \
               case to the earth bar, less than the ohms that local code allows.",
        source: "NFPA 70 (NEC) 2023, Table 250.122; IEC 60364-5-54, Table 54.2 (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 earth conductor" = "10 AWG""#, r#""U3 earth conductor" = "14 AWG""#)],
            with: &[],
        },
    },
};
