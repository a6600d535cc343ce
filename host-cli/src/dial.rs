//! Settings to dial in: for each unit what to set, and who says so.
//!
//! What profile or site demand goes before what the sheets declare; where the two differ, both are
//! kept. What must be alike on all units and is stated on some is taken for the others.

use crate::declared::Subject;
use crate::demand_words;
use crate::diagnosis::Diagnostic;
use crate::engine::Site;
use crate::field::Field;
use crate::tidy;
use crate::words;
use coldcheck_core::place::{Place, SensorId};
use coldcheck_core::plan::{
    CountSetting, Demand, DemandRecord, DemandValue, Role, Setting as Alike, Settings,
};
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::RuleId;

/// Who says what is to be set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Profile or site demand it.
    Demanded,
    /// The sheets declare it.
    Declared,
    /// Others have it, and it must be alike.
    Alike,
    /// Nobody.
    Open,
}

impl By {
    /// The word in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Demanded => "demanded",
            Self::Declared => "declared",
            Self::Alike => "as the others",
            Self::Open => "open",
        }
    }
}

/// One setting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// The word for it.
    pub key: &'static str,
    /// What to set; `None` if nobody says it.
    pub value: Option<String>,
    /// Who says it.
    pub by: By,
    /// What the sheets declare, where it is something else.
    pub declared: Option<String>,
    /// The rule of a finding that stands against the value, where the sheets alone say it.
    pub disputed: Option<RuleId>,
}

impl Setting {
    /// That a finding stands against the value, in words to put behind it.
    pub fn objection(&self) -> Option<String> {
        let rule = self.disputed?.rule();
        Some(format!("(NOT AS IT STANDS: {} says it is wrong)", rule.slug))
    }
}

/// The settings of one unit or sensor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dial {
    /// Its name.
    pub name: String,
    /// Its settings.
    pub settings: Vec<Setting>,
}

/// What is dialled in at every unit, if anybody says it.
const OF_UNIT: &[Field] = &[
    Field::Role,
    Field::Address,
    Field::Count,
    Field::Terminator,
    Field::Mode,
    Field::Phase,
    Field::BitRate,
    Field::BatteryType,
    Field::Protocol,
    Field::ChargeLimit,
    Field::SupplyLimit,
    Field::GeneratorLimit,
];

/// What is said of every unit even if nobody sets it.
const ALWAYS: &[Field] =
    &[Field::Role, Field::Address, Field::Count, Field::Terminator, Field::Mode];

/// The settings of every unit in the order of the plan, then those of sensors.
pub fn settings(site: &Site, demands: &DemandRecord, findings: &[Diagnostic]) -> Vec<Dial> {
    let declared = &site.declared;
    let alike = alike(demands);
    let mut fields: Vec<Field> = OF_UNIT.to_vec();
    fields.extend(alike.iter().filter(|field| !OF_UNIT.contains(field)));
    let units = site.assembled.map.units.iter().zip(0..).map(|(unit, id)| {
        let own = |field: &Field| {
            let setting = of_unit(site, demands, *unit, *field, alike.contains(field))?;
            let is_it = |place: &Place| match place {
                Place::Unit(of) | Place::Terminator(of) => of.0 == id,
                Place::Group
                | Place::Port(..)
                | Place::Cable(_)
                | Place::Sensor(_)
                | Place::Pack(_)
                | Place::Device(_) => false,
            };
            Some(held_against(setting, findings, *field, is_it))
        };
        Dial {
            name: declared.units[*unit].name.clone(),
            settings: fields.iter().filter_map(own).collect(),
        }
    });
    let sensors = site.assembled.map.sensors.iter().zip(0..).map(|(sensor, id)| Dial {
        name: declared.sensors[*sensor].0.name.clone(),
        settings: [Field::RatioSet, Field::SensorInput]
            .into_iter()
            .filter_map(|field| {
                let demanded = demanded(demands, field);
                let stated = stated(site, Subject::Sensor(*sensor), field);
                let setting = told(field, demanded, stated, None, field == Field::RatioSet)?;
                let is_it = |place: &Place| *place == Place::Sensor(SensorId(id));
                Some(held_against(setting, findings, field, is_it))
            })
            .collect(),
    });
    units.chain(sensors).collect()
}

/// Nobody dials in what a finding says is wrong, only because it is declared.
fn held_against(
    setting: Setting,
    findings: &[Diagnostic],
    field: Field,
    is_it: impl Fn(&Place) -> bool,
) -> Setting {
    let is_against = |finding: &&Diagnostic| {
        finding.severity != Severity::Note
            && Some(finding.rule.rule().shows) == field.datum()
            && finding.at.iter().any(&is_it)
    };
    let is_declared = setting.by == By::Declared;
    let disputed = findings.iter().find(is_against).filter(|_| is_declared);
    Setting { disputed: disputed.map(|finding| finding.rule), ..setting }
}

