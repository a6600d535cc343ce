//! The way of `coldcheck check`, for one line: it understands everything that a site file can say.

use super::report::{self, Lists};
use super::{Answer, MOST_BYTES, MOST_NESTING, Worker, built_in, too_long, unread};
use crate::diagnosis::{Because, diagnose};
use crate::engine::{self, Request};
use crate::read::{RawSheet, ReadError};
use coldcheck_core::plan::PlanError;
use std::cmp::Reverse;
use std::sync::Arc;

/// Judges a line and writes one about it.
pub(super) fn line(worker: &mut Worker<'_>, number: u64, line: &[u8], out: &mut Vec<u8>) -> Answer {
    if line.len() > MOST_BYTES {
        return too_long(number, false, out);
    }
    match line.iter().find(|byte| !byte.is_ascii_whitespace()) {
        Some(b'{') => {}
        // A byte-order mark may stand before the first line.
        Some(0xEF) if line.starts_with(b"\xEF\xBB\xBF{") => {}
        Some(_) => return unread(number, "this is no JSON object", "a site in JSON", out),
        None => return unread(number, "the line is empty", "a site in JSON", out),
    }
    if nesting(line) > MOST_NESTING {
        let says = format!("lists and objects are nested deeper than {MOST_NESTING}");
        return unread(number, &says, "a site in JSON", out);
    }
    let files = [RawSheet { name: format!("line {number}"), bytes: line.to_vec() }];
    let given = worker.settings.profile.as_ref();
    let request = Request {
        files: &files,
        profile: given.map(|(name, _)| name.as_str()),
        scope: worker.settings.scope,
        load_profile: &|name| Err(ReadError::file(name, "no such profile", "a built-in profile")),
    };
    let site = engine::read_site_under(&request, &mut |name| match given {
        Some((_, profile)) => Ok(Arc::clone(profile)),
        None => built_in(name),
    });
    let site = match site {
        Ok(site) => site,
        Err(refusal) => {
            report::errors(number, &refusal.sheets, &refusal.errors, out);
            return Answer::Unread;
        }
    };
    match judge(worker, number, &site, out) {
        Ok(answer) => answer,
        Err(error) => {
            unread(number, &format!("this site does not fit a plan ({error:?})"), "a site", out)
        }
    }
}

fn judge(
    worker: &Worker<'_>,
    number: u64,
    site: &engine::Site,
    out: &mut Vec<u8>,
) -> Result<Answer, PlanError> {
    let mut diagnosis = diagnose(site)?;
    if !site.declared.waivers.is_empty() {
        diagnosis.waive(site, worker.settings.day);
    }
    let head = report::Head {
        number,
        site: site.declared.site_name(),
        profile: &site.profile.name,
        profile_assumed: site.profile_assumed,
        scope: site.scope,
        verdict: diagnosis.verdict,
    };
    head.write(out);
    let mut findings: Vec<_> = diagnosis.findings.iter().collect();
    findings.sort_by_key(|finding| (Reverse(finding.severity), finding.position));
    let mut list = report::Findings::begin(out);
    for finding in findings {
        list.finding(finding.rule);
        list.places("places", &finding.places);
        list.places("related", &finding.related);
        list.end_finding();
    }
    list.end();
    let mut lists = Lists::default();
    for entry in &diagnosis.not_checked {
        match entry.because {
            Because::Missing(_) => lists.missing.push(entry.rule),
            Because::Undemanded(_) => lists.undemanded.push(entry.rule),
            Because::BlockedBy(_) => lists.blocked.push(entry.rule),
        }
    }
    for gap in &diagnosis.gaps {
        if lists.gaps.last() != Some(&gap.rule) {
            lists.gaps.push(gap.rule);
        }
    }
    lists.met = diagnosis.met.len();
    lists.write(out);
    report::data(diagnosis.undeclared.iter().map(|undeclared| undeclared.datum), out);
    report::texts("questions", diagnosis.questions.iter().map(|one| one.says.as_str()), out);
    let cells = diagnosis.not_understood.iter();
    report::texts("not_understood", cells.map(|cell| cell.text.as_str()), out);
    report::waivers(&diagnosis, out);
    report::end(out);
    Ok(Answer::Verdict(diagnosis.verdict))
}

/// How deep lists and objects are nested, told without understanding them.
fn nesting(line: &[u8]) -> usize {
    let (mut depth, mut deepest) = (0usize, 0);
    let (mut in_text, mut escaped) = (false, false);
    for byte in line {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if in_text => escaped = true,
            b'"' => in_text = !in_text,
            b'[' | b'{' if !in_text => {
                depth += 1;
                deepest = deepest.max(depth);
            }
            b']' | b'}' if !in_text => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}

#[cfg(test)]
mod tests {
    use super::nesting;

    #[test]
    fn brackets_inside_of_a_text_are_no_nesting() {
        assert_eq!(nesting(br#"{"a":["[[[\"[",{}]}"#), 3);
        assert_eq!(nesting(b"[[[["), 4);
        assert_eq!(nesting(b"]]["), 1);
    }
}
