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
        count = count.saturating_add(1);
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
