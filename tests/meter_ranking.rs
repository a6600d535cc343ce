//! Whether the true fault comes first, with readings that are not exact.

use coldcheck::meter::circuit::{Between, Circuit, Pulled, Where};
use coldcheck::meter::expect::{Band, band, stations};
use coldcheck::meter::fault::{Fault, Kind, pairs, singles};
use coldcheck::meter::fit::{Shown, Spot, Taken};
use coldcheck::meter::rank::{Ranked, once_in_a_thousand, rank};
use coldcheck::meter::taken::{Accuracy, USUAL};
use coldcheck::meter::topology::{Bias, Topology};
use coldcheck::meter::values::Values;
use coldcheck_core::ohms::Conditions;
use coldcheck_tests::generate::Dice;
use coldcheck_tests::meter::Link;
use coldcheck_tests::meter::links::{Tally, right_line, shown, true_values, try_all};

/// A line of equal cables, terminated at both ends.
fn line(units: usize) -> Link {
    let mut link = Link::of(units);
    link.terminate(0, 120);
    link.terminate(units - 1, 120);
    for unit in 1..units {
        link.join(unit - 1, unit, Some(2000));
    }
    link
}

fn plugged(point: usize) -> Spot {
    Spot { place: Where::Point(point), pulled: None }
}

fn into_plug(cable: usize, at: usize) -> Spot {
    Spot { place: Where::Plug, pulled: Some(Pulled { cable, at }) }
}

fn read(spot: Spot, ohms: f64) -> Taken {
    Taken { spot, shown: shown(ohms, 0.0) }
}

/// Exact readings of a site whose parts are as usual.
fn exact(link: &Link, topology: &Topology, faults: &[Fault], spots: &[Spot]) -> Vec<Taken> {
    let values = Values::of(&Conditions::typical(&link.plan()), topology);
    let read_at = |spot: &Spot| {
        let circuit = Circuit::of(topology, &values, faults, spot.pulled);
        read(*spot, circuit.ohms(spot.place, Between::Pair))
    };
    spots.iter().map(read_at).collect()
}

/// One in so many single faults of lines of 3 to 8 units; `cargo dev meter` tries all, many times.
const ONE_IN: usize = 4;

#[test]
fn the_true_fault_comes_first_wherever_the_readings_tell_it_apart() {
    let mut tally = Tally::default();
    for units in 3..=8 {
        try_all(units, 1, ONE_IN, |outcome| tally.add(&outcome));
    }
    let (apart, others) = (tally.distinguishable.0, tally.others.0);
    println!(
        "{apart} told apart, {:.3} first; {others} not, {:.3} named",
        tally.share_first(),
        tally.share_named()
    );
    assert!(tally.share_first() >= 0.95 && tally.share_named() >= 0.95, "{tally:?}");
    // A ranking that says of everything that it cannot be told apart would pass otherwise.
    assert!(2 * apart >= others, "{tally:?}");
}

#[test]
fn what_reads_alike_is_told_together() {
    let link = line(5);
    let topology = Topology::of(&link.plan());
    let taken = [read(plugged(0), 119.2), read(plugged(4), 119.0)];
    let ranking = rank(&link.plan(), &topology, &taken);
    let kinds: Vec<Kind> = ranking.front().iter().flat_map(|one| one.hypothesis.kinds()).collect();
    for kind in [Kind::Open, Kind::Missing] {
        assert!(kinds.contains(&kind), "{kinds:?}");
    }
    assert!(!ranking.declared_fits());
    // The last cable, pulled at the last unit: the rest is kilohms with a terminator off at the
    // other end, and open with the cable open.
    let pulled = |rest: f64| {
        let port = Spot { place: Where::Point(4), pulled: Some(Pulled { cable: 3, at: 4 }) };
        let taken = [taken[0], taken[1], read(port, 119.8), read(into_plug(3, 4), rest)];
        let ranking = rank(&link.plan(), &topology, &taken);
        let front: Vec<Fault> =
            ranking.front().iter().flat_map(|one| one.hypothesis.faults.clone()).collect();
        front
    };
    assert!(pulled(11_000.0).contains(&Fault::Missing { point: 0 }));
    let loose = pulled(119.5);
    assert_eq!(loose, [Fault::Loose { cable: 3, at: 4 }], "whole as long as it is held");
    let open = pulled(f64::INFINITY);
    assert!(open.iter().any(|fault| fault.kind() == Kind::Open), "{open:?}");
}

