//! Every unit of the settings is reached by the link.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-not-on-link",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList, Datum::CableEnds]),
    after: &[RuleId::LinkBroken],
    check: Check::Link(check),
    shows: Datum::UnitList,
    text: Text {
        title: "A unit is not on the link",
        says: "No link cable reaches {places}",
        why: "A unit that is not on the link never answers at any address. The others wait for it, \
              or start without it, and it may run on its own beside them.",
        act: "Run a link cable from the open end of the line to a link socket of this unit.",
        prove: "By eye, power off: a link cable is in the unit. Volts on the pair near zero, then \
                ohms between its two wires at this unit: the same reading as at the others.",
        source: "common practice, no source",
        spoils: "a unit is not on the link yet, so the ends of the line are unknown",
        example: Example {
            site: examples::LINE,
            edits: &[(
                "  { label = \"C2\", from = \"U2 A\", to = \"U3 B\", length = \"2 m\" },\n",
                "",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let alone = links.units.without(links.on_link.units());
    // A single unit has nobody to talk to.
    if links.units.is_plural() && !alone.is_empty() {
        sink.add().at_units(alone);
    }
}
