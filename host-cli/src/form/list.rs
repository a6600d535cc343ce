//! Sheets of one form as one cable list: as text with question marks, and as JSON.

use super::read::order::sort_short;
use super::read::{Cell, Filled, FilledRow};
use crate::phrase::{all_of, counted};
use crate::picture::cell::{self, Certainty, MARKS, one_line, quoted};
use serde_json::{Map, Value, json};
use std::fmt::Write;

/// Columns in JSON.
const KEYS: [&str; 7] =
    ["label", "from_unit", "from_port", "to_unit", "to_port", "kind", "length_m"];
/// Their headings in a cable list.
const HEADINGS: &str = "cable,from unit,from port,to unit,to port,kind,length (m)";

/// Sheets that are of different forms.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Different {
    /// The picture of one form,
    pub one: String,
    /// and that of another.
    pub other: String,
}

/// A cell that a person must confirm.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The number printed before its row.
    pub row: String,
    /// The heading of its column.
    pub heading: &'static str,
    /// Every reading with its question mark.
    pub reading: String,
    /// Number of its picture.
    pub photo: usize,
    /// Where it stands in the picture: left, top, width, height in pixels.
    pub area: [u32; 4],
    /// Its line in the text of the list, from one,
    pub line: usize,
    /// its column, from one in code points,
    pub column: usize,
    /// and where it ends.
    pub end_column: usize,
}

/// The list.
#[derive(Clone, Debug, PartialEq)]
pub struct List {
    /// The pictures it was read from.
    pub photos: Vec<String>,
    /// The rows in their order, each with the number of its picture.
    pub rows: Vec<(usize, FilledRow)>,
    /// What a person must know beside it, each a sentence.
    pub notes: Vec<String>,
}

/// Joins the sheets of one form. A sheet that was photographed twice must say the same both times;
/// where it does not, it is asked about.
///
/// # Errors
/// If the sheets are of different forms.
pub fn join(sheets: Vec<(String, Filled)>) -> Result<List, Different> {
    let mut list = List { photos: Vec::new(), rows: Vec::new(), notes: Vec::new() };
    let several = sheets.len() > 1;
    if let Some((one, first)) = sheets.first() {
        let other =
            sheets.iter().find(|(_, sheet)| sheet.choices.checksum() != first.choices.checksum());
        if let Some((other, _)) = other {
            return Err(Different { one: one.clone(), other: other.clone() });
        }
    }
    list.notes.extend(missing(&sheets));
    let mut seen_sheets: Vec<Option<u8>> = Vec::new();
    for (photo, (name, sheet)) in sheets.into_iter().enumerate() {
        let number = sheet.id.map(|id| id.sheet);
        let again = number.is_some() && seen_sheets.contains(&number);
        for note in sheet.notes {
            list.notes.push(if several { format!("{name}: {note}") } else { note });
        }
        if again {
            list.notes
                .push(format!("{name}: a sheet that another picture shows too; they are compared"));
        }
        for row in sheet.rows {
            let label = &row.label.text;
            match list.rows.iter_mut().find(|(_, own)| again && own.label.text == *label) {
                Some((_, own)) => compare(own, &row),
                None => list.rows.push((photo, row)),
            }
        }
        seen_sheets.push(number);
        list.photos.push(name);
    }
    sort_short(&mut list.rows, |(_, one), (_, other)| number(one) < number(other));
    Ok(list)
}

/// The number printed before a row.
fn number(row: &FilledRow) -> usize {
    row.label.text.parse().unwrap_or(usize::MAX)
}

/// Sheets of the form that nobody photographed.
fn missing(sheets: &[(String, Filled)]) -> Option<String> {
    let ids: Vec<_> = sheets.iter().filter_map(|(_, sheet)| sheet.id).collect();
    let count = ids.iter().map(|id| id.sheets).max()?;
    let lacking: Vec<String> = (1..=count)
        .filter(|sheet| ids.iter().all(|id| id.sheet != *sheet))
        .map(|sheet| sheet.to_string())
        .collect();
    let names: Vec<&str> = lacking.iter().map(String::as_str).collect();
    let what = if names.len() == 1 { "sheet" } else { "sheets" };
    (!names.is_empty()).then(|| {
        format!(
            "of {} there is no picture of {what} {}",
            counted(count.into(), "sheet"),
            all_of(&names)
        )
    })
}

