//! Remarks of all sheets, as comments for the end of a site file.

use crate::declared::Declared;
use crate::site_file::{REMARK, REMARKS, one_line};
use crate::source::{Cell, Origin};

/// Comments, remarks and what was not understood, in the order of the sheets, each with its place.
/// Those that an earlier tidying collected keep the place that it gave them.
pub(super) fn remarks(declared: &Declared) -> Vec<String> {
    let understood = declared.remarks.iter().map(|cell| (cell, ""));
    let others = declared.not_understood.iter().map(|cell| (cell, "not understood: "));
    let mut cells: Vec<(&Cell, &str)> = understood.chain(others).collect();
    cells.sort_by_key(|(cell, _)| cell.origin);
    let mut collected_before = None;
    let mut lines: Vec<String> = Vec::new();
    for (cell, prefix) in cells {
        let text = bare(&cell.text);
        if text == REMARKS {
            collected_before = Some(cell.origin.sheet);
            continue;
        }
        if text.is_empty() || is_head(&text) {
            continue;
        }
        let raw = raw(declared, cell.origin);
        let line = if collected_before == Some(cell.origin.sheet) && raw.starts_with(REMARK) {
            text
        } else {
            let position = declared.sheets.position(cell.origin);
            format!("{}:{}: {prefix}{text}", one_line(&position.file), position.line)
        };
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}

fn is_head(text: &str) -> bool {
    super::HEAD.contains(&text) || crate::mend::repair::HEAD.contains(&text)
}

fn raw(declared: &Declared, origin: Origin) -> &str {
    let sheet = declared.sheets.get(origin.sheet);
    sheet.and_then(|sheet| sheet.text.get(origin.range())).unwrap_or("")
}

/// A comment without its sign.
fn bare(text: &str) -> String {
    one_line(text.trim_start_matches(['#', ';', '/']))
}
