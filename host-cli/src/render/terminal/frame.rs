//! Lines of a sheet with words underlined, as compilers show them.

use super::Ink;
use crate::source::{Origin, Sheets};
use crate::words::WIDTH;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

/// A finding names this many places in full; more would bury the rest of the report.
const MOST_LABELS: usize = 12;

/// Columns of a sheet that stand beside the line numbers with a label behind them.
const MOST_COLUMNS: usize = WIDTH - 8;

/// The lines that hold the labels, the first label marked as the main one; coloured if there is
/// an ink.
pub(super) fn frame(sheets: &Sheets, labels: &[(Origin, String)], ink: Option<Ink>) -> String {
    let mut shown: Vec<&(Origin, String)> = labels.iter().take(MOST_LABELS).collect();
    shown.retain(|(origin, _)| sheets.get(origin.sheet).is_some());
    let mut order: Vec<_> = shown.iter().map(|(origin, _)| origin.sheet).collect();
    order.dedup();
    let level = match ink {
        Some(Ink::Alarm) => Level::ERROR,
        Some(Ink::Attention) => Level::WARNING,
        Some(Ink::Calm | Ink::Plain) | None => Level::NOTE,
    };
    let mut group = Group::with_level(level);
    let mut main = Some(AnnotationKind::Primary);
    let mut done = Vec::new();
    for id in order {
        let Some(sheet) = sheets.get(id).filter(|_| !done.contains(&id)) else { continue };
        done.push(id);
        let mut snippet = Snippet::source(sheet.text.as_str()).path(sheet.name.as_str());
        for (origin, text) in shown.iter().filter(|(origin, _)| origin.sheet == id) {
            let kind = main.take().unwrap_or(AnnotationKind::Context);
            let range = on_one_line(&sheet.text, *origin);
            let fits = sheets.position(*origin).end_column + text.chars().count() < MOST_COLUMNS;
            let label = if fits { text.as_str() } else { "" };
            snippet = snippet.annotation(kind.span(range).label(label));
        }
        group = group.element(snippet);
    }
    if done.is_empty() {
        return String::new();
    }
    let renderer = if ink.is_some() { Renderer::styled() } else { Renderer::plain() };
    let text = renderer.term_width(WIDTH).render(&[group]);
    match labels.len().checked_sub(MOST_LABELS) {
        Some(more) if more > 0 => format!("{text}\n  and at {more} more places"),
        Some(_) | None => text,
    }
}

/// A stretch that crosses lines is shown on its first one.
fn on_one_line(text: &str, origin: Origin) -> std::ops::Range<usize> {
    let end = origin.end.min(text.len());
    let start = origin.start.min(end);
    let inside = text.get(start..end).unwrap_or("");
    let first = inside.split(['\n', '\r']).next().unwrap_or("");
    start..start + first.len()
}
