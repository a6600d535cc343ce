//! What was not checked, and why: in words that say what would help.

use super::findings::Teller;
use super::naming::NamedPlace;
use crate::phrase::all_of;
use coldcheck_core::finding::Outcome;
use coldcheck_core::links::Links;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Datum, Demand};
use coldcheck_core::rules::RuleId;

/// Why a rule was not checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// This is not declared.
    Missing(Datum),
    /// Nobody demands it.
    Undemanded(Demand),
    /// This broken rule stands in its way.
    BlockedBy(RuleId),
}

/// A rule that was not checked, or not everywhere.
#[derive(Clone, Debug)]
pub struct NotChecked {
    /// The rule.
    pub rule: RuleId,
    /// The cause.
    pub because: Because,
    /// The cause in words.
    pub says: String,
    /// Where what it needs is missing.
    pub places: Vec<NamedPlace>,
}

impl Teller<'_, '_> {
    /// A rule that ended without an answer.
    pub(super) fn not_checked(&self, rule: RuleId, outcome: Outcome) -> Option<NotChecked> {
        Some(match outcome {
            Outcome::Missing(datum) => {
                let places = self
                    .report
                    .unknowns()
                    .iter()
                    .filter(|unknown| unknown.rule == rule && unknown.datum == datum)
                    .flat_map(|unknown| self.report.places(unknown.places).iter().copied());
                self.missing(rule, datum, &places.collect::<Vec<_>>())
            }
            Outcome::Undemanded(demand) => NotChecked {
                rule,
                because: Because::Undemanded(demand),
                says: undemanded(demand, self.plan.demands.bits(demand)),
                places: Vec::new(),
            },
            Outcome::Blocked(root) => NotChecked {
                rule,
                because: Because::BlockedBy(root),
                says: root.rule().text.spoils.to_owned(),
                places: Vec::new(),
            },
            Outcome::NotRun | Outcome::Met | Outcome::Broken => return None,
        })
    }

    /// The places at which a rule that was met could not be checked.
    pub(super) fn gaps(&self, rule: RuleId) -> Vec<NotChecked> {
        self.report
            .unknowns()
            .iter()
            .filter(|unknown| unknown.rule == rule)
            .map(|unknown| self.missing(rule, unknown.datum, self.report.places(unknown.places)))
            .collect()
    }

    /// The rule itself may say where a datum is missing; else it is missing wherever it is not
    /// declared.
    fn missing(&self, rule: RuleId, datum: Datum, places: &[Place]) -> NotChecked {
        let places =
            if places.is_empty() { self.places_without(datum) } else { self.names(places) };
        let says = lacking(datum, &places);
        NotChecked { rule, because: Because::Missing(datum), says, places }
    }

    /// The units or cables that lack a datum; none for data of the whole group.
    pub(super) fn places_without(&self, datum: Datum) -> Vec<NamedPlace> {
        let links = Links::build(self.plan);
        let places: Vec<Place> = if datum.is_of_units() {
            links.units_without(datum).iter().map(Place::Unit).collect()
        } else if datum.is_of_cables() {
            links.cables_without(datum).iter().map(Place::Cable).collect()
        } else {
            Vec::new()
        };
        self.names(&places)
    }
}

/// `U3 has no address`, `no cable list was given`.
pub(crate) fn lacking(datum: Datum, places: &[NamedPlace]) -> String {
    let noun = datum.noun();
    let phrases: Vec<_> = places.iter().map(NamedPlace::phrase).collect();
    let all = all_of(&phrases);
    if datum == Datum::LineEnds {
        return "the link branches, so it has no two ends".to_owned();
    }
    if matches!(datum, Datum::CableList | Datum::UnitList) {
        return format!("no {noun} was given");
    }
    if phrases.is_empty() {
        return format!("{noun}: not declared");
    }
    if datum == Datum::CableEnds {
        return format!("it is not known where cable {all} goes");
    }
    let of_cables = places.iter().any(|place| matches!(place, NamedPlace::Cable(_)));
    let subject = if of_cables { "cable " } else { "" };
    let verb = if phrases.len() == 1 { "has" } else { "have" };
    format!("{subject}{all} {verb} no {noun}")
}

/// That nobody demands it, or that the demand is another one.
fn undemanded(demand: Demand, bits: Option<u32>) -> String {
    match bits {
        None => format!("nobody demands it: {}", demand.meaning()),
        Some(bits) => format!(
            "the demand is another one: {} = {}",
            demand.key(),
            crate::words::demand(demand.kind(), bits)
        ),
    }
}
