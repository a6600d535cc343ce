//! A link cable carries only the wires that are wanted.
use crate::plan::PinSet;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "extra-conductors-connected",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::WiredPins]).some(&[Datum::Pins]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Pins,
    text: Text {
        title: "A link cable carries wires that must stay open",
        says: "Link cable {places} has wires on pins that must stay open",
        why: "Another service can be on the spare pins of either socket. Carried through, the two \
             services disturb each other, and a supply can meet an input.",
        act: "Fit a lead that carries only the wanted pins.",
        prove: "Power off, the lead unplugged at both ends: continuity on the wanted pins, none on \
               the others.",
        source: "pins of the profile or the site; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"pins = "1, 2, 3""#, r#"pins = "all""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(PinSet(wanted)) = links.plan.demands.wired_pins() else { return };
    sink.add_cables(links.cables_where(
        links.link_cables,
        |cable, wanted| cable.pins().is_some_and(|pins| u32::from(pins.0) & !wanted != 0),
        wanted.into(),
    ));
}
