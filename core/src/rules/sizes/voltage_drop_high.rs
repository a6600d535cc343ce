//! Little of the voltage is lost in outputs and feeder.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "voltage-drop-high",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "Much voltage is lost in a conductor",
        says: "{value}[ at {places}]; {wanted} is advised at most",
        why: "Loads see a low voltage, and units behind unlike drops share unequally.",
        act: "Shorten the run or fit a larger conductor, if the loads need it.",
        prove: "At full load, by licensed people only: volts at both ends of the run differ by no \
               more than advised.",
        source: "NFPA 70 (NEC), notes to 210.19 and 215.2; IEC 60364-5-52, Table G.52.1: advice \
               (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 output lead" = "6 m""#, r#""U3 output lead" = "60 m""#)],
            with: &[RuleId::AcLeadsUnequal],
        },
    },
};
