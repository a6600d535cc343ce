//! What rules say of the numbers: what is declared against what is computed.

mod equipment;
mod sources;

pub(super) use sources::{judge_burden, judge_island};

use super::ac::{Circuit, Currents, carried};
use super::dc::Battery;
use super::given::{Given, Way};
use super::work::{Fault, Lack, Number, Whose, Worksheet, with_unit};
use super::{conductor, current};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::Section;
use coldcheck_core::rules::RuleId;

/// A breaker is not above a current that differs from it by less than this.
const HAIR: f64 = 1e-6;

fn fault(value: String, wanted: String) -> Fault {
    Fault { value, wanted }
}

fn amperes(number: f64) -> String {
    with_unit(number, "A")
}

/// What shall be shown on the sheets for facts of a circuit.
fn facts_of(whose: &Whose, field: Field) -> Vec<(Subject, Field)> {
    match whose {
        Whose::Units(units) => units.iter().map(|unit| (Subject::Unit(*unit), field)).collect(),
        Whose::Sensor(sensor) => vec![(Subject::Sensor(*sensor), field)],
        Whose::Group | Whose::Array(..) => vec![(Subject::Group, field)],
    }
}

impl Given<'_> {
    /// Conductor, breaker and earth conductor of a circuit with a breaker that it needs.
    pub(super) fn judge_circuit(
        &self,
        sheet: &mut Worksheet,
        circuit: &Circuit,
        [design, needed]: &[Number; 2],
        earth: &Number,
    ) {
        self.judge_conductor(sheet, circuit, [design, needed]);
        self.judge_breaker(sheet, circuit, [design, needed]);
        let stated = self.number(circuit.subject, circuit.earth);
        let shows = facts_of(&circuit.whose, circuit.earth);
        let inputs = [earth, &stated];
        sheet.judge(RuleId::EarthConductorTooSmall, &circuit.whose, shows, inputs, |all| {
            let [least, own] = all;
            // A hundredth: gauges and square millimetres are rounded differently.
            Ok((own < least * 0.99).then(|| {
                fault(words(circuit.earth, &stated), earth.text.clone().unwrap_or_default())
            }))
        });
    }

    /// Whether a conductor carries its current, behind the breaker that the current needs.
    pub(super) fn judge_conductor(
        &self,
        sheet: &mut Worksheet,
        circuit: &Circuit,
        [design, needed]: [&Number; 2],
    ) {
        let (laid, way) = self.way(circuit.current.get());
        let [code, metal, insulation, stand, ambient, beside] = &laid;
        let stated = self.number(circuit.subject, circuit.conductor);
        let section = self.section(circuit.subject, circuit.conductor);
        let shows = facts_of(&circuit.whose, circuit.conductor);
        let inputs = [
            design,
            needed,
            &circuit.current,
            &stated,
            code,
            metal,
            insulation,
            stand,
            ambient,
            beside,
        ];
        sheet.judge(RuleId::ConductorTooSmall, &circuit.whose, shows, inputs, |all| {
            let [design, needed, current, ..] = all;
            let (least, largest, carries) = carried(section, way)?;
            let own = || words(circuit.conductor, &stated);
            if section.is_some_and(|section| !may_run_beside(section)) {
                let wanted = "1/0 AWG or larger, where conductors run in parallel (310.10(G))";
                return Ok(Some(fault(own(), wanted.to_owned())));
            }
            let fits = carries.terminals + HAIR >= design
                && carries.laid + HAIR >= current
                && largest + HAIR >= needed;
            Ok((!fits).then(|| {
                let own = format!("{}, which carries {}", own(), amperes(least));
                fault(own, asked(way, [design, current, needed]))
            }))
        });
    }

    fn judge_breaker(
        &self,
        sheet: &mut Worksheet,
        circuit: &Circuit,
        [design, needed]: [&Number; 2],
    ) {
        let breaker = self.number(circuit.subject, circuit.breaker);
        let shows = facts_of(&circuit.whose, circuit.breaker);
        let own = |breaker: f64| format!("{} {}", circuit.breaker.key(), amperes(breaker));
        let inputs = [&breaker, design, needed];
        sheet.judge(RuleId::BreakerTooSmall, &circuit.whose, shows.clone(), inputs, |all| {
            let [breaker, design, needed] = all;
            Ok((breaker + HAIR < design).then(|| fault(own(breaker), amperes(needed))))
        });
        self.judge_too_large(sheet, RuleId::BreakerTooLarge, circuit, needed);
    }

    /// Whether a breaker or fuse is larger than its conductor allows. One that is no larger than the
    /// current needs is right, and the conductor is at fault.
    pub(super) fn judge_too_large(
        &self,
        sheet: &mut Worksheet,
        rule: RuleId,
        circuit: &Circuit,
        needed: &Number,
    ) {
        let breaker = self.number(circuit.subject, circuit.breaker);
        let (laid, way) = self.way(circuit.current.get());
        let [code, metal, insulation, stand, ambient, beside] = &laid;
        let stated = self.number(circuit.subject, circuit.conductor);
        let section = self.section(circuit.subject, circuit.conductor);
        let shows = facts_of(&circuit.whose, circuit.breaker);
        let needed = needed.get();
        let inputs = [&breaker, &stated, code, metal, insulation, stand, ambient, beside];
        sheet.judge(rule, &circuit.whose, shows, inputs, |[breaker, ..]| {
            let (_, largest, _) = carried(section, way)?;
            let needs_it = needed.is_some_and(|needed| breaker <= needed + HAIR);
            Ok((breaker > largest + HAIR && !needs_it).then(|| {
                let own = format!("{} {}", circuit.breaker.key(), amperes(breaker));
                let behind = stated.text.clone().unwrap_or_default();
                fault(own, format!("{} at most for {behind}", amperes(largest)))
            }))
        });
    }

    /// The breaker by which the earth conductor is judged: the one that is fitted, unless it is too
    /// large for the conductor and to be changed.
    pub(super) fn breaker_for_earth(&self, circuit: &Circuit, needed: &Number) -> Number {
        let breaker = self.number(circuit.subject, circuit.breaker);
        let section = self.section(circuit.subject, circuit.conductor);
        let (_, way) = self.way(circuit.current.get());
        let largest = carried(section, way).ok().map(|(_, largest, _)| largest);
        match (breaker.get(), largest, needed.get()) {
            (Some(own), Some(largest), Some(least)) if own > largest && own > least => {
                needed.clone()
            }
            _ => breaker,
        }
    }

    /// A breaker of one unit in front of all, or one for all in front of a unit.
    pub(super) fn judge_shared(
        &self,
        sheet: &mut Worksheet,
        alike: &[Vec<usize>],
        [of_unit, of_feeder]: [&[Number; 2]; 2],
    ) {
        let count = self.units_in_line();
        let several = count.get().is_some_and(|count| count >= 2.0);
        let [_, unit_needs] = of_unit;
        let [feeder_design, feeder_needs] = of_feeder;
        for units in alike {
            let whose = Whose::Units(units.clone());
            let breaker = self
                .number(Subject::Unit(units.first().copied().unwrap_or(0)), Field::OutputBreaker);
            let shows = facts_of(&whose, Field::OutputBreaker);
            let inputs = [&breaker, feeder_design, unit_needs];
            sheet.judge(RuleId::BreakerSharedWrong, &whose, shows, inputs, |all| {
                let [breaker, design, needed] = all;
                Ok((several && breaker + HAIR >= design).then(|| {
                    let own = format!("{} {}", Field::OutputBreaker.key(), amperes(breaker));
                    fault(format!("{own}, sized for all units,"), amperes(needed))
                }))
            });
        }
        let breaker = self.group(Field::FeederBreaker);
        let shows = facts_of(&Whose::Group, Field::FeederBreaker);
        let inputs = [&breaker, feeder_design, feeder_needs, unit_needs];
        sheet.judge(RuleId::BreakerSharedWrong, &Whose::Group, shows, inputs, |all| {
            let [breaker, design, needed, of_unit] = all;
            let wrong = several && breaker <= of_unit + HAIR && breaker + HAIR < design;
            Ok(wrong.then(|| {
                let own = format!("{} {}", Field::FeederBreaker.key(), amperes(breaker));
                fault(format!("{own}, sized for one unit,"), amperes(needed))
            }))
        });
    }

    /// Whether a busbar carries its main and all units, in one of the three ways.
    pub(super) fn judge_busbar(
        &self,
        sheet: &mut Worksheet,
        [bar, load]: &[Number; 2],
        currents: &Currents,
    ) {
        let main = self.group(Field::BusbarMain);
        let far = self.declared.number(Subject::Group, Field::BusbarSources);
        let breakers = self.group(Field::BusbarBreakers).get();
        let shows = facts_of(&Whose::Group, Field::Busbar);
        let inputs = [bar, load, &main, &currents.feeder];
        sheet.judge(RuleId::BusbarOverloaded, &Whose::Group, shows, inputs, |all| {
            let [bar, load, main, units] = all;
            let tested = current::busbar(bar, main, &[units], breakers.unwrap_or(f64::INFINITY));
            if tested.anywhere || tested.sum_of_breakers || tested.far_end && far == Some(1) {
                return Ok(None);
            }
            if tested.far_end && far.is_none() {
                return Err(Lack::Declared(Field::BusbarSources));
            }
            let own = format!("{} {}", Field::Busbar.key(), amperes(bar));
            Ok(Some(fault(own, format!("{} together", amperes(load)))))
        });
    }

    /// Fuse and leads of units that are alike.
    pub(super) fn judge_battery(
        &self,
        sheet: &mut Worksheet,
        circuit: &Circuit,
        battery: &Battery,
    ) {
        let fuse = self.number(circuit.subject, Field::BatteryFuse);
        let own = |fuse: f64| format!("{} {}", Field::BatteryFuse.key(), amperes(fuse));
        let shows = facts_of(&circuit.whose, Field::BatteryFuse);
        let least = battery.fuse.get().or(battery.design.get()).unwrap_or_default();
        let inputs = [&fuse, &battery.design];
        sheet.judge(RuleId::BatteryFuseTooSmall, &circuit.whose, shows, inputs, |all| {
            let [fuse, design] = all;
            Ok((fuse + HAIR < design).then(|| fault(own(fuse), amperes(least))))
        });
        self.judge_too_large(sheet, RuleId::BatteryFuseTooLarge, circuit, &battery.fuse);
        self.judge_conductor(sheet, circuit, [&battery.design, &battery.fuse]);
        let interrupts = self.number(circuit.subject, Field::FuseInterrupts);
        let shows = facts_of(&circuit.whose, Field::FuseInterrupts);
        let inputs = [&interrupts, &battery.fault];
        sheet.judge(RuleId::FuseCannotInterrupt, &circuit.whose, shows, inputs, |all| {
            let [interrupts, flows] = all;
            Ok((interrupts < flows).then(|| {
                let own = format!("the battery fuse interrupts {}", amperes(interrupts));
                fault(own, amperes(flows))
            }))
        });
    }

    /// Whether the packs give what all units take.
    pub(super) fn judge_bank(&self, sheet: &mut Worksheet, [all, most]: &[Number; 2]) {
        let packs = (0..self.declared.packs.len()).map(Subject::Pack);
        let shows = packs.map(|pack| (pack, Field::PackDischargeLimit)).collect();
        sheet.judge(RuleId::BankTooSmall, &Whose::Group, shows, [all, most], |[all, most]| {
            let own = || format!("the packs together may give {}", amperes(most));
            Ok((most + HAIR < all).then(|| fault(own(), amperes(all))))
        });
    }
}

