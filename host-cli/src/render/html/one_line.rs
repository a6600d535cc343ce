//! A site as one line: sources, bars, units, battery.

use crate::draw::palette::{BATTERY, FAINT, INK, LINK, PAPER, UNIT};
use crate::powerup::{Outline, OutlineUnit};
use crate::visible::in_markup;
use maud::{Markup, html};

/// Pixels.
const WIDTH: i32 = 720;
const LEFT: i32 = 140;
const RIGHT: i32 = 60;
const BARS: i32 = 24;
const TOP: i32 = 46;
const HIGH: i32 = 50;
const BATTERY_BAR: i32 = 114;
const HEIGHT: i32 = 128;
/// More units than these are no line that can be read.
const MOST: usize = 12;

/// The drawing; nothing where there are too many units for it.
pub(super) fn drawing(outline: &Outline) -> Markup {
    let count = i32::try_from(outline.units.len()).unwrap_or(0);
    if outline.units.len() > MOST || count == 0 {
        return html! {};
    }
    let room = (WIDTH - LEFT - RIGHT) / count;
    let wide = (room - 14).min(120);
    let middle = |at: usize| LEFT + room * i32::try_from(at).unwrap_or(0) + room / 2;
    let bank = match (outline.one_bank, outline.packs) {
        (false, _) => "a bank each".to_owned(),
        (true, 0) => "battery".to_owned(),
        (true, packs) => format!("battery, {}", crate::phrase::counted(packs, "pack")),
    };
    let is_on = |unit: &OutlineUnit| unit.facts[5] == "on" || unit.facts[5] == "plug";
    html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(WIDTH) height=(HEIGHT)
            viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) role="img" aria-label="One-line drawing"
            font-family="DejaVu Sans, Verdana, sans-serif" font-size="11" {
            rect width=(WIDTH) height=(HEIGHT) fill=(PAPER) {}
            line x1=(LEFT - 10) x2=(WIDTH - RIGHT) y1=(BARS) y2=(BARS) stroke=(INK) stroke-width="4" {}
            text x=(WIDTH - RIGHT + 6) y=(BARS + 4) fill=(INK) { "loads" }
            text x=(LEFT - 10) y=(BARS - 8) fill=(FAINT) { "AC bars" }
            @for (at, source) in outline.sources.iter().enumerate() {
                @let y = BARS + 4 + 14 * i32::try_from(at).unwrap_or(0);
                text x="4" y=(y) fill=(INK) { (source) }
            }
            @if !outline.sources.is_empty() {
                line x1="118" x2=(LEFT - 10) y1=(BARS) y2=(BARS) stroke=(INK) stroke-dasharray="3 2" {}
            }
            @for (at, unit) in outline.units.iter().enumerate() {
                @let x = middle(at);
                line x1=(x) x2=(x) y1=(BARS) y2=(TOP) stroke=(INK) stroke-width="1.5" {}
                rect x=(x - 4) y=(BARS + 6) width="8" height="8" fill=(PAPER) stroke=(INK) {}
                text x=(x + 8) y=(BARS + 15) font-size="10" fill=(FAINT) { (in_markup(&legs(unit))) }
                line x1=(x) x2=(x) y1=(TOP + HIGH) y2=(BATTERY_BAR) stroke=(BATTERY) stroke-width="1.5" {}
                @if at + 1 < outline.units.len() {
                    line x1=(x + wide / 2) x2=(middle(at + 1) - wide / 2) y1=(TOP + HIGH / 2)
                        y2=(TOP + HIGH / 2) stroke=(LINK) stroke-width="2" {}
                }
                rect x=(x - wide / 2) y=(TOP) width=(wide) height=(HIGH) rx="4" fill=(UNIT)
                    stroke=(INK) {}
                text x=(x) y=(TOP + 17) text-anchor="middle" font-weight="bold" fill=(INK) {
                    (in_markup(&cut(&unit.name, wide)))
                }
                @let words = [is_on(unit).then_some("terminator"), (!unit.arrays.is_empty()).then_some("solar")];
                @for (line, word) in words.into_iter().flatten().enumerate() {
                    @let y = TOP + 31 + 13 * i32::try_from(line).unwrap_or(0);
                    text x=(x) y=(y) text-anchor="middle" font-size="10" fill=(FAINT) { (word) }
                }
            }
            @if outline.one_bank {
                line x1=(LEFT - 10) x2=(WIDTH - RIGHT) y1=(BATTERY_BAR) y2=(BATTERY_BAR)
                    stroke=(BATTERY) stroke-width="4" {}
            }
            text x="4" y=(BATTERY_BAR + 4) fill=(INK) { (bank) }
        }
    }
}

fn legs(unit: &OutlineUnit) -> String {
    let short = unit.legs.iter().all(|leg| leg.chars().count() <= 3);
    if short { unit.legs.join(" ") } else { String::new() }
}

/// As much of a name as fits.
fn cut(name: &str, wide: i32) -> String {
    let most = usize::try_from(wide / 8).unwrap_or(4).max(3);
    if name.chars().count() <= most {
        return name.to_owned();
    }
    name.chars().take(most - 1).chain(['\u{2026}']).collect()
}
