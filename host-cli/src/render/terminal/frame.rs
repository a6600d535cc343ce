//! Lines of a sheet with words underlined, as compilers show them: never wider than the text
//! around them, whatever the sheet holds.

use super::{Ink, coloured};
use crate::source::{Origin, Sheet, SheetId, Sheets};
use crate::visible::{visible, width};
use crate::words::WIDTH;
use std::collections::BTreeMap;
use std::ops::Range;

/// A finding names this many places in full; more would bury the rest of the report.
const MOST_LABELS: usize = 12;
/// A tab is shown as wide as this.
const TAB: &str = "    ";
/// Where a line is cut.
const CUT: char = '…';
/// Columns before a label that are shown of a line that is cut in front of it.
const BEFORE: usize = 8;

/// What is underlined in one line, in bytes of that line.
struct Mark<'l> {
    range: Range<usize>,
    label: &'l str,
    is_main: bool,
}

/// A sheet's lines that bear marks, by their numbers from 0.
struct Part<'s, 'l> {
    sheet: &'s Sheet,
    at: Origin,
    lines: BTreeMap<usize, Vec<Mark<'l>>>,
}

/// The lines that hold the labels, the first label marked as the main one; coloured if there is
/// an ink.
pub(super) fn frame(sheets: &Sheets, labels: &[(Origin, String)], ink: Option<Ink>) -> String {
    let parts = parts(sheets, labels);
    let last = parts.iter().filter_map(|(_, part)| part.lines.keys().next_back()).max();
    let Some(last) = last else { return String::new() };
    let painter = Painter { ink, digits: (last + 1).to_string().len() };
    let mut lines = Vec::new();
    for (position, (_, part)) in parts.iter().enumerate() {
        if position > 0 {
            lines.push(painter.bar(""));
        }
        painter.part(sheets, part, position == 0, &mut lines);
    }
    if labels.len() > MOST_LABELS {
        lines.push(format!("  and at {} more places", labels.len() - MOST_LABELS));
    }
    lines.join("\n")
}

/// The labels by sheet, sheets in the order of their first label.
fn parts<'s, 'l>(
    sheets: &'s Sheets,
    labels: &'l [(Origin, String)],
) -> Vec<(SheetId, Part<'s, 'l>)> {
    let mut parts: Vec<(SheetId, Part<'_, '_>)> = Vec::new();
    for (origin, label) in labels.iter().take(MOST_LABELS) {
        let Some(sheet) = sheets.get(origin.sheet) else { continue };
        let is_main = parts.is_empty();
        let position = parts.iter().position(|(id, _)| *id == origin.sheet).unwrap_or_else(|| {
            parts.push((origin.sheet, Part { sheet, at: *origin, lines: BTreeMap::new() }));
            parts.len() - 1
        });
        let before = sheet.text.get(..origin.start).unwrap_or(&sheet.text);
        let start = before.rfind('\n').map_or(0, |newline| newline + 1);
        // A stretch that crosses lines is shown on its first one.
        let inside = sheet.text.get(origin.range()).unwrap_or("");
        let length = inside.split(['\n', '\r']).next().unwrap_or("").len();
        let from = before.len() - start;
        let mark = Mark { range: from..from + length, label, is_main };
        let number = before.matches('\n').count();
        if let Some((_, part)) = parts.get_mut(position) {
            part.lines.entry(number).or_default().push(mark);
        }
    }
    parts
}

struct Painter {
    ink: Option<Ink>,
    /// Digits of the greatest line number.
    digits: usize,
}

impl Painter {
    fn paint(&self, text: &str, ink: Ink) -> String {
        coloured(self.ink.is_some(), text, ink)
    }

    /// A line that is none of a sheet.
    fn bar(&self, text: &str) -> String {
        let bar = self.paint(&format!("{:1$} |", "", self.digits), Ink::Plain);
        if text.is_empty() { bar } else { format!("{bar} {text}") }
    }

    fn part(&self, sheets: &Sheets, part: &Part<'_, '_>, is_first: bool, out: &mut Vec<String>) {
        let position = sheets.position(part.at);
        let arrow = if is_first { "-->" } else { ":::" };
        let arrow = self.paint(&format!("{:1$}{arrow}", "", self.digits), Ink::Plain);
        let at = format!(":{}:{}", position.line, position.column);
        // Of a long name the end tells more.
        let room = WIDTH - self.digits - 4 - at.len();
        out.push(format!("{arrow} {}{at}", end_of(&visible(&position.file), room)));
        out.push(self.bar(""));
        let mut before: Option<usize> = None;
        for (number, marks) in &part.lines {
            match before.map_or(0, |before| number - before) {
                0 | 1 => {}
                2 => {
                    let between = shown(line(part.sheet, number - 1), None, self.room());
                    out.push(self.line(number - 1, &between.text));
                }
                _ => out.push(self.paint("...", Ink::Plain)),
            }
            before = Some(*number);
            let focus = marks.iter().find(|mark| mark.is_main).or(marks.first());
            let focus = focus.map(|mark| mark.range.clone());
            let shown = shown(line(part.sheet, *number), focus, self.room());
            out.push(self.line(*number, &shown.text));
            self.marks(marks, &shown, out);
        }
    }

