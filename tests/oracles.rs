//! The core against judges that were written apart from it: one in the tests, on a graph library,
//! and two outside Rust.

use coldcheck::engine::read_site;
use coldcheck_core::plan::Plan;
use coldcheck_tests::cases::{examine_sheets, request, sheet};
use coldcheck_tests::generate::Dice;
use coldcheck_tests::oracle::compare::Comparer;
use coldcheck_tests::oracle::{JUDGED, judge};
use coldcheck_tests::outside::{Judge, compare};
use coldcheck_tests::{generate_faulty, graphs, left_out};

#[test]
fn small_graphs_are_judged_alike() {
    let outcome = graphs::judge_all(graphs::Choice { one_in: 2000, seed: 1 }, &|_| {});
    assert!(outcome.differences.is_empty(), "{:#?}", outcome.differences);
    assert_eq!(outcome.matchings, 10 + 76 + 764, "every matching of 4, 6 and 8 sockets");
    assert!(outcome.tally.broken > 1000, "{:?}", outcome.tally);
}

#[test]
fn faulty_sites_are_judged_alike() {
    agree(Judge::Petgraph, 0..1000);
}

#[test]
#[ignore = "needs Python with networkx; cargo dev test runs it"]
fn faulty_sites_are_judged_alike_by_networkx() {
    agree(Judge::Networkx, 1000..1400);
}

#[test]
#[ignore = "needs Python with clingo; cargo dev test runs it"]
fn faulty_sites_are_judged_alike_by_an_answer_set_solver() {
    agree(Judge::Clingo, 1000..1400);
}

fn agree(judge: Judge, seeds: std::ops::Range<u64>) {
    let verdicts = compare(judge, seeds);
    let found = verdicts.differences.iter();
    let found: Vec<_> = found.map(|(site, difference)| format!("{difference:?}\n{site}")).collect();
    assert!(found.is_empty(), "{judge:?}\n{}", found.join("\n"));
    assert!(verdicts.tally.broken > 400, "{:?}", verdicts.tally);
    assert!(verdicts.tally.blocked > 400, "{:?}", verdicts.tally);
}

#[test]
fn what_is_found_without_all_facts_is_so_whatever_they_are() {
    let mut comparer = Comparer::default();
    for seed in 0..1000 {
        let found = left_out::compare(&mut comparer, seed);
        assert!(found.is_empty(), "seed {seed}: {found:#?}");
    }
    assert!(comparer.tally.broken > 1000, "{:?}", comparer.tally);
}

#[test]
fn a_right_site_has_no_fault_for_either() {
    for seed in 0..200 {
        let site = generate_faulty::right_site(&mut Dice::new(seed));
        let judged = judge(&site);
        assert_eq!(judged.iter().map(|(rule, _)| *rule).collect::<Vec<_>>(), JUDGED);
        let broken: Vec<_> = judged.into_iter().filter(|(_, j)| j.is_broken()).collect();
        assert!(broken.is_empty(), "seed {seed}: {broken:?}\n{}", site.json());
    }
}

#[test]
fn a_judge_that_errs_is_noticed() {
    let mut comparer = Comparer::default();
    let mut site = generate_faulty::right_site(&mut Dice::new(3));
    let text = site.json().to_string();
    let sheets = [sheet("site.json", &text)];
    let read = read_site(&request(&sheets, None)).expect("a right site");
    let plan = Plan::from_body(&read.assembled.body).expect("a plan");
    assert_eq!(comparer.compare(&plan, &judge(&site)).len(), 0);
    site.units[0].address = site.units[1].address;
    let found = comparer.compare(&plan, &judge(&site));
    assert!(found.iter().any(|difference| difference.rule == "address-duplicate"), "{found:?}");
}

#[test]
fn what_a_profile_says_of_terminators_is_said_of_its_own_shape() {
    let site = |profile: &str, shape: &str| {
        let text = format!(
            "profile = {profile}\nscope = communication\nlink shape = {shape}\n\
             unit 1 = coordinator, addr 1, count 3, term on\n\
             unit 2 = follower, addr 2, count 3, term off\n\
             unit 3 = follower, addr 3, count 3, term on\n"
        );
        let (_, diagnosis) = examine_sheets(&[sheet("s.txt", &text)], None).expect("a sheet");
        diagnosis.findings.iter().any(|f| f.rule.rule().slug == "term-too-many")
    };
    assert!(site("two-port-ring", "ring"), "a ring that wants none has two");
    assert!(!site("two-port-ring", "line"), "a line of a ring's profile may have two");
    assert!(!site("plain", "ring"), "plain says nothing of a ring");
}
