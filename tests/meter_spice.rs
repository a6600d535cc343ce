//! The host's circuit against ngspice, on generated links of all shapes with every kind of fault;
//! and the core's whole numbers against the host's equations.

use coldcheck::meter::circuit::{Between, Circuit, Pulled, Where};
use coldcheck::meter::expect::{band, probe};
use coldcheck::meter::fault::{Cut, Fault, Kind, singles};
use coldcheck::meter::fit::Spot;
use coldcheck::meter::topology::{Bias, Topology, Wire};
use coldcheck::meter::values::Values;
use coldcheck_core::ohms::{Conditions, Doubtful, MOST_OFF, ohms_under};
use coldcheck_core::plan::Terminator;
use coldcheck_core::units::Milliohms;
use coldcheck_tests::generate::Dice;
use coldcheck_tests::meter::deck::{deck, simulate};
use coldcheck_tests::meter::links::{right_line, true_values};
use coldcheck_tests::meter::{Link, agree};
use std::collections::BTreeMap;

/// Links that are tried; every kind of fault comes up in them many times.
const LINKS: u64 = 200;

/// A link of any shape, with more or fewer terminators than it should have.
fn link(dice: &mut Dice) -> (Link, &'static str) {
    let units = 2 + dice.roll(7);
    let shape = ["line", "ring", "tree", "pieces", "doubled"][dice.roll(5)];
    let mut link = if shape == "line" { right_line(units, dice) } else { Link::of(units) };
    let millimetres = |dice: &mut Dice| {
        let length = 200 + 100 * u32::try_from(dice.roll(300)).expect("few");
        (dice.roll(8) != 0).then_some(length)
    };
    if shape == "line" {
        return (link, shape);
    }
    for unit in 1..units {
        let to = if shape == "tree" { dice.roll(unit) } else { unit - 1 };
        if shape != "pieces" || dice.roll(3) != 0 {
            let length = millimetres(dice);
            link.join(to, unit, length);
        }
    }
    match shape {
        "ring" if units > 2 => {
            let length = millimetres(dice);
            link.join(0, units - 1, length);
        }
        "doubled" => {
            let unit = 1 + dice.roll(units - 1);
            let length = millimetres(dice);
            link.join(unit - 1, unit, length);
        }
        _ => {}
    }
    for unit in 0..units {
        if dice.roll(2) == 0 {
            terminators(&mut link, unit, dice);
        }
    }
    (link, shape)
}

/// What a sheet may say of a unit's terminators: on, plugged, automatic, nothing; and plugs in the
/// list beside, with a value or without.
fn terminators(link: &mut Link, unit: usize, dice: &mut Dice) {
    let ohms = |dice: &mut Dice| u16::try_from(50 + dice.roll(200)).expect("small");
    if dice.roll(2) == 0 {
        let ohms = ohms(dice);
        link.terminate(unit, ohms);
    }
    match dice.roll(6) {
        0 => link.say(unit, Some(Terminator::Automatic)),
        1 => link.say(unit, None),
        2 => link.say(unit, Some(Terminator::Plug)),
        3 => link.say(unit, Some(Terminator::BuiltIn)),
        _ => {}
    }
    for _ in 0..dice.roll(3) {
        if dice.roll(2) == 0 {
            link.plain_plug(unit);
        } else {
            let ohms = ohms(dice);
            link.plug(unit, ohms);
        }
    }
}

/// None to two faults, every kind in turn.
fn faults(topology: &Topology, dice: &mut Dice, turn: usize) -> Vec<Fault> {
    let mut all = singles(topology);
    for cable in 0..topology.cables.len() {
        all.push(Fault::Open { cable, cut: Cut::One });
    }
    for point in 0..topology.points.len() {
        for wire in [Wire::High, Wire::Low] {
            all.push(Fault::Grounded { point, wire, milliohms: 100 });
        }
    }
    let wanted = Kind::ALL[turn % Kind::ALL.len()];
    let of_kind: Vec<Fault> = all.iter().copied().filter(|fault| fault.kind() == wanted).collect();
    let mut chosen = Vec::new();
    if !of_kind.is_empty() {
        chosen.push(of_kind[dice.roll(of_kind.len())]);
    }
    if dice.roll(3) == 0 && !all.is_empty() {
        let second = all[dice.roll(all.len())];
        let takes = |fault: &Fault| matches!(fault, Fault::Missing { .. } | Fault::Moved { .. });
        // One terminator is taken away once, and one state of a cable is enough.
        let clash = |first: &Fault| {
            *first == second || takes(first) && takes(&second) || first.kind() == second.kind()
        };
        if !chosen.iter().any(clash) {
            chosen.push(second);
        }
    }
    chosen
}

