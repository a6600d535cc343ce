//! What sizes say goes into the report, each finding under its rule, before the checks run.

use super::findings::{Note, Words};
use super::naming;
use super::unchecked::{Because, NotChecked};
use crate::assemble::position_of;
use crate::engine::Site;
use crate::field::Field;
use crate::phrase::all_of;
use crate::sizing::given::Given;
use crate::sizing::site::{self as sizes, Ending};
use crate::sizing::work::{Fault, Judgement, Lack, Whose};
use crate::source::Origin;
use coldcheck_core::place::{Place, SensorId, UnitId};
use coldcheck_core::plan::{DataSet, Plan, Scope};
use coldcheck_core::report::{Report, Sink};
use coldcheck_core::rules::{RuleId, report_reading};

/// What a rule about sizes lacks, and where.
#[derive(Clone, Debug)]
pub(super) struct SizeLack {
    rule: RuleId,
    lacks: Vec<Lack>,
    places: Vec<Place>,
    /// What keeps any size from being computed.
    nothing: Option<&'static str>,
}

/// Writes what the rules about sizes found, if the power side is looked at.
pub(super) fn report_sizes(
    site: &Site,
    plan: &Plan<'_>,
    report: &mut Report<'_>,
    words: &mut Words,
) {
    if !plan.group.scope().covers(Scope::POWER) {
        return;
    }
    let given = Given::new(&site.declared, plan.demands);
    let nothing = if site.is_image {
        Some("a plan image holds neither sizes nor equipment")
    } else if given.has_any() {
        None
    } else {
        Some("no sizes are declared (breakers, conductors, fuses, strings, sensors)")
    };
    let sheet = sizes::of(&given);
    for rule in sizes::rules() {
        let own = || sheet.judgements.iter().filter(move |judgement| judgement.rule == rule);
        report_reading(rule, report, |sink| match sheet.ending(rule) {
            Ending::Open(lacks) => {
                open(rule, &lacks, sink);
                // What is no size is asked for by itself.
                let of_equipment = |lack: &Lack| matches!(lack, Lack::Declared(field) if *field == Field::AcOut || field.is_for_host() && !field.is_for_sizes());
                let nothing = nothing.filter(|_| site.is_image || !lacks.iter().any(of_equipment));
                words.size_lacks.push(SizeLack { rule, lacks, places: Vec::new(), nothing });
            }
            Ending::Judged => {
                for judgement in own() {
                    match &judgement.outcome {
                        Ok(Some(fault)) => write(site, judgement, fault, sink, words),
                        Ok(None) => {}
                        Err(lacks) => {
                            let places = places(site, &judgement.whose);
                            let gap = sink.gap(rule.rule().shows);
                            for place in &places {
                                gap.at(*place);
                            }
                            let lacks = lacks.clone();
                            words.size_lacks.push(SizeLack { rule, lacks, places, nothing });
                        }
                    }
                }
            }
        });
    }
}

/// A rule that was judged nowhere: what nobody demands goes before what nobody declares.
pub(crate) fn open(rule: RuleId, lacks: &[Lack], sink: &mut Sink<'_, '_>) {
    let undemanded = lacks.iter().find_map(|lack| match lack {
        Lack::Demanded(demand) => Some(*demand),
        Lack::Declared(_) | Lack::Other(_) => None,
    });
    match undemanded {
        Some(demand) => sink.undemanded(demand),
        None => {
            sink.open(rule.rule().shows);
        }
    }
}

fn write(
    site: &Site,
    judgement: &Judgement,
    fault: &Fault,
    sink: &mut Sink<'_, '_>,
    words: &mut Words,
) {
    let mut origins: Vec<Origin> = Vec::new();
    for (subject, field) in &judgement.shows {
        for origin in site.declared.origins(*subject, *field) {
            if !origins.contains(&origin) {
                origins.push(origin);
            }
        }
    }
    let note = |text: &str| Note { text: text.to_owned(), is_plain: true, ..Note::default() };
    let begins = judgement.rule.rule().text.says.starts_with("{value}");
    let value = if begins { capital(&fault.value) } else { fault.value.clone() };
    let value = words.add(Note { origins, ..note(&value) });
    let wanted = words.add(note(&fault.wanted));
    let finding = sink.add();
    for place in places(site, &judgement.whose) {
        finding.at(place);
    }
    finding.value(value).wanted(wanted);
}

/// As a sentence begins.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The places of the plan; none for the whole group.
fn places(site: &Site, whose: &Whose) -> Vec<Place> {
    let map = &site.assembled.map;
    let of_units = |units: &[usize]| {
        let mut places: Vec<Place> = units
            .iter()
            .filter_map(|unit| position_of(&map.units, *unit))
            .map(|id| Place::Unit(UnitId(id)))
            .collect();
        places.sort();
        places
    };
    match whose {
        Whose::Group => Vec::new(),
        Whose::Units(units) | Whose::Array(_, units) => of_units(units),
        Whose::Sensor(sensor) => position_of(&map.sensors, *sensor)
            .map(|id| Place::Sensor(SensorId(id)))
            .into_iter()
            .collect(),
    }
}

/// What a rule about sizes lacked, in words; empty for any other rule.
pub(super) fn not_checked(site: &Site, words: &Words, rule: RuleId) -> Vec<NotChecked> {
    let own = words.size_lacks.iter().filter(|lack| lack.rule == rule);
    own.map(|lack| {
        let names: Vec<_> = lack.places.iter().map(|place| naming::name(site, *place)).collect();
        let phrases: Vec<_> = names.iter().map(naming::NamedPlace::phrase).collect();
        NotChecked {
            rule,
            because: Because::Missing(DataSet::EMPTY),
            says: says(lack, &phrases),
            places: names,
            at: lack.places.clone(),
            nowhere: None,
            inputs: lack.lacks.iter().map(|lack| lack.text().into_owned()).collect(),
        }
    })
    .collect()
}

/// `not declared: code, output conductor`.
fn says(lack: &SizeLack, places: &[String]) -> String {
    if let Some(nothing) = lack.nothing {
        return nothing.to_owned();
    }
    let at = if places.is_empty() { String::new() } else { format!(" of {}", all_of(places)) };
    let (mut keys, mut reasons) = (Vec::new(), Vec::new());
    for one in &lack.lacks {
        match one {
            Lack::Declared(_) | Lack::Demanded(_) => keys.push(one.text()),
            Lack::Other(_) => reasons.push(one.text().into_owned()),
        }
    }
    if !keys.is_empty() {
        reasons.insert(0, format!("not declared: {}{at}", keys.join(", ")));
    }
    reasons.join("; ")
}
