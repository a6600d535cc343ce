//! One socket takes one plug.
use super::{ALL_ENDS, note_unknown_ends};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "port-listed-twice",
    severity: Severity::NoStart,
    asks: true,
    needs: Needs::demands(&[Demand::Ports]).whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Socket,
    text: Text {
        title: "Two cables are listed in one socket",
        says: "More than one cable is listed in {places}[: {related}]",
        why: "A socket takes one plug, so one of these lines is wrong and the cable is really \
              somewhere else. Until it is known where, the shape of the link is a guess.",
        act: "Look at the real socket and correct the line that is wrong.",
        prove: "By eye, power off: each socket holds the one plug that the list gives it.",
        source: "common practice, no source",
        spoils: "two cables are listed in one socket, so it is not known where one of them goes",
        example: Example {
            site: examples::LONG_LINE,
            edits: &[(r#"from = "U2 A", to = "U3 B""#, r#"from = "U2 A", to = "U3 A""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for unit in links.crowded {
        for port in links.crowded_ports(unit) {
            sink.add().at(Place::Port(unit, port)).near_cables(links.cables_in(unit, port));
        }
    }
    note_unknown_ends(links, sink, ALL_ENDS);
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::place::{Place, PortId, UnitId};
    use crate::plan::CableKind;
    use crate::rules::RuleId;
    use crate::trial::{A, B, BATTERY, Trial, at, cable};

    const RULE: RuleId = RuleId::PortListedTwice;

    #[test]
    fn a_sensor_socket_takes_a_lead_for_each_leg() {
        assert_eq!(Trial::line(2).sensor(3, 0).check().outcome(RULE), Outcome::Met);
    }

    #[test]
    fn a_plug_in_a_used_socket_is_another_rules_matter() {
        assert_eq!(Trial::line(2).plug(0, A).check().outcome(RULE), Outcome::Met);
    }

    #[test]
    fn a_full_battery_socket_leaves_the_shape_of_the_link_known() {
        let answer = Trial::line(3)
            .cable(CableKind::Battery, [at(0, BATTERY), at(0, BATTERY)])
            .cable(CableKind::Battery, [at(1, B), at(0, BATTERY)])
            .check();
        assert_eq!(answer.outcome(RULE), Outcome::Broken);
        assert_eq!(answer.outcome(RuleId::LinkRingClosed), Outcome::Blocked(RULE));
        let answer =
            Trial::line(3).cable(CableKind::Battery, [at(0, BATTERY), at(0, BATTERY)]).check();
        let socket = Place::Port(UnitId(0), PortId(BATTERY));
        assert_eq!(answer.places(RULE), [[socket]]);
        assert_eq!(answer.related(RULE), [[cable(2), cable(5)]]);
        assert_eq!(answer.outcome(RuleId::LinkBroken), Outcome::Met);
    }
}
