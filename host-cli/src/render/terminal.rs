//! Text for people: verdict first, dangers on top, at most 80 columns, with and without colour.

pub mod changed;
mod frame;
mod heard;
mod lists;
pub mod mend;
pub mod meter;
pub mod powerup;
pub mod sensors;
pub(crate) mod sizes;
pub mod way;

pub use sizes::sizes;

use crate::diagnosis::{Diagnosis, Diagnostic};
use crate::engine::Site;
use crate::phrase::counted;
use crate::read::ReadError;
use crate::render::told;
use crate::source::{Origin, Sheets};
use crate::visible::visible;
use crate::words::{CAUTIONS, WIDTH};
use coldcheck_core::finding::Verdict;
use coldcheck_core::rule::{Check, Severity};
use std::fmt::Write;

/// How text is laid out.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Whether to colour.
    pub colour: bool,
    /// Whether to leave out what was checked, what was not, and what was not understood.
    pub quiet: bool,
}

/// The report of a check.
pub fn check(site: &Site, diagnosis: &Diagnosis, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    out.verdict(diagnosis);
    out.subject(site);
    if let Some(heard) = diagnosis.heard.as_ref().filter(|_| !style.quiet) {
        out.heard(heard);
    }
    for finding in &diagnosis.findings {
        out.finding(&site.declared.sheets, finding);
    }
    out.questions(&site.declared.sheets, diagnosis);
    if site.is_image && diagnosis.tally.questions > 0 {
        out.blank();
        out.item("questions were open when the image was written; check its sheets to read them");
    }
    out.waivers(&site.declared.sheets, diagnosis);
    out.undeclared(&diagnosis.undeclared);
    out.counted(diagnosis);
    if !style.quiet {
        out.not_checked(told::NOT_CHECKED, &diagnosis.not_checked);
        out.not_checked(told::GAPS, &diagnosis.gaps);
        out.looked_at_by_none(diagnosis);
        out.demands(site, diagnosis);
        out.not_understood(&site.declared.sheets, diagnosis);
        out.met(diagnosis);
    }
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}

/// What keeps a site from being written down again: the questions that a person must answer.
pub fn questions(site: &Site, diagnosis: &Diagnosis, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    let head = out.bold("ASK:", Ink::Attention);
    let count = counted(site.declared.question_count(), "question");
    out.wrapped(
        &format!("{head} "),
        &format!("{count} to answer first. Nothing is decided for you, and nothing is written."),
    );
    let readings = diagnosis
        .findings
        .iter()
        .filter(|finding| matches!(finding.rule.rule().check, Check::Reader));
    for finding in readings.filter(|finding| finding.rule.rule().asks) {
        out.finding(&site.declared.sheets, finding);
    }
    out.questions(&site.declared.sheets, diagnosis);
    out.out
}

/// Errors that kept a site from being read.
pub fn errors(sheets: &Sheets, errors: &[ReadError], colour: bool) -> String {
    let mut out = Text { out: String::new(), style: Style { colour, quiet: false } };
    for (position, error) in errors.iter().enumerate() {
        if position > 0 {
            out.blank();
        }
        let place = match error.origin {
            Some(_) => String::new(),
            None if error.file.is_empty() => String::new(),
            None => format!("{}: ", error.file),
        };
        let head = out.bold("error:", Ink::Alarm);
        out.wrapped(&format!("{head} "), &format!("{place}{}", error.says));
        if let Some(origin) = error.origin {
            out.frame(sheets, &[(origin, "here".to_owned())], Ink::Alarm);
        }
        if let Some(expected) = &error.expected {
            out.entry("expected:", expected);
        }
    }
    out.out
}

#[derive(Clone, Copy)]
enum Ink {
    Alarm,
    Attention,
    Calm,
    Plain,
}

struct Text {
    out: String,
    style: Style,
}

impl Text {
    fn verdict(&mut self, diagnosis: &Diagnosis) {
        let (word, says) = told::verdict(diagnosis);
        let ink = match diagnosis.verdict {
            Verdict::Stop | Verdict::FixFirst => Ink::Alarm,
            Verdict::Ask | Verdict::Incomplete => Ink::Attention,
            Verdict::OkWithNotes | Verdict::Ok => Ink::Calm,
        };
        let head = self.bold(&format!("{word}:"), ink);
        self.wrapped(&format!("{head} "), &says);
    }