#[test]
#[ignore = "needs ngspice"]
fn ngspice_reads_the_same_on_links_of_every_shape_with_every_kind_of_fault() {
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    let mut shapes: BTreeMap<&str, usize> = BTreeMap::new();
    let mut readings = 0;
    for turn in 0..LINKS {
        let mut dice = Dice::new(turn);
        let (link, shape) = link(&mut dice);
        let mut topology = Topology::of(&link.plan());
        if dice.roll(4) == 0 {
            topology.bias = vec![Bias { point: dice.roll(topology.points.len()), ohms: 680.0 }];
        }
        let mut values = true_values(&link, &topology, &mut dice);
        values.rails = if dice.roll(2) == 0 { 1.0 } else { 0.25 };
        values.doubtful_on = topology.points.iter().map(|_| dice.roll(2) == 0).collect();
        let faults = faults(&topology, &mut dice, usize::try_from(turn).expect("few"));
        for fault in &faults {
            *kinds.entry(fault.kind().word()).or_default() += 1;
        }
        *shapes.entry(shape).or_default() += 1;
        let with_common = faults.iter().any(|fault| fault.kind() == Kind::Grounded);
        let mut states = vec![None];
        if !topology.cables.is_empty() {
            let cable = dice.roll(topology.cables.len());
            let at = topology.cables[cable].ends[dice.roll(2)];
            states.push(Some(Pulled { cable, at }));
        }
        for pulled in states {
            let mut places: Vec<Where> = (0..topology.points.len()).map(Where::Point).collect();
            places.extend(pulled.map(|_| Where::Plug));
            let mut betweens = vec![Between::Pair];
            if with_common {
                betweens.extend([Wire::High, Wire::Low].map(Between::Common));
            }
            let probes: Vec<(Spot, Between)> = places
                .iter()
                .flat_map(|place| {
                    betweens.iter().map(move |between| (Spot { place: *place, pulled }, *between))
                })
                .collect();
            let text = deck(&topology, &values, &faults, &probes);
            let simulated = simulate(&format!("link-{turn}"), &text, probes.len());
            let circuit = Circuit::of(&topology, &values, &faults, pulled);
            for ((spot, between), simulated) in probes.iter().zip(simulated) {
                let own = circuit.ohms(spot.place, *between);
                readings += 1;
                assert!(
                    agree(own, simulated, 0.001),
                    "link {turn} ({shape}), {faults:?}, {spot:?} {between:?}: {own}, ngspice {simulated}\n{text}"
                );
            }
        }
    }
    println!("{readings} readings of {LINKS} links agree; {kinds:?}; {shapes:?}");
    assert_eq!(kinds.len(), Kind::ALL.len(), "every kind: {kinds:?}");
    assert_eq!(shapes.len(), 5, "every shape: {shapes:?}");
}

/// Lines and what is left of them, with parts of any value that a plan can have.
#[test]
fn the_core_reads_lines_as_the_host_solves_them() {
    let mut compared = 0;
    let mut furthest: f64 = 0.0;
    for turn in 0..400 {
        let mut dice = Dice::new(turn);
        let units = 1 + dice.roll(32);
        let mut link = Link::of(units);
        for unit in 0..units {
            match dice.roll(6) {
                0 => link.terminate(unit, u16::try_from(1 + dice.roll(2000)).expect("small")),
                1 | 2 => terminators(&mut link, unit, &mut dice),
                _ => {}
            }
            if unit > 0 && dice.roll(12) != 0 {
                let length = u32::try_from(dice.roll(100_000)).expect("small");
                link.join(unit - 1, unit, (dice.roll(6) != 0).then_some(length));
            }
        }
        let plan = link.plan();
        let topology = Topology::of(&plan);
        let conditions = Conditions {
            terminator_permille: 800 + u32::try_from(dice.roll(400)).expect("small"),
            node_ohms: (dice.roll(4) != 0)
                .then(|| 1 + u32::try_from(dice.roll(200_000)).expect("small")),
            conductor: u32::try_from(dice.roll(300_000)).expect("small"),
            warmth: 800_000 + u32::try_from(dice.roll(400_000)).expect("small"),
            contact: u32::try_from(dice.roll(50_000)).expect("small"),
            unknown_length: u32::try_from(dice.roll(30_000)).expect("small"),
            doubtful: [Doubtful::On, Doubtful::Off, Doubtful::AtEnds][dice.roll(3)],
        };
        let values = Values::of(&conditions, &topology);
        let mut spots: Vec<Spot> =
            (0..units).map(|point| Spot { place: Where::Point(point), pulled: None }).collect();
        for (cable, lead) in topology.cables.iter().enumerate() {
            let pulled = Some(Pulled { cable, at: lead.ends[dice.roll(2)] });
            spots.push(Spot { place: Where::Plug, pulled });
            spots.push(Spot { place: Where::Point(dice.roll(units)), pulled });
        }
        for spot in spots {
            let own = ohms_under(&plan, probe(&topology, spot).expect("there"), &conditions)
                .expect("a line");
            let host =
                Circuit::of(&topology, &values, &[], spot.pulled).ohms(spot.place, Between::Pair);
            if own == Milliohms::OPEN {
                assert!(host > 4_294_967.0, "{turn} {spot:?}: {host}");
                continue;
            }
            // Binary fractions of large numbers end somewhere too.
            let off = (f64::from(own.0) / 1000.0 - host).abs() - 1e-9 * host;
            furthest = furthest.max(off);
            assert!(off <= f64::from(MOST_OFF.0) / 1000.0, "{turn} {spot:?}: {own:?}, {host}");
            compared += 1;
        }
    }
    println!("{compared} readings, none further apart than {furthest:.6} ohm");
    assert!(compared > 10_000);
}

/// Whatever a site's parts are within their bounds, its readings lie within the band.
#[test]
fn true_readings_lie_within_the_band() {
    for turn in 0..300 {
        let mut dice = Dice::new(turn);
        let link = right_line(2 + dice.roll(7), &mut dice);
        let plan = link.plan();
        let topology = Topology::of(&plan);
        let values = true_values(&link, &topology, &mut dice);
        for point in 0..topology.points.len() {
            let spot = Spot { place: Where::Point(point), pulled: None };
            let told = Circuit::of(&topology, &values, &[], None).ohms(spot.place, Between::Pair);
            let band = band(&plan, &topology, spot);
            assert!((band.low..=band.high).contains(&told), "{turn} {point}: {told}, {band:?}");
            // Three terminators never read as two, nor one.
            assert!(band.low > 43.4 && band.high < 88.0, "{turn}: {band:?}");
        }
    }
}
