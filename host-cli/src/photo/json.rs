//! A list that was read, as JSON: schema `coldcheck.read.v1`.

use super::list::{Cell, List};
use serde_json::{Map, Value, json};

/// The list of one photograph, or of several of one sheet.
pub fn told(photos: &[String], list: &List) -> Value {
    let rows: Vec<Value> = list
        .rows
        .iter()
        .map(|row| {
            let cells = row.cells.iter().zip(&list.columns);
            let cells =
                cells.map(|(cell, column)| (column.key().to_owned(), cell_of(photos, cell)));
            Value::Object(cells.collect::<Map<_, _>>())
        })
        .collect();
    let mut told = json!({
        "schema": "coldcheck.read.v1",
        "photo": photos.first(),
        "columns": list.columns.iter().map(|column| column.key()).collect::<Vec<_>>(),
        "rows": rows,
        "notes": list.notes,
    });
    if photos.len() > 1 {
        told["photos"] = json!(photos);
    }
    told
}

fn cell_of(photos: &[String], cell: &Cell) -> Value {
    let mut told = json!({
        "text": cell.text,
        "state": cell.state.key(),
        // Two places say all that such a figure says.
        "confidence": (f64::from(cell.confidence) * 100.0).round() / 100.0,
        "alternatives": cell.alternatives,
        "box": cell.frame,
    });
    if let Some(doubt) = cell.doubt {
        told["why"] = json!(doubt.says());
    }
    // Which photograph a box lies in is open only where there are several.
    if photos.len() > 1 {
        told["photo"] = json!(photos.get(cell.photo));
    }
    told
}
