//! Each end of the line has its terminator on.
use super::ends_to_terminate;
use crate::plan::TerminatorPlace;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-missing-one-end",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::value(Demand::TerminatorsAt, TerminatorPlace::BothEnds.code())
        .whole(&[Datum::CableList, Datum::CableEnds])
        .some(&[Datum::Terminator]),
    after: &[RuleId::UnitNotOnLink, RuleId::LinkRingClosed, RuleId::TermMissingBothEnds],
    check: Check::Link(check),
    shows: Datum::Terminator,
    text: Text {
        title: "An end of the line has no terminator",
        says: "{places} is an end of the line and its terminator is off",
        why: "The open end throws the signal back. It often works on the bench with short leads \
              and drops a few times a week on site.",
        act: "Switch on or plug in the terminator at this end.",
        prove: "Power off and volts on the pair near zero, then ohms between the two wires of the \
                pair at either end: about 60. One terminator alone reads about 120.",
        source: "ISO 11898-2, 120 ohm at each end of the line (read second-hand)",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[(
                "address = 3, count = 3, terminator = \"on\"",
                "address = 3, count = 3, terminator = \"off\"",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(ends) = ends_to_terminate(links, sink) else { return };
    let unterminated = ends.without(links.terminated).without(links.automatic);
    for end in unterminated.and(links.terminator_known) {
        sink.add().at_terminators(NodeSet::only(end));
    }
    let unknown = unterminated.without(links.terminator_known);
    if !unknown.is_empty() {
        sink.open(Datum::Terminator).at_nodes(unknown);
    }
}
