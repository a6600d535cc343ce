//! One socket takes one plug.
use crate::plan::PortClass;
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
    for (unit, port) in links.ports_twice() {
        // A sensor socket takes a lead for each leg.
        if links.port_class(port) != Some(PortClass::Sensor) {
            sink.add().at(Place::Port(unit, port)).near_cables(links.cables_in(unit, port));
        }
    }
}
