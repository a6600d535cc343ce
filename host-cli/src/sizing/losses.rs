//! What is lost between units and loads, and what the legs make of it: volts, neutral, open joints.

use super::ac::{Circuit, Kind, item};
use super::current::Code;
use super::given::Given;
use super::work::{From, Lack, Number, Part, Whose, Worksheet};
use super::{drop, joint};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::System;

/// The losses that are advised at most, in percent.
#[derive(Clone, Debug)]
pub(super) struct Advised {
    /// In one circuit (NEC), or for lighting (IEC).
    pub(super) lower: Number,
    /// In output and feeder together (NEC), or for all other uses (IEC).
    pub(super) upper: Number,
    iec: bool,
}

impl Advised {
    /// The limit that is passed, in words: by what one circuit loses and by what it loses with the
    /// feeder, both in percent.
    pub(super) fn broken(&self, [one, both]: [f64; 2], [lower, upper]: [f64; 2]) -> Option<String> {
        const HAIR: f64 = 1e-9;
        let lost = if self.iec { both } else { one };
        let percent = |most: f64| super::work::with_unit(most, "%");
        if self.iec && both > upper + HAIR {
            Some(format!("{} from the supply to the load", percent(upper)))
        } else if lost > lower + HAIR {
            let of = if self.iec { "for lighting" } else { "in one circuit" };
            Some(format!("{} {of}", percent(lower)))
        } else if both > upper + HAIR {
            Some(format!("{} in output lead and feeder together", percent(upper)))
        } else {
            None
        }
    }
}

