//! All units carry one firmware, where that is demanded.
use crate::plan::YesNo;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "firmware-mixed",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::value(Demand::FirmwareAlike, YesNo::Yes.code()).some(&[Datum::Firmware]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Firmware,
    text: Text {
        title: "Units carry different firmware",
        says: "The firmware of {places} is not that of the others",
        why: "Typically after a unit was exchanged. It does not join, or shares the load badly.",
        act: "Bring all units to one version; follow the maker on the order.",
        prove: "Read the version back on every unit: no two differ.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 firmware" = "2.14""#, r#""U3 firmware" = "2.11""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let odd = links.odd_units(Datum::Firmware, |unit| {
        unit.declares(Datum::Firmware).then(|| unit.firmware.get())
    });
    sink.add_units(odd.unwrap_or_default());
}

#[cfg(test)]
mod tests {
    use crate::plan::{Datum, Demand, YesNo};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::FirmwareMixed;

    #[test]
    fn one_that_says_nothing_is_a_gap_and_no_odd_one() {
        let mut trial = Trial::line(4).demand(Demand::FirmwareAlike, YesNo::Yes.code().into());
        for (index, version) in [7, 7, 9].into_iter().enumerate() {
            trial = trial.unit(index, |unit| {
                unit.firmware = version.into();
                unit.declared = (unit.declared.get() | 1 << Datum::Firmware.bit()).into();
            });
        }
        let answer = trial.check();
        assert_eq!(answer.places(RULE), [[unit(2)]]);
        assert_eq!(answer.lacking(RULE, Datum::Firmware), []);
    }
}
