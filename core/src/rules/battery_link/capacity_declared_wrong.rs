//! The capacity that is set is that of the packs.
use crate::rule::prelude::*;
use crate::units::Capacity;

pub(crate) const RULE: Rule = Rule {
    slug: "capacity-declared-wrong",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CapacitySet]).some(&[Datum::PackCapacity]),
    after: &[RuleId::PackCountMismatch],
    check: Check::Link(check),
    shows: Datum::CapacitySet,
    text: Text {
        title: "The capacity set is not that of the packs",
        says: "{value} is set and the packs have {wanted}",
        why: "The charge and the time left that are shown are wrong.",
        act: "Set the sum of the capacities on the plates.",
        prove: "Add up the plates of the packs and read the setting back.",
        source: "common practice, no source; within a twentieth, because plates are rounded",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""capacity set" = "10 kWh""#, r#""capacity set" = "15 kWh""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let plan = links.plan;
    let (mut sum, mut count) = (0u32, 0u16);
    let mut alike = true;
    let mut first = 0u32;
    for pack in plan.packs {
        let capacity = pack.capacity.get();
        if capacity == 0 {
            continue;
        }
        first = if count == 0 { capacity } else { first };
        alike &= capacity == first;
        sum = sum.saturating_add(capacity);
        count = count.wrapping_add(1);
    }
    let fitted = match plan.group.packs_fitted.get() {
        0 => u16::try_from(plan.packs.len()).unwrap_or(u16::MAX),
        fitted => fitted,
    };
    let capacity = if count == fitted {
        sum
    } else if alike {
        first.saturating_mul(u32::from(fitted))
    } else {
        sink.open(Datum::PackCapacity);
        return;
    };
    let set = plan.group.capacity_set();
    if set.0.abs_diff(capacity).saturating_mul(20) > capacity {
        sink.add().value(Quantity::Capacity(set)).wanted(Quantity::Capacity(Capacity(capacity)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Outcome;
    use crate::plan::DataSet;
    use crate::trial::Trial;

    fn packs(capacities: [u32; 2], fitted: u16, set: u32) -> Outcome {
        let trial = Trial::line(2)
            .pack(0, |pack| pack.capacity = capacities[0].into())
            .pack(1, |pack| pack.capacity = capacities[1].into())
            .group(|group| {
                group.packs_fitted = fitted.into();
                group.capacity_set = set.into();
                group.declared =
                    (group.declared.get() | DataSet::of(&[Datum::CapacitySet]).0).into();
            });
        trial.check().outcome(RuleId::CapacityDeclaredWrong)
    }

    #[test]
    fn packs_that_differ_tell_nothing_of_one_that_is_not_listed() {
        assert_eq!(packs([5000, 5000], 3, 15_000), Outcome::Met);
        assert_eq!(packs([5000, 5000], 3, 10_000), Outcome::Broken);
        assert_eq!(packs([5000, 9000], 3, 15_000), Outcome::Missing(Datum::PackCapacity));
        assert_eq!(packs([9000, 5000], 3, 15_000), Outcome::Missing(Datum::PackCapacity));
    }

    #[test]
    fn a_twentieth_is_let_pass() {
        assert_eq!(packs([5000, 5000], 2, 9500), Outcome::Met);
        assert_eq!(packs([5000, 5000], 2, 9499), Outcome::Broken);
    }
}
