//! What the runner needs of each rule, taken out of the table at compile time.

use super::{AFTERS, DOUBTED, NEEDS, RuleId, STEPS};
use crate::finding::Outcome;
use crate::links::Known;
use crate::plan::{DataSet, Datum, Demand, DemandRecord, DemandSet};
use crate::report::Report;
use crate::rule::{Check, HeardCheck, LinkCheck, Needs, PowerCheck, Rule, Severity};
pub(super) use projected::{
    DOUBTS, HEARD, HEARD_CHECKS, LINK, LINK_CHECKS, POSITIONS, POWER, POWER_CHECKS,
};
use projected::{LISTS, MASKS, list_position, position};

/// What the runner needs of one rule besides its check, in as few bytes as it can be said.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    /// The rules whose breakage spoils it, as the position of their list among the different ones.
    after: u8,
    whole: Mask,
    some: Mask,
    demands: Mask,
    /// Whether one of the demands is enough.
    any: bool,
    /// The value that the demand must have, where there is one; 0 is any value.
    value: u8,
    pub(super) id: RuleId,
    pub(super) severity: Severity,
    pub(super) asks: bool,
}

/// A set of data or of demands, as its position among the few different ones; the first is empty.
#[derive(Clone, Copy, Debug)]
struct Mask(u8);

/// Most rules that can spoil one.
const AFTER: usize = 4;

/// The sets that a rule needs: data everywhere, data somewhere, demands.
pub(super) const fn masks(needs: &Needs) -> [u64; 3] {
    assert!(needs.demands.is_empty() || needs.any.is_empty(), "all of the demands or any");
    [needs.whole.0, needs.some.0, needs.demands.0 | needs.any.0]
}

impl Step {
    pub(super) const fn of(id: RuleId, rule: &Rule) -> Self {
        let [whole, some, demands] = masks(&rule.needs);
        Self {
            after: list_position(rule.after),
            whole: Mask(position(whole)),
            some: Mask(position(some)),
            demands: Mask(position(demands)),
            any: !rule.needs.any.is_empty(),
            value: match rule.needs.value {
                Some((_, value)) => value,
                None => 0,
            },
            id,
            severity: rule.severity,
            asks: rule.asks,
        }
    }

    /// A demand that is not stated, or is another one than the rule checks.
    pub(super) fn undemanded(&self, demands: &DemandRecord) -> Option<Demand> {
        if self.demands.is_empty() {
            return None;
        }
        let needed = DemandSet(self.demands.bits());
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
        let lacking = DataSet(self.whole.bits()).without(known.whole);
        if self.some.is_empty() {
            return lacking.first();
        }
        lacking.or(DataSet(self.some.bits()).without(known.some)).first()
    }

    /// Data that are declared somewhere but not everywhere.
    pub(super) fn partial(&self, known: &Known) -> DataSet {
        if self.some.is_empty() {
            return DataSet::EMPTY;
        }
        DataSet(self.some.bits()).without(known.whole)
    }

    /// The broken rule that stands at the root of what spoils the rule.
    pub(super) fn spoilt_by(&self, report: &Report<'_>) -> Option<RuleId> {
        if report.may_spoil() { self.cause(report) } else { None }
    }

    #[inline(never)]
    fn cause(&self, report: &Report<'_>) -> Option<RuleId> {
        for rule in LISTS.get(usize::from(self.after))? {
            let rule = (*rule)?;
            match report.outcome(rule) {
                Outcome::Broken => return Some(rule),
                Outcome::Blocked(root) => return Some(root),
                Outcome::NotRun | Outcome::Met | Outcome::Undemanded(_) | Outcome::Missing(_) => {}
            }
        }
        None
    }
}

impl Mask {
    const fn is_empty(self) -> bool {
        self.0 == 0
    }

    fn bits(self) -> u64 {
        MASKS.get(usize::from(self.0)).copied().unwrap_or(0)
    }
}

