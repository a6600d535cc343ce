//! What a site is made of, as far as the way to power it up depends on it.

mod link;
mod sound;

use crate::declared::{Declared, Subject};
use crate::engine::{self, Site};
use crate::field::Field;
use crate::fold::Folded;
use crate::site_file::{List, SiteFile};
use crate::value::{Bond, Pole, Supply, System, Value};
use coldcheck_core::plan::{BatteryBanks, BondPlace, Demand, DemandValue, Leg as Phase, Role};

/// A live conductor of a unit's output, or its neutral.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Conductor {
    /// L1, L2, L3, N.
    pub(super) name: String,
    /// The bar that it joins.
    pub(super) bar: String,
}

/// A unit, as far as its power-up goes.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    pub(super) name: String,
    /// What the sheets say that is dialled in, in words.
    pub(super) settings: Vec<String>,
    pub(super) live: Vec<Conductor>,
    pub(super) neutral: Conductor,
    /// Live conductors of its supply terminals, where they are stated.
    pub(super) inputs: Vec<Conductor>,
    /// Their neutral, where it is stated.
    pub(super) input_neutral: Option<Conductor>,
    /// Live conductors of its generator terminals, where they are stated.
    pub(super) generator: Vec<Conductor>,
    /// Their neutral, where it is stated.
    pub(super) generator_neutral: Option<Conductor>,
    /// Volts from a live conductor to neutral.
    pub(super) volts: Option<f64>,
    pub(super) hertz: Option<f64>,
    /// Whether no conductor of it is at a wrong bar by the sheets.
    pub(super) is_joined_right: bool,
}

/// The site.
#[allow(clippy::struct_excessive_bools, reason = "each is a fact of its own about the site")]
pub(super) struct MadeOf {
    /// Units in the order in which they join: who leads first.
    pub(super) units: Vec<Unit>,
    pub(super) supply: Option<Supply>,
    /// Amperes of one unit.
    pub(super) rated: Option<f64>,
    pub(super) battery: (Option<f64>, Option<f64>),
    /// Whether all units stand on one bank.
    pub(super) one_bank: bool,
    /// Farads of the battery side of all units, and ohms of the pre-charge resistor.
    pub(super) inrush: (Option<f64>, Option<f64>),
    pub(super) packs: Vec<String>,
    /// How many packs stand there, if the sheets say so.
    pub(super) packs_fitted: Option<u32>,
    /// Volts that two packs may differ by when they are joined, if the sheets let them be known.
    pub(super) packs_may_differ: Option<(f64, String)>,
    /// Sensors with the amperes that they are rated for.
    pub(super) sensors: Vec<(String, Option<f64>)>,
    pub(super) arrays: Vec<(String, String)>,
    pub(super) solar_most: Option<f64>,
    pub(super) bonds: Option<Vec<Bond>>,
    /// Where to measure the pair, and the ohms that must be read there; none where the link as declared
    /// is wrong.
    pub(super) pair: Vec<(String, Option<(f64, f64)>)>,
    /// Units at which the battery's data leads end.
    pub(super) battery_heard_at: Vec<String>,
    /// Whether the sheets say which arrays there are, or that there is none.
    pub(super) says_solar: bool,
    pub(super) has_link: bool,
    pub(super) has_supply: bool,
    pub(super) has_generator: bool,
    pub(super) has_changeover: bool,
}

/// Thousandths in one.
const MILLI: f64 = 1000.0;

