//! Link cables are in link sockets.
use super::{LINK_ENDS, note_unknown_ends};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-in-service-port",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Ports]).whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Socket,
    text: Text {
        title: "A link cable is in a socket made for something else",
        says: "A link cable is not in a link socket: {places}",
        why: "All these plugs look alike. In another socket the unit never joins the group, and \
             the service that belongs there is missing or disturbed.",
        act: "Move the plug to a link socket of the same unit.",
        prove: "By eye, cold: the plug sits in a socket marked for the link. On the running group \
               the unit is heard on the link.",
        source: "common practice, no source",
        spoils: "a link cable is in a socket that is made for something else",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#"from = "U2 A", to = "U3 B", length = "2 m", construction"#,
                r#"from = "U2 A", to = "U3 service", length = "2 m", construction"#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for id in links.misplaced {
        let Some(cable) = links.plan.cable(id) else { continue };
        let finding = sink.add().at(Place::Cable(id));
        let [first, second] = cable.ends;
        // Both plugs may be listed in one socket.
        for end in cable.ends.iter().skip(usize::from(first == second)) {
            if let (Some(unit), Some(port)) = (end.unit(), end.port())
                && !links.is_link_port(port)
            {
                finding.at(Place::Port(unit, port));
            }
        }
    }
    note_unknown_ends(links, sink, LINK_ENDS);
}

#[cfg(test)]
mod tests {
    use crate::place::{Place, PortId, UnitId};
    use crate::rules::RuleId;
    use crate::trial::{SENSOR, Trial, at, cable};

    #[test]
    fn a_socket_that_holds_both_plugs_is_named_once() {
        let both = Trial::line(3).move_end(1, 0, at(2, SENSOR)).move_end(1, 1, at(2, SENSOR));
        let socket = Place::Port(UnitId(2), PortId(SENSOR));
        assert_eq!(both.check().places(RuleId::LinkInServicePort), [[cable(1), socket]]);
    }

    #[test]
    fn the_cable_still_counts_for_the_shape() {
        let answer = Trial::line(3).move_end(1, 1, at(2, SENSOR)).check();
        let socket = Place::Port(UnitId(2), PortId(SENSOR));
        assert_eq!(answer.places(RuleId::LinkInServicePort), [[cable(1), socket]]);
        assert_eq!(answer.broken(), [RuleId::LinkInServicePort]);
    }
}
