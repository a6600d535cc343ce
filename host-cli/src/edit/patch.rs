//! Changes of text.

use crate::read::RawSheet;
use crate::source::Origin;
use std::ops::Range;

/// Stretches of sheets that are replaced, and sheets that are added.
#[derive(Clone, Debug, Default)]
pub(super) struct Patch {
    /// Sheet, bytes of its text, and what stands there afterwards.
    stretches: Vec<(usize, Range<usize>, String)>,
    added: Vec<(&'static str, String)>,
}

impl Patch {
    /// What these places say, replaced.
    pub(super) fn replacing(origins: &[Origin], text: &str) -> Self {
        let stretches = origins.iter().map(|at| (at.sheet.0, at.range(), text.to_owned()));
        Self { stretches: stretches.collect(), added: Vec::new() }
    }

    /// A stretch of one sheet, replaced.
    pub(super) fn stretch(sheet: usize, range: Range<usize>, text: String) -> Self {
        Self { stretches: vec![(sheet, range, text)], added: Vec::new() }
    }

    /// One more sheet.
    pub(super) fn sheet(name: &'static str, text: String) -> Self {
        Self { stretches: Vec::new(), added: vec![(name, text)] }
    }

    /// Both changes.
    pub(super) fn and(mut self, other: Self) -> Self {
        self.stretches.extend(other.stretches);
        self.added.extend(other.added);
        self
    }

    /// The sheets afterwards. Of stretches that overlap, the first one is taken.
    pub(super) fn applied(&self, sheets: &[RawSheet]) -> Vec<RawSheet> {
        let mut after = sheets.to_vec();
        let mut stretches = self.stretches.clone();
        // From the back, so that places stay what they are.
        stretches.sort_by(|a, b| (b.0, b.1.start, a.1.end).cmp(&(a.0, a.1.start, b.1.end)));
        let mut untouched = (usize::MAX, usize::MAX);
        for (sheet, range, text) in stretches {
            let limit = if untouched.0 == sheet { untouched.1 } else { usize::MAX };
            if let Some(file) = after.get_mut(sheet)
                && range.end <= limit.min(file.bytes.len())
                && range.start <= range.end
            {
                let text = with_ends(&text, line_end(&sheets[sheet].bytes));
                file.bytes.splice(range.clone(), text.into_bytes());
                untouched = (sheet, range.start);
            }
        }
        for (name, text) in &self.added {
            let taken = |name: &str| after.iter().any(|file| file.name == name);
            let free = (1..).map(|number| match number {
                1 => (*name).to_owned(),
                number => format!("{number}-{name}"),
            });
            let name = free.take(after.len() + 1).find(|name| !taken(name)).unwrap_or_default();
            after.push(RawSheet { name, bytes: text.clone().into_bytes() });
        }
        after
    }
}

/// What ends the lines of a sheet.
fn line_end(sheet: &[u8]) -> &'static str {
    let first = sheet.iter().position(|byte| *byte == b'\n');
    let is_double = first.is_some_and(|at| at > 0 && sheet.get(at - 1) == Some(&b'\r'));
    if is_double { "\r\n" } else { "\n" }
}

/// Lines with the end that the sheet has.
fn with_ends(text: &str, end: &str) -> String {
    text.replace("\r\n", "\n").replace('\n', end)
}

/// The lines that hold a stretch, with the end of the last one.
pub(super) fn lines_around(text: &str, range: Range<usize>) -> Range<usize> {
    let start =
        text.get(..range.start).and_then(|before| before.rfind('\n')).map_or(0, |at| at + 1);
    // A stretch that ends with the end of its line does not reach into the next one.
    let last = range.end.saturating_sub(1).max(range.start);
    let end =
        text.get(last..).and_then(|rest| rest.find('\n')).map_or(text.len(), |at| last + at + 1);
    start..end
}
