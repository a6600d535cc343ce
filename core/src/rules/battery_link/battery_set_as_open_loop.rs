//! The unit with the battery link takes the battery's state from it.
use crate::plan::BatteryType;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "battery-set-as-open-loop",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING
        .whole(&[Datum::CableList])
        .some(&[Datum::BatteryType])
        .doubted_by(&[RuleId::UnitNameUnclear]),
    after: &[RuleId::BmsLeadMissing],
    check: Check::Link(check),
    shows: Datum::BatteryType,
    text: Text {
        title: "A unit with a battery link goes by volts only",
        says: "{places} has a battery link and is set to go by volts only",
        why: "The unit shows its own guess of the charge and ignores when the battery asks it to \
             stop.",
        act: "Set the battery type that uses the battery link.",
        prove: "On the running group the charge shown by the unit and by the battery agree.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U1 battery type" = "data link""#, r#""U1 battery type" = "volts only""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let by_volts =
        links.units_where(|unit, _| unit.battery_type() == Some(BatteryType::VoltsOnly), 0);
    sink.add_units(by_volts.and(links.battery_units));
}
