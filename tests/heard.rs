//! Faults that are heard: a seeded sample of what `cargo dev full heard` does whole.

use coldcheck::fault::heard::{self, Traffic};
use coldcheck::fault::{Group, Layout};
use coldcheck_core::plan::{Dialect, Terminator};
use coldcheck_core::rules::RuleId;
use coldcheck_tests::heard_proof::{self, DIALECTS};
use coldcheck_tests::proof::{self, Share};
use std::collections::BTreeSet;

#[test]
fn every_fault_is_found_at_its_place_and_nothing_else() {
    let layouts: Vec<Layout> = (2..=8).flat_map(proof::of_each_kind).collect();
    for dialect in DIALECTS {
        let share = Share { one_in: 6, seed: 3 };
        let count = proof::spread(
            &layouts,
            |layout, salt| heard_proof::heard(layout, dialect, share, salt),
            |_| (),
        );
        assert!(count.wrong.is_empty(), "{}", count.mistakes());
        assert!(count.faults > 100, "too few faults are tried: {count:?}");
    }
}

fn line_of_three(profile: &'static str, dialect: Dialect) -> (Group, Traffic) {
    let order = vec![2, 1, 3];
    let layout = Layout { profile, order, coordinator: 1, terminator: Terminator::On };
    let mut group = Group::build(layout).expect("a right group");
    let right = Traffic::of(&mut group, dialect).expect("it is heard");
    (group, right)
}

#[test]
fn every_way_breaks_some_group_and_says_what_was_done() {
    let mut broken = BTreeSet::new();
    for dialect in DIALECTS {
        let (group, right) = line_of_three("two-port-line", dialect);
        let faults = heard::faults(&group, &right);
        let told: BTreeSet<_> = faults.iter().map(|fault| (fault.rule, &fault.done)).collect();
        assert_eq!(told.len(), faults.len(), "two faults of one rule are told alike");
        for fault in &faults {
            let mut traffic = right.clone();
            fault.inject(&mut traffic);
            assert_ne!(traffic.candump(), right.candump(), "{fault:?} changes nothing");
        }
        broken.extend(faults.iter().map(|fault| fault.rule));
    }
    let ways: BTreeSet<RuleId> = heard::WAYS.iter().map(|way| way.rule).collect();
    assert_eq!(broken, ways);
}
