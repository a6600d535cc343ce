//! The form of an output line, under the schema `coldcheck.batch.v1`.
//!
//! Both ways of judging a line write through these functions. A list that is empty is left out,
//! but for the findings.

use crate::diagnosis::{Diagnosis, NamedPlace};
use crate::read::ReadError;
use crate::source::Sheets;
use coldcheck_core::finding::Verdict;
use coldcheck_core::limits;
use coldcheck_core::plan::{Datum, Scope};
use coldcheck_core::rules::{RULES, RuleId};
use std::io::Write;
use std::sync::LazyLock;

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.batch.v1";

/// Errors of one line that are shown; the rest is counted.
const MOST_ERRORS: usize = 8;

/// What is written for a rule, put together once.
struct RuleText {
    /// `"slug",`
    slug: String,
    /// `{"rule":"slug","severity":"note"`
    finding: String,
}

/// By the number of the rule.
static RULE_TEXTS: LazyLock<Vec<RuleText>> = LazyLock::new(|| {
    let mut texts: Vec<RuleText> = Vec::new();
    texts.resize_with(limits::RULES, || RuleText { slug: String::new(), finding: String::new() });
    for (id, rule) in RULES {
        let (slug, severity) = (rule.slug, rule.severity.word());
        texts[id.index()] = RuleText {
            slug: format!("\"{slug}\","),
            finding: format!("{{\"rule\":\"{slug}\",\"severity\":\"{severity}\""),
        };
    }
    texts
});

/// What stands at the start of a line.
pub(super) struct Head<'h> {
    pub(super) number: u64,
    pub(super) site: Option<&'h str>,
    pub(super) profile: &'h str,
    pub(super) profile_assumed: bool,
    pub(super) scope: Scope,
    pub(super) verdict: Verdict,
}

impl Head<'_> {
    pub(super) fn write(&self, out: &mut Vec<u8>) {
        start(self.number, out);
        out.extend_from_slice(b",\"site\":");
        match self.site {
            Some(site) => text(site, out),
            None => out.extend_from_slice(b"null"),
        }
        out.extend_from_slice(b",\"profile\":");
        text(self.profile, out);
        let assumed: &[u8] = if self.profile_assumed { b"true" } else { b"false" };
        out.extend_from_slice(b",\"profile_assumed\":");
        out.extend_from_slice(assumed);
        let scope: &[u8] =
            match (self.scope.covers(Scope::COMMUNICATION), self.scope.covers(Scope::POWER)) {
                (true, true) => br#","scope":["communication","power"],"verdict":""#,
                (true, false) => br#","scope":["communication"],"verdict":""#,
                (false, true) => br#","scope":["power"],"verdict":""#,
                (false, false) => br#","scope":[],"verdict":""#,
            };
        out.extend_from_slice(scope);
        out.extend_from_slice(self.verdict.word().as_bytes());
        out.push(b'"');
    }
}

fn start(number: u64, out: &mut Vec<u8>) {
    out.extend_from_slice(br#"{"schema":"coldcheck.batch.v1","line":"#);
    decimal(number, out);
}

/// The end of a line.
pub(super) fn end(out: &mut Vec<u8>) {
    out.extend_from_slice(b"}\n");
}

/// The list of findings, as it is written.
pub(super) struct Findings<'o> {
    out: &'o mut Vec<u8>,
}

impl<'o> Findings<'o> {
    pub(super) fn begin(out: &'o mut Vec<u8>) -> Self {
        out.extend_from_slice(b",\"findings\":[");
        Self { out }
    }

    /// Begins a finding.
    pub(super) fn finding(&mut self, rule: RuleId) {
        if let Some(text) = RULE_TEXTS.get(rule.index()) {
            self.out.extend_from_slice(text.finding.as_bytes());
        }
    }

    /// Writes places under a key, if there are any beside the group as a whole.
    pub(super) fn places(&mut self, key: &str, places: &[NamedPlace]) {
        if places.iter().all(|place| *place == NamedPlace::Group) {
            return;
        }
        self.begin_places(key);
        for place in places {
            named_place(place, self.out);
        }
        self.end_places();
    }

    /// Where places are written, between their begin and their end.
    pub(super) fn out(&mut self) -> &mut Vec<u8> {
        self.out
    }

    pub(super) fn begin_places(&mut self, key: &str) {
        self.out.extend_from_slice(b",\"");
        self.out.extend_from_slice(key.as_bytes());
        self.out.extend_from_slice(b"\":[");
    }

    pub(super) fn end_places(&mut self) {
        end_list(self.out);
    }

