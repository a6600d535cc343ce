//! What must hold for images and plans of any bytes.

use super::text::is_fit_for_a_terminal;
use coldcheck::image;
use coldcheck::listing::listing;
use coldcheck_core::finding::{Finding, Outcome, Unknown};
use coldcheck_core::image::{HEADER_BYTES, MAGIC, VERSION, header};
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::rules::{RULES, check};

/// An image of any bytes, as it is and with its header put right, so that what lies behind the
/// checksum is tried too.
pub(super) fn image(bytes: &[u8]) {
    shown(bytes);
    if bytes.starts_with(&MAGIC) && bytes.len() > HEADER_BYTES {
        let length =
            bytes[8..12].iter().rev().fold(0_usize, |sum, byte| sum << 8 | usize::from(*byte));
        let (body, rest) = bytes[HEADER_BYTES..]
            .split_at(length.saturating_sub(HEADER_BYTES).min(bytes.len() - HEADER_BYTES));
        let head = header(body).expect("a short body");
        let mended = [&head, body, rest].concat();
        assert_eq!(mended[4..6], VERSION.to_le_bytes());
        shown(&mended);
    }
}

/// It is refused with a reason, or shown.
fn shown(bytes: &[u8]) {
    match image::read(bytes) {
        Ok((plan, names)) => {
            let text = image::describe(&plan, &names);
            is_fit_for_a_terminal(&text);
            let (again, names_again) = image::read(bytes).expect("it was read before");
            assert_eq!(image::describe(&again, &names_again), text);
            is_checked(&plan);
        }
        Err(error) => is_fit_for_a_terminal(&error.to_string()),
    }
}

/// A plan of any bytes is refused, or checked within the memory that is lent.
pub(super) fn plan(bytes: &[u8]) {
    if let Ok(plan) = Plan::from_body(bytes) {
        is_checked(&plan);
        let mut memory = [0; limits::BODY_BYTES];
        let body = plan.encode(&mut memory).expect("it was a plan");
        assert_eq!(Plan::from_body(body), Ok(plan));
    }
}

fn is_checked(plan: &Plan<'_>) {
    assert_eq!(listing(plan), listing(plan), "one plan, two answers");
    for room in [0, 3, 512] {
        let mut findings = vec![Finding::BLANK; room];
        let mut places = vec![Place::Group; room * 8];
        let mut unknowns = vec![Unknown::BLANK; room];
        let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
        check(plan, &mut report);
        let tally = report.tally();
        let told = usize::from(tally.dangers + tally.no_starts + tally.degraded + tally.notes);
        assert_eq!(told, report.findings().len() + usize::from(tally.dropped_findings));
        for finding in report.findings() {
            assert_eq!(report.outcome(finding.rule), Outcome::Broken);
            let mut all = report.places(finding.places).to_vec();
            all.extend(report.related(finding.places));
            let count = all.len();
            all.sort_unstable();
            all.dedup();
            assert_eq!(all.len(), count, "{:?} names a place twice", finding.rule);
        }
        for (rule, _) in RULES {
            if let Outcome::Blocked(root) = report.outcome(*rule) {
                assert_eq!(report.outcome(root), Outcome::Broken, "{rule:?} waits for {root:?}");
            }
        }
    }
}
