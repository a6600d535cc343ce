//! A link cable carries the common beside the pair.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "signal-common-missing",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::CommonPin]).some(&[Datum::Pins]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Pins,
    text: Text {
        title: "A link cable carries no common",
        says: "Link cable {places} has no wire on the pin of the common",
        why: "Without a common the two ends drift apart in voltage. It works for days, then \
             stalls, and a restart cures it for a while.",
        act: "Fit a lead that also carries the common.",
        prove: "Power off, the lead unplugged at both ends: continuity on the pin of the common. On \
               the running link: only small volts between the commons of any two units.",
        source: "TIA-485-A and ISO 11898-2 name a common range (from memory); pin of the profile or \
                the site; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"pins = "1, 2, 3""#, r#"pins = "1, 2""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(common) = links.plan.demands.common_pin() else { return };
    sink.add_cables(links.cables_where(
        links.link_cables,
        |cable, common| {
            let common = u8::try_from(common).unwrap_or(0);
            cable.pins().is_some_and(|pins| !pins.contains(common))
        },
        common,
    ));
}
