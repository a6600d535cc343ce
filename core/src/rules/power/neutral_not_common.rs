//! The neutrals of all units lie on one bar.
use crate::nets::Nets;
use crate::plan::Terminal;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "neutral-not-common",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::AcTerminals]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::AcTerminals,
    text: Text {
        title: "The neutrals of the units are not on one bar",
        says: "The neutral of {places} is not on the bar of the others",
        why: "Without a common neutral the loads decide what each appliance gets: one stands at too \
             many volts, another at too few. Appliances are destroyed and can burn.",
        act: "Keep the power off. Follow this neutral, and what sits where it belongs: a line may be \
              exchanged with it. Join the neutrals of all units, and nothing else, to one bar.",
        prove: "Dead: continuity from the neutral of each unit to the one neutral bar, with the \
               neutral-earth bond opened for the test and closed again after it.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (
                    r#""U1 frequency""#,
                    "\"U3 ac out\" = \"L1->bar L1; L2->bar L2; N->bar N 2; PE->earth bar\"\n\"U1 frequency\"",
                ),
                (
                    r#"address = 3, count = 3, terminator = "on", bank = "A", "ac out" = "straight""#,
                    r#"address = 3, count = 3, terminator = "on", bank = "A""#,
                ),
            ],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    sink.add_units(nets.odd_units(Terminal::OutN));
}
