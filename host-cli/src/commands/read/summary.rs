//! What is said beside a list that was read: what to confirm, and why.

use crate::photo::csv;
use crate::photo::list::{Cell, Certainty, List};
use crate::phrase::{counted, one_of};
use crate::visible::visible;
use crate::words::WIDTH;
use std::fmt::{Display, Write};

/// The summary, in lines of the usual width.
pub(super) fn text(list: &List, review: Option<impl Display>) -> String {
    let (all, open) = list.counts();
    let mut text = format!(
        "{} read, {}: {} sure, {open} to confirm.\n",
        counted(list.rows.len(), "row"),
        counted(all, "cell"),
        all - open
    );
    text += "Count the rows of the sheet itself: a row that was lost leaves no trace here.\n";
    for (at, row) in list.rows.iter().enumerate() {
        let open =
            row.cells.iter().zip(&list.columns).filter(|(cell, _)| cell.state != Certainty::Sure);
        for (cell, column) in open {
            let line = format!(
                "row {}, {}: {}{}",
                at + 1,
                csv::heading(list, *column),
                readings(cell),
                cell.doubt.map_or_else(String::new, |doubt| format!(" ({})", doubt.says()))
            );
            let options =
                textwrap::Options::new(WIDTH).initial_indent("  ").subsequent_indent("    ");
            let _ = writeln!(text, "{}", textwrap::fill(&visible(&line), options));
        }
    }
    if let Some(review) = review {
        let _ = writeln!(text, "To confirm them beside their pictures, open {review}");
    }
    text
}

fn readings(cell: &Cell) -> String {
    let all = std::iter::once(&cell.text).chain(&cell.alternatives);
    let all: Vec<&String> = all.filter(|text| !text.is_empty()).collect();
    if all.is_empty() { "nothing".to_owned() } else { one_of(&all) }
}
