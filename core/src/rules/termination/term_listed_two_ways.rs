//! One terminator is written down once.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-listed-two-ways",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList]).some(&[Datum::Terminator]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Terminator,
    text: Text {
        title: "A terminator is written down in two ways",
        says: "The settings say that the terminator of {places} is switched on, and the list has a \
              plug there",
        why: "If both are true, the end carries two terminators and reads about 60 ohm by itself. \
             Here it is taken for one.",
        act: "Look at the unit: use the switch or the plug, and correct the other sheet.",
        prove: "Power off and volts on the pair near zero, the link cable of this unit unplugged: \
               about 120 ohm between the two wires at its own socket, not about 60.",
        source: "readings computed from two 120 ohm terminators side by side",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[(
                r#"  { label = "B1""#,
                "  { label = \"T1\", from = \"U3 A\", kind = \"terminator\" },\n  { label = \"B1\"",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if !links.listed_two_ways.is_empty() {
        sink.add().at_terminators(links.listed_two_ways);
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::RuleId;
    use crate::trial::{A, Trial, terminator};

    #[test]
    fn it_counts_as_one_terminator() {
        let answer = Trial::line(3).plug(2, A).check();
        assert_eq!(answer.places(RuleId::TermListedTwoWays), [[terminator(2)]]);
        assert_eq!(answer.broken(), [RuleId::TermListedTwoWays]);
    }
}