impl MadeOf {
    pub(super) fn of(site: &Site, shape: &SiteFile) -> Self {
        let declared = &site.declared;
        let plan = engine::plan(site).ok();
        let bits = |demand: Demand| plan.as_ref().and_then(|plan| plan.demands.bits(demand));
        let milli = |demand: Demand| bits(demand).map(|bits| f64::from(bits) / MILLI);
        let supply = match declared.agreed(Subject::Group, Field::Supply) {
            Some(Value::Supply(supply)) => Some(*supply),
            Some(_) | None => None,
        };
        let units = units(site, shape, supply);
        let volts = units.first().and_then(|unit| unit.volts.map(|volts| (volts, unit.live.len())));
        let power = bits(Demand::RatedPower).map(f64::from);
        let rated = milli(Demand::RatedCurrent).or_else(|| {
            let (volts, lives) = volts?;
            Some(power? / volts / f64::from(u32::try_from(lives.max(1)).ok()?))
        });
        let farads = bits(Demand::InputCapacitance).map(|bits| {
            let units = u32::try_from(units.len()).unwrap_or(1);
            f64::from(bits) * f64::from(units) / 1e6
        });
        let banks = bits(Demand::BatteryBanks).and_then(BatteryBanks::from_bits);
        let stated = |field: Field| declared.agreed(Subject::Group, field).is_some();
        let of_units = |field: Field| {
            (0..declared.units.len())
                .any(|unit| declared.agreed(Subject::Unit(unit), field).is_some())
        };
        let pair = link::pair(site);
        Self {
            rated,
            supply,
            battery: (milli(Demand::BatteryVoltsMin), milli(Demand::BatteryVoltsMax)),
            one_bank: banks != Some(BatteryBanks::OneEachUnit),
            inrush: (farads, measured(declared, Subject::Group, Field::PrechargeOhms)),
            packs: names(shape, List::Pack),
            packs_may_differ: packs_may_differ(declared),
            packs_fitted: declared.number(Subject::Group, Field::PacksFitted),
            sensors: sensors(declared),
            arrays: arrays(declared),
            says_solar: stated(Field::Arrays),
            solar_most: milli(Demand::SolarVoltsMax),
            bonds: match declared.agreed(Subject::Group, Field::Bonds) {
                Some(Value::Bonds(bonds)) => Some(bonds.clone()),
                Some(_) | None => None,
            },
            has_link: !pair.is_empty() || units.len() > 1,
            pair,
            battery_heard_at: link::battery_heard_at(site),
            has_supply: of_units(Field::AcIn) || stated(Field::SupplyBreaker),
            has_generator: of_units(Field::GeneratorIn) || stated(Field::GeneratorRating),
            has_changeover: stated(Field::ChangeoverNeutral) || stated(Field::ChangeoverGap),
            units,
        }
    }

    /// Whether there is a supply beside the generator, so that the two must never meet.
    pub(super) const fn has_two_sources(&self) -> bool {
        self.has_generator && (self.has_supply || self.has_changeover)
    }

    /// Sources that the sheets say nothing of, each with a line that says it: there may be one all
    /// the same.
    pub(super) fn undeclared_sources(&self) -> Vec<[&'static str; 2]> {
        let sources = [
            (self.has_supply || self.has_changeover, ["a supply", "supply breaker = 63 A"]),
            (self.has_generator, ["a generator", "generator rating = 12 kW"]),
            (self.says_solar, ["a solar array", "pv = roof east -> unit 1"]),
        ];
        sources.into_iter().filter(|(is_said, _)| !is_said).map(|(_, words)| words).collect()
    }

    /// Bond relays with the unit that owns each; `None` where the sheets do not say it.
    pub(super) fn relays(&self) -> Vec<(&Bond, Option<&Unit>)> {
        let owner = |bond: &Bond| {
            self.units.iter().find(|unit| {
                let name = Folded::of(&unit.name);
                let mut from = (0..bond.place.count()).map(|at| bond.place.cut(at).1);
                !name.is_empty() && from.any(|rest| rest.after(name.as_str()).is_some())
            })
        };
        let is_relay = |bond: &&Bond| bond.kind == BondPlace::UnitRelay;
        let relays = self.bonds.iter().flatten().filter(is_relay);
        relays.map(|bond| (bond, owner(bond))).collect()
    }

    /// The names of all units.
    pub(super) fn unit_names(&self) -> Vec<&str> {
        self.units.iter().map(|unit| unit.name.as_str()).collect()
    }
}

