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
    sheets: Vec<(Date, Origin)>,
    changes: Vec<(Date, Origin)>,
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
        match day(&cell.text) {
            Some(day) if of_sheet => self.dates.sheets.push((day, cell.origin)),
            Some(day) => self.dates.changes.push((day, cell.origin)),
            None => self.ask(
                cell.origin,
                format!("which day is \u{201c}{}\u{201d}?", cell.text),
                "write it as year, month and day: 2026-03-01",
            ),
        }
        true
    }

    /// Whether a sheet is older than the last change. An older sheet knows older changes only, so
    /// that the latest of all sheets counts.
    pub(super) fn compare_dates(&mut self) {
        let rule = RuleId::SheetNotAfterLastChange;
        let Some((change, at)) = self.dates.changes.iter().max().copied() else {
            self.unread(rule, "no sheet says when the plant was last changed");
            return;
        };
        if self.dates.sheets.is_empty() {
            self.unread(rule, "no sheet says of which day it is");
        }
        for (sheet, origin) in self.dates.sheets.clone() {
            if sheet < change {
                let reading = Reading::new(rule, vec![origin, at]).value(sheet.to_string());
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
}
