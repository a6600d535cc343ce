//! The battery link is in a socket made for it.
use super::leads_to_units;
use crate::plan::PortClass;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bms-lead-wrong-port",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Ports]).whole(&[Datum::CableList]),
    after: &[RuleId::BmsLeadMissing, RuleId::BmsLeadOnFollower],
    check: Check::Link(check),
    shows: Datum::Socket,
    text: Text {
        title: "The battery link is in the wrong socket",
        says: "The battery link is not in a battery socket: {places}",
        why: "All these plugs look alike. In another socket the unit gets no battery values, and \
              in a link socket the battery also disturbs the units' own link.",
        act: "Move the plug to the battery socket of the same unit.",
        prove: "By eye, cold: the plug sits in the socket marked for the battery. On the running \
                group the unit shows the battery's own volts and charge.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[("to = \"U1 battery\"", "to = \"U1 B\"")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for cable in leads_to_units(links) {
        match links.unit_end(cable) {
            Some((unit, Some(port))) => {
                if links.port_class(port) != Some(PortClass::Battery) {
                    sink.add().at(Place::Cable(cable)).at(Place::Port(unit, port));
                }
            }
            Some((_, None)) => {
                sink.open(Datum::Socket).at(Place::Cable(cable));
            }
            None => {
                sink.open(Datum::BatteryLeadEnds).at(Place::Cable(cable));
            }
        }
    }
}
