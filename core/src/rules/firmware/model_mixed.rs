//! All units are of one type, where that is demanded.
use crate::plan::YesNo;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "model-mixed",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::value(Demand::ModelAlike, YesNo::Yes.code()).some(&[Datum::Model]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Model,
    text: Text {
        title: "Units are of different types",
        says: "{places} is not of the type of the others",
        why: "Units of different types or ratings do not join, or one is at its limit while the \
             others idle.",
        act: "Use units of one type in a group; exchange the odd one.",
        prove: "Read the type from the plate of every unit: no two differ.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 model" = "six""#, r#""U3 model" = "eight""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let odd = links.odd_units(Datum::Model, |unit| {
        unit.declares(Datum::Model).then(|| u32::from(unit.model.get()))
    });
    sink.add_units(odd.unwrap_or_default());
}