    pub(super) fn end_finding(&mut self) {
        self.out.extend_from_slice(b"},");
    }

    pub(super) fn end(self) {
        end_list(self.out);
    }
}

/// Closes a list of which every entry ends with a comma.
fn end_list(out: &mut Vec<u8>) {
    if out.last() == Some(&b',') {
        out.pop();
    }
    out.push(b']');
}

/// A place with a comma behind it; none for the whole group.
fn named_place(place: &NamedPlace, out: &mut Vec<u8>) {
    match place {
        NamedPlace::Group => {}
        NamedPlace::Unit { name, number, port, terminator } => {
            unit(name, *number, port.as_deref(), *terminator, out);
        }
        NamedPlace::Cable(name) => thing(b"{\"cable\":", name, out),
        NamedPlace::Sensor { name, leg } => sensor(name, *leg, out),
        NamedPlace::Pack(name) => thing(b"{\"pack\":", name, out),
        NamedPlace::Device(name) => thing(b"{\"device\":", name, out),
    }
}

/// A unit, or a part of it.
pub(super) fn unit(
    name: &str,
    number: Option<u16>,
    port: Option<&str>,
    terminator: bool,
    out: &mut Vec<u8>,
) {
    out.extend_from_slice(b"{\"unit\":");
    text(name, out);
    if let Some(number) = number {
        out.extend_from_slice(b",\"number\":");
        decimal(number.into(), out);
    }
    if let Some(port) = port {
        out.extend_from_slice(b",\"port\":");
        text(port, out);
    }
    if terminator {
        out.extend_from_slice(b",\"terminator\":true");
    }
    out.extend_from_slice(b"},");
}

/// A cable, a pack or another device.
pub(super) fn thing(key: &[u8], name: &str, out: &mut Vec<u8>) {
    out.extend_from_slice(key);
    text(name, out);
    out.extend_from_slice(b"},");
}

/// A sensor with its leg.
pub(super) fn sensor(name: &str, leg: Option<&str>, out: &mut Vec<u8>) {
    out.extend_from_slice(b"{\"sensor\":");
    text(name, out);
    if let Some(leg) = leg {
        out.extend_from_slice(b",\"leg\":");
        text(leg, out);
    }
    out.extend_from_slice(b"},");
}

/// Rules that were not checked, by the cause; those that were not checked everywhere; and how many
/// were met.
#[derive(Debug, Default)]
pub(super) struct Lists {
    pub(super) missing: Vec<RuleId>,
    pub(super) undemanded: Vec<RuleId>,
    pub(super) blocked: Vec<RuleId>,
    pub(super) gaps: Vec<RuleId>,
    pub(super) met: usize,
}

impl Lists {
    pub(super) fn clear(&mut self) {
        let Self { missing, undemanded, blocked, gaps, met } = self;
        for list in [missing, undemanded, blocked, gaps] {
            list.clear();
        }
        *met = 0;
    }

    pub(super) fn write(&self, out: &mut Vec<u8>) {
        out.extend_from_slice(b",\"not_checked\":{");
        for (key, rules) in [
            (&b"\"missing\":["[..], &self.missing),
            (b"\"undemanded\":[", &self.undemanded),
            (b"\"blocked\":[", &self.blocked),
        ] {
            if !rules.is_empty() {
                out.extend_from_slice(key);
                slugs(rules, out);
                out.push(b',');
            }
        }
        if out.last() == Some(&b',') {
            out.pop();
        }
        out.push(b'}');
        if !self.gaps.is_empty() {
            out.extend_from_slice(b",\"gaps\":[");
            slugs(&self.gaps, out);
        }
        out.extend_from_slice(b",\"met\":");
        decimal(u64::try_from(self.met).unwrap_or(u64::MAX), out);
    }
}

fn slugs(rules: &[RuleId], out: &mut Vec<u8>) {
    for rule in rules {
        if let Some(text) = RULE_TEXTS.get(rule.index()) {
            out.extend_from_slice(text.slug.as_bytes());
        }
    }
    end_list(out);
}

/// What must be declared and is not.
pub(super) fn data(data: impl Iterator<Item = Datum>, out: &mut Vec<u8>) {
    texts("undeclared", data.map(Datum::noun), out);
}

/// A list of texts under a key, if there are any.
pub(super) fn texts<'t>(key: &str, texts: impl Iterator<Item = &'t str>, out: &mut Vec<u8>) {
    let mut texts = texts.peekable();
    if texts.peek().is_none() {
        return;
    }
    out.extend_from_slice(b",\"");
    out.extend_from_slice(key.as_bytes());
    out.extend_from_slice(b"\":[");
    for one in texts {
        text(one, out);
        out.push(b',');
    }
    end_list(out);
}