#[test]
fn right_readings_never_rule_out_what_is_declared() {
    for turn in 0..60 {
        let mut dice = Dice::new(turn);
        let units = 2 + dice.roll(10);
        let link = right_line(units, &mut dice);
        let topology = Topology::of(&link.plan());
        let values = true_values(&link, &topology, &mut dice);
        let circuit = Circuit::of(&topology, &values, &[], None);
        let taken: Vec<Taken> = [0, units / 2, units - 1]
            .map(|point| {
                let off = if dice.roll(2) == 0 { 0.01 } else { -0.01 };
                let ohms = circuit.ohms(Where::Point(point), Between::Pair);
                Taken { spot: plugged(point), shown: shown(ohms, off) }
            })
            .to_vec();
        let ranking = rank(&link.plan(), &topology, &taken);
        assert!(ranking.declared_fits(), "{turn}: {taken:?}");
    }
}

#[test]
fn no_reading_within_its_band_speaks_against_a_right_site() {
    for units in [1, 2, 3, 8, 16, 32] {
        let link = if units == 1 {
            let mut link = Link::of(1);
            link.terminate(0, 120);
            link
        } else {
            line(units)
        };
        let plan = link.plan();
        let topology = Topology::of(&plan);
        let spots: Vec<Spot> = stations(&topology).iter().flat_map(|one| one.spots()).collect();
        let bands: Vec<Band> = spots.iter().map(|spot| band(&plan, &topology, *spot)).collect();
        for bound in [|band: &Band| band.low, |band: &Band| band.typical, |band: &Band| band.high] {
            let taken: Vec<Taken> =
                spots.iter().zip(&bands).map(|(spot, band)| read(*spot, bound(band))).collect();
            for several in [&taken[..1], &taken] {
                let ranking = rank(&plan, &topology, several);
                let fits = ranking.fitting.iter().any(|one| one.hypothesis.faults.is_empty());
                assert!(fits, "{units}: {several:?}");
            }
        }
    }
}

#[test]
fn a_dead_short_is_a_short_and_never_fits() {
    for units in [2, 4, 8] {
        let link = line(units);
        let topology = Topology::of(&link.plan());
        for ohms in [0.0, 0.1] {
            for (accuracy, resolution) in
                [(USUAL, 0.1), (USUAL, 1.0), (Accuracy { percent: 0.1, counts: 1.0 }, 0.01)]
            {
                let shown = Shown::Ohms(ohms, accuracy.deviation(ohms, resolution));
                let all = [0, units - 1].map(|point| Taken { spot: plugged(point), shown });
                // Not both ends of a long line are without any ohms by one short, nor those of two
                // metres for a meter that shows hundredths.
                let taken = if units == 2 && resolution > 0.05 { &all[..] } else { &all[..1] };
                let ranking = rank(&link.plan(), &topology, taken);
                assert!(!ranking.declared_fits(), "{units} {ohms} {resolution}");
                let first = ranking.fitting.first().expect("a short fits");
                assert_eq!(first.hypothesis.kinds(), [Kind::Shorted], "{ohms} {resolution}");
                let front = ranking.front();
                assert!(front.iter().all(|one| one.hypothesis.kinds() == [Kind::Shorted]));
                let both = rank(&link.plan(), &topology, &all);
                // Swapped wires in a ring join the two wires too.
                let of_shorts = |one: &Ranked| {
                    let kinds = one.hypothesis.kinds();
                    kinds.contains(&Kind::Shorted) || kinds == [Kind::Swapped, Kind::Ring]
                };
                assert!(both.fitting.iter().all(of_shorts), "{units} {ohms} {resolution}");
            }
        }
    }
}