    /// Columns beside the line numbers.
    const fn room(&self) -> usize {
        WIDTH - self.digits - 3
    }

    fn line(&self, number: usize, text: &str) -> String {
        let head = self.paint(&format!("{:>1$} |", number + 1, self.digits), Ink::Plain);
        if text.is_empty() { head } else { format!("{head} {text}") }
    }

    /// The signs under a line, and their labels: the last one behind the signs, the others below.
    fn marks(&self, marks: &[Mark<'_>], shown: &Shown, out: &mut Vec<String>) {
        let mut signs: Vec<Sign> = Vec::new();
        for mark in marks {
            let Some(columns) = shown.columns_of(&mark.range, self.room()) else { continue };
            let label = visible(mark.label).into_owned();
            match signs.iter_mut().find(|sign| sign.columns.start == columns.start) {
                Some(sign) => sign.also(columns.end, label, mark.is_main),
                None => signs.push(Sign { columns, label, is_main: mark.is_main }),
            }
        }
        signs.sort_by_key(|sign| sign.columns.start);
        let end = signs.iter().map(|sign| sign.columns.end).max().unwrap_or(0);
        for sign in &mut signs {
            // What does not fit is named in the sentence above.
            if end + 1 + width(&sign.label) > self.room() {
                sign.label.clear();
            }
        }
        let mut line = self.runs(&signs, end);
        if let Some(last) = signs.pop().filter(|last| !last.label.is_empty()) {
            line = format!("{line} {}", self.paint(&last.label, self.ink_of(last.is_main)));
        }
        if !line.is_empty() {
            out.push(self.bar(&line));
        }
        signs.retain(|sign| !sign.label.is_empty());
        while let Some(sign) = signs.last() {
            out.push(self.bar(&stems(&signs)));
            let left = stems(&signs[..signs.len() - 1]);
            let gap = sign.columns.start - left.len();
            let label = self.paint(&sign.label, self.ink_of(sign.is_main));
            out.push(self.bar(&format!("{left}{:gap$}{label}", "")));
            signs.pop();
        }
    }

    fn ink_of(&self, is_main: bool) -> Ink {
        if is_main { self.ink.unwrap_or(Ink::Plain) } else { Ink::Calm }
    }

    /// `^^^   ---`: one run for each mark, the main one on top of the others.
    fn runs(&self, signs: &[Sign], end: usize) -> String {
        let mut line = vec![' '; end];
        for is_main in [false, true] {
            for sign in signs.iter().filter(|sign| sign.is_main == is_main) {
                let own = line.iter_mut().take(sign.columns.end).skip(sign.columns.start);
                own.for_each(|place| *place = if is_main { '^' } else { '-' });
            }
        }
        let mut out = String::new();
        for run in line.chunk_by(|one, two| one == two) {
            let text: String = run.iter().collect();
            match run.first() {
                Some('^') => out.push_str(&self.paint(&text, self.ink_of(true))),
                Some('-') => out.push_str(&self.paint(&text, self.ink_of(false))),
                _ => out.push_str(&text),
            }
        }
        out
    }
}

/// What stands under a line.
struct Sign {
    columns: Range<usize>,
    label: String,
    is_main: bool,
}

impl Sign {
    /// Another mark that begins in the same column.
    fn also(&mut self, end: usize, label: String, is_main: bool) {
        self.columns.end = self.columns.end.max(end);
        self.is_main |= is_main;
        if self.label.is_empty() {
            self.label = label;
        } else if !label.is_empty() && self.label != label {
            self.label = format!("{}, {label}", self.label);
        }
    }
}

/// `|    |`: a stem down from each mark.
fn stems(signs: &[Sign]) -> String {
    let mut text = String::new();
    for sign in signs {
        let gap = sign.columns.start.saturating_sub(text.len());
        text.push_str(&" ".repeat(gap));
        text.push('|');
    }
    text
}

fn line(sheet: &Sheet, number: usize) -> &str {
    sheet.text.split('\n').nth(number).unwrap_or("").trim_end_matches('\r')
}

/// The end of a text, in so many columns.
fn end_of(text: &str, room: usize) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    let mut tails = text.char_indices().filter_map(|(at, _)| text.get(at..));
    let tail = tails.find(|tail| width(tail) < room).unwrap_or("");
    format!("{CUT}{tail}")
}

/// A line as it is shown, with the column of each byte of it that is shown.
struct Shown {
    text: String,
    columns: Vec<(usize, usize)>,
}

