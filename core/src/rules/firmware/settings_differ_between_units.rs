//! Settings that must agree do.
use crate::alike::{Agreement, Values};
use crate::plan::Setting;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "settings-differ-between-units",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::SettingsAlike]).some(&[Datum::Settings]),
    after: &[RuleId::ParallelModeNotSet],
    check: Check::Link(check),
    shows: Datum::Settings,
    text: Text {
        title: "Units are set differently",
        says: "The {value} of {places} is not that of the others",
        why: "Units of one group with different settings work against each other: one charges \
             while the other stops, or one leaves the supply before the others.",
        act: "Copy the settings of one unit to all others.",
        prove: "Read the settings back on every unit and compare the lists.",
        source: "settings that the profile or the site demands to agree; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 frequency" = "50 Hz""#, r#""U3 frequency" = "60 Hz""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(demanded) = links.plan.demands.settings_alike() else { return };
    if !links.differs.contains(Datum::Settings) {
        return;
    }
    for (_, code) in Setting::WORDS {
        let Some(setting) = Setting::from_code(*code) else { continue };
        if !demanded.contains(setting) {
            continue;
        }
        let mut values = Values::NONE;
        for (id, unit) in links.plan.units() {
            if let Some(value) = unit.setting(setting) {
                values.set(id, value.into());
            }
        }
        if let Some(odd) = Agreement::of(&values).odd_ones() {
            sink.add().at_units(odd).value(Quantity::Setting(setting));
        }
        let lacking = links.units.without(values.known());
        if lacking != links.units {
            sink.gap_units(Datum::Settings, lacking);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Quantity;
    use crate::plan::{Datum, Demand, Setting};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::SettingsDifferBetweenUnits;

    fn line(values: [[u8; 2]; 4]) -> Trial {
        // Frequency and voltage must agree.
        let mut trial = Trial::line(4).demand(Demand::SettingsAlike, 0b110);
        for (index, [frequency, volts]) in values.into_iter().enumerate() {
            trial = trial.unit(index, |unit| {
                unit.settings = [frequency, volts, 0, 0, 0, 0, 0, 0];
                unit.declared = (unit.declared.get() | 1 << Datum::Settings.bit()).into();
            });
        }
        trial
    }

    #[test]
    fn each_setting_is_a_finding_of_its_own() {
        let answer = line([[1, 1], [1, 2], [2, 1], [1, 1]]).check();
        assert_eq!(answer.places(RULE), [[unit(2)], [unit(1)]]);
        let said =
            [Setting::Frequency, Setting::AcVoltage].map(|s| (Some(Quantity::Setting(s)), None));
        assert_eq!(answer.values(RULE), said);
    }

    #[test]
    fn a_unit_that_does_not_state_one_is_a_gap() {
        let answer = line([[1, 1], [1, 1], [0, 1], [1, 1]]).check();
        assert_eq!(answer.broken(), []);
        assert_eq!(answer.lacking(RULE, Datum::Settings), [unit(2)]);
    }
}
