//! What rules say of strings, inputs, limits, sensors, losses, and of a fault without the supply.

use super::super::ac::Circuit;
use super::super::given::Given;
use super::super::losses::Advised;
use super::super::pv::Array;
use super::super::sources::Limit;
use super::super::work::{Lack, Number, Whose, Worksheet, shown, with_unit};
use super::{HAIR, amperes, facts_of, fault};
use crate::declared::Subject;
use crate::field::Field;
use crate::fold::Folded;
use coldcheck_core::plan::{Demand, YesNo};
use coldcheck_core::rules::RuleId;

/// What strings are held against is met where there is no array.
pub(in crate::sizing) fn judge_no_strings(sheet: &mut Worksheet) {
    for rule in [
        RuleId::StringVoltageHigh,
        RuleId::StringVoltageNearLimit,
        RuleId::StringCurrentHigh,
        RuleId::StringFuseMissing,
    ] {
        sheet.judge(rule, &Whose::Group, Vec::new(), [], |[]| Ok(None));
    }
}

impl Given<'_> {
    /// Strings of one array.
    pub(in crate::sizing) fn judge_strings(&self, sheet: &mut Worksheet, array: &Array) {
        let shows = facts_of(&array.whose, Field::Strings);
        let named = match &array.whose {
            Whose::Array(name, _) if !name.is_empty() => format!("a string of {name}"),
            Whose::Array(..) | Whose::Group | Whose::Units(_) | Whose::Sensor(_) => {
                "a string".to_owned()
            }
        };
        let most = self.rating(Demand::SolarVoltsMax, "V", 1000.0);
        let volts = |number: f64| with_unit(number, "V");
        let inputs = [&array.volts, &most];
        let reaches = |own: f64| format!("{named} reaches {}", volts(own));
        // Where it is colder than the table goes a string may be too high all the same, never right.
        let at_least = array.at_least.as_ref().filter(|least| {
            matches!((least.get(), most.get()), (Some(least), Some(most)) if least > most + HAIR)
        });
        let by = [at_least.unwrap_or(&array.volts), &most];
        sheet.judge(RuleId::StringVoltageHigh, &array.whose, shows.clone(), by, |all| {
            let [own, most] = all;
            let value = || match at_least {
                Some(_) => format!("{named} reaches more than {}", volts(own)),
                None => reaches(own),
            };
            Ok((own > most + HAIR).then(|| fault(value(), volts(most))))
        });
        sheet.judge(RuleId::StringVoltageNearLimit, &array.whose, shows.clone(), inputs, |all| {
            let [own, most] = all;
            let near = own > 0.99 * most && own <= most + HAIR;
            Ok(near.then(|| fault(reaches(own), volts(most))))
        });
        let most = self.rating(Demand::SolarAmperesMax, "A", 1000.0);
        let inputs = [&array.amperes, &most];
        sheet.judge(RuleId::StringCurrentHigh, &array.whose, shows.clone(), inputs, |all| {
            let [own, most] = all;
            let flows = || format!("the strings at one input can give {}", amperes(own));
            Ok((own > most + HAIR).then(|| fault(flows(), amperes(most))))
        });
        let fuses = self.choice(Field::StringFuses);
        let inputs = [&array.parallel, &fuses];
        sheet.judge(RuleId::StringFuseMissing, &array.whose, shows, inputs, |all| {
            let [parallel, fuses] = all;
            let none = (fuses - f64::from(YesNo::No.code())).abs() < 0.5;
            let own = || format!("{} strings beside each other", shown(parallel));
            Ok((none && parallel > 2.5).then(|| fault(own(), "a fuse in each".to_owned())))
        });
    }

    /// Arrays at the inputs that units have, and strings of arrays that are listed.
    pub(in crate::sizing) fn judge_inputs(&self, sheet: &mut Worksheet) {
        let arrays = self.arrays();
        let shows = vec![(Subject::Group, Field::Arrays)];
        if self.has_no_array() {
            let is_strung = self.strings().iter().any(|strings| strings.array.is_empty());
            sheet.judge(RuleId::PvInputMappingWrong, &Whose::Group, shows, [], |[]| {
                let value = "strings, though no array is listed".to_owned();
                Ok(is_strung.then(|| fault(value, "the arrays, or no strings".to_owned())))
            });
            return self.judge_names_of_strings(sheet, &arrays);
        }
        for unit in 0..self.declared.units.len().max(1) {
            let inputs = self.number(Subject::Unit(unit), Field::InputsFitted);
            let own: Vec<String> = arrays
                .iter()
                .filter(|(_, feeds)| *feeds == unit)
                .map(|(array, _)| array.to_string())
                .collect();
            let whose = Whose::Units(vec![unit]);
            let mut shows = shows.clone();
            shows.push((Subject::Unit(unit), Field::InputsFitted));
            sheet.judge(RuleId::PvInputMappingWrong, &whose, shows, [&inputs], |[inputs]| {
                #[allow(clippy::cast_precision_loss, reason = "a site has few arrays")]
                let more = own.len() as f64 > inputs;
                Ok(more.then(|| {
                    let count = crate::phrase::counted(own.len(), "array");
                    let inputs = shown(inputs);
                    let own = crate::phrase::all_of(&own);
                    let value = format!("{count} ({own}) for {inputs} solar inputs");
                    fault(value, "an input for each".to_owned())
                }))
            });
        }
        self.judge_names_of_strings(sheet, &arrays);
    }

    fn judge_names_of_strings(&self, sheet: &mut Worksheet, arrays: &[(Folded, usize)]) {
        for strings in self.strings().iter().filter(|strings| !strings.array.is_empty()) {
            let listed = arrays.iter().any(|(array, _)| *array == strings.array);
            let shows = vec![(Subject::Group, Field::Strings)];
            let name = strings.array.to_string();
            sheet.judge(RuleId::PvInputMappingWrong, &Whose::Group, shows, [], |[]| {
                if arrays.is_empty() && !self.has_no_array() {
                    return Err(Lack::Declared(Field::Arrays));
                }
                Ok((!listed).then(|| {
                    let value = format!("strings of {name}, which no list of arrays names");
                    fault(value, "an array that is listed".to_owned())
                }))
            });
        }
    }

    /// Whether a limit is set above what its source gives.
    pub(in crate::sizing) fn judge_limit(&self, sheet: &mut Worksheet, limit: &Limit) {
        let shows = facts_of(&self.every_unit(), limit.field);
        let inputs = [&limit.set, &limit.given];
        sheet.judge(RuleId::SourceLimitTooHigh, &Whose::Group, shows, inputs, |[set, given]| {
            let own = || format!("{} {} for all units", limit.field.key(), amperes(set));
            Ok((set > given + HAIR).then(|| fault(own(), amperes(given))))
        });
    }
}