fn names(shape: &SiteFile, list: List) -> Vec<String> {
    let own = shape.tables.iter().filter(|table| table.list == list);
    own.map(|table| table.value("name").to_owned()).collect()
}

/// Units that lead first, else in the order of the plan.
fn units(site: &Site, shape: &SiteFile, supply: Option<Supply>) -> Vec<Unit> {
    let declared = &site.declared;
    let leads = |unit: &usize| {
        declared.number(Subject::Unit(*unit), Field::Role)
            == Some(u32::from(Role::Coordinator.code()))
    };
    let all = &site.assembled.map.units;
    let order = all.iter().filter(|unit| leads(unit)).chain(all.iter().filter(|unit| !leads(unit)));
    let wrong = sound::units_at_wrong_bars(site);
    let unit = |unit: &usize| Unit {
        is_joined_right: !wrong.contains(unit),
        ..self::unit(declared, shape, *unit, supply)
    };
    order.map(unit).collect()
}

fn unit(declared: &Declared, shape: &SiteFile, unit: usize, supply: Option<Supply>) -> Unit {
    let subject = Subject::Unit(unit);
    let name = declared.units[unit].name.clone();
    let out = conductors(declared, subject, Field::AcOut);
    let neutral = out.iter().find(|(pole, _)| *pole == Pole::N);
    let neutral_bar = neutral.map_or_else(|| "the neutral bar".to_owned(), |(_, bar)| bar.clone());
    let mut live = live_of(&out);
    if live.is_empty() {
        live = assumed(declared, subject, supply);
    }
    let milli = |field: Field| declared.number(subject, field).map(|bits| f64::from(bits) / MILLI);
    // What is set at a unit with two legs may be meant from leg to leg.
    let own_volts = || milli(Field::AcVoltage).filter(|_| live.len() == 1);
    let volts = supply.map(Supply::volts_to_neutral).or_else(own_volts);
    let table =
        shape.tables.iter().find(|table| table.list == List::Unit && table.value("name") == name);
    let settings = table.map(|table| {
        let told = table.entries.iter().filter(|entry| is_read_back(&entry.key));
        told.filter_map(|entry| Some(format!("{} {}", entry.key, entry.value.as_deref()?)))
            .collect()
    });
    // Bars of one name on two sides of a unit are two bars.
    let apart = |field: Field, side: &str, others: &[&[Conductor]]| -> Vec<Conductor> {
        let mut own = live_of(&conductors(declared, subject, field));
        let is_shared = |one: &Conductor| {
            others.iter().any(|side| side.iter().any(|other| other.bar == one.bar))
        };
        if own.iter().any(is_shared) {
            for one in &mut own {
                one.bar = format!("{side} {}", one.bar);
            }
        }
        own
    };
    // A neutral may be one bar through the unit: its name says whether it is.
    let neutral_of = |field: Field| {
        let mut all = conductors(declared, subject, field).into_iter();
        let bar = all.find_map(|(pole, bar)| (pole == Pole::N).then_some(bar))?;
        Some(Conductor { name: "N".to_owned(), bar })
    };
    let inputs = apart(Field::AcIn, "ac in", &[&live]);
    let generator = apart(Field::GeneratorIn, "generator in", &[&live, &inputs]);
    Unit {
        name,
        settings: settings.unwrap_or_default(),
        neutral: Conductor { name: "N".to_owned(), bar: neutral_bar },
        input_neutral: neutral_of(Field::AcIn),
        generator_neutral: neutral_of(Field::GeneratorIn),
        inputs,
        generator,
        live,
        volts,
        hertz: milli(Field::Frequency),
        is_joined_right: true,
    }
}

/// What a unit's screen shows and the sheets state.
fn is_read_back(key: &str) -> bool {
    use super::part::Part;
    use crate::field::About;
    matches!(Part::of_line(About::Unit, key), Part::Settings | Part::Output | Part::Firmware)
}