/// Doubts what two pictures of one row show differently.
fn compare(own: &mut FilledRow, other: &FilledRow) {
    for (own, other) in own.cells.iter_mut().zip(&other.cells) {
        if own.text == other.text {
            // What one picture shows well stands.
            if other.certainty == Certainty::Sure && own.certainty != Certainty::Sure {
                *own = Cell { area: own.area, ..other.clone() };
            }
            continue;
        }
        let mut all = vec![other.text.clone()];
        all.extend(own.alternatives.iter().chain(&other.alternatives).cloned());
        all.retain(|text| *text != own.text && !text.is_empty());
        all.dedup();
        own.alternatives = all;
        own.certainty = Certainty::Doubtful;
        own.confidence = 0.5;
    }
}

impl List {
    /// How many cells a person must confirm.
    pub fn asked(&self) -> usize {
        let cells = self.rows.iter().flat_map(|(_, row)| &row.cells);
        cells.filter(|cell| cell.certainty != Certainty::Sure).count()
    }

    /// The cells that a person must confirm, and where they stand in [`Self::text`].
    pub fn asks(&self) -> Vec<Asked> {
        let above = self.lines_above().lines().count();
        let mut asks = Vec::new();
        for (at, (photo, row)) in self.rows.iter().enumerate() {
            let mut column = 1;
            let cells = std::iter::once(&row.label).chain(&row.cells);
            for (cell, heading) in cells.zip(HEADINGS.split(',')) {
                let wide = quoted(&marked(cell)).chars().count();
                if cell.certainty != Certainty::Sure {
                    asks.push(Asked {
                        row: row.label.text.clone(),
                        heading,
                        reading: marked(cell),
                        photo: *photo,
                        area: cell.area,
                        line: above + 1 + at,
                        column,
                        end_column: column + wide,
                    });
                }
                column += wide + 1;
            }
        }
        asks
    }

    /// The list as a sheet. A doubtful cell holds every reading, each with a question mark, an unread
    /// one the mark alone.
    pub fn text(&self) -> String {
        let mut text = self.lines_above();
        for (_, row) in &self.rows {
            let cells: Vec<String> = std::iter::once(&row.label)
                .chain(&row.cells)
                .map(|cell| quoted(&marked(cell)))
                .collect();
            text += &cells.join(",");
            text.push('\n');
        }
        text
    }

    /// What stands above the rows, with the headings.
    fn lines_above(&self) -> String {
        let photos = one_line(&self.photos.join(", "));
        let mut text = format!("# Read from a printed form: {photos}\n");
        for note in &self.notes {
            let _ = writeln!(text, "# {}", one_line(note));
        }
        if self.asked() > 0 {
            text += MARKS;
        }
        text += HEADINGS;
        text.push('\n');
        text
    }

    /// The list as JSON: schema `coldcheck.read.v1`.
    pub fn json(&self) -> Value {
        let rows = self.rows.iter().map(|(photo, row)| {
            let cells = std::iter::once(&row.label).chain(&row.cells).zip(KEYS);
            let told = cells.map(|(cell, key)| (key.to_owned(), self.cell(*photo, cell)));
            Value::Object(told.collect::<Map<_, _>>())
        });
        let mut told = json!({
            "schema": "coldcheck.read.v1",
            "photo": self.photos.first(),
            "columns": KEYS,
            "rows": rows.collect::<Vec<_>>(),
            "notes": self.notes,
        });
        if self.photos.len() > 1 {
            told["photos"] = json!(self.photos);
        }
        told
    }