/// What one more unit is to be set to, as far as it follows: what is demanded of every unit, and what
/// must be alike and is. Nothing of it is known of the part itself.
pub(crate) fn of_one_more(site: &Site, demands: &DemandRecord) -> Vec<Setting> {
    let alike = alike(demands);
    let one_more = site.declared.units.len();
    let own = |field: &Field| {
        let setting = of_unit(site, demands, one_more, *field, alike.contains(field))?;
        let follows = matches!(setting.by, By::Demanded | By::Alike);
        // What nobody states of any unit is not begun here.
        let is_stated =
            (0..one_more).any(|unit| stated(site, Subject::Unit(unit), *field).is_some());
        (follows && is_stated).then_some(setting)
    };
    let others = alike.iter().filter(|field| !OF_UNIT.contains(field));
    OF_UNIT.iter().chain(others).filter_map(own).collect()
}

fn of_unit(
    site: &Site,
    demands: &DemandRecord,
    unit: usize,
    field: Field,
    is_alike: bool,
) -> Option<Setting> {
    let demanded =
        if field == Field::Count { count(site, demands, unit) } else { demanded(demands, field) };
    let own = stated(site, Subject::Unit(unit), field);
    let others = is_alike.then(|| of_others(site, field)).flatten();
    // A count that only the coordinator carries is open at no follower.
    let carries = field != Field::Count
        || demands.count_setting() != Some(CountSetting::Coordinator)
        || is_coordinator(site, unit);
    let always = ALWAYS.contains(&field) && carries || is_alike;
    told(field, demanded, own, others, always)
}

fn told(
    field: Field,
    demanded: Option<String>,
    own: Option<String>,
    others: Option<String>,
    always: bool,
) -> Option<Setting> {
    let differs = |wanted: &String| own.clone().filter(|own| own != wanted);
    let key = field.key();
    if let Some(wanted) = demanded {
        let declared = differs(&wanted);
        return Some(Setting {
            key,
            value: Some(wanted),
            by: By::Demanded,
            declared,
            disputed: None,
        });
    }
    let (value, by) = match (own, others) {
        (Some(own), _) => (Some(own), By::Declared),
        (None, Some(others)) => (Some(others), By::Alike),
        (None, None) if always => (None, By::Open),
        (None, None) => return None,
    };
    Some(Setting { key, value, by, declared: None, disputed: None })
}

/// What the sheets say of a thing, in words.
fn stated(site: &Site, subject: Subject, field: Field) -> Option<String> {
    let mut facts = site.declared.facts_about(subject);
    let (_, fact) = facts.find(|(own, _)| *own == field)?;
    tidy::words_of(&site.declared, field, fact)
}

/// What all units that state it have, if they agree.
fn of_others(site: &Site, field: Field) -> Option<String> {
    let all = 0..site.declared.units.len();
    let mut values: Vec<String> =
        all.filter_map(|unit| stated(site, Subject::Unit(unit), field)).collect();
    values.dedup();
    match values.as_slice() {
        [one] => Some(one.clone()),
        _ => None,
    }
}

/// What is demanded under a fact's own words, or under others for the same thing.
fn demanded(demands: &DemandRecord, field: Field) -> Option<String> {
    let demand = demand_words::of_field(field)?;
    let text = words::demand(demand.kind(), demands.bits(demand)?);
    crate::value::parse(field.form(), &text).is_ok().then_some(text)
}

fn is_coordinator(site: &Site, unit: usize) -> bool {
    let role = site.declared.number(Subject::Unit(unit), Field::Role);
    role == Some(u32::from(Role::Coordinator.code()))
}

fn count(site: &Site, demands: &DemandRecord, unit: usize) -> Option<String> {
    let carries = match demands.count_setting()? {
        CountSetting::All => true,
        CountSetting::Coordinator => is_coordinator(site, unit),
    };
    // A unit beyond those that are there makes one more of them.
    carries.then(|| site.declared.units.len().max(unit + 1).to_string())
}

/// The words for settings that must agree on all units.
pub fn must_agree(demands: &DemandRecord) -> Vec<&'static str> {
    alike(demands).into_iter().map(Field::key).collect()
}

/// Settings that must be alike, as fields.
fn alike(demands: &DemandRecord) -> Vec<Field> {
    let Some(bits) = demands.bits(Demand::SettingsAlike) else { return Vec::new() };
    let Some(settings) = Settings::from_bits(bits) else { return Vec::new() };
    [
        (Alike::Frequency, Field::Frequency),
        (Alike::AcVoltage, Field::AcVoltage),
        (Alike::ChargeVoltage, Field::ChargeVoltage),
        (Alike::CutOffVoltage, Field::CutOffVoltage),
        (Alike::GridProfile, Field::GridProfile),
        (Alike::BatteryType, Field::BatteryType),
        (Alike::ChargeLimit, Field::ChargeLimit),
    ]
    .into_iter()
    .filter(|(setting, _)| settings.contains(*setting))
    .map(|(_, field)| field)
    .collect()
}
