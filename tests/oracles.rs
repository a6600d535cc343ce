//! The core against judges that were written apart from it: one in the tests, on a graph library,
//! and two outside Rust.

use coldcheck::engine::read_site;
use coldcheck_core::plan::Plan;
use coldcheck_tests::cases::{examine_sheets, request, sheet};
use coldcheck_tests::generate::Dice;
use coldcheck_tests::oracle::compare::Comparer;
use coldcheck_tests::oracle::{judge, site::Site};
use coldcheck_tests::{generate_faulty, graphs};

/// The differences between core and oracle on a site, as text.
fn differences(comparer: &mut Comparer, site: &Site) -> Vec<String> {
    let text = site.json().to_string();
    let sheets = [sheet("site.json", &text)];
    let read = read_site(&request(&sheets, None)).unwrap_or_else(|error| panic!("{error:?}"));
    let plan = Plan::from_body(&read.assembled.body).expect("a plan");
    let found = comparer.compare(&plan, &judge(site)).into_iter();
    found.map(|d| format!("{}: core {}, oracle {}\n{text}", d.rule, d.core, d.oracle)).collect()
}

#[test]
fn small_graphs_are_judged_alike() {
    let outcome = graphs::judge_all(2000, 1, &mut |_| {});
    assert!(outcome.differences.is_empty(), "{:#?}", outcome.differences);
    assert_eq!(outcome.matchings, 10 + 76 + 764, "every matching of 4, 6 and 8 sockets");
    assert!(outcome.tally.broken > 1000, "{:?}", outcome.tally);
}

#[test]
fn faulty_sites_are_judged_alike() {
    let mut comparer = Comparer::default();
    let mut kinds = std::collections::BTreeMap::<String, (u32, String)>::new();
    for seed in 0..20000 {
        let site = generate_faulty::site(&mut Dice::new(seed));
        let found = differences(&mut comparer, &site);
        for d in found {
            let kind: String =
                d.lines().next().unwrap().chars().filter(|c| !c.is_ascii_digit()).collect();
            let kind = kind.replace("Some(", "").replace("Places ", "");
            kinds.entry(kind).or_insert((0, format!("{seed} {d}"))).0 += 1;
        }
    }
    for (k, (n, d)) in &kinds {
        println!("{n} {k}\n    {d}");
    }
    println!("{:#?}", comparer.tally);
    assert!(kinds.is_empty());
}

#[test]
fn a_right_site_has_no_fault_for_either() {
    for seed in 0..200 {
        let site = generate_faulty::right_site(&mut Dice::new(seed));
        let broken: Vec<_> = judge(&site).into_iter().filter(|(_, j)| j.is_broken()).collect();
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
