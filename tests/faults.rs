//! Faults made on purpose: a seeded sample of what `cargo dev full` does whole.

use coldcheck::fault::{Group, Layout, faults, heard, ways};
use coldcheck::field::Field;
use coldcheck_core::finding::Verdict;
use coldcheck_core::plan::Terminator;
use coldcheck_core::rule::Check;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::examine_sheets;
use coldcheck_tests::proof::{self, Count, Share, Through};
use std::collections::BTreeSet;

/// Groups of two to six units, drawn from all of them.
fn drawn(units: std::ops::RangeInclusive<usize>, one_in: usize) -> Vec<Layout> {
    units
        .flat_map(|units| proof::layouts(units, 1).into_iter().skip(units).step_by(one_in))
        .collect()
}

fn assert_all_right(count: &Count) {
    assert!(count.wrong.is_empty(), "{}", count.mistakes());
}

#[test]
fn every_rule_has_a_way_to_be_broken_and_no_rule_two() {
    let of_sheets = ways().map(|way| way.rule);
    let table: Vec<_> = of_sheets.chain(heard::WAYS.iter().map(|way| way.rule)).collect();
    let rules: BTreeSet<_> = RULES.iter().map(|(id, _)| *id).collect();
    assert_eq!(table.iter().copied().collect::<BTreeSet<_>>(), rules);
    assert_eq!(table.len(), rules.len());
}

#[test]
fn every_way_breaks_some_group() {
    let layout = |profile, units, terminator| Layout {
        profile,
        order: (1..=units).collect(),
        coordinator: 0,
        terminator,
    };
    let layouts = [
        layout("plain", 3, Terminator::On),
        layout("plain", 4, Terminator::Plug),
        layout("plain", 10, Terminator::BuiltIn),
        layout("two-port-ring", 3, Terminator::Off),
        layout("three-phase-sets", 6, Terminator::On),
    ];
    assert_eq!(proof::never_broken(&layouts), []);
}

#[test]
fn single_faults_are_found_at_their_place_and_nothing_else() {
    let share = Share { one_in: 40, seed: 1 };
    let layouts = drawn(2..=8, 97);
    let count = proof::spread(
        &layouts,
        |layout, salt| proof::singles(layout, share, salt, Through::Sheets),
        |_| (),
    );
    assert_all_right(&count);
    assert!(count.faults > 300, "too few faults are tried: {count:?}");
}

#[test]
fn a_right_group_with_its_sizes_is_silent() {
    let mut codes = BTreeSet::new();
    // And large ones, so that every feeder is looked at.
    let large = (17..=32).flat_map(|units| {
        [0, 1].map(|coordinator| Layout {
            profile: "plain",
            order: (1..=units).collect(),
            coordinator,
            terminator: Terminator::On,
        })
    });
    for layout in drawn(2..=16, 61).into_iter().chain(large) {
        let Some(mut group) = Group::build(layout) else { continue };
        group.size();
        let (_, diagnosis) = examine_sheets(&group.sheets(), None).expect("it can be read");
        assert_eq!(diagnosis.verdict, Verdict::Ok, "{group:?}: {:?}", diagnosis.findings);
        let sized: Vec<_> = RULES
            .iter()
            .filter(|(_, rule)| matches!(rule.check, Check::Sized))
            .map(|(id, _)| *id)
            .collect();
        codes.insert(group.line(Field::Code.key()) == Some("NEC"));
        let open: Vec<_> = sized.iter().filter(|rule| !diagnosis.met.contains(rule)).collect();
        assert!(open.is_empty(), "{group:?}: {open:?}");
        let gap = diagnosis.gaps.iter().find(|gap| sized.contains(&gap.rule));
        assert!(gap.is_none(), "{group:?}: {gap:?}");
    }
    assert_eq!(codes.len(), 2, "not both codes were drawn");
}

#[test]
fn of_two_faults_each_is_named_or_left_open() {
    let share = Share { one_in: 9001, seed: 2 };
    let layouts = drawn(2..=6, 131);
    let count = proof::spread(
        &layouts,
        |layout, salt| proof::pairs(layout, share, salt, Through::Sheets),
        |_| (),
    );
    assert_all_right(&count);
    assert!(count.pairs > 300, "too few pairs are tried: {count:?}");
}

#[test]
fn a_fault_says_what_was_done() {
    let layout = Layout {
        profile: "plain",
        order: vec![2, 1, 3],
        coordinator: 1,
        terminator: Terminator::On,
    };
    let group = Group::build(layout).expect("a right group");
    let all = faults(&group);
    let told: BTreeSet<_> = all.iter().map(|fault| (fault.rule, fault.done.as_str())).collect();
    assert_eq!(told.len(), all.len(), "two faults of one rule are told alike");
}