impl Shown {
    /// The columns of a stretch of bytes, at least one; `None` if nothing of it is shown.
    fn columns_of(&self, range: &Range<usize>, room: usize) -> Option<Range<usize>> {
        let (first, last) = (self.columns.first()?, self.columns.last()?);
        if range.start > last.0 || range.end < first.0 {
            return None;
        }
        let column = |byte: usize| {
            let at = self.columns.iter().find(|(at, _)| *at >= byte);
            at.map_or(last.1, |(_, column)| *column)
        };
        let start = column(range.start).min(room - 1);
        Some(start..column(range.end).clamp(start + 1, room))
    }
}

/// A line in so many columns; of a longer one the stretch around the focus.
fn shown(line: &str, focus: Option<Range<usize>>, room: usize) -> Shown {
    let piece = |character: char| match character {
        '\t' => TAB.to_owned(),
        other => visible(other.encode_utf8(&mut [0; 4])).into_owned(),
    };
    let pieces: Vec<(usize, String)> =
        line.char_indices().map(|(at, character)| (at, piece(character))).collect();
    let whole: usize = pieces.iter().map(|(_, text)| width(text)).sum();
    let until = |byte: usize| -> usize {
        pieces.iter().take_while(|(at, _)| *at < byte).map(|(_, text)| width(text)).sum()
    };
    let mut text = String::new();
    let mut column = 0;
    let mut skip = 0;
    if let Some(focus) = focus.filter(|focus| whole > room && until(focus.end) + 1 >= room) {
        let from = until(focus.start).saturating_sub(BEFORE);
        skip = from.min((whole + 2).saturating_sub(room));
        if skip > 0 {
            text.push(CUT);
            column = 1;
        }
    }
    let mut columns = Vec::new();
    let mut passed = 0;
    let mut cut = false;
    for (at, piece) in &pieces {
        let wide = width(piece);
        let start = passed;
        passed += wide;
        if start < skip {
            continue;
        }
        let more = passed < whole;
        if column + wide + usize::from(more) > room {
            columns.push((*at, column));
            text.push(CUT);
            cut = true;
            break;
        }
        columns.push((*at, column));
        text.push_str(piece);
        column += wide;
    }
    if !cut {
        columns.push((line.len(), column));
    }
    Shown { text, columns }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The frame of a text with these pieces of it labelled.
    fn framed(text: &str, labels: &[(&str, &str)]) -> String {
        let sheets = Sheets(vec![Sheet { name: "s".to_owned(), text: text.to_owned() }]);
        let labels: Vec<_> = labels
            .iter()
            .map(|(piece, label)| {
                let start = text.find(piece).expect("a piece of the text");
                let origin = Origin { sheet: SheetId(0), start, end: start + piece.len() };
                (origin, (*label).to_owned())
            })
            .collect();
        frame(&sheets, &labels, None)
    }

    #[test]
    fn labels_stand_behind_their_signs_or_below_them() {
        let text = framed("a = 1\nb, c, d\n\ne\nf", &[("c", "third"), ("a", ""), ("b", "second")]);
        let lines: Vec<_> = text.lines().collect();
        let shown = [
            " --> s:2:4",
            "  |",
            "1 | a = 1",
            "  | -",
            "2 | b, c, d",
            "  | -  ^ third",
            "  | |",
            "  | second",
        ];
        assert_eq!(lines, shown);
        let apart = framed("a\nb\nc\nd\ne\nf", &[("a", ""), ("c", ""), ("f", "")]);
        assert!(apart.contains("2 | b\n3 | c\n  | -\n...\n6 | f"), "{apart}");
    }

    #[test]
    fn a_long_line_is_cut_around_its_label_and_its_place_stays_true() {
        let long = format!("{}needle{}", "hay, ".repeat(40), " and hay".repeat(40));
        let text = framed(&long, &[("needle", "here")]);
        let lines: Vec<_> = text.lines().collect();
        assert_eq!(lines[0], " --> s:1:201");
        let at = lines[3].chars().position(|c| c == '^').expect("a sign");
        assert_eq!(lines[2].chars().skip(at).take(6).collect::<String>(), "needle");
        assert!(lines[2].starts_with("1 | …") && lines[2].ends_with('…'), "{text}");
        assert!(lines[3].ends_with("^^^^^^ here"), "{text}");
    }

    #[test]
    fn no_frame_is_wider_than_the_page() {
        for sign in ["x", "表", "\t", "🔌", "e\u{301}", "\u{202e}"] {
            for before in [0, 1, 37, 60, 70, 75, 76, 77, 78, 90, 200] {
                for behind in [0, 1, 2, 40, 100] {
                    let line = format!("{}N{}", sign.repeat(before), sign.repeat(behind));
                    let text = framed(&line, &[("N", "a label of some length")]);
                    assert!(text.contains('^'), "{text}");
                    for line in text.lines() {
                        assert!(width(line) <= WIDTH, "{} columns: {line}", width(line));
                    }
                }
            }
        }
    }
}
