//! Steps one after the other, with what each has to wait for.

use super::bands::Band;
use super::part::Part;
use super::{Expected, Hold, Stage, Step, Touch};
use crate::fold::Folded;
use crate::readings::Quantity;

/// Steps as they are put together.
#[derive(Default)]
pub(super) struct Builder {
    steps: Vec<Step>,
    behind: usize,
    stage: Option<Stage>,
}

impl Builder {
    /// A new stage: what follows waits for all holds so far.
    pub(super) fn stage(&mut self, stage: Stage) {
        self.stage = Some(stage);
        self.then();
    }

    /// What follows waits for all holds so far; what follows between two of these may be done in
    /// any order.
    pub(super) fn then(&mut self) {
        self.behind = self.steps.len();
    }

    /// Adds a step; the name's parts are put together to its identifier.
    pub(super) fn add(&mut self, name: &[&str], hold: Hold, quantity: Quantity) -> &mut Step {
        let parts: Vec<String> = name.iter().map(|part| slug(part)).collect();
        let position = self.steps.len();
        self.steps.push(Step {
            id: parts.join("-"),
            kind: parts.first().cloned().unwrap_or_default(),
            stage: self.stage.unwrap_or(Stage::Off),
            hold,
            act: String::new(),
            why: "",
            otherwise: "",
            place: String::new(),
            quantity,
            expected: Expected::Unknown("nothing".to_owned()),
            behind: self.behind,
            touches: Vec::new(),
            basis: String::new(),
        });
        &mut self.steps[position]
    }

    /// The steps. Two of one name are told apart by a number.
    pub(super) fn finish(self) -> Vec<Step> {
        let mut steps = self.steps;
        for at in 0..steps.len() {
            let id = steps[at].id.clone();
            let before = steps[..at].iter().filter(|step| step.id == id).count();
            if before > 0 {
                let mut number = before + 1;
                while steps.iter().any(|step| step.id == format!("{id}-{number}")) {
                    number += 1;
                }
                steps[at].id = format!("{id}-{number}");
            }
        }
        steps
    }
}

/// A name as a part of an identifier.
pub(super) fn slug(name: &str) -> String {
    let text = Folded::of(name).spoken().to_lowercase();
    let kept: String =
        text.chars().map(|sign| if sign.is_alphanumeric() { sign } else { '-' }).collect();
    kept.trim_matches('-').to_owned()
}

impl Step {
    pub(super) fn act(&mut self, act: impl Into<String>) -> &mut Self {
        self.act = act.into();
        self
    }

    pub(super) fn why(&mut self, why: &'static str) -> &mut Self {
        self.why = why;
        self
    }

    pub(super) fn otherwise(&mut self, otherwise: &'static str) -> &mut Self {
        self.otherwise = otherwise;
        self
    }

    pub(super) fn at(&mut self, place: impl Into<String>) -> &mut Self {
        self.place = place.into();
        self
    }

    /// Between the ends of a band that is in the unit of the quantity.
    pub(super) fn within(&mut self, band: Band) -> &mut Self {
        self.between(band.low, band.high, band.source)
    }

    pub(super) fn between(
        &mut self,
        low: Option<f64>,
        high: Option<f64>,
        source: impl Into<String>,
    ) -> &mut Self {
        self.expected = Expected::Between { low, high, source: source.into() };
        self
    }

    /// Between percents of a whole, which the site may not state.
    pub(super) fn percent(
        &mut self,
        band: Band,
        whole: Option<f64>,
        what: &str,
        wanted: &str,
    ) -> &mut Self {
        if let Some(whole) = whole {
            let (low, high) = band.percent_of(whole);
            self.between(low, high, band.of(what))
        } else {
            self.expected = Expected::Unknown(wanted.to_owned());
            self
        }
    }

    pub(super) fn seen(&mut self, what: impl Into<String>) -> &mut Self {
        self.expected = Expected::Seen(what.into());
        self
    }

    /// Rests on these parts of the whole group.
    pub(super) fn rests_on(&mut self, parts: &[Part]) -> &mut Self {
        self.touches.extend(parts.iter().map(|part| Touch { part: *part, thing: None }));
        self
    }

    /// Rests on these parts of one thing.
    pub(super) fn of(&mut self, thing: &str, parts: &[Part]) -> &mut Self {
        let own = |part: &Part| Touch { part: *part, thing: Some(thing.to_owned()) };
        self.touches.extend(parts.iter().map(own));
        self
    }
}
