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
    if !links.terminated.is_empty() {
        return;
    }
    let ends = links.line_ends();
    // Those that mind themselves are off in the middle. Where the line is not whole, any of them
    // may become an end.
    let at_ends = links.automatic.and(ends.unwrap_or(links.automatic));
    if !at_ends.is_empty() {
        if ends.is_none() {
            sink.open(Datum::LineEnds);
        }
    } else if links.units.is_plural() {
        sink.add().at_terminators(ends.unwrap_or_default());
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::Datum;
    use crate::plan::Terminator::{Automatic, Off};
    use crate::rules::RuleId;
    use crate::trial::{Trial, terminator};

    const RULE: RuleId = RuleId::TermMissingBothEnds;

    #[test]
    fn one_that_minds_itself_is_off_in_the_middle() {
        let line = Trial::line(3).terminator(0, Off).terminator(1, Automatic);
        assert_eq!(line.check().outcome(RULE), Outcome::Met);
        let answer = line.terminator(2, Off).check();
        assert_eq!(answer.places(RULE), [[terminator(0), terminator(2)]]);
    }

    #[test]
    fn one_that_minds_itself_may_be_an_end_once_the_line_is_whole() {
        let line = Trial::line(3).terminator(0, Off).terminator(1, Automatic).terminator(2, Off);
        let answer = line.without_cables(|index| index == 1).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::LineEnds));
        assert_eq!(answer.broken(), [RuleId::UnitNotOnLink]);
    }
}
