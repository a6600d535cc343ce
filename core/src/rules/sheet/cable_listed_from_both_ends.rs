//! Each cable stands in the list once.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "cable-listed-from-both-ends",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING
        .whole(&[Datum::CableList])
        .doubted_by(&[RuleId::SheetsDisagree, RuleId::DrawingWrong]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "A cable stands in the list twice",
        says: "{places} join the same two sockets, so they are one cable",
        why: "It looks like a second cable, or like two plugs in one socket. Here it is taken for \
             one.",
        act: "Look at the cable, and keep one line of the list.",
        prove: "Every line of the list is a cable of its own.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[(
                r#"  { label = "B1""#,
                "  { label = \"C3\", from = \"U3 B\", to = \"U2 A\", length = \"2 m\" },\n  { label = \"B1\"",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for again in links.again {
        let first = links.listed_before(again).into_iter().collect();
        sink.add().at_cables(first).at(Place::Cable(again));
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::EndRecord;
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, cable};

    const RULE: RuleId = RuleId::CableListedFromBothEnds;

    #[test]
    fn it_is_neither_a_second_cable_nor_a_second_plug() {
        let answer = Trial::line(3).link((1, A), (2, B), 2000).check();
        assert_eq!(answer.places(RULE), [[cable(1), cable(5)]]);
        assert_eq!(answer.broken(), [RULE]);
    }

    #[test]
    fn without_sockets_the_label_decides() {
        let no = EndRecord::NO_PORT;
        let bare = |again| {
            let line = Trial::line(2).move_end(0, 0, at(0, no)).move_end(0, 1, at(1, no));
            line.link_after_first((0, no), (1, no), again)
        };
        assert_eq!(bare(true).check().broken(), [RULE]);
        assert_eq!(bare(false).check().broken(), [RuleId::LinkDoubledPair]);
    }

    #[test]
    fn one_label_in_other_sockets_is_another_cable() {
        let answer = Trial::line(2).link_after_first((0, B), (1, A), true).check();
        assert_eq!(answer.broken(), [RuleId::LinkDoubledPair]);
    }

    #[test]
    fn a_sensor_lead_that_stands_twice_is_named_with_its_own_first_line() {
        // A line of two: cables 2 and 3 are the leads of the sensors.
        let answer = Trial::line(2).repeat(3).check();
        assert_eq!(answer.places(RULE), [[cable(3), cable(4)]]);
    }
}
