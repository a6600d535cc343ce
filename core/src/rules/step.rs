//! What the runner needs of each rule, taken out of the table at compile time.

use super::{DOUBTED, RuleId, STEPS};
use crate::finding::Outcome;
use crate::links::Known;
use crate::plan::{DataSet, Datum, Demand, DemandRecord, DemandSet};
use crate::report::Report;
use crate::rule::{Check, HeardCheck, LinkCheck, PowerCheck, Rule, Severity};
use projected::numbers;
pub(super) use projected::{DOUBTS, HEARD, LINK, POWER};

/// What the runner needs of one rule, in as few bytes as it can be said.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step<C> {
    pub(super) whole: Mask,
    pub(super) some: Mask,
    pub(super) check: C,
    /// Numbers of the rules whose breakage spoils it; 0 is none.
    pub(super) after: [u8; AFTER],
    pub(super) demands: Mask,
    /// Whether one of the demands is enough.
    pub(super) any: bool,
    /// The value that the demand must have, where there is one; 0 is any value.
    pub(super) value: u8,
    pub(super) id: RuleId,
    pub(super) severity: Severity,
    pub(super) asks: bool,
}

/// A set of data or demands in two words, so that a step needs no padding.
type Mask = [u32; 2];

/// Most rules that can spoil one.
const AFTER: usize = 4;

impl Step<Check> {
    pub(super) const fn of(id: RuleId, rule: &Rule) -> Self {
        let needs = &rule.needs;
        assert!(needs.demands.is_empty() || needs.any.is_empty(), "all of the demands or any");
        Self {
            whole: mask(needs.whole.0),
            some: mask(needs.some.0),
            check: rule.check,
            after: numbers(rule.after),
            demands: mask(needs.demands.0 | needs.any.0),
            any: !needs.any.is_empty(),
            value: match needs.value {
                Some((_, value)) => value,
                None => 0,
            },
            id,
            severity: rule.severity,
            asks: rule.asks,
        }
    }
}

impl<C> Step<C> {
    /// A demand that is not stated, or is another one than the rule checks.
    pub(super) fn undemanded(&self, demands: &DemandRecord) -> Option<Demand> {
        let needed = DemandSet(word(self.demands));
        if needed.is_empty() {
            return None;
        }
        let missing = needed.without(demands.stated());
        if self.any {
            return if missing == needed { needed.first() } else { None };
        }
        if !missing.is_empty() {
            return missing.first();
        }
        if self.value == 0 {
            return None;
        }
        let demand = needed.first()?;
        (demands.bits(demand) != Some(u32::from(self.value))).then_some(demand)
    }

    /// The first datum for want of which the rule cannot be checked.
    pub(super) fn missing(&self, known: &Known) -> Option<Datum> {
        let lacking = DataSet(word(self.whole)).without(known.whole);
        lacking.or(DataSet(word(self.some)).without(known.some)).first()
    }

    /// Data that are declared somewhere but not everywhere.
    pub(super) fn partial(&self, known: &Known) -> DataSet {
        DataSet(word(self.some)).without(known.whole)
    }

    /// The broken rule that stands at the root of what spoils the rule.
    pub(super) fn spoilt_by(&self, report: &Report<'_>) -> Option<RuleId> {
        for number in self.after {
            if number == 0 {
                break;
            }
            match report.outcome_of(number) {
                Outcome::Broken => return RuleId::from_number(number),
                Outcome::Blocked(root) => return Some(root),
                Outcome::NotRun | Outcome::Met | Outcome::Undemanded(_) | Outcome::Missing(_) => {}
            }
        }
        None
    }
}

const fn mask(set: u64) -> Mask {
    let bytes = set.to_le_bytes();
    let ([low, high], []) = bytes.as_chunks::<4>() else { return [0; 2] };
    [u32::from_le_bytes(*low), u32::from_le_bytes(*high)]
}

fn word([low, high]: Mask) -> u64 {
    u64::from(low) | u64::from(high).wrapping_shl(32)
}

/// Takes the steps of one kind out of the table, at compile time.
macro_rules! steps_of {
    ($(#[$doc:meta])* $list:ident: $kind:ident($check:ty)) => {
        $(#[$doc])*
        pub(in crate::rules) static $list: &[Step<$check>] = &{
            const COUNT: usize = {
                let mut count = 0;
                let mut rest = STEPS;
                while let [step, tail @ ..] = rest {
                    if let Check::$kind(_) = step.check {
                        count += 1;
                    }
                    rest = tail;
                }
                count
            };
            const BLANK: Step<$check> = Step {
                whole: [0; 2],
                some: [0; 2],
                check: |_, _| {},
                after: [0; super::AFTER],
                demands: [0; 2],
                any: false,
                value: 0,
                id: RuleId::FIRST,
                severity: Severity::Note,
                asks: false,
            };
            let mut list = [BLANK; COUNT];
            let mut next = 0;
            let mut rest = STEPS;
            while let [step, tail @ ..] = rest {
                if let Check::$kind(check) = step.check {
                    list[next] = Step {
                        whole: step.whole,
                        some: step.some,
                        check,
                        after: step.after,
                        demands: step.demands,
                        any: step.any,
                        value: step.value,
                        id: step.id,
                        severity: step.severity,
                        asks: step.asks,
                    };
                    next += 1;
                }
                rest = tail;
            }
            list
        };
    };
}

#[allow(
    clippy::indexing_slicing,
    clippy::arithmetic_side_effects,
    reason = "runs at compile time, where a mistake is a build error"
)]
mod projected {
    use super::{Check, DOUBTED, HeardCheck, LinkCheck, PowerCheck, RuleId, STEPS, Severity, Step};

    /// Pairs of a rule and one that leaves it in doubt.
    pub(in crate::rules) static DOUBTS: &[(RuleId, RuleId)] = &{
        const COUNT: usize = {
            let mut count = 0;
            let mut rest = DOUBTED;
            while let [(_, by), tail @ ..] = rest {
                count += by.len();
                rest = tail;
            }
            count
        };
        let mut pairs = [(RuleId::FIRST, RuleId::FIRST); COUNT];
        let mut next = 0;
        let mut rest = DOUBTED;
        while let [(rule, doubted_by), tail @ ..] = rest {
            let mut by = *doubted_by;
            while let [first, others @ ..] = by {
                pairs[next] = (*rule, *first);
                next += 1;
                by = others;
            }
            rest = tail;
        }
        pairs
    };

    /// The rules' numbers, the first ones first.
    pub(super) const fn numbers(rules: &[RuleId]) -> [u8; super::AFTER] {
        assert!(rules.len() <= super::AFTER, "a rule has too many that spoil it");
        let mut list = [0; super::AFTER];
        let mut next = 0;
        while next < rules.len() {
            list[next] = rules[next].number();
            next += 1;
        }
        list
    }

    steps_of! {
        /// Checks of the communication side.
        LINK: Link(LinkCheck)
    }
    steps_of! {
        /// Checks of the power side.
        POWER: Power(PowerCheck)
    }
    steps_of! {
        /// Checks of what is heard.
        HEARD: Heard(HeardCheck)
    }
}