    fn cell(&self, photo: usize, cell: &Cell) -> Value {
        let mut told = json!({
            "text": cell.text,
            "state": cell.certainty.key(),
            // Two places say all that such a figure says.
            "confidence": (f64::from(cell.confidence) * 100.0).round() / 100.0,
            "alternatives": cell.alternatives,
            "box": cell.area,
        });
        if self.photos.len() > 1 {
            told["photo"] = json!(self.photos.get(photo));
        }
        told
    }
}

fn marked(cell: &Cell) -> String {
    cell::marked(cell.certainty, &cell.text, &cell.alternatives)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::choices::Choices;
    use crate::form::code::SheetId;
    use crate::print::Paper;

    fn cell(text: &str, certainty: Certainty) -> Cell {
        let alternatives =
            if certainty == Certainty::Doubtful { vec!["unit 7".to_owned()] } else { Vec::new() };
        Cell { text: text.to_owned(), certainty, confidence: 1.0, alternatives, area: [0; 4] }
    }

    fn sheet(sheet: u8, label: &str, from: Cell) -> Filled {
        let ports = Choices::ports_of("A=l,B=l").unwrap();
        let choices = Choices::new("own", 4, ports).unwrap();
        let id =
            SheetId { paper: Paper::A4, units: 4, sheet, sheets: 3, choices: choices.checksum() };
        let sure = |text: &str| cell(text, Certainty::Sure);
        let cells = [
            from,
            sure("A"),
            sure("unit 2"),
            cell("", Certainty::Unread),
            sure("link"),
            sure("1.5"),
        ];
        let rows = vec![FilledRow { label: sure(label), cells }];
        Filled { id: Some(id), choices, rows, notes: Vec::new(), quarters: 0 }
    }

    #[test]
    fn sheets_are_joined_in_their_order_and_a_missing_one_is_named() {
        let list = join(vec![
            ("b.jpg".to_owned(), sheet(2, "13", cell("unit 1", Certainty::Sure))),
            ("a.jpg".to_owned(), sheet(1, "2", cell("unit 1", Certainty::Doubtful))),
        ])
        .unwrap();
        assert_eq!(list.notes, ["of 3 sheets there is no picture of sheet 3"]);
        let text = list.text();
        let rows = "2,unit 1? unit 7?,A,unit 2,?,link,1.5\n13,unit 1,A,unit 2,?,link,1.5\n";
        assert!(text.ends_with(&format!("{HEADINGS}\n{rows}")), "{text}");
        assert_eq!(list.json()["rows"][0]["from_unit"]["state"], "doubtful");
        assert_eq!(list.asked(), 3);
        let asks = list.asks();
        let lines: Vec<&str> = text.lines().collect();
        let at = |ask: &Asked| &lines[ask.line - 1][ask.column - 1..ask.end_column - 1];
        assert!(asks.iter().all(|ask| at(ask) == ask.reading), "{asks:?}");
    }

    #[test]
    fn two_pictures_of_one_sheet_are_compared() {
        let sure = |text: &str| sheet(1, "2", cell(text, Certainty::Sure));
        let both = |one, other| join(vec![("a".to_owned(), one), ("b".to_owned(), other)]).unwrap();
        let list = both(sure("unit 1"), sure("unit 3"));
        assert_eq!(list.rows[0].1.cells[0].certainty, Certainty::Doubtful);
        assert_eq!(list.rows[0].1.cells[0].alternatives, ["unit 3"]);
        let list = both(sheet(1, "2", cell("unit 1", Certainty::Doubtful)), sure("unit 1"));
        assert_eq!(list.rows[0].1.cells[0].certainty, Certainty::Sure);
    }

    #[test]
    fn another_form_is_not_joined() {
        let mut other = sheet(2, "13", cell("unit 1", Certainty::Sure));
        other.choices.units = 5;
        let one = sheet(1, "1", cell("unit 1", Certainty::Sure));
        let refused = join(vec![("a".to_owned(), one), ("b".to_owned(), other)]);
        assert_eq!(refused, Err(Different { one: "a".to_owned(), other: "b".to_owned() }));
    }
}
