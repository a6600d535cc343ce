//! Tables of outside facts: `tests/facts/*.csv`. Lines that begin with `#` name the source.

use std::collections::BTreeMap;
use std::fs;

use crate::paths;

/// One line of a table: cells by the word at the head of their column.
pub type Row = BTreeMap<String, String>;

/// The rows of a table. Cells hold no commas.
///
/// # Panics
/// If the table is not there, has no source, no row, or rows of another width than its head.
pub fn table(name: &str) -> Vec<Row> {
    let path = paths::tests().join("facts").join(name);
    let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert!(text.starts_with('#'), "{name} names no source");
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let head: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let rows: Vec<Row> = lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            assert_eq!(cells.len(), head.len(), "{name}: {line}");
            head.iter().zip(cells).map(|(key, cell)| ((*key).into(), cell.into())).collect()
        })
        .collect();
    assert!(!rows.is_empty(), "{name} is empty");
    rows
}

/// A whole number of a row.
///
/// # Panics
/// If it is not one.
pub fn whole(row: &Row, column: &str) -> u32 {
    row[column].parse().unwrap_or_else(|_| panic!("{column} of {row:?} is no whole number"))
}

/// A number with at most three decimals, in thousandths.
///
/// # Panics
/// If it is not one.
pub fn thousandths(row: &Row, column: &str) -> u32 {
    let (before, after) = row[column].split_once('.').unwrap_or((&row[column], ""));
    assert!(after.len() <= 3, "{column} of {row:?} has too many decimals");
    format!("{before}{after:0<3}")
        .parse()
        .unwrap_or_else(|_| panic!("{column} of {row:?} is no number"))
}
