//! The proof that what is heard is told: what is heard of right groups of every kind, broken in
//! every way that the library of faults knows, and what the comparison says of each.

use crate::cases::request;
use crate::generate::Dice;
use crate::proof::{Count, Share};
use coldcheck::diagnosis::{Diagnosis, Diagnostic, diagnose_heard};
use coldcheck::engine::{Site, plan, read_site};
use coldcheck::fault::heard::{HeardFault, PERIOD_MS, Traffic, Wanted, faults};
use coldcheck::fault::{Group, Layout};
use coldcheck::hearing::Hearing;
use coldcheck::log::Reader;
use coldcheck_core::finding::Verdict;
use coldcheck_core::plan::{Demand, Dialect};
use coldcheck_core::rules::RuleId;
use std::collections::BTreeSet;

/// Every dialect.
pub const DIALECTS: [Dialect; 3] = [Dialect::CanOpen, Dialect::J1939, Dialect::FrameMap];

/// What is heard of a right group in a dialect, and a share of its faults. Its rhythm is demanded
/// for every second group, since rules go another way then.
///
/// # Panics
/// If the group, or a log of it, cannot be read.
pub fn heard(layout: &Layout, dialect: Dialect, share: Share, salt: u64) -> Count {
    let mut count = Count::default();
    let Some(mut group) = Group::build(layout.clone()) else { return count };
    if salt % 2 == 1 {
        group.set_line(Demand::HeartbeatPeriod.key(), format!("{PERIOD_MS} ms"));
    }
    let Some(right) = Traffic::of(&mut group, dialect) else { return count };
    let site = read_site(&request(&group.sheets(), None)).expect("a right group can be read");
    count.groups = 1;
    let mut dice = Dice::new(share.seed ^ salt.wrapping_mul(0x9E37_79B9));
    for log in [right.candump(), right.slcan()] {
        let diagnosis = listen(&site, &log);
        let is_right = diagnosis.verdict == Verdict::Ok;
        count.note(
            || "found in what is heard of a right group".to_owned(),
            if is_right { Ok(()) } else { Err(format!("{group:?}: {}", words(&diagnosis))) },
        );
    }
    for fault in faults(&group, &right) {
        if dice.roll(share.one_in) != 0 {
            continue;
        }
        let mut traffic = right.clone();
        fault.inject(&mut traffic);
        count.faults += 1;
        let told = single(&fault, &listen(&site, &traffic.candump()));
        let told = told.map_err(|why| format!("{fault:?} in {dialect:?} {group:?}: {why}"));
        count.note(|| fault.rule.rule().slug.to_owned(), told);
    }
    count
}

fn listen(site: &Site, log: &str) -> Diagnosis {
    let plan = plan(site).expect("a plan");
    let mut hearing = Hearing::of(&plan, Reader::new("bus.log", None));
    hearing.push(log.as_bytes()).expect("a log");
    hearing.finish().expect("a log");
    diagnose_heard(site, &hearing).expect("a plan")
}

/// What is wrong with what is said of a fault.
fn single(fault: &HeardFault, diagnosis: &Diagnosis) -> Result<(), String> {
    let wrong = |why: &str| Err(format!("{why}; {}", words(diagnosis)));
    let found: BTreeSet<RuleId> = diagnosis.findings.iter().map(|finding| finding.rule).collect();
    let wanted: BTreeSet<RuleId> = fault.with.iter().copied().chain([fault.rule]).collect();
    if !found.contains(&fault.rule) {
        return wrong("missed");
    }
    if found != wanted {
        return wrong("more is found");
    }
    let own = diagnosis.findings.iter().filter(|finding| finding.rule == fault.rule);
    let mut left: Vec<&Diagnostic> = own.collect();
    for wanted in &fault.findings {
        match left.iter().position(|finding| is(wanted, finding)) {
            Some(position) => left.swap_remove(position),
            None => return wrong("found at another place"),
        };
    }
    if left.is_empty() { Ok(()) } else { wrong("found too often") }
}

fn is(wanted: &Wanted, finding: &Diagnostic) -> bool {
    let cable = finding.related.as_slice();
    let all = |place| wanted.places.iter().any(|spot| spot.is(place));
    let suspects = match (&wanted.cable, cable) {
        (None, []) => true,
        (Some(spot), [place]) => spot.is(place),
        _ => false,
    };
    suspects && wanted.places.len() == finding.places.len() && finding.places.iter().all(all)
}

fn words(diagnosis: &Diagnosis) -> String {
    let told = diagnosis.findings.iter().map(|finding| {
        let (places, related) = (&finding.places, &finding.related);
        format!("[{}] {} {places:?} {related:?}", finding.rule.rule().slug, finding.says)
    });
    let asked = diagnosis.questions.iter().map(|question| format!("asks: {}", question.says));
    told.chain(asked).collect::<Vec<_>>().join("\n    ")
}
