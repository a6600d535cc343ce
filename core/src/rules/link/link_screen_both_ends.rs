//! A screen is earthed at one end.
use crate::plan::Screen;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-screen-both-ends",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Screen]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Screen,
    text: Text {
        title: "A screen is not earthed at exactly one end",
        says: "The screen of {places} is not earthed at exactly one end",
        why: "Earthed at both ends, the screen carries current between the two earths and disturbs \
             the pair. Earthed nowhere, it does not screen.",
        act: "Earth the screen at one end and insulate it at the other.",
        prove: "Power off: continuity from the screen to earth at one end only, with the cable \
               unplugged at both. On the running group a clamp around the screen reads no current.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"screen = "one end""#, r#"screen = "both ends""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    sink.add_cables(links.cables_where(
        links.link_cables,
        |cable, _| matches!(cable.screen(), Some(Screen::BothEnds | Screen::NotEarthed)),
        0,
    ));
}