#[test]
fn two_faults_are_found_where_one_does_not_fit() {
    let link = line(4);
    let topology = Topology::of(&link.plan());
    // Every spot there is, so that most pairs show.
    let mut spots: Vec<Spot> = (0..4).map(plugged).collect();
    for cable in 0..3 {
        for at in [cable, cable + 1] {
            spots.push(into_plug(cable, at));
            let pulled = Some(Pulled { cable, at });
            spots.push(Spot { place: Where::Point(at), pulled });
        }
    }
    let singles = singles(&topology);
    let (mut tried, mut found, mut by_one) = (0, 0, 0);
    for (position, pair) in pairs(&singles).enumerate() {
        if position % 17 != 0 {
            continue;
        }
        tried += 1;
        let ranking = rank(&link.plan(), &topology, &exact(&link, &topology, &pair, &spots));
        if !ranking.pairs_tried {
            // One fault reads the same: two shorts, or one behind an open cable.
            by_one += 1;
            continue;
        }
        let is_it = |faults: &[Fault]| faults == pair || faults == [pair[1], pair[0]];
        let named = ranking.front().iter().any(|one| is_it(&one.hypothesis.faults));
        assert!(named, "{pair:?}");
        found += 1;
    }
    println!("{tried} pairs: {found} named, {by_one} read as one fault");
    assert!(found > tried / 2, "{found} of {tried}");
}

#[test]
fn where_nothing_fits_nothing_is_claimed() {
    let link = line(3);
    let topology = Topology::of(&link.plan());
    // No net of these parts reads 60 ohm at one end and 1 ohm at the other of two metres.
    let taken = [read(plugged(0), 60.0), read(plugged(2), 1.0), read(plugged(1), 300.0)];
    let ranking = rank(&link.plan(), &topology, &taken);
    assert!(ranking.fitting.is_empty() && ranking.nearest.is_some() && ranking.pairs_tried);
}

#[test]
fn bias_resistors_are_no_fault() {
    let link = line(3);
    let mut topology = Topology::of(&link.plan());
    // Two of 100 ohm and rails that are one: less than any two terminators have by themselves.
    let beside = |ohms: f64| (ohms.recip() + 200.0_f64.recip()).recip();
    let taken: Vec<Taken> = [0, 2]
        .into_iter()
        .map(|point| read(plugged(point), beside(60.1)))
        .chain([read(into_plug(1, 2), beside(119.8)), read(into_plug(0, 0), 119.9)])
        .collect();
    let without = rank(&link.plan(), &topology, &taken);
    topology.bias = vec![Bias { point: 0, ohms: 100.0 }];
    let with = rank(&link.plan(), &topology, &taken);
    assert!(with.declared_fits());
    let score = |ranking: &coldcheck::meter::rank::Ranking| {
        let declared = ranking.fitting.iter().find(|one| one.hypothesis.faults.is_empty());
        declared.map_or(f64::INFINITY, |one| one.fit.misfit)
    };
    assert!(score(&with) + 4.0 < score(&without), "{} {}", score(&with), score(&without));
}

#[test]
fn over_range_rules_out_only_what_it_must() {
    let link = line(3);
    let topology = Topology::of(&link.plan());
    let above = |limit: f64| {
        let spot = into_plug(0, 0);
        let taken = [Taken { spot, shown: Shown::Above(limit) }];
        let ranking = rank(&link.plan(), &topology, &taken);
        ranking.fitting.iter().flat_map(|one| one.hypothesis.kinds()).collect::<Vec<_>>()
    };
    // Above 200 ohm: an open cable, or the far terminator gone and only units left.
    let low = above(200.0);
    assert!(low.contains(&Kind::Open) && low.contains(&Kind::Missing), "{low:?}");
    assert!(!low.contains(&Kind::Swapped) && !low.contains(&Kind::Extra), "{low:?}");
}

/// Source: any table of the chi-square distribution, upper 0.1 % points (from memory).
#[test]
fn the_limit_of_chance_is_that_of_the_tables() {
    for (readings, limit) in [(1, 10.83), (2, 13.82), (4, 18.47), (6, 22.46), (10, 29.59)] {
        let told = once_in_a_thousand(readings);
        assert!((told / limit - 1.0).abs() < 0.04, "{readings}: {told}, {limit}");
    }
}
