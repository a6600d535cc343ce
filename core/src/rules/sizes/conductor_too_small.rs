//! A conductor carries its current, behind the breaker that this current needs.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "conductor-too-small",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower, Demand::BatteryVoltsMin]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "A conductor is too small for its current",
        says: "{value}[ at {places}] is too small; the least is {wanted}",
        why: "It grows hot at full load, in the wall or at the terminals, before any breaker \
               trips: a fire.",
        act: "Keep the power off. Fit a conductor of at least this size, or lower the current that \
               it must carry.",
        prove: "By eye, dead: the size printed on the conductor. Then, at full load and by \
               licensed people only, the temperature of conductor and terminals stays below what \
               both are marked for.",
        source: "NFPA 70 (NEC) 2023, 110.14(C), 215.2, 310.15, Table 310.16; IEC 60364-4-43 and \
               60364-5-52 (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 output conductor" = "8 AWG""#, r#""U3 output conductor" = "14 AWG""#)],
            with: &[],
        },
    },
};
