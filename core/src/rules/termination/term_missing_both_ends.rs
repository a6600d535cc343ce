//! A line without any terminator does not work.
use crate::plan::TerminatorPlace;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-missing-both-ends",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::value(Demand::TerminatorsAt, TerminatorPlace::BothEnds.code())
        .whole(&[Datum::Terminator]),
    after: &[RuleId::TermPlugWrongSocket],
    check: Check::Link(check),
    shows: Datum::Terminator,
    text: Text {
        title: "No terminator is on",
        says: "No terminator is on anywhere on the link[; it belongs on at {places}]",
        why: "Without terminators the signal is thrown back at both ends. A few frames pass, then \
              the link falls silent.",
        act: "Switch on or plug in one terminator at each end of the line.",
        prove: "Power off and volts on the pair near zero, then ohms between the two wires of the \
                pair: about 60 at both ends. Without terminators the reading is in the kilohms.",
        source: "ISO 11898-2, 120 ohm at each end of the line (read second-hand)",
        spoils: "no terminator is on at all",
        example: Example {
            site: examples::LINE,
            edits: &[
                (
                    "count = 3, terminator = \"on\", bank = \"A\", \"ac out\" = \"straight\" },\n  { name = \"U2\"",
                    "count = 3, terminator = \"off\", bank = \"A\", \"ac out\" = \"straight\" },\n  { name = \"U2\"",
                ),
                (
                    "address = 3, count = 3, terminator = \"on\"",
                    "address = 3, count = 3, terminator = \"off\"",
                ),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if !links.terminated.is_empty() || !links.units.is_plural() {
        return;
    }
    let ends = links.line_ends();
    // One that switches itself on does so at an end only.
    let may_be_on = ends.map_or(links.automatic, |ends| links.automatic.and(ends));
    if may_be_on.is_empty() {
        sink.add().at_terminators(ends.unwrap_or_default());
    }
}
