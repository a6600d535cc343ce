//! JSON under the schema `coldcheck.changed.v1`.

use crate::changed::Changed;
use crate::diagnosis::Diagnosis;
use crate::site_file::List;
use crate::words::CAUTIONS;
use serde_json::{Value, json};

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.changed.v1";

/// What differs, what is found, and what must be tested again.
pub fn told(new: &Diagnosis, changed: &Changed, read: [&[String]; 2]) -> Value {
    let value = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    json!({
        "schema": SCHEMA,
        "check": new.verdict.word(),
        "old": read[0],
        "new": read[1],
        "changes": changed.changes.iter().map(|change| json!({
            "kind": change.kind.word(),
            "of": change.list.map_or("group", List::word),
            "name": value(&change.thing),
            "key": value(&change.key),
            "old": value(&change.old),
            "new": value(&change.new),
            "says": change.says(),
        })).collect::<Vec<_>>(),
        "rules": changed.touched.iter().map(|rule| rule.rule().slug).collect::<Vec<_>>(),
        "found": changed.found,
        "gone": changed.gone,
        "again": changed.again.iter().map(|again| json!({
            "kind": again.kind,
            "stage": again.stage.word(),
            "title": again.title,
            "steps": again.steps,
            "all": again.is_all,
            "because": again.because,
        })).collect::<Vec<_>>(),
        "cautions": CAUTIONS,
    })
}
