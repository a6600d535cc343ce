//! Plans with the answers that the core gave: whether a changed core answers otherwise.
//!
//! It needs nothing but the core, so that a changed core is tried within seconds.

use coldcheck_core::finding::{Finding, Outcome, Unknown};
use coldcheck_core::image::{Image, header};
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::rules::{RULES, check};
use std::fmt::Write;
use std::path::PathBuf;
use std::{fs, io};

/// The file of the record, or `None` if the environment does not name one.
pub fn file() -> Option<PathBuf> {
    std::env::var_os(FILE).map(PathBuf::from)
}

/// The variable that names the file.
pub const FILE: &str = "COLDCHECK_ANSWERS";

/// All that the core says of some bytes: as an image, as a plan, with room for everything and
/// with the room of a gateway.
pub fn answer(body: &[u8]) -> String {
    let image = header(body).map(|head| [&head, body].concat());
    let mut text = format!("{:?}\n", image.as_deref().map(Image::read));
    let plan = match Plan::from_body(body) {
        Ok(plan) => plan,
        Err(error) => return format!("{error:?}"),
    };
    let (mut findings, mut places, mut unknowns) =
        (vec![Finding::BLANK; 512], vec![Place::Group; 4096], vec![Unknown::BLANK; 512]);
    tell(&plan, Report::new(&mut findings, &mut places, &mut unknowns), &mut text);
    findings.truncate(limits::GATEWAY_FINDINGS);
    places.truncate(limits::GATEWAY_PLACES);
    tell(&plan, Report::new(&mut findings, &mut places, &mut []), &mut text);
    let mut memory = vec![0; body.len()];
    let again = plan.encode(&mut memory).map(|written| written == body);
    let _ = writeln!(text, "written again: {again:?}");
    text
}

fn tell(plan: &Plan<'_>, mut report: Report<'_>, text: &mut String) {
    check(plan, &mut report);
    for (rule, _) in RULES {
        if report.outcome(*rule) != Outcome::NotRun {
            let _ = writeln!(text, "{rule:?} {:?}", report.outcome(*rule));
        }
    }
    for finding in report.findings() {
        let (places, related) = (report.places(finding.places), report.related(finding.places));
        let _ = writeln!(text, "{finding:?} at {places:?} near {related:?}");
    }
    let _ = writeln!(
        text,
        "{:?} {:?} {:?} {:?}",
        report.unknowns(),
        report.tally(),
        report.undeclared(),
        report.verdict()
    );
}

/// A number that stands for an answer (FNV-1a, 64 bits), so that a record stays small.
pub fn mark(answer: &str) -> u64 {
    answer.bytes().fold(0xCBF2_9CE4_8422_2325, |mark, byte| {
        (mark ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    })
}

/// The bytes of a record: for each plan its length, its bytes and the mark of its answer.
pub fn record<'p>(plans: impl Iterator<Item = &'p [u8]>) -> Vec<u8> {
    let mut bytes = Vec::new();
    for plan in plans {
        bytes.extend(u32::try_from(plan.len()).unwrap_or(u32::MAX).to_le_bytes());
        bytes.extend(plan);
        bytes.extend(mark(&answer(plan)).to_le_bytes());
    }
    bytes
}

/// How many plans a record holds, and which of them are answered otherwise now.
///
/// # Errors
/// If the bytes are no record.
pub fn otherwise(record: &[u8]) -> io::Result<(usize, Vec<usize>)> {
    let cut = || io::Error::from(io::ErrorKind::UnexpectedEof);
    let (mut rest, mut plans, mut changed) = (record, 0, Vec::new());
    while !rest.is_empty() {
        let (length, behind) = rest.split_first_chunk().ok_or_else(cut)?;
        let length = usize::try_from(u32::from_le_bytes(*length)).map_err(|_| cut())?;
        let (plan, behind) = behind.split_at_checked(length).ok_or_else(cut)?;
        let (recorded, behind) = behind.split_first_chunk().ok_or_else(cut)?;
        if mark(&answer(plan)) != u64::from_le_bytes(*recorded) {
            changed.push(plans);
        }
        (rest, plans) = (behind, plans + 1);
    }
    Ok((plans, changed))
}

/// The record that the environment names.
///
/// # Errors
/// If it names none, or the file cannot be read.
pub fn recorded() -> io::Result<Vec<u8>> {
    let file = file().ok_or_else(|| io::Error::other(format!("{FILE} names no file")))?;
    fs::read(file)
}
