//! Every reading that was taken, in the order in which it was, also those that were not as expected
//! and those that were taken again: what happened, and not only how it ended.

use super::Table;
use crate::powerup::told::{Told, refusal, shown};
use crate::powerup::{Expected, Judged, State, Step};
use crate::readings::Reading;

/// The table; without a row where nothing was read.
pub(super) fn of_readings(told: &Told<'_>) -> Table {
    let row = |(position, reading): (usize, &Reading)| {
        let step = reading.step.as_ref().map_or("", |step| step.text.as_str());
        let must = told.steps.iter().find(|one| one.id == step);
        vec![
            (position + 1).to_string(),
            reading.time.to_string(),
            if step.is_empty() { reading.place.text.clone() } else { step.to_owned() },
            shown(reading),
            must.map_or_else(String::new, Step::bare),
            judgment(told, position),
            reading.by.clone(),
            reading.instrument.clone(),
        ]
    };
    let head = ["No.", "Time", "Step or place", "Read", "Must be", "Within", "By", "With"];
    Table {
        title: "Every reading, in order".to_owned(),
        says: vec![
            "Also what was not as expected and was read again: the last reading of a step counts, and \
             this is how it came about."
                .to_owned(),
        ],
        head: head.map(str::to_owned).to_vec(),
        rows: told.readings.iter().enumerate().map(row).collect(),
        ..Table::default()
    }
}

/// Whether a reading was as expected, in words.
fn judgment(told: &Told<'_>, position: usize) -> String {
    if let Some((_, why)) = told.progress.refused.iter().find(|(at, _)| *at == position) {
        return format!("does not count: {}", refusal(told.steps, *why));
    }
    let Some(one) = told.progress.taken.iter().find(|one| one.reading == position) else {
        return "of no step of the power-up".to_owned();
    };
    let is_share = |step: &Step| matches!(step.expected, Expected::Share { .. });
    let state = told.progress.states.get(one.step).copied();
    let is_last = state.and_then(State::reading) == Some(position);
    let is_shared = told.steps.get(one.step).is_some_and(is_share);
    match (one.judged, is_shared) {
        (Judged::Wrong, _) => "NO".to_owned(),
        (Judged::Reason, _) => "left by reason".to_owned(),
        // Said by the mean of all, as it is now: an older one stood beside others.
        (Judged::Right, true) => match state.filter(|_| is_last) {
            Some(State::Passed(_)) => "yes".to_owned(),
            Some(State::Failed(_)) => "NO".to_owned(),
            Some(_) | None => "said by the other units' readings".to_owned(),
        },
        (Judged::Right, false) => "yes".to_owned(),
    }
}
