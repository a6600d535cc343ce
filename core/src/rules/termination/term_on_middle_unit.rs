//! Between the ends of the line no terminator is on.
use super::ends_of_line;
use crate::plan::TerminatorPlace;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-on-middle-unit",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::value(Demand::TerminatorsAt, TerminatorPlace::BothEnds.code())
        .whole(&[Datum::CableList, Datum::CableEnds])
        .some(&[Datum::Terminator]),
    after: &[RuleId::UnitNotOnLink, RuleId::LinkRingClosed, RuleId::LinkStar, RuleId::TermTooMany],
    check: Check::Link(check),
    shows: Datum::Terminator,
    text: Text {
        title: "A terminator is on in the middle of the line",
        says: "{places} has a link cable on both sides and its terminator is on",
        why: "The signal beyond this unit is weak, and the end that lacks the terminator throws it \
              back. Commonly it was left on when the group was extended.",
        act: "Switch it off or unplug it here; the terminator belongs at the end of the line.",
        prove: "By eye: only the two end units show it on. Ohms across the pair do not show this \
                fault: two terminators of 120 ohm read about 60 wherever they are. Power off and \
                volts on the pair near zero, unplug the last link cable, then the first one: about \
                120 on both sides of each if the places are right.",
        source: "ISO 11898-2, 120 ohm at each end of the line (read second-hand); readings computed",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[
                ("terminator = \"off\"", "terminator = \"on\""),
                (
                    "address = 3, count = 3, terminator = \"on\"",
                    "address = 3, count = 3, terminator = \"off\"",
                ),
            ],
            with: &[RuleId::TermMissingOneEnd],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(ends) = ends_of_line(links, sink) else { return };
    for middle in links.on_link.without(ends).and(links.terminated) {
        sink.add().at_terminators(NodeSet::only(middle));
    }
}