/// Whether too much is lost in outputs and feeder.
pub(super) fn judge_drop(
    sheet: &mut Worksheet,
    own: &[(Circuit, Number)],
    (feeder, feeder_lost): (&Circuit, &Number),
) {
    const ONE: f64 = 3.0;
    const BOTH: f64 = 5.0;
    let feeder_high = feeder_lost.get().is_some_and(|lost| lost > ONE);
    let percent = |lost: f64| with_unit(lost, "%");
    let shows = facts_of(&feeder.whose, feeder.length);
    sheet.judge(RuleId::VoltageDropHigh, &feeder.whose, shows, [feeder_lost], |[lost]| {
        Ok((lost > ONE).then(|| fault(format!("the feeder loses {}", percent(lost)), percent(ONE))))
    });
    for (circuit, lost) in own {
        let shows = facts_of(&circuit.whose, circuit.length);
        let both = feeder_lost.get().unwrap_or(0.0);
        sheet.judge(RuleId::VoltageDropHigh, &circuit.whose, shows, [lost], |[lost]| {
            if lost > ONE {
                let own = format!("the output lead loses {}", percent(lost));
                return Ok(Some(fault(own, percent(ONE))));
            }
            Ok((!feeder_high && lost + both > BOTH).then(|| {
                let all = percent(lost + both);
                fault(format!("output lead and feeder lose {all} together"), percent(BOTH))
            }))
        });
    }
}

/// `output conductor 10 AWG`.
fn words(field: Field, stated: &Number) -> String {
    format!("{} {}", field.key(), stated.text.as_deref().unwrap_or("of unknown size"))
}

/// Whether a conductor may run beside others of its kind.
fn may_run_beside(section: Section) -> bool {
    section.runs == 1 || section.size.gauge().is_none_or(|gauge| conductor::may_run_beside(&gauge))
}

/// The conductor that would do.
fn asked(way: Option<Way>, [design, current, needed]: [f64; 3]) -> String {
    let none = || "more than the table has".to_owned();
    match way {
        Some(Way::Nec(way)) => {
            let runs = conductor::nec_runs(design, current, needed, &way);
            let section = runs.and_then(|(runs, size)| {
                Some(Section { runs, size: crate::value::Size::of_gauge(size)? })
            });
            section.map_or_else(none, |section| section.to_string())
        }
        Some(Way::Iec(way)) => conductor::iec_section(needed, &way)
            .map_or_else(none, |area| format!("{} mm2", super::work::shown(area))),
        None => none(),
    }
}
