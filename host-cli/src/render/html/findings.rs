//! Findings of a report with what to do, questions, and what is waived.

use crate::diagnosis::{Diagnosis, Diagnostic, Label};
use crate::engine::Site;
use crate::render::told;
use crate::source::{Origin, Sheets};
use crate::visible::in_markup;
use maud::{Markup, html};

/// Places of one finding that are shown with their line; the rest is counted.
const MOST_LINES: usize = 8;

/// Every finding in a line.
pub(super) fn in_short(diagnosis: &Diagnosis) -> Markup {
    html! {
        @if !diagnosis.findings.is_empty() {
            section {
                h2 { "In short" }
                table {
                    thead { tr {
                        th scope="col" { "No." } th scope="col" { "How bad" } th scope="col" { "What" }
                    } }
                    tbody {
                        @for (number, finding) in (1..).zip(&diagnosis.findings) {
                            tr {
                                td { (number) }
                                td { (told::finding(finding).0) }
                                td { (in_markup(&finding.says)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Every finding, with room to note what was done.
pub(super) fn findings(site: &Site, diagnosis: &Diagnosis) -> Markup {
    html! {
        section {
            h2 { "Findings" }
            @if diagnosis.findings.is_empty() { p { "None." } }
            @for (number, finding) in (1..).zip(&diagnosis.findings) {
                (article(&site.declared.sheets, number, finding))
            }
        }
    }
}

fn article(sheets: &Sheets, number: usize, finding: &Diagnostic) -> Markup {
    let text = finding.rule.rule().text;
    let (head, says) = told::finding(finding);
    html! {
        article.(finding.severity.word()) {
            h3 { span.number { (number) } (head) ": " (in_markup(&says)) }
            (places(sheets, &finding.labels))
            dl {
                dt { "why" } dd { (text.why) }
                dt { "do" } dd { (text.act) }
                dt { "prove" } dd { (text.prove) }
            }
            p.done {
                "Done by " span.blank {} " Proved by " span.blank {} " What was measured or seen "
                span.blank.short {} " Date " span.blank.short {}
            }
        }
    }
}

/// Where in the sheets: each line once.
fn places(sheets: &Sheets, labels: &[Label]) -> Markup {
    let mut lines: Vec<(String, usize, &str)> = Vec::new();
    for label in labels {
        let place = line(sheets, label.origin);
        if !lines.contains(&place) {
            lines.push(place);
        }
    }
    let more = lines.len().saturating_sub(MOST_LINES);
    html! {
        @if !lines.is_empty() {
            ul {
                @for (file, number, text) in lines.iter().take(MOST_LINES) {
                    li { bdi { (in_markup(file)) } ":" (number) ": " code { bdi { (in_markup(text)) } } }
                }
                @if more > 0 { li { "and " (more) " more lines" } }
            }
        }
    }
}

fn line(sheets: &Sheets, origin: Origin) -> (String, usize, &str) {
    let position = sheets.position(origin);
    (position.file, position.line, sheets.line(origin).trim())
}

/// What a person must answer first.
pub(super) fn questions(site: &Site, diagnosis: &Diagnosis) -> Markup {
    let sheets = &site.declared.sheets;
    html! {
        @if !diagnosis.questions.is_empty() {
            section {
                h2 { "To answer first" }
                @for question in &diagnosis.questions {
                    article {
                        h3 { (in_markup(&question.says)) }
                        ul {
                            @for origin in question.origins.iter().take(MOST_LINES) {
                                @let (file, number, text) = line(sheets, *origin);
                                li {
                                    bdi { (in_markup(&file)) } ":" (number) ": "
                                    code { bdi { (in_markup(text)) } }
                                }
                            }
                        }
                        dl { dt { "do" } dd { (in_markup(&question.answer)) } }
                    }
                }
            }
        }
    }
}

/// Acts that were to do, with what a person saw once they were done.
pub(super) fn done(site: &Site) -> Markup {
    let done: Vec<_> = site.declared.to_do.iter().filter(|act| act.confirmed).collect();
    html! {
        @if !done.is_empty() {
            section {
                h2 { "Done at the plant" }
                @for act in done {
                    @let [seen, by, time] = &act.seen;
                    article {
                        h3 { (in_markup(&act.act)) }
                        dl {
                            dt { "seen" } dd { (in_markup(seen)) }
                            dt { "by" } dd { (in_markup(by)) ", " (in_markup(time)) }
                            @if !act.mends.is_empty() { dt { "mends" } dd { (in_markup(&act.mends)) } }
                        }
                    }
                }
            }
        }
    }
}

/// What a named person lets stand, and waivers that let nothing stand.
pub(super) fn waivers(site: &Site, diagnosis: &Diagnosis) -> Markup {
    let against = told::held_against(diagnosis);
    html! {
        @if !diagnosis.waived.is_empty() {
            section {
                h2 { "Waived, and not counted" }
                p { (against) }
                @for (number, waived) in (diagnosis.findings.len() + 1..).zip(&diagnosis.waived) {
                    @let (severity, says) = told::waived(&waived.finding);
                    article {
                        h3 { span.number { (number) } (severity) ": " (in_markup(&says)) }
                        dl {
                            dt { "because" } dd { (in_markup(&waived.waiver.reason)) }
                            dt { "by" }
                            dd { (in_markup(&waived.waiver.by)) ", until " (waived.waiver.until) }
                        }
                    }
                }
            }
        }
        @if !diagnosis.idle_waivers.is_empty() {
            section {
                h2 { "Waivers that let nothing stand" }
                p { (against) }
                ul {
                    @for idle in &diagnosis.idle_waivers {
                        li { (in_markup(&told::idle_waiver(&site.declared.sheets, idle))) }
                    }
                }
            }
        }
    }
}
