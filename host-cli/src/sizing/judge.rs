//! What rules say of the numbers: what is declared against what is computed.

mod equipment;
mod neutrals;
mod sources;

pub(super) use sources::{judge_burden, judge_drop, judge_island, judge_no_strings};

use super::ac::{Circuit, Currents, carried};
use super::current::Code;
use super::dc::Battery;
use super::given::Given;
use super::laid::Way;
use super::work::{Fault, Lack, Number, Whose, Worksheet, with_unit};
use super::{conductor, current};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::{Section, Size};
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
pub(super) fn facts_of(whose: &Whose, field: Field) -> Vec<(Subject, Field)> {
    match whose {
        Whose::Units(units) => units.iter().map(|unit| (Subject::Unit(*unit), field)).collect(),
        Whose::Sensor(sensor) => vec![(Subject::Sensor(*sensor), field)],
        Whose::Group | Whose::Array(..) => vec![(Subject::Group, field)],
    }
}

impl Given<'_> {
    /// Conductor, breaker and earth conductor of a circuit.
    pub(super) fn judge_circuit(&self, sheet: &mut Worksheet, circuit: &Circuit, earth: &Number) {
        self.judge_conductor(sheet, circuit);
        self.judge_breaker(sheet, circuit);
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
    pub(super) fn judge_conductor(&self, sheet: &mut Worksheet, circuit: &Circuit) {
        let (laid, way) = self.way(circuit);
        let (_, chosen) = self.way_to_choose(circuit);
        let [code, metal, insulation, stand, ambient, _] = &laid;
        // What is too small alone is so beside others, where it carries less.
        let (beside, grouped) = (self.group(Field::Together), self.grouped());
        let (stated, section) = self.listed(circuit.subject, circuit.conductor);
        let shows = facts_of(&circuit.whose, circuit.conductor);
        let inputs = [
            &circuit.design,
            &circuit.needed,
            &circuit.current,
            &stated,
            code,
            metal,
            insulation,
            stand,
            ambient,
            &beside,
        ];
        sheet.judge(RuleId::ConductorTooSmall, &circuit.whose, shows, inputs, |all| {
            let [design, needed, current, ..] = all;
            let (least, largest, carries) = carried(section, way)?;
            let own = || words(circuit.conductor, &stated);
            if section.is_some_and(|section| !may_run_beside(section)) {
                let wanted = "1/0 AWG or larger, where conductors run in parallel (310.10(G))";
                return Ok(Some(fault(own(), wanted.to_owned())));
            }
            let why = if carries.terminals + HAIR < design {
                format!("this one carries {}, the code counts {}", amperes(least), amperes(design))
            } else if carries.laid + HAIR < current {
                format!("as it is laid this one carries {} of {}", amperes(least), amperes(current))
            } else if largest + HAIR < needed {
                let device = circuit.device();
                format!("this one allows a {device} of {} of {}", amperes(largest), amperes(needed))
            } else {
                return grouped.map_or(Ok(None), Err);
            };
            let asked = asked(chosen, [design, current, needed]);
            let alone = if grouped.is_some() { " alone, and more beside others" } else { "" };
            Ok(Some(fault(own(), format!("{asked}{alone}; {why}"))))
        });
    }

    fn judge_breaker(&self, sheet: &mut Worksheet, circuit: &Circuit) {
        let breaker = self.number(circuit.subject, circuit.breaker);
        let shows = facts_of(&circuit.whose, circuit.breaker);
        let own = |breaker: f64| format!("{} {}", circuit.breaker.key(), amperes(breaker));
        let inputs = [&breaker, &circuit.design, &circuit.needed];
        sheet.judge(RuleId::BreakerTooSmall, &circuit.whose, shows.clone(), inputs, |all| {
            let [breaker, design, needed] = all;
            Ok((breaker + HAIR < design).then(|| {
                let wanted = format!("{}: the code counts {}", amperes(needed), amperes(design));
                fault(own(breaker), wanted)
            }))
        });
        self.judge_too_large(sheet, RuleId::BreakerTooLarge, circuit);
    }

    /// Whether a breaker or fuse is larger than its conductor allows. One that is no larger than the
    /// current needs is right, and the conductor is at fault.
    pub(super) fn judge_too_large(&self, sheet: &mut Worksheet, rule: RuleId, circuit: &Circuit) {
        let breaker = self.number(circuit.subject, circuit.breaker);
        let (laid, way) = self.way(circuit);
        let [code, metal, insulation, stand, ambient, _] = &laid;
        let (beside, grouped) = (self.group(Field::Together), self.grouped());
        let (stated, section) = self.listed(circuit.subject, circuit.conductor);
        let shows = facts_of(&circuit.whose, circuit.breaker);
        let needed = circuit.needed.get();
        let inputs = [&breaker, &stated, code, metal, insulation, stand, ambient, &beside];
        sheet.judge(rule, &circuit.whose, shows, inputs, |[breaker, ..]| {
            let (_, largest, _) = carried(section, way)?;
            let needs_it = needed.is_some_and(|needed| breaker <= needed + HAIR);
            if breaker <= largest + HAIR || needs_it {
                return grouped.map_or(Ok(None), Err);
            }
            let own = format!("{} {}", circuit.breaker.key(), amperes(breaker));
            let behind = stated.text.clone().unwrap_or_default();
            let alone = if grouped.is_some() { " alone, less beside others" } else { "" };
            Ok(Some(fault(own, format!("{} at most for {behind}{alone}", amperes(largest)))))
        });
    }

    /// The breaker by which the earth conductor is judged: the one that is fitted, unless it is too
    /// large for the conductor and to be changed.
    pub(super) fn breaker_for_earth(&self, circuit: &Circuit) -> Number {
        let breaker = self.number(circuit.subject, circuit.breaker);
        match (breaker.get(), self.most_behind(circuit), circuit.needed.get()) {
            (Some(own), Some(largest), Some(least)) if own > largest && own > least => {
                circuit.needed.clone()
            }
            _ => breaker,
        }
    }

    /// The largest breaker that protects the conductor of a circuit, as far as that is known.
    fn most_behind(&self, circuit: &Circuit) -> Option<f64> {
        let (_, section) = self.listed(circuit.subject, circuit.conductor);
        carried(section, self.way(circuit).1).ok().map(|(_, largest, _)| largest)
    }

    /// A breaker of one unit in front of all, or one for all in front of a unit.
    pub(super) fn judge_shared(
        &self,
        sheet: &mut Worksheet,
        outputs: &[Circuit],
        feeder: &Circuit,
    ) {
        let count = self.units_in_line();
        for output in outputs {
            let breaker = self.number(output.subject, output.breaker);
            let shows = facts_of(&output.whose, output.breaker);
            let inputs = [&breaker, &feeder.design, &output.needed, &count];
            // One that its conductor allows protects it, however large.
            let allowed = self.most_behind(output);
            sheet.judge(RuleId::BreakerSharedWrong, &output.whose, shows, inputs, |all| {
                let [breaker, design, needed, count] = all;
                let is_allowed = allowed.is_some_and(|most| breaker <= most + HAIR);
                let is_of_all = count >= 2.0 && breaker + HAIR >= design;
                Ok((is_of_all && !is_allowed).then(|| {
                    let own = format!("{} {}", output.breaker.key(), amperes(breaker));
                    let one = format!("it is enough for all units, one needs {}", amperes(needed));
                    fault(own, one)
                }))
            });
        }
        let breaker = self.group(feeder.breaker);
        let shows = facts_of(&Whose::Group, feeder.breaker);
        let of_unit = outputs.first().map(|output| output.needed.clone());
        let none = || Number::lacking("units", Lack::words("no unit is listed"));
        let of_unit = of_unit.unwrap_or_else(none);
        let inputs = [&breaker, &feeder.design, &feeder.needed, &of_unit, &count];
        sheet.judge(RuleId::BreakerSharedWrong, &Whose::Group, shows, inputs, |all| {
            let [breaker, design, needed, of_unit, count] = all;
            let wrong = count >= 2.0 && breaker <= of_unit + HAIR && breaker + HAIR < design;
            Ok(wrong.then(|| {
                let own = format!("{} {}", feeder.breaker.key(), amperes(breaker));
                let all =
                    format!("it is enough for one unit, all of them need {}", amperes(needed));
                fault(own, all)
            }))
        });
    }

    /// Whether a busbar carries its main and all units, in one of the three ways of the NEC; for IEC,
    /// whether it can be overloaded at all.
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
            if self.code() == Some(Code::Iec) {
                let most = breakers.unwrap_or(f64::INFINITY);
                return match (current::busbar_sum(bar, main, units, most), breakers) {
                    (true, _) => Ok(None),
                    (false, None) => Err(Lack::Declared(Field::BusbarBreakers)),
                    (false, Some(_)) => Err(Lack::words(
                        "main and units are more than the bar, and so are its other breakers: whether \
                         it holds is the designer's to say",
                    )),
                };
            }
            let tested = current::busbar(bar, main, &[units], breakers.unwrap_or(f64::INFINITY));
            if tested.anywhere || tested.sum_of_breakers || tested.far_end && far == Some(1) {
                return Ok(None);
            }
            // Without these one of the three ways is still open.
            if tested.far_end && far.is_none() {
                return Err(Lack::Declared(Field::BusbarSources));
            }
            let Some(breakers) = breakers else {
                return Err(Lack::Declared(Field::BusbarBreakers));
            };
            let own = format!("{} {}", Field::Busbar.key(), amperes(bar));
            let [load, breakers] = [load, breakers].map(amperes);
            let wanted =
                format!("main and 125 % of the units are {load}, all other breakers {breakers}");
            Ok(Some(fault(own, wanted)))
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
            let wanted = || format!("{}: the code counts {}", amperes(least), amperes(design));
            Ok((fuse + HAIR < design).then(|| fault(own(fuse), wanted())))
        });
        self.judge_too_large(sheet, RuleId::BatteryFuseTooLarge, circuit);
        self.judge_conductor(sheet, circuit);
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
            let own = || format!("the packs of a bank may give {} together", amperes(most));
            Ok((most + HAIR < all).then(|| fault(own(), amperes(all))))
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
                Some(Section { runs, ..Section::one(Size::of_gauge(size)?) })
            });
            section.map_or_else(none, |section| section.to_string())
        }
        Some(Way::Iec(way)) => conductor::iec_section(needed, &way)
            .map_or_else(none, |area| format!("{} mm2", super::work::shown(area))),
        None => none(),
    }
}
