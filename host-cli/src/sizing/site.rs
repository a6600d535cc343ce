//! Everything that can be worked out for a site, and what rules say of it.

use super::ac::Circuit;
use super::current::Code;
use super::given::Given;
use super::judge::{judge_burden, judge_drop, judge_island, judge_no_strings};
use super::sources::no_sensor;
use super::work::{Lack, Whose, Worksheet};
use crate::diagnosis::{Diagnosis, Diagnostic};
use crate::dial::{self, Dial};
use crate::engine::Site;
use crate::field::Field;
use coldcheck_core::plan::{DemandRecord, PlanError};
use coldcheck_core::rule::Check;
use coldcheck_core::rules::{RULES, RuleId};

/// All that `coldcheck size` says of a site.
#[derive(Debug)]
pub struct Sizes {
    /// The numbers.
    pub sheet: Worksheet,
    /// The settings to dial in.
    pub settings: Vec<Dial>,
    /// The settings that must agree on all units.
    pub must_agree: Vec<&'static str>,
    /// What is declared against what is computed.
    pub findings: Vec<Diagnostic>,
    /// Whether the site says which code applies.
    pub code: Option<Code>,
}

impl Sizes {
    /// Works out the sizes of a site that was checked.
    ///
    /// # Errors
    /// [`PlanError`] never for a site that was read.
    pub fn of(site: &Site, diagnosis: &Diagnosis) -> Result<Self, PlanError> {
        let plan = crate::engine::plan(site)?;
        let given = Given::new(&site.declared, plan.demands);
        let sized = |finding: &&Diagnostic| matches!(finding.rule.rule().check, Check::Sized);
        Ok(Self {
            sheet: of(&given),
            settings: dial::settings(site, plan.demands, &diagnosis.findings),
            must_agree: dial::must_agree(plan.demands),
            findings: diagnosis.findings.iter().filter(sized).cloned().collect(),
            code: given.code(),
        })
    }
}

/// Works out the sizes from what is given.
pub fn of(given: &Given<'_>) -> Worksheet {
    let mut sheet = Worksheet::default();
    alternating(given, &mut sheet);
    direct(given, &mut sheet);
    let arrays = given.solar(&mut sheet);
    for array in &arrays {
        given.judge_strings(&mut sheet, array);
    }
    if arrays.is_empty() {
        judge_no_strings(&mut sheet);
    }
    given.judge_inputs(&mut sheet);
    sources(given, &mut sheet);
    given.judge_equipment(&mut sheet);
    // In the order of reports; within a part as they are worked out.
    sheet.quantities.sort_by_key(|quantity| quantity.item.part);
    sheet.uncomputed.sort_by_key(|uncomputed| uncomputed.item.part);
    sheet
}

/// What the output of a unit is sized by.
const OUTPUT: &[Field] =
    &[Field::OutputBreaker, Field::OutputConductor, Field::OutputLead, Field::EarthConductor];
/// What its battery leads are sized by.
const LEADS: &[Field] =
    &[Field::BatteryFuse, Field::FuseInterrupts, Field::BatteryConductor, Field::BatteryLead];

fn alternating(given: &Given<'_>, sheet: &mut Worksheet) {
    let alike = &given.alike(OUTPUT);
    let currents = given.currents(sheet);
    let every = given.every_unit();
    let ids = ["unit.design", "unit.breaker"];
    let of_unit = given.breaker_needed(sheet, &every, &currents.unit, ids);
    let ids = ["feeder.design", "feeder.breaker"];
    let of_feeder = given.breaker_needed(sheet, &Whose::Group, &currents.feeder, ids);
    let feeder = Circuit::feeder(&currents.feeder, &of_feeder);
    let output = |units: &[usize]| Circuit::output(units, &currents.unit, &of_unit);
    let all: Vec<usize> = (0..given.declared.units.len()).collect();
    given.conductor_needed(sheet, &output(&all), "unit.conductor");
    given.conductor_needed(sheet, &feeder, "feeder.conductor");
    let mut sized = |circuit: &Circuit| {
        given.carries(sheet, circuit);
        let breaker = given.breaker_for_earth(circuit);
        let earth = given.earth_needed(sheet, circuit, &breaker);
        given.judge_circuit(sheet, circuit, &earth);
        given.drop(sheet, circuit)
    };
    let lost_in_feeder = sized(&feeder);
    let (outputs, lost): (Vec<Circuit>, Vec<_>) = alike
        .iter()
        .map(|units| output(units))
        .map(|own| {
            let lost = sized(&own);
            (own, lost)
        })
        .unzip();
    let advised = given.advised(sheet);
    judge_drop(sheet, outputs.iter().zip(&lost), (&feeder, &lost_in_feeder), &advised);
    given.judge_shared(sheet, &outputs, &feeder);
    let busbar = given.busbar(sheet, &currents);
    given.judge_busbar(sheet, &busbar, &currents);
    given.output_shares(sheet, alike, &currents);
    given.neutral(sheet);
    if given.declared.sensors.is_empty() {
        no_sensor(sheet);
    }
    for sensor in 0..given.declared.sensors.len() {
        let burden = given.sensor(sheet, sensor, &currents);
        judge_burden(sheet, sensor, &burden);
    }
}

fn direct(given: &Given<'_>, sheet: &mut Worksheet) {
    let battery = given.battery(sheet);
    let all: Vec<usize> = (0..given.declared.units.len()).collect();
    given.conductor_needed(sheet, &Circuit::battery_leads(&all, &battery), "battery.conductor");
    let alike = given.alike(LEADS);
    given.battery_shares(sheet, &alike, &battery);
    for units in &alike {
        let leads = Circuit::battery_leads(units, &battery);
        given.carries(sheet, &leads);
        given.at_units(sheet, units);
        given.judge_battery(sheet, &leads, &battery);
    }
    let bank = given.bank(sheet, &battery);
    given.judge_bank(sheet, &bank);
}

fn sources(given: &Given<'_>, sheet: &mut Worksheet) {
    for limit in given.limits(sheet) {
        given.judge_limit(sheet, &limit);
    }
    let island = given.island(sheet);
    judge_island(sheet, &island, &given.choice(Field::ResidualProtection));
}

/// The rules that are judged here.
pub fn rules() -> impl Iterator<Item = RuleId> {
    RULES.iter().filter(|(_, rule)| matches!(rule.check, Check::Sized)).map(|(rule, _)| *rule)
}

/// How a rule ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ending {
    /// At some place it is broken or met.
    Judged,
    /// Nowhere, for want of these.
    Open(Vec<Lack>),
}

impl Worksheet {
    /// Whether a rule was judged anywhere, or what it lacks everywhere.
    pub fn ending(&self, rule: RuleId) -> Ending {
        let own = || self.judgements.iter().filter(|judgement| judgement.rule == rule);
        if own().any(|judgement| judgement.outcome.is_ok()) {
            return Ending::Judged;
        }
        let mut lacks: Vec<Lack> = Vec::new();
        for lack in own().filter_map(|judgement| judgement.outcome.as_ref().err()).flatten() {
            if !lacks.contains(lack) {
                lacks.push(lack.clone());
            }
        }
        Ending::Open(lacks)
    }
}

/// How every rule ends for a site that states nothing to reckon with, under these demands.
pub fn endings_without_facts(demands: &DemandRecord) -> Vec<(RuleId, Ending)> {
    let nothing = crate::declared::Declared::default();
    let sheet = of(&Given::new(&nothing, demands));
    rules().map(|rule| (rule, sheet.ending(rule))).collect()
}
