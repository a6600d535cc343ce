//! A terminator plug is in a free link socket.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "term-plug-wrong-socket",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Ports]).whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Socket,
    text: Text {
        title: "A terminator plug is in the wrong socket",
        says: "Terminator plug {related} is in {places}, which is no free link socket",
        why: "In another socket, or in one that a cable needs, the plug does not end the link: the \
             end stays open, and something else is loaded.",
        act: "Plug it into the free link socket of the unit at the end of the line.",
        prove: "By eye, cold: the plug sits in a free link socket at the end of the line. Power off \
               and volts on the pair near zero: about 60 ohm between its two wires.",
        source: "common practice, no source",
        spoils: "a terminator plug is in the wrong socket, so it is not known what it ends",
        example: Example {
            site: examples::LINE,
            edits: &[
                (
                    r#"  { label = "B1""#,
                    "  { label = \"T1\", from = \"U3 service\", kind = \"terminator\" },\n  { label = \"B1\"",
                ),
                (
                    r#"address = 3, count = 3, terminator = "on""#,
                    r#"address = 3, count = 3, terminator = "plug""#,
                ),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for id in links.plugs {
        let end = links.plan.cable(id).and_then(|plug| plug.unit_end());
        let Some((unit, port)) = end else { continue };
        match port {
            None => {
                sink.gap(Datum::Socket).at(Place::Cable(id));
            }
            Some(port) if !links.is_link_port(port) || links.is_used(unit, port) => {
                sink.add().at(Place::Port(unit, port)).near(Place::Cable(id));
            }
            Some(_) => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::place::{Place, PortId, UnitId};
    use crate::plan::CableKind;
    use crate::rules::RuleId;
    use crate::trial::{A, B, BATTERY, Trial, at};

    const RULE: RuleId = RuleId::TermPlugWrongSocket;

    #[test]
    fn what_a_plug_in_the_wrong_socket_ends_is_not_known() {
        use crate::plan::Terminator::Plug;
        let blocked = Outcome::Blocked(RULE);
        let at_end = Trial::line(3).terminator(2, Plug).plug(2, BATTERY).check();
        assert_eq!(at_end.outcome(RuleId::TermMissingBothEnds), blocked);
        assert_eq!(at_end.outcome(RuleId::TermMissingOneEnd), blocked);
        let in_the_middle = Trial::line(3).terminator(1, Plug).plug(1, BATTERY).check();
        assert_eq!(in_the_middle.outcome(RuleId::TermTooMany), blocked);
        assert_eq!(in_the_middle.outcome(RuleId::TermOnMiddleUnit), blocked);
        assert_eq!(in_the_middle.broken(), [RULE]);
    }

    #[test]
    fn a_socket_with_two_cables_leaves_the_plugs_known() {
        let answer = Trial::line(3).cable(CableKind::Link, [at(1, A), at(2, A)]).check();
        assert_eq!(answer.outcome(RuleId::PortListedTwice), Outcome::Broken);
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        assert_eq!(answer.outcome(RuleId::TermTooMany), Outcome::Met);
    }

    #[test]
    fn a_socket_with_a_cable_is_not_free() {
        use crate::plan::Terminator::Plug;
        let line = Trial::line(3).terminator(2, Plug);
        assert_eq!(line.clone().plug(2, A).check().outcome(RULE), Outcome::Met);
        for port in [B, BATTERY] {
            let answer = line.clone().plug(2, port).check();
            assert_eq!(answer.places(RULE), [[Place::Port(UnitId(2), PortId(port))]]);
            assert_eq!(answer.broken(), [RULE]);
        }
    }
}