/// The live conductors that units of this supply have, where no sheet says where they go.
fn assumed(declared: &Declared, subject: Subject, supply: Option<Supply>) -> Vec<Conductor> {
    let own = |name: &str| Conductor { name: name.to_owned(), bar: format!("bar {name}") };
    let phase = declared
        .number(subject, Field::Phase)
        .and_then(|code| Phase::from_code(u8::try_from(code).ok()?));
    if let Some(phase) = phase {
        return vec![Conductor { name: "L".to_owned(), ..own(phase.word()) }];
    }
    match supply.map(|supply| supply.system) {
        Some(System::SplitPhase) => vec![own("L1"), own("L2")],
        Some(System::SinglePhase) => vec![Conductor { name: "L".to_owned(), ..own("L") }],
        // How many there are is for the sheets to say.
        Some(System::ThreePhase) | None => {
            vec![Conductor { name: "L".to_owned(), bar: "the bar that it belongs to".to_owned() }]
        }
    }
}

fn conductors(declared: &Declared, subject: Subject, field: Field) -> Vec<(Pole, String)> {
    let Some(Value::Conductors(conductors)) = declared.agreed(subject, field) else {
        return Vec::new();
    };
    conductors.iter().map(|one| (one.pole, one.to.spoken())).collect()
}

/// The live ones. Where there is but one, its terminal is called L.
fn live_of(conductors: &[(Pole, String)]) -> Vec<Conductor> {
    let is_live = |pole: Pole| matches!(pole, Pole::L1 | Pole::L2 | Pole::L3);
    let live: Vec<_> = conductors.iter().filter(|(pole, _)| is_live(*pole)).collect();
    let is_single = live.len() == 1;
    let name = |pole: Pole| if is_single { "L" } else { pole.word() };
    let one = |(pole, bar): &&(Pole, String)| Conductor {
        name: name(*pole).to_owned(),
        bar: bar.clone(),
    };
    live.iter().map(one).collect()
}

fn measured(declared: &Declared, subject: Subject, field: Field) -> Option<f64> {
    let Some(Value::Measured(measured)) = declared.agreed(subject, field) else { return None };
    Some(measured.number())
}

/// How far two packs may differ: the least current that all of them stand, through the two packs
/// of the least resistance. Leads and contacts only make it less.
fn packs_may_differ(declared: &Declared) -> Option<(f64, String)> {
    let packs = 0..declared.packs.len();
    let current = |pack: usize| {
        let limit = |field| declared.number(Subject::Pack(pack), field).map(f64::from);
        let least = limit(Field::PackChargeLimit)?;
        Some(limit(Field::PackDischargeLimit).map_or(least, |other| least.min(other)) / MILLI)
    };
    let amperes = packs.clone().map(current).collect::<Option<Vec<f64>>>()?;
    let mut ohms = packs
        .map(|pack| measured(declared, Subject::Pack(pack), Field::PackOhms))
        .collect::<Option<Vec<f64>>>()?;
    ohms.sort_by(f64::total_cmp);
    let loop_ohms: f64 = ohms.get(..2)?.iter().sum();
    let least = amperes.into_iter().min_by(f64::total_cmp)?;
    let source =
        format!("{least} A through {:.1} mohm of two packs, as declared", loop_ohms * MILLI);
    Some((least * loop_ohms, source))
}

fn sensors(declared: &Declared) -> Vec<(String, Option<f64>)> {
    let rating = |sensor| declared.number(Subject::Sensor(sensor), Field::SensorRating);
    let all = declared.sensors.iter().enumerate();
    all.map(|(at, (sensor, _))| {
        let amperes = rating(at).map(|bits| f64::from(bits) / MILLI);
        (sensor.name.clone(), amperes)
    })
    .collect()
}

fn arrays(declared: &Declared) -> Vec<(String, String)> {
    let Some(Value::Arrays(arrays)) = declared.agreed(Subject::Group, Field::Arrays) else {
        return Vec::new();
    };
    arrays.iter().map(|(array, unit)| (array.spoken(), unit.clone())).collect()
}
