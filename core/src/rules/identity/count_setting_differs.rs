//! All units are set to the same number of units.
use super::{common_count, counts};
use crate::alike::Agreement;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "count-setting-differs",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::CountSetting]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Count,
    text: Text {
        title: "The unit-count settings differ",
        says: "The unit counts differ: look at {places}[, set to {value}][, where the others have \
               {wanted}]",
        why: "One part of the group waits for a unit that never comes, or shuts one out that is \
              there.",
        act: "Set the same unit count at every unit: the number that is really fitted.",
        prove: "Read the unit count back on every unit: the same number, and as many units as you \
                can count.",
        source: "common practice, no source",
        spoils: "the unit counts differ",
        example: Example {
            site: examples::LINE,
            edits: &[("address = 3, count = 3", "address = 3, count = 2")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if common_count(links).is_some() {
        return;
    }
    let mut counts = counts(links, sink);
    match Agreement::of(&counts) {
        Agreement::All(_) => {}
        Agreement::Tie(everyone) => {
            sink.add().at_units(everyone);
        }
        Agreement::Odd { majority, odd } => {
            sink.add().at_units(odd).wanted(Quantity::units(majority));
            // Several odd ones may differ among themselves; then the sheet shows the values.
            counts.keep(odd);
            if let Agreement::All(Some(count)) = Agreement::of(&counts) {
                sink.value(Quantity::units(count));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::{Coordinators, CountSetting, Datum, Demand, Role};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::CountSettingDiffers;

    fn counts(counts: &[u16]) -> Trial {
        let mut trial = Trial::line(u8::try_from(counts.len()).expect("few units"));
        for (index, count) in counts.iter().enumerate() {
            trial = trial.unit(index, |unit| unit.count = (*count).into());
        }
        trial
    }

    #[test]
    fn where_only_coordinators_carry_it_and_none_leads_that_is_the_cause() {
        let only = CountSetting::Coordinator.code().into();
        let answer = counts(&[3, 3, 3])
            .demand(Demand::CountSetting, only)
            .unit(0, |unit| unit.role = Role::Follower.code())
            .check();
        for rule in [RULE, RuleId::CountNotEqualFitted] {
            assert_eq!(answer.outcome(rule), Outcome::Blocked(RuleId::CoordinatorNone), "{rule:?}");
        }
    }

    #[test]
    fn what_keeps_the_cause_from_being_known_is_handed_on() {
        let answer = counts(&[3, 3, 3])
            .demand(Demand::CountSetting, CountSetting::Coordinator.code().into())
            .demand(Demand::Coordinators, Coordinators::OneEachPhase.code().into())
            .unit(0, |unit| unit.role = Role::Follower.code())
            .check();
        assert_eq!(answer.outcome(RuleId::CoordinatorNone), Outcome::Missing(Datum::Phase));
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Phase));
    }

    #[test]
    fn one_whose_role_is_not_declared_may_carry_it_too() {
        let only = CountSetting::Coordinator.code().into();
        let line = counts(&[3, 3, 4]).demand(Demand::CountSetting, only);
        let answer = line.unit(2, |unit| unit.role = 0).undeclare(2, Datum::Role).check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        assert_eq!(answer.lacking(RULE, Datum::Role), [unit(2)]);
    }

    #[test]
    fn a_tie_names_all_and_says_no_number() {
        let answer = counts(&[2, 3]).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
        assert_eq!(answer.values(RULE), [(None, None)]);
    }

    #[test]
    fn odd_ones_that_differ_among_themselves_are_named_without_a_number() {
        let answer = counts(&[5, 5, 5, 4, 3]).check();
        assert_eq!(answer.places(RULE), [[unit(3), unit(4)]]);
        assert_eq!(answer.values(RULE), [(None, Some(Quantity::Units(5)))]);
    }

    #[test]
    fn where_only_coordinators_carry_it_followers_are_not_asked() {
        let coordinator = CountSetting::Coordinator.code().into();
        let line = counts(&[3, 9, 9]).demand(Demand::CountSetting, coordinator);
        assert_eq!(line.check().broken(), []);
        let answer = line.undeclare(0, Datum::Role).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Role));
    }
}
