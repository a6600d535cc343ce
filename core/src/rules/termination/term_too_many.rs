//! A line carries two terminators, not more.
use super::demanded;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-too-many",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::TerminatorsAt]).some(&[Datum::Terminator]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Terminator,
    text: Text {
        title: "Too many terminators are on",
        says: "{value} are on where {wanted} belong on the link: {places}",
        why: "Each terminator too many loads the pair further. Frames get lost at random, and some \
              units will not start at all.",
        act: "Leave one terminator on at each end of the line and switch off or unplug the others.",
        prove: "Power off and volts on the pair near zero, then ohms between the two wires of the \
                pair: about 60. Three terminators read about 40, four about 30.",
        source: "ISO 11898-2, 120 ohm at each end of the line (read second-hand); readings computed",
        spoils: "there are more terminators than ends",
        example: Example {
            site: examples::LINE,
            edits: &[("terminator = \"off\"", "terminator = \"on\"")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if !demanded(links, sink) {
        return;
    }
    let on = links.terminated.or(links.automatic.and(links.ends()));
    if on.len() <= 2 {
        return;
    }
    // Where the ends are known, those in between are too many; else any of them may be.
    let surplus = links.terminated.without(links.line_ends().unwrap_or_default());
    sink.add()
        .at_terminators(surplus)
        .value(Quantity::Terminators(u16::try_from(on.len()).unwrap_or(u16::MAX)))
        .wanted(Quantity::Terminators(2));
}