    fn subject(&mut self, site: &Site) {
        self.wrapped("", &told::subject(site));
        if let Some(assumed) = told::sensors_by_number(site) {
            self.wrapped("", &assumed);
        }
    }

    /// What was left out of the sheets, for a command that does not list it.
    fn left_out(&mut self, site: &Site) {
        if let Some(says) = told::left_out(&site.declared.not_understood) {
            self.wrapped("", &format!("{says} `coldcheck check` lists what."));
        }
    }

    fn questions(&mut self, sheets: &Sheets, diagnosis: &Diagnosis) {
        for question in &diagnosis.questions {
            self.blank();
            self.wrapped(&format!("{} ", self.bold("ask:", Ink::Attention)), &question.says);
            let labels = question.origins.iter().map(|origin| (*origin, "here".to_owned()));
            self.frame(sheets, &labels.collect::<Vec<_>>(), Ink::Attention);
            self.entry("do:", &question.answer);
        }
    }

    fn finding(&mut self, sheets: &Sheets, finding: &Diagnostic) {
        let rule = finding.rule.rule();
        let ink = match finding.severity {
            Severity::Danger | Severity::NoStart => Ink::Alarm,
            Severity::Degraded => Ink::Attention,
            Severity::Note => Ink::Calm,
        };
        self.blank();
        let (head, says) = told::finding(finding);
        let head = self.bold(&format!("{head}:"), ink);
        self.wrapped(&format!("{head} "), &says);
        let labels: Vec<_> =
            finding.labels.iter().map(|label| (label.origin, label.text.clone())).collect();
        self.frame(sheets, &labels, ink);
        self.entry("why:", rule.text.why);
        self.entry("do:", rule.text.act);
        self.entry("prove:", rule.text.prove);
    }

    fn frame(&mut self, sheets: &Sheets, labels: &[(Origin, String)], ink: Ink) {
        let frame = frame::frame(sheets, labels, self.style.colour.then_some(ink));
        if !frame.is_empty() {
            self.out.push_str(&frame);
            self.out.push('\n');
        }
    }

    fn entry(&mut self, key: &str, text: &str) {
        let head = format!("  {key:<6} ");
        let head = if self.style.colour { self.bold(&head, Ink::Plain) } else { head };
        self.wrapped(&head, text);
    }

    fn heading(&mut self, text: &str) {
        self.blank();
        for line in textwrap::wrap(&visible(text), WIDTH) {
            let line = self.bold(&line, Ink::Plain);
            let _ = writeln!(self.out, "{line}");
        }
    }

    fn item(&mut self, text: &str) {
        self.wrapped("  - ", text);
    }

    fn blank(&mut self) {
        self.out.push('\n');
    }

    /// A paragraph that hangs behind its head. A word wider than the page is cut.
    fn wrapped(&mut self, head: &str, text: &str) {
        let indent = " ".repeat(visible_width(head));
        let options = textwrap::Options::new(WIDTH)
            .initial_indent(&indent)
            .subsequent_indent(&indent)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        let lines = textwrap::wrap(&visible(text), options).join("\n");
        let _ = writeln!(self.out, "{head}{}", lines.get(indent.len()..).unwrap_or(""));
    }

    fn bold(&self, text: &str, ink: Ink) -> String {
        coloured(self.style.colour, text, ink)
    }
}

fn coloured(colour: bool, text: &str, ink: Ink) -> String {
    if !colour || text.is_empty() {
        return text.to_owned();
    }
    let colour = match ink {
        Ink::Alarm => "\u{1b}[1;31m",
        Ink::Attention => "\u{1b}[1;33m",
        Ink::Calm => "\u{1b}[1;36m",
        Ink::Plain => "\u{1b}[1m",
    };
    format!("{colour}{text}\u{1b}[0m")
}

/// Width without escape sequences.
fn visible_width(text: &str) -> usize {
    let mut width = 0;
    let mut escaped = false;
    for character in text.chars() {
        match character {
            '\u{1b}' => escaped = true,
            'm' if escaped => escaped = false,
            _ if !escaped => width += 1,
            _ => {}
        }
    }
    width
}
