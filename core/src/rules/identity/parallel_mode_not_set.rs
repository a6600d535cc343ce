//! Every unit is set to work in the group.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "parallel-mode-not-set",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::demands(&[Demand::ModeDemanded]).some(&[Datum::Mode]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Mode,
    text: Text {
        title: "A unit is not set to work in the group",
        says: "{places} is not set to the mode that a group needs",
        why: "The unit makes a voltage of its own rhythm. Joined to the others it works against \
             them, with the full current of both.",
        act: "Keep its output open. Set its mode to that of a group, before its output is joined \
             to the others.",
        prove: "Read the mode back on the unit, its output open. Then, live and by licensed people only, the output \
                breaker open and both sides of it at nominal volts to neutral: volts across each \
                pole near zero and steady. Near zero with one side dead proves nothing.",
        source: "common practice, no source",
        spoils: "a unit is set to work alone",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 mode" = "parallel""#, r#""U3 mode" = "single""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(wanted) = links.plan.demands.mode() else { return };
    if links.all_hold(Datum::Mode, |unit| u32::from(unit.mode), wanted.code().into()) {
        return;
    }
    sink.add_units(links.units_where(
        |unit, wanted| unit.mode().is_some_and(|mode| u32::from(mode.code()) != wanted),
        wanted.code().into(),
    ));
}
