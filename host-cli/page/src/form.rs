//! A printed form that the page was shown a picture of.

use coldcheck::form::list::join;
use coldcheck::form::read::{Knowledge, builtin, read};
use coldcheck::picture::Grey;
use serde_json::{Value, json};

/// Bytes before the pixels: width and height.
const HEAD: usize = 8;

/// Reads a picture of one sheet: width and height in four bytes each, the low one first, then a byte of
/// brightness for each pixel.
pub(crate) fn told(bytes: &[u8]) -> Value {
    let Some(picture) = picture(bytes) else {
        return json!({ "refused": "this is no picture" });
    };
    let knowledge = Knowledge { given: None, known: &builtin, code: &|_| None };
    let filled = match read(&picture, &knowledge) {
        Ok(filled) => filled,
        Err(refusal) => {
            return json!({ "refused": format!("{refusal}. Wanted: {}.", refusal.expected_in_page()) });
        }
    };
    let (number, quarters) = (filled.id.map_or(1, |id| id.sheet), filled.quarters);
    let name = format!("form-{number}.csv");
    let Ok(list) = join(vec![(format!("sheet {number}"), filled)]) else {
        return json!({ "refused": "several forms" });
    };
    let asks: Vec<Value> = list
        .asks()
        .into_iter()
        .map(|ask| {
            json!({
                "row": ask.row, "heading": ask.heading, "reading": ask.reading, "area": ask.area,
                "line": ask.line, "column": ask.column, "end_column": ask.end_column,
            })
        })
        .collect();
    json!({
        "name": name, "text": list.text(), "rows": list.rows.len(), "asks": asks, "notes": list.notes,
        "quarters": quarters,
    })
}

fn picture(bytes: &[u8]) -> Option<Grey> {
    let (head, pixels) = bytes.split_at_checked(HEAD)?;
    let (width, height) = head.split_at_checked(HEAD / 2)?;
    let size = |bytes: &[u8]| usize::try_from(u32::from_le_bytes(bytes.try_into().ok()?)).ok();
    Grey::of_bytes(size(width)?, size(height)?, pixels)
}
