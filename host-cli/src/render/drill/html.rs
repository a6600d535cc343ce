//! A drill to print: one HTML file that holds everything it shows.

use super::{HAND_OUT, parts, spread, titled, titled_with_number};
use crate::draw::{Width, svg};
use crate::drill::class::Class;
use crate::drill::exercise::Drill;
use crate::drill::score::{self, Did, SCALE};
use crate::drill::told::{Answers, CAUTION, PROVE_DEAD, readings};
use crate::render::html::page_called;
use crate::visible::in_markup;
use crate::words::CAUTIONS;
use maud::{Markup, html};

/// What a drawing may take of a printed page, in pixels.
const HIGHEST_FIGURE: i32 = 960;

/// All exercises and the answer sheet in one file, each on pages of its own.
pub fn class(class: &Class) -> String {
    let body = html! { (all(class)) (answer_part(class)) };
    page_called("Drill", &body, false)
}

/// What a learner did, and how well, as a file.
pub fn score(drill: &Drill, did: &[Did]) -> String {
    let (score, exercise) = (score::score(drill, did), drill.exercise());
    let body = html! {
        section.drill {
            h1 { "Score" }
            p.answer-line { "Name: " span.blank {} " Date: " span.blank.short {} }
            p { "Drill " (drill.ask.number) ": " (exercise.head) "." }
            @for noticed in &exercise.noticed { p.noticed { (noticed) } }
            p { strong { (score.says()) } }
            @for missed in &score.missed { p.stop { strong { "Danger missed: " } (missed) "." } }
            table {
                thead { tr { th scope="col" { "costs" } th scope="col" { "what was done" } th scope="col" { "what it showed" } } }
                tbody {
                    @for step in score::steps(drill, did) {
                        tr { td { @if step.cost > 0 { (step.cost) } } td { (in_markup(&step.did)) } td { (in_lines(&step.shown)) } }
                    }
                }
            }
            p { (SCALE) }
            p.stop { strong { "DRILL. " } (CAUTION) }
            p.cautions { (CAUTIONS) }
        }
    };
    page_called("Score", &body, false)
}

/// All exercises without an answer as one file to print, each on pages of its own.
pub fn exercises(class: &Class) -> String {
    page_called("Exercises", &all(class), false)
}

fn all(class: &Class) -> Markup {
    html! {
        @for (at, drill) in class.drills.iter().enumerate() {
            (exercise_part(drill, &titled(class, at), at))
        }
    }
}

/// One exercise as a file.
pub fn exercise(drill: &Drill, title: &str) -> String {
    page_called(title, &exercise_part(drill, title, 0), false)
}

/// The answer sheet as a file.
pub fn answer_sheet(class: &Class) -> String {
    page_called("Answers", &answer_part(class), false)
}

fn exercise_part(drill: &Drill, title: &str, at: usize) -> Markup {
    let exercise = drill.exercise();
    html! {
        section.drill {
            h1 { (title) }
            p.answer-line { "Name: " span.blank {} " Date: " span.blank.short {} }
            p { (exercise.head) "." }
            p.stop { strong { "DRILL. " } (CAUTION) }
            h2 { "What is noticed" }
            @for noticed in &exercise.noticed { p.noticed { (noticed) } }
            h2 { "What is to be done" }
            p { (exercise.task) }
            p { strong { "First: " } (PROVE_DEAD) }
            h2 { "What can be asked for" }
            table.asked {
                thead { tr { th scope="col" { "costs" } th scope="col" { "act" } th scope="col" { "where, and what was read" } } }
                tbody {
                    @for (cost, says) in &exercise.acts {
                        tr { td { (cost) } td { (says) } td.room {} }
                    }
                }
            }
            p.answer-line { "Readings taken: " span.blank.short {} }
            @for asked in ["Fault and place", "Why it matters", "How to prove it", "How to mend it"] {
                p.answer-line { (asked) ":" }
                div.answer {}
                div.answer {}
            }
            (drawing(drill, at))
            h2 { "Sheets" }
            @for sheet in &exercise.sheets {
                h3 { (in_markup(&sheet.name)) }
                pre.sheet-text { (in_lines(&String::from_utf8_lossy(&sheet.bytes))) }
            }
            p.cautions { (CAUTIONS) }
        }
    }
}

/// Lines of a sheet; what would act within one of them is shown as a sign.
fn in_lines(text: &str) -> Markup {
    html! { @for line in text.lines() { (in_markup(line)) "\n" } }
}

fn drawing(drill: &Drill, at: usize) -> Markup {
    let page = drill.drawing(Width::Page);
    let phone = drill.drawing(Width::Phone);
    html! {
        h2 { "The site as it is drawn" }
        @if let Some(page) = page {
            div.broad {
                @for (part, area) in page.pages(HIGHEST_FIGURE).into_iter().enumerate() {
                    figure { (svg::window(&page.scene, area, &page.caption, &format!("page-{at}-{part}"))) }
                }
            }
        }
        @if let Some(phone) = phone {
            div.narrow {
                @for area in phone.pages(i32::MAX) {
                    figure { (svg::window(&phone.scene, area, &phone.caption, &format!("phone-{at}"))) }
                }
            }
        }
    }
}

fn answer_part(class: &Class) -> Markup {
    html! {
        section.drill {
            h1 { "Answer sheet: for the trainer alone" }
            p.stop { strong { "DRILL. " } (CAUTION) }
            @if class.drills.len() > 1 {
                p { (spread(class)) }
                div.scroll tabindex="0" role="region" aria-label="Exercises" {
                    table {
                        thead { tr { th scope="col" { "exercise" } th scope="col" { "drill" } th scope="col" { "readings" } th scope="col" { "part" } } }
                        tbody {
                            @for (at, drill) in class.drills.iter().enumerate() {
                                tr { td { (at + 1) } td { (drill.ask.number) } td { (drill.readings()) } td { (parts(drill)) } }
                            }
                        }
                    }
                }
            }
            @for (at, drill) in class.drills.iter().enumerate() {
                h2 { (titled_with_number(class, at, drill)) }
                (answers(&drill.answered()))
            }
            p.cautions { (CAUTIONS) }
        }
    }
}

fn answers(answers: &Answers<'_>) -> Markup {
    html! {
        @for answer in &answers.answers {
            article class=(answer.severity().word()) {
                h3 { (answer.severity().word()) ": " (answer.words.title) " " code { (answer.words.kind) } }
                p { strong { (answer.place()) } }
                dl {
                    dt { "why" } dd { (answer.words.why) }
                    dt { "prove" } dd { (answer.words.prove) }
                    dt { "mend" } dd { (answer.words.act) }
                    dt { "sure" } dd { (answer.confirmed()) }
                    dt { "search" } dd { (answer.search()) @if let Some(alike) = answer.alike() { " " (alike) } }
                }
                ol {
                    @for (act, seen) in &answer.way {
                        li { (act.says()) " (" (readings(act.cost())) "): " strong { (in_lines(&seen.shown)) } }
                    }
                }
            }
        }
        @if !answers.readings.is_empty() {
            p { (HAND_OUT) }
            ul { @for (asked, told) in &answers.usual { li { (asked) ": " strong { (in_lines(told)) } } } }
            div.scroll tabindex="0" role="region" aria-label="Readings" {
                table {
                    thead { tr { th scope="col" { "asked" } th scope="col" { "told" } } }
                    tbody {
                        @for (act, shown) in &answers.readings {
                            tr { td { (act.short()) } td { (in_lines(shown)) } }
                        }
                    }
                }
            }
        }
    }
}