/// Takes the rules of one kind out of the table, at compile time.
macro_rules! steps_of {
    ($(#[$doc:meta])* $steps:ident, $checks:ident: $kind:ident($check:ty)) => {
        $(#[$doc])*
        pub(in crate::rules) static $steps: &[Step] = &{
            let mut list = [STEPS[0].0; $checks.len()];
            let mut next = 0;
            let mut rest = STEPS;
            while let [(step, check), tail @ ..] = rest {
                if let Check::$kind(_) = check {
                    list[next] = *step;
                    next += 1;
                }
                rest = tail;
            }
            list
        };

        /// Their checks, in the same order.
        pub(in crate::rules) static $checks: &[$check] = &{
            const COUNT: usize = {
                let mut count = 0;
                let mut rest = STEPS;
                while let [(_, check), tail @ ..] = rest {
                    if let Check::$kind(_) = check {
                        count += 1;
                    }
                    rest = tail;
                }
                count
            };
            let mut list: [$check; COUNT] = [|_, _| {}; COUNT];
            let mut next = 0;
            let mut rest = STEPS;
            while let [(_, check), tail @ ..] = rest {
                if let Check::$kind(check) = check {
                    list[next] = *check;
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
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "runs at compile time, where a mistake is a build error"
)]
mod projected {
    use super::{
        AFTER, AFTERS, Check, DOUBTED, HeardCheck, LinkCheck, NEEDS, PowerCheck, RuleId, STEPS,
        Step,
    };

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

    /// For each number the position of its rule in the order of checking; 255 is no rule's.
    pub(in crate::rules) static POSITIONS: &[u8; crate::limits::RULES] = &{
        let mut positions = [u8::MAX; crate::limits::RULES];
        let mut position = 0;
        let mut rest = STEPS;
        while let [(step, _), tail @ ..] = rest {
            let place = &mut positions[step.id.number() as usize];
            assert!(*place == u8::MAX, "two rules have one number");
            *place = position;
            position += 1;
            rest = tail;
        }
        positions
    };

    /// The different sets that rules need.
    pub(super) static MASKS: &[u64] = &{
        const COUNT: usize = different().1;
        let (all, _) = different();
        let mut masks = [0; COUNT];
        let mut next = 0;
        while next < COUNT {
            masks[next] = all[next];
            next += 1;
        }
        masks
    };

    /// The different sets, the empty one first, and how many there are.
    const fn different() -> ([u64; 256], usize) {
        let mut masks = [0; 256];
        let mut count = 1;
        let mut rest = NEEDS;
        while let [needs, tail @ ..] = rest {
            let mut sets: &[u64] = needs;
            while let [set, others @ ..] = sets {
                if index_of(&masks, count, *set) == count {
                    masks[count] = *set;
                    count += 1;
                }
                sets = others;
            }
            rest = tail;
        }
        (masks, count)
    }

    const fn index_of(masks: &[u64; 256], count: usize, set: u64) -> usize {
        let mut index = 0;
        while index < count && masks[index] != set {
            index += 1;
        }
        index
    }

    /// The position of a set that some rule needs.
    pub(super) const fn position(set: u64) -> u8 {
        const DIFFERENT: ([u64; 256], usize) = different();
        let index = index_of(&DIFFERENT.0, DIFFERENT.1, set);
        assert!(index < DIFFERENT.1, "a set of no rule");
        index as u8
    }

    /// The different lists of rules that spoil one.
    pub(super) static LISTS: &[[Option<RuleId>; AFTER]] = &{
        const COUNT: usize = different_lists().1;
        let (all, _) = different_lists();
        let mut lists = [[None; AFTER]; COUNT];
        let mut next = 0;
        while next < COUNT {
            lists[next] = all[next];
            next += 1;
        }
        lists
    };

    /// The different lists, the empty one first, and how many there are.
    const fn different_lists() -> ([[Option<RuleId>; AFTER]; 256], usize) {
        let mut lists = [[None; AFTER]; 256];
        let mut count = 1;
        let mut rest = AFTERS;
        while let [rules, tail @ ..] = rest {
            let list = first_ones(rules);
            if index_of_list(&lists, count, list) == count {
                lists[count] = list;
                count += 1;
            }
            rest = tail;
        }
        (lists, count)
    }

    const fn index_of_list(
        lists: &[[Option<RuleId>; AFTER]; 256],
        count: usize,
        list: [Option<RuleId>; AFTER],
    ) -> usize {
        let mut index = 0;
        while index < count && !is_same(lists[index], list) {
            index += 1;
        }
        index
    }

    const fn is_same(one: [Option<RuleId>; AFTER], two: [Option<RuleId>; AFTER]) -> bool {
        let mut next = 0;
        while next < AFTER {
            match (one[next], two[next]) {
                (Some(one), Some(two)) if one.number() == two.number() => {}
                (None, None) => {}
                (_, _) => return false,
            }
            next += 1;
        }
        true
    }

    /// The position of a list that some rule has.
    pub(super) const fn list_position(rules: &[RuleId]) -> u8 {
        const DIFFERENT: ([[Option<RuleId>; AFTER]; 256], usize) = different_lists();
        let index = index_of_list(&DIFFERENT.0, DIFFERENT.1, first_ones(rules));
        assert!(index < DIFFERENT.1, "a list of no rule");
        index as u8
    }

    /// The rules, the first ones first.
    const fn first_ones(rules: &[RuleId]) -> [Option<RuleId>; AFTER] {
        assert!(rules.len() <= AFTER, "a rule has too many that spoil it");
        let mut list = [None; AFTER];
        let mut next = 0;
        while next < rules.len() {
            list[next] = Some(rules[next]);
            next += 1;
        }
        list
    }

    steps_of! {
        /// Rules of the communication side.
        LINK, LINK_CHECKS: Link(LinkCheck)
    }
    steps_of! {
        /// Rules of the power side.
        POWER, POWER_CHECKS: Power(PowerCheck)
    }
    steps_of! {
        /// Rules about what is heard.
        HEARD, HEARD_CHECKS: Heard(HeardCheck)
    }
}
