//! Lists of a report: dangers left open, what must be declared, what was not checked, what was met.

use crate::diagnosis::Diagnosis;
use crate::engine::Site;
use crate::render::told::{self, Open};
use crate::visible::in_markup;
use maud::{Markup, html};

/// Dangers that nobody declares anything about: above all else that was not checked.
pub(super) fn open_dangers(open: &Open) -> Markup {
    html! {
        @if !open.dangers.is_empty() {
            section.open {
                h2 { "Dangers left open" }
                ul { @for line in &open.dangers { li { (in_markup(line)) } } }
            }
        }
    }
}

/// Everything that was not checked, and what stands beside it.
pub(super) fn open(site: &Site, diagnosis: &Diagnosis, mut open: Open) -> Markup {
    // They stand on top already.
    open.dangers.clear();
    let counted = told::counted_rules(diagnosis);
    let demands = format!("Demanded by the site over profile {}:", site.profile.name);
    let sheets = &site.declared.sheets;
    let lists: [(&str, Vec<String>); 7] = [
        (told::UNDECLARED, diagnosis.undeclared.iter().map(told::undeclared).collect()),
        (told::NOT_CHECKED, open.lines().collect()),
        (told::GAPS, Open::of(&diagnosis.gaps).lines().collect()),
        (told::COUNTED, counted),
        (
            told::LOOKED_AT_BY_NONE,
            diagnosis.looked_at_by_none.iter().map(|noun| (*noun).to_owned()).collect(),
        ),
        (&demands, told::demands(diagnosis)),
        (
            told::NOT_UNDERSTOOD,
            diagnosis
                .not_understood
                .iter()
                .map(|cell| told::not_understood(sheets, cell))
                .collect(),
        ),
    ];
    html! { @for (heading, lines) in &lists { (list(heading, lines)) } }
}

/// What was met.
pub(super) fn met(diagnosis: &Diagnosis) -> Markup {
    list(&told::met_heading(diagnosis), &told::met(diagnosis))
}

fn list(heading: &str, lines: &[String]) -> Markup {
    html! {
        @if !lines.is_empty() {
            section {
                h2 { (in_markup(heading.trim_end_matches(':'))) }
                ul { @for line in lines { li { (in_markup(line)) } } }
            }
        }
    }
}