/// Whether a fault without the supply trips the load breakers at once; else a residual-current device
/// must, and whether there is one is asked for.
pub(in crate::sizing) fn judge_island(
    sheet: &mut Worksheet,
    [flows, trip]: &[Number; 2],
    residual: &Number,
) {
    let shows =
        [Field::LoadBreaker, Field::ResidualProtection].map(|field| (Subject::Group, field)).into();
    let rule = RuleId::IslandFaultCurrentLow;
    if residual.get().is_some_and(|answer| (answer - f64::from(YesNo::Yes.code())).abs() < 0.5) {
        sheet.judge(rule, &Whose::Group, shows, [residual], |_| Ok(None));
        return;
    }
    sheet.judge(rule, &Whose::Group, shows, [flows, trip], |[flows, trip]| {
        if flows + HAIR >= trip {
            return Ok(None);
        }
        if residual.get().is_none() {
            return Err(Lack::Declared(Field::ResidualProtection));
        }
        let own = format!("{} can flow without the supply", amperes(flows));
        let key = Field::LoadBreaker.key();
        let trips = format!("the {key} trips at once from {}", amperes(trip));
        Ok(Some(fault(own, format!("{trips}; there is no residual-current protection"))))
    });
}

/// Whether too much is lost in outputs and feeder.
pub(in crate::sizing) fn judge_drop<'c>(
    sheet: &mut Worksheet,
    outputs: impl Iterator<Item = (&'c Circuit, &'c Number)>,
    (feeder, feeder_lost): (&Circuit, &Number),
    advised: &Advised,
) {
    let rule = RuleId::VoltageDropHigh;
    let percent = |lost: f64| with_unit(lost, "%");
    let shows = facts_of(&feeder.whose, feeder.length);
    let inputs = [feeder_lost, &advised.lower, &advised.upper];
    sheet.judge(rule, &feeder.whose, shows, inputs, |[lost, lower, upper]| {
        let value = || format!("the feeder loses {}", percent(lost));
        let most = advised.broken([lost, lost], [lower, upper]);
        Ok(most.map(|most| fault(value(), most)))
    });
    let limits = [&advised.lower, &advised.upper].map(Number::get);
    let is_high = |lost: f64| matches!(limits, [Some(lower), Some(_)] if lost > lower + HAIR);
    let feeder_high = feeder_lost.get().is_some_and(is_high);
    for (circuit, lost) in outputs {
        let shows = facts_of(&circuit.whose, circuit.length);
        let inputs = [lost, &advised.lower, &advised.upper];
        sheet.judge(rule, &circuit.whose, shows, inputs, |[lost, lower, upper]| {
            // What the feeder loses too much by itself is said of the feeder.
            let both = if feeder_high { lost } else { lost + feeder_lost.get().unwrap_or(0.0) };
            let value = || {
                if both > lost && lost <= lower + HAIR {
                    format!("output lead and feeder lose {} together", percent(both))
                } else {
                    format!("the output lead loses {}", percent(lost))
                }
            };
            let most = advised.broken([lost, both], [lower, upper]);
            Ok(most.map(|most| fault(value(), most)))
        });
    }
}

/// Whether a sensor is loaded with more than it is made for.
pub(in crate::sizing) fn judge_burden(
    sheet: &mut Worksheet,
    sensor: usize,
    [own, most]: &[Number; 2],
) {
    let whose = Whose::Sensor(sensor);
    let shows = facts_of(&whose, Field::SensorBurden);
    sheet.judge(RuleId::SensorBurdenHigh, &whose, shows, [own, most], |[own, most]| {
        let value = || with_unit(own, "VA");
        Ok((own > most + HAIR).then(|| fault(value(), with_unit(most, "VA"))))
    });
}
