//! A line carries two terminators, not more.
use crate::plan::TerminatorPlace;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-too-many",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::value(Demand::TerminatorsAt, TerminatorPlace::BothEnds.code())
        .some(&[Datum::Terminator]),
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
    let on = links.terminated.or(links.automatic.and(links.ends()));
    let count = on.len().saturating_add(links.terminated_twice.len());
    if count > 2 {
        // Where the ends are known, those in between are too many, and those where two are on;
        // else any of them may be.
        let ends = links.line_ends().unwrap_or_default();
        sink.add()
            .at_terminators(links.terminated.without(ends).or(links.terminated_twice))
            .value(Quantity::Terminators(u16::try_from(count).unwrap_or(u16::MAX)))
            .wanted(Quantity::Terminators(2));
    }
    // Helper boards often carry a terminator from new that nobody listed.
    let unlisted = links.hanging.without(links.terminator_known);
    if !unlisted.is_empty() {
        sink.gap(Datum::Terminator).at_nodes(unlisted);
    }
}
