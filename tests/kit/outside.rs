//! Judges outside Rust: Python programs on a graph library and on an answer-set solver.
//!
//! They live in `tests/oracles` and know nothing of the core. `cargo dev setup` makes the virtual
//! environment that they run in.

use crate::cases::{request, sheet};
use crate::generate::Dice;
use crate::generate_faulty;
use crate::oracle::compare::{Comparer, Difference, Tally};
use crate::oracle::{JUDGED, Judged, Judgment, judge, site::Site};
use crate::paths;
use crate::python::ORACLES;
use coldcheck::engine::read_site;
use coldcheck_core::plan::Plan;
use std::collections::BTreeSet;
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// A judge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judge {
    /// The one of [`crate::oracle`], in this process.
    Petgraph,
    /// `tests/oracles/judge_networkx.py`.
    Networkx,
    /// `tests/oracles/judge_clingo.py`, with the rules in `rules.lp`.
    Clingo,
}

impl Judge {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Petgraph, Self::Networkx, Self::Clingo];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Petgraph => "petgraph",
            Self::Networkx => "networkx",
            Self::Clingo => "clingo",
        }
    }

    fn judge(self, sites: &[Site]) -> Vec<Vec<Judged>> {
        match self {
            Self::Petgraph => sites.iter().map(judge).collect(),
            Self::Networkx => outside("judge_networkx.py", sites),
            Self::Clingo => outside("judge_clingo.py", sites),
        }
    }
}

/// Sends sites to a program, a JSON line each, and takes the broken rules of each.
fn outside(program: &str, sites: &[Site]) -> Vec<Vec<Judged>> {
    let python = ORACLES.python();
    assert!(
        python.exists(),
        "no Python environment for the judges in {}: run `cargo dev setup`",
        ORACLES.place().display()
    );
    let mut child = Command::new(python)
        .arg(paths::tests().join("oracles").join(program))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{program} cannot be started: {error}"));
    let mut input = child.stdin.take().expect("a pipe");
    let lines: Vec<String> = sites.iter().map(|site| site.json().to_string()).collect();
    // Apart, so that neither waits for the other with a full pipe. If the program ends early, its
    // own words below say why.
    let writer = std::thread::spawn(move || {
        let _ = input.write_all(lines.join("\n").as_bytes());
    });
    let output = child.wait_with_output().expect("the program was started");
    writer.join().expect("the writer does not panic");
    let says = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program} failed:\n{says}");
    let answers = String::from_utf8(output.stdout).expect("text");
    let judged: Vec<_> = answers.lines().map(judged).collect();
    assert_eq!(judged.len(), sites.len(), "{program} answers each site:\n{says}");
    judged
}

/// A line of broken rules as judgments of all rules.
fn judged(line: &str) -> Vec<Judged> {
    let broken: BTreeSet<String> =
        serde_json::from_str::<Vec<String>>(line).expect("a list of rules").into_iter().collect();
    for rule in &broken {
        assert!(JUDGED.contains(&rule.as_str()), "a judge speaks of {rule}");
    }
    let of = |rule: &'static str| {
        let is_broken = broken.contains(rule);
        (rule, if is_broken { Judgment::Broken(None) } else { Judgment::NotBroken })
    };
    JUDGED.into_iter().map(of).collect()
}

/// What a judge said of many sites.
#[derive(Clone, Debug)]
pub struct Verdicts {
    /// The judge.
    pub judge: Judge,
    /// What was compared.
    pub tally: Tally,
    /// Differences, with the site as a line of JSON.
    pub differences: Vec<(String, Difference)>,
    /// Time that the judge took.
    pub took: Duration,
}

/// Generates sites with none to four faults and compares the core with a judge.
///
/// # Panics
/// If a judge cannot be run, or the core cannot read a generated site.
pub fn compare(with: Judge, seeds: std::ops::Range<u64>) -> Verdicts {
    let sites: Vec<Site> = seeds.map(|seed| generate_faulty::site(&mut Dice::new(seed))).collect();
    let mut comparer = Comparer::default();
    let start = Instant::now();
    let judged = with.judge(&sites);
    let took = start.elapsed();
    let mut differences = Vec::new();
    for (site, judged) in sites.iter().zip(judged) {
        let text = site.json().to_string();
        let sheets = [sheet("site.json", &text)];
        let read = read_site(&request(&sheets, None))
            .unwrap_or_else(|refusal| panic!("{:?}\n{text}", refusal.errors));
        let plan = Plan::from_body(&read.assembled.body).expect("a plan");
        let found = comparer.compare(&plan, &judged).into_iter();
        differences.extend(found.map(|difference| (text.clone(), difference)));
    }
    Verdicts { judge: with, tally: comparer.tally, differences, took }
}