impl Given<'_> {
    /// Volts lost in a circuit, in percent of the supply's.
    pub(super) fn drop(&self, sheet: &mut Worksheet, circuit: &Circuit) -> Number {
        let length = self.number(circuit.subject, circuit.length);
        let ohms = self.ohms_per_metre(circuit.subject, circuit.conductor, false);
        let (three, volts) = match circuit.kind {
            Kind::Feeder => (self.feeder_has_three_lines(), self.feeder_volts()),
            Kind::Output | Kind::BatteryLeads => (self.has_three_lines(), self.unit_volts()),
        };
        let formula = if three { &drop::THREE_PHASE } else { &drop::TWO_WIRE };
        let [.., id] = circuit.ids;
        let volts_id = if id == "unit.drop" { "unit.drop-volts" } else { "feeder.drop-volts" };
        let lost = item(Part::Ac, &circuit.whose, (volts_id, "volts lost", "V"), formula);
        let inputs = [&length, &ohms, &circuit.current];
        let lost = sheet.work(lost, inputs, |[length, ohms, amperes]| {
            Ok(if three {
                drop::three_phase(length, ohms, amperes)
            } else {
                drop::two_wire(length, ohms, amperes)
            })
        });
        let what = (id, "part of the volts that is lost", "%");
        let part = item(Part::Ac, &circuit.whose, what, &drop::PART);
        sheet.work(part, [&lost, &volts], |[lost, volts]| Ok(lost / volts * 100.0))
    }

    /// The losses that the code advises at most; by the IEC more where the way is long.
    pub(super) fn advised(&self, sheet: &mut Worksheet) -> Advised {
        let iec = self.code() == Some(Code::Iec);
        let (formula, [lower, upper]) = if iec {
            (
                &drop::IEC_LIMITS,
                ["loss advised at most for lighting", "loss advised at most for other uses"],
            )
        } else {
            let both = "loss advised at most, output and feeder together";
            (&drop::NEC_LIMITS, ["loss advised at most, output or feeder", both])
        };
        let code = self.choice(Field::Code);
        let stated = if iec { self.longest_way() } else { None };
        let metres = stated.unwrap_or(0.0);
        let mut way = Number::known("way through output and feeder", metres, "m", From::Declared);
        if stated.is_none() {
            way.text = Some("of no declared length, taken as below 100 m".to_owned());
        }
        let mut limit = |id, label, row| {
            let of = item(Part::Ac, &Whose::Group, (id, label, "%"), formula);
            let most = |metres| {
                drop::advised(row, metres).ok_or_else(|| Lack::words("the table has no such row"))
            };
            if iec {
                sheet.work(of, [&code, &way], |[_, metres]| most(metres))
            } else {
                sheet.work(of, [&code], |_| most(0.0))
            }
        };
        let rows = if iec { drop::IEC_ROWS } else { drop::NEC_ROWS };
        Advised {
            lower: limit("drop.advised-lower", lower, rows[0]),
            upper: limit("drop.advised-upper", upper, rows[1]),
            iec,
        }
    }

    /// The longest output lead and the feeder, as far as they are stated, in metres; `None` if
    /// neither is.
    fn longest_way(&self) -> Option<f64> {
        let lead = |unit| self.number(Subject::Unit(unit), Field::OutputLead).get();
        let longest = (0..self.declared.units.len()).filter_map(lead).reduce(f64::max);
        let feeder = self.group(Field::FeederLength).get();
        [longest, feeder].into_iter().flatten().reduce(|one, other| one + other)
    }

    /// Current in the neutral from the loads of the legs.
    pub(super) fn neutral(&self, sheet: &mut Worksheet) {
        let what = ("neutral.current", "current in the neutral, unity power factor", "A");
        let of = item(Part::Ac, &Whose::Group, what, &joint::NEUTRAL);
        let loads = [Field::LoadL1, Field::LoadL2, Field::LoadL3].map(|field| self.group(field));
        let [first, second, third] = &loads;
        let supply = self.feeder_volts();
        let leg = |amperes| joint::Phasor { amperes, degrees: 0.0 };
        match self.supply().map(|supply| supply.system) {
            Some(System::ThreePhase) => {
                let inputs = [first, second, third, &supply];
                sheet.work(of, inputs, |[a, b, c, _]| Ok(joint::three_phase_neutral([a, b, c])));
            }
            Some(System::SinglePhase) => {
                sheet.work(of, [first, &supply], |[a, _]| Ok(a));
            }
            Some(System::SplitPhase) | None => {
                let inputs = [first, second, &supply];
                sheet.work(of, inputs, |[a, b, _]| Ok(joint::split_phase_neutral(leg(a), leg(b))));
            }
        }
        self.leg_volts(sheet, [first, second]);
        self.across(sheet);
    }

    /// What arrives on each leg at the end of a split-phase feeder, its neutral as thick as its legs.
    fn leg_volts(&self, sheet: &mut Worksheet, [first, second]: [&Number; 2]) {
        let ohms = self.ohms_per_metre(Subject::Group, Field::FeederConductor, false);
        let length = self.group(Field::FeederLength);
        let mut supply = self.feeder_volts();
        if let Some(other) = self.supply().filter(|one| one.system != System::SplitPhase) {
            let words = format!("the supply is {}: it has no two legs", other.system.word());
            supply = Number::lacking(Field::Supply.key(), Lack::words(words));
        }
        let mut inputs = [&supply, &length, &ohms, first, second];
        if supply.get().is_none() {
            // Nothing else would help.
            inputs = [&supply; 5];
        }
        let mut leg = |id, label, told: fn(drop::SplitPhase) -> f64| {
            let of = item(Part::Ac, &Whose::Group, (id, label, "V"), &drop::LEGS);
            sheet.work(of, inputs, |[volts, length, ohms, first, second]| {
                Ok(told(drop::split_phase(volts / 2.0, length * ohms, first, second)))
            });
        };
        leg("feeder.first-leg", "volts that arrive on L1 under these loads", |end| end.first);
        leg("feeder.second-leg", "volts that arrive on L2 under these loads", |end| end.second);
    }

    /// What stands across a joint of a line with another line of the supply, before it is made.
    fn across(&self, sheet: &mut Worksheet) {
        let what = ("joint.volts", "across a joint of two different lines (of one: near 0)", "V");
        let of = item(Part::Ac, &Whose::Group, what, &joint::ACROSS);
        let supply = self.supply();
        let angle = match supply.map(|supply| supply.system) {
            Some(System::SplitPhase) => Ok(180.0),
            Some(System::ThreePhase) => Ok(120.0),
            Some(System::SinglePhase) => Err(Lack::words("the supply has one line only")),
            None => Err(Lack::Declared(Field::Supply)),
        };
        let angle = angle.map_or_else(
            |lack| Number::lacking("angle between two lines", lack),
            |degrees| Number::known("angle between two lines", degrees, "deg", From::Declared),
        );
        let volts = supply.map_or_else(
            || Number::lacking(Field::Supply.key(), Lack::Declared(Field::Supply)),
            |supply| {
                let volts = supply.volts_to_neutral();
                Number::known("volts from a line to neutral", volts, "V", From::Declared)
            },
        );
        sheet.work(of, [&volts, &angle], |[volts, angle]| Ok(joint::volts_across(volts, angle)));
    }
}