/// Findings that a person lets stand, and waivers that let nothing stand.
pub(super) fn waivers(diagnosis: &Diagnosis, out: &mut Vec<u8>) {
    if !diagnosis.waived.is_empty() {
        out.extend_from_slice(b",\"waived\":[");
        for waived in &diagnosis.waived {
            let mut list = Findings { out: &mut *out };
            list.finding(waived.finding.rule);
            list.places("places", &waived.finding.places);
            out.extend_from_slice(b",\"by\":");
            text(&waived.waiver.by, out);
            out.extend_from_slice(b",\"until\":");
            text(&waived.waiver.until.to_string(), out);
            out.extend_from_slice(b"},");
        }
        end_list(out);
    }
    let idle = diagnosis.idle_waivers.iter();
    texts("idle_waivers", idle.map(|idle| idle.waiver.rule.rule().slug), out);
    if let Some(day) = diagnosis.day {
        out.extend_from_slice(b",\"waivers_held_against\":");
        text(&day.date.to_string(), out);
    }
}

/// The line about one that cannot be read: what is wrong, where, and what was expected.
pub(super) fn errors(number: u64, sheets: &Sheets, errors: &[ReadError], out: &mut Vec<u8>) {
    start(number, out);
    out.extend_from_slice(b",\"errors\":[");
    for error in errors.iter().take(MOST_ERRORS) {
        out.extend_from_slice(b"{\"says\":");
        text(&error.says, out);
        if let Some(expected) = &error.expected {
            out.extend_from_slice(b",\"expected\":");
            text(expected, out);
        }
        if let Some(origin) = error.origin {
            let column = sheets.position(origin).column;
            out.extend_from_slice(b",\"column\":");
            decimal(u64::try_from(column).unwrap_or(u64::MAX), out);
        }
        out.extend_from_slice(b"},");
    }
    end_list(out);
    if let Some(more) = errors.len().checked_sub(MOST_ERRORS).filter(|more| *more > 0) {
        out.extend_from_slice(b",\"more_errors\":");
        decimal(u64::try_from(more).unwrap_or(u64::MAX), out);
    }
    end(out);
}

/// A text in quotes.
pub(super) fn text(text: &str, out: &mut Vec<u8>) {
    let is_plain = |byte: &u8| *byte >= 0x20 && *byte != b'"' && *byte != b'\\';
    if text.as_bytes().iter().all(is_plain) {
        out.push(b'"');
        out.extend_from_slice(text.as_bytes());
        out.push(b'"');
        return;
    }
    out.push(b'"');
    for byte in text.bytes() {
        match byte {
            b'"' | b'\\' => out.extend([b'\\', byte]),
            b'\n' => out.extend_from_slice(b"\\n"),
            b'\t' => out.extend_from_slice(b"\\t"),
            b'\r' => out.extend_from_slice(b"\\r"),
            0..0x20 => {
                // A memory of bytes takes everything.
                let _ = write!(out, "\\u{byte:04x}");
            }
            _ => out.push(byte),
        }
    }
    out.push(b'"');
}

/// A number in decimal digits.
pub(super) fn decimal(mut number: u64, out: &mut Vec<u8>) {
    let mut digits = [0u8; 20];
    let mut start = digits.len();
    loop {
        start -= 1;
        // Below ten, so it fits.
        digits[start] = b'0' + u8::try_from(number % 10).unwrap_or(0);
        number /= 10;
        if number == 0 {
            break;
        }
    }
    out.extend_from_slice(&digits[start..]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_and_numbers_are_json() {
        for one in ["plain", "a\"b\\c", "tab\tline\nend\r", "\u{1}\u{1f}", "Küche – 2", ""] {
            let mut out = Vec::new();
            text(one, &mut out);
            assert_eq!(serde_json::from_slice::<String>(&out).ok().as_deref(), Some(one));
        }
        for number in [0, 7, 10, 65_535, u64::MAX] {
            let mut out = Vec::new();
            decimal(number, &mut out);
            assert_eq!(String::from_utf8(out), Ok(number.to_string()));
        }
    }

    #[test]
    fn every_rule_has_its_text() {
        for (rule, words) in RULES {
            assert_eq!(RULE_TEXTS[rule.index()].slug, format!("\"{}\",", words.slug));
        }
    }
}
