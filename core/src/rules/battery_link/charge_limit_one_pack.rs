//! Charge limits fit the whole bank.
use crate::plan::ChargeLimitFor;
use crate::rule::prelude::*;
use crate::units::Milliamperes;

pub(crate) const RULE: Rule = Rule {
    slug: "charge-limit-one-pack",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING
        .some(&[Datum::ChargeLimit, Datum::PackChargeLimit])
        .also(&[Datum::PacksFitted])
        .also_demands(&[Demand::ChargeLimitFor]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::ChargeLimit,
    text: Text {
        title: "The charge limit does not fit the battery bank",
        says: "The charge limit that is set comes to {value} where the bank takes {wanted}; look at \
              {places}",
        why: "A limit above what the bank takes charges it too hard, which can damage it or set it \
             on fire. The limit of a single pack, set for the whole bank, charges it too slowly.",
        act: "Keep the chargers off. Set the number of packs times the limit of the weakest, as \
             one limit for the bank or shared among the units, whichever the units mean by it.",
        prove: "Read the limits back on every unit and add them up as the units mean them: no more \
               than packs times weakest. On the running group a DC clamp on the battery lead stays \
               below it.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (r#""U1 charge limit" = "80 A""#, r#""U1 charge limit" = "160 A""#),
                (r#""U2 charge limit" = "80 A""#, r#""U2 charge limit" = "160 A""#),
                (r#""U3 charge limit" = "80 A""#, r#""U3 charge limit" = "160 A""#),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let plan = links.plan;
    let limits = || plan.packs.iter().map(|pack| pack.charge_limit.get()).filter(|one| *one != 0);
    let Some(weakest) = limits().min() else { return };
    let listed = u16::try_from(plan.packs.len()).unwrap_or(u16::MAX);
    let packs = match plan.group.packs_fitted.get() {
        0 => listed,
        fitted => fitted,
    };
    let bank = weakest.saturating_mul(u32::from(packs));
    let (mut highest, mut sum) = (0u32, 0u32);
    for unit in plan.units {
        if let Some(Milliamperes(limit)) = unit.charge_limit() {
            highest = highest.max(limit);
            sum = sum.saturating_add(limit);
        }
    }
    let one_of_many = |limit| limit == weakest && packs > 1;
    let wrong = |limit: u32| limit > bank || one_of_many(limit);
    // Nobody may have said what a unit means by its limit; then only what is wrong either way is.
    let (wrong_alone, wrong_together) = (wrong(highest), wrong(sum));
    let (is_wrong, set) = match plan.demands.charge_limit_for() {
        Some(ChargeLimitFor::Bank) => (wrong_alone, highest),
        Some(ChargeLimitFor::Unit) => (wrong_together, sum),
        None => {
            if wrong_alone != wrong_together {
                sink.undemanded(Demand::ChargeLimitFor);
            }
            (wrong_alone && wrong_together, highest)
        }
    };
    if is_wrong {
        let units = links.units_where(|unit, _| unit.declares(Datum::ChargeLimit), 0);
        sink.add()
            .at_units(units)
            .value(Quantity::Current(Milliamperes(set)))
            .wanted(Quantity::Current(Milliamperes(bank)));
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{ChargeLimitFor, Datum, Demand};
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::ChargeLimitOnePack;

    /// Packs of 50 A, units of this limit.
    fn site(units: u8, packs: u16, amperes: u32) -> Trial {
        let mut trial = Trial::line(units)
            .pack(0, |pack| pack.charge_limit = 50_000.into())
            .group(|group| group.packs_fitted = packs.into());
        for index in 0..usize::from(units) {
            trial = trial.unit(index, |unit| {
                unit.charge_limit = (amperes * 1000).into();
                unit.declared = (unit.declared.get() | 1 << Datum::ChargeLimit.bit()).into();
            });
        }
        trial
    }

    #[test]
    fn what_is_wrong_either_way_is_found_whatever_the_units_mean() {
        // 50 A of one pack for a bank of four, and three times 50 A is not 200 A but allowed.
        assert_eq!(site(3, 2, 50).check().outcome(RULE), Outcome::Broken);
        assert_eq!(site(3, 2, 150).check().outcome(RULE), Outcome::Broken);
        let open = Outcome::Undemanded(Demand::ChargeLimitFor);
        assert_eq!(site(2, 4, 50).check().outcome(RULE), open);
    }

    #[test]
    fn the_meaning_decides() {
        let bank =
            |trial: Trial| trial.demand(Demand::ChargeLimitFor, ChargeLimitFor::Bank.code().into());
        let unit =
            |trial: Trial| trial.demand(Demand::ChargeLimitFor, ChargeLimitFor::Unit.code().into());
        assert_eq!(bank(site(3, 4, 200)).check().outcome(RULE), Outcome::Met);
        assert_eq!(unit(site(3, 4, 200)).check().outcome(RULE), Outcome::Broken);
        assert_eq!(unit(site(2, 4, 100)).check().outcome(RULE), Outcome::Met);
        assert_eq!(unit(site(2, 4, 50)).check().outcome(RULE), Outcome::Met);
    }

    #[test]
    fn what_all_packs_take_together_is_not_too_much() {
        let bank = ChargeLimitFor::Bank.code().into();
        let limit = |amperes| site(2, 2, amperes).demand(Demand::ChargeLimitFor, bank).check();
        assert_eq!(limit(100).outcome(RULE), Outcome::Met);
        assert_eq!(limit(101).outcome(RULE), Outcome::Broken);
        // The limit of one pack is right for a bank of one.
        let single = |amperes| site(2, 1, amperes).demand(Demand::ChargeLimitFor, bank).check();
        assert_eq!(single(50).outcome(RULE), Outcome::Met);
        assert_eq!(single(51).outcome(RULE), Outcome::Broken);
    }
}
