//! Dates: of each sheet, and of the last change of the plant.

use super::Declared;
use super::readings::Reading;
use crate::date::Date;
use crate::fold::Folded;
use crate::source::{Cell, Origin};
use coldcheck_core::rules::RuleId;

/// Words for the day on which a sheet was written.
const SHEET_DATE: &[&str] = &["sheet date", "date of sheet", "list date", "date of list"];
/// Words for the day of the last change.
const LAST_CHANGE: &[&str] = &["last change", "date of last change", "last changed"];

/// The dates that the sheets give. Each sheet has its own, so that two are no disagreement.
#[derive(Clone, Debug, Default)]
pub(super) struct Dates {
    sheets: Vec<Dated>,
    changes: Vec<Dated>,
}

/// A day with the words behind it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Dated {
    day: Date,
    text: String,
    origin: Origin,
}

/// The days of a cell, with semicolons between them: a tidied site has those of all its sheets.
/// Empty if the cell does not begin with one.
fn days(cell: &Cell) -> Vec<Dated> {
    let mut days: Vec<Dated> = Vec::new();
    for part in cell.split(|character| character == ';') {
        match (day(&part.text), days.last_mut()) {
            (Some(day), _) => days.push(Dated { day, text: part.text, origin: part.origin }),
            (None, Some(before)) => before.text = format!("{}; {}", before.text, part.text),
            (None, None) => return days,
        }
    }
    days
}

fn is_one_of(key: &Folded, words: &[&str]) -> bool {
    words.iter().any(|word| key.is(word))
}

/// Whether the value under this key is a date.
pub(super) fn is_date(key: &Folded) -> bool {
    is_one_of(key, SHEET_DATE) || is_one_of(key, LAST_CHANGE)
}

/// The day at the beginning of a text; words may stand behind it.
fn day(text: &str) -> Option<Date> {
    Date::read(text.split([',', ';', ' ', '(']).next()?)
}

impl Declared {
    /// Takes a date, if the key is one of a date.
    pub(super) fn date(&mut self, key: &Folded, cell: &Cell) -> bool {
        let (of_sheet, of_change) = (is_one_of(key, SHEET_DATE), is_one_of(key, LAST_CHANGE));
        if !of_sheet && !of_change {
            return false;
        }
        let days = days(cell);
        if days.is_empty() {
            self.ask(
                cell.origin,
                format!("which day is \u{201c}{}\u{201d}?", cell.text),
                "write it as year, month and day: 2026-03-01",
            );
        }
        let known = if of_sheet { &mut self.dates.sheets } else { &mut self.dates.changes };
        known.extend(days);
        true
    }

    /// The days that the sheets give, with the words that state them; earlier ones first.
    pub fn dates(&self) -> Vec<(&'static str, String)> {
        [(SHEET_DATE, &self.dates.sheets), (LAST_CHANGE, &self.dates.changes)]
            .into_iter()
            .filter_map(|(words, dates)| {
                let mut dates = dates.clone();
                dates.sort();
                let mut texts: Vec<String> = dates.into_iter().map(|date| date.text).collect();
                texts.dedup();
                Some((*words.first()?, texts.join("; "))).filter(|(_, text)| !text.is_empty())
            })
            .collect()
    }

    /// Whether a sheet is older than the last change. An older sheet knows older changes only, so
    /// that the latest of all sheets counts.
    pub(super) fn compare_dates(&mut self) {
        let rule = RuleId::SheetNotAfterLastChange;
        let Some(Dated { day: change, origin: at, .. }) = self.dates.changes.iter().max().cloned()
        else {
            self.unread(rule, "no sheet says when the plant was last changed");
            return;
        };
        if self.dates.sheets.is_empty() {
            self.unread(rule, "no sheet says of which day it is");
        }
        for sheet in self.dates.sheets.clone() {
            if sheet.day < change {
                let reading = Reading::new(rule, vec![sheet.origin, at]);
                let reading = reading.value(sheet.day.to_string());
                self.found(reading.wanted(Some(change.to_string())));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_may_stand_behind_a_day() {
        assert_eq!(day("2026-03-01, unit 4 exchanged"), Date::read("2026-03-01"));
        assert_eq!(day("in spring"), None);
    }

    #[test]
    fn a_cell_may_hold_several_days() {
        let text = "2026-03-01, box 4 exchanged; by two people; 2026-04-02";
        let cell = Cell::of(crate::source::SheetId(0), text, 0..text.len());
        let texts: Vec<_> = days(&cell).into_iter().map(|dated| dated.text).collect();
        assert_eq!(texts, ["2026-03-01, box 4 exchanged; by two people", "2026-04-02"]);
        let cell = Cell::of(crate::source::SheetId(0), "in spring; 2026-04-02", 0..21);
        assert!(days(&cell).is_empty());
    }
}
