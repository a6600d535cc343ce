//! Each end of the line has its terminator on.
use super::ends_of_line;
use crate::plan::TerminatorPlace;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-missing-one-end",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::value(Demand::TerminatorsAt, TerminatorPlace::BothEnds.code())
        .whole(&[Datum::CableList, Datum::CableEnds])
        .some(&[Datum::Terminator]),
    after: &[
        RuleId::UnitNotOnLink,
        RuleId::LinkRingClosed,
        RuleId::LinkStar,
        RuleId::TermMissingBothEnds,
    ],
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
    let Some(ends) = ends_of_line(links, sink) else { return };
    let unterminated = ends.without(links.terminated).without(links.automatic);
    for end in unterminated.and(links.terminator_known) {
        sink.add().at_terminators(NodeSet::only(end));
    }
    let unknown = unterminated.without(links.terminator_known);
    sink.open_nodes(Datum::Terminator, unknown);
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::Terminator::{Automatic, Off, On};
    use crate::plan::{CableKind, Datum, DeviceKind};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, at_device, terminator, unit};

    const RULE: RuleId = RuleId::TermMissingOneEnd;

    #[test]
    fn a_terminator_that_minds_itself_is_one() {
        let answer = Trial::line(3).terminator(2, Automatic).check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
    }

    #[test]
    fn an_end_that_says_nothing_is_open_and_a_middle_that_says_nothing_is_not_asked() {
        let answer = Trial::line(3).undeclare(2, Datum::Terminator).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Terminator));
        assert_eq!(answer.lacking(RULE, Datum::Terminator)[0], unit(2));
    }

    #[test]
    fn a_gateway_with_a_terminator_is_the_end() {
        let answer = Trial::line(3)
            .terminator(2, Off)
            .device(DeviceKind::Gateway, Some(On))
            .cable(CableKind::Link, [at(2, A), at_device(0)])
            .check();
        assert_eq!(answer.broken(), []);
    }

    #[test]
    fn a_gateway_without_one_hangs_on_the_line() {
        let answer = Trial::line(3)
            .device(DeviceKind::Gateway, Some(Off))
            .cable(CableKind::Link, [at(0, B), at_device(0)])
            .check();
        assert_eq!(answer.broken(), []);
    }

    #[test]
    fn a_branched_link_has_no_two_ends() {
        let answer = Trial::line(3)
            .device(DeviceKind::Splitter, None)
            .cable(CableKind::Link, [at(0, B), at_device(0)])
            .cable(CableKind::Link, [at(2, A), at_device(0)])
            .without_cables(|cable| cable == 0)
            .device(DeviceKind::Monitor, Some(On))
            .cable(CableKind::Link, [at_device(0), at_device(1)])
            .without_cables(|_| false)
            .check();
        assert_eq!(answer.outcome(RULE), Outcome::Blocked(RuleId::LinkStar));
    }

    #[test]
    fn each_end_is_a_finding_of_its_own_where_the_middle_is_terminated() {
        let answer = Trial::line(3).terminator(0, Off).terminator(1, On).terminator(2, Off).check();
        assert_eq!(answer.places(RULE), [[terminator(0)], [terminator(2)]]);
        assert_eq!(answer.broken(), [RULE, RuleId::TermOnMiddleUnit]);
    }
}
