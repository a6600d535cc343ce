//! Link cables are twisted pair.
use crate::plan::Construction;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-cable-unsuitable",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Construction]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Construction,
    text: Text {
        title: "A link cable is of an unsuitable kind",
        says: "Link cable {places} is not twisted pair",
        why: "The two wires of the pair must pick up the same disturbance so that it cancels. Side \
             by side they do not, and stiff or thin wires break when moved.",
        act: "Fit a twisted pair of the class that the profile or the manual names.",
        prove: "By eye, power off: the two wires of the pair are twisted with each other. On the \
               running link the error counters stay still while the cable is moved.",
        source: "ISO 11898-2, line of 95 to 140 ohm (read second-hand); the rest: common practice, no \
                source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"construction = "twisted pair""#, r#"construction = "telephone""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    sink.add_cables(links.cables_where(
        links.link_cables,
        |cable, _| cable.construction().is_some_and(|kind| kind != Construction::TwistedPair),
        0,
    ));
}
