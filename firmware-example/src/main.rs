//! Example gateway: reads the plan image from flash, checks it and says what it found.
//!
//! The three steps are functions that are not inlined, so that a measuring emulator can tell
//! where each begins.
#![no_std]
#![no_main]

mod board;
mod memory;
mod panic_guard;
mod wire;

use coldcheck_core::finding::{Finding, Outcome};
use coldcheck_core::image::{Image, ImageError};
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Plan, PlanError};
use coldcheck_core::report::Report;
use coldcheck_core::rules::RuleId;
use cortex_m as _;

/// Why the image in flash cannot be used.
#[derive(defmt::Format)]
enum LoadError {
    Image(ImageError),
    Plan(PlanError),
}

#[cortex_m_rt::entry]
fn main() -> ! {
    let status = match load(board::plan_region()) {
        Ok(plan) => {
            let mut findings = [Finding::BLANK; limits::GATEWAY_FINDINGS];
            let mut places = [Place::Group; limits::GATEWAY_PLACES];
            let mut report = Report::new(&mut findings, &mut places, &mut []);
            check(&plan, &mut report);
            log(&report)
        }
        Err(error) => {
            defmt::println!("refused {}", error);
            UNREADABLE
        }
    };
    board::exit(status)
}

/// Exit status for an image that cannot be used, as on the command line.
const UNREADABLE: u8 = 2;

#[inline(never)]
fn load(bytes: &[u8]) -> Result<Plan<'_>, LoadError> {
    let image = Image::read(bytes).map_err(LoadError::Image)?;
    image.plan().map_err(LoadError::Plan)
}

#[inline(never)]
fn check(plan: &Plan<'_>, report: &mut Report<'_>) {
    coldcheck_core::check(plan, report);
}

#[inline(never)]
fn log(report: &Report<'_>) -> u8 {
    for number in 0..=u8::MAX {
        let Some(rule) = RuleId::from_number(number) else { continue };
        let outcome = report.outcome(rule);
        if outcome != Outcome::NotRun {
            defmt::println!("outcome {} {}", rule, outcome);
        }
    }
    for finding in report.findings() {
        defmt::println!(
            "finding {} {} {} at {} near {}",
            finding.rule,
            finding.value,
            finding.wanted,
            report.places(finding.places),
            report.related(finding.places),
        );
    }
    let verdict = report.verdict();
    defmt::println!("tally {}", report.tally());
    defmt::println!("verdict {}", verdict);
    #[cfg(feature = "with-panic-path")]
    assert!(report.findings().len() < 40, "this line must keep the firmware from linking");
    verdict.exit_code()
}
