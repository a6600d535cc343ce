//! All graphs of two to four units with two link sockets each, judged by core and oracle.

use crate::cases::{request, sheet};
use crate::generate::Dice;
use crate::oracle::compare::{Comparer, Difference, Tally};
use crate::oracle::judge;
use crate::oracle::site::{
    Cable, Demands, End, Kind, Leaders, Pairing, Shape, Site, Socket, Terminator, Unit,
};
use coldcheck::engine::read_site;
use coldcheck_core::plan::{CableKind, CableRecord, EndKind, EndRecord, Plan, UnitRecord};
use std::sync::atomic::{AtomicU64, Ordering};

/// Most cables of one graph.
const CABLES: usize = 6;

/// What a run gives.
#[derive(Clone, Debug, Default)]
pub struct Outcome {
    /// Sets of cables.
    pub graphs: u64,
    /// Those in which no socket is taken twice.
    pub matchings: u64,
    /// What was compared.
    pub tally: Tally,
    /// Some differences of each rule, with the site as a line of JSON.
    pub differences: Vec<(String, Difference)>,
    /// How many there are.
    pub differing: u64,
}

/// Ways in which the site is demanded: shape and pairing.
const DEMANDED: [(Shape, Option<Pairing>); 4] = [
    (Shape::Line, None),
    (Shape::Line, Some(Pairing::Across)),
    (Shape::Ring, Some(Pairing::Alike)),
    (Shape::Ring, Some(Pairing::Either)),
];

/// Pairs of sockets that a cable can join, for this many units; a socket is `2 * unit + socket`.
fn pairs(units: usize) -> Vec<(usize, usize)> {
    let sockets = 2 * units;
    (0..sockets).flat_map(|a| (a + 1..sockets).map(move |b| (a, b))).collect()
}

/// Calls for every set of at most [`CABLES`] of so many pairs, as positions in ascending order.
fn every_set(pairs: usize, call: &mut impl FnMut(&[usize])) {
    let mut set: Vec<usize> = Vec::with_capacity(CABLES);
    loop {
        call(&set);
        // The next set: longer if there is room, else the last member that can still move does.
        let next = set.last().map_or(0, |last| last + 1);
        if set.len() < CABLES && next < pairs {
            set.push(next);
            continue;
        }
        loop {
            match set.pop() {
                None => return,
                Some(last) if last + 1 < pairs => {
                    set.push(last + 1);
                    break;
                }
                Some(_) => {}
            }
        }
    }
}

/// Which graphs to judge.
#[derive(Clone, Copy, Debug)]
pub struct Choice {
    /// Of the sets of cables with a socket taken twice, one in so many; the others are few and
    /// judged always.
    pub one_in: usize,
    /// Seed of the die that picks.
    pub seed: u64,
}

/// Judges graphs of two to four units, each with every setting of the terminators, as line and as
/// ring, on as many threads as there are cores. `progress` hears from time to time how many graphs
/// are done.
///
/// # Panics
/// If the template cannot be read.
pub fn judge_all(choice: Choice, progress: &(dyn Fn(u64) + Sync)) -> Outcome {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let done = AtomicU64::new(0);
    let count = |graphs: u64| {
        let before = done.fetch_add(graphs, Ordering::Relaxed);
        progress(before + graphs);
    };
    std::thread::scope(|scope| {
        let share = |thread| move || judge_share(choice, (thread, threads), &count);
        let workers: Vec<_> = (0..threads).map(|thread| scope.spawn(share(thread))).collect();
        let mut whole = Outcome::default();
        for worker in workers {
            whole.add(worker.join().expect("a share is judged"));
        }
        whole
    })
}

/// Judges every so-manieth of the chosen graphs, from this one on.
fn judge_share(
    choice: Choice,
    (thread, threads): (usize, usize),
    count: &(dyn Fn(u64) + Sync),
) -> Outcome {
    let mut outcome = Outcome::default();
    let mut comparer = Comparer::default();
    // Each share rolls the same die for the same graphs.
    let mut dice = Dice::new(choice.seed);
    let mut position = 0;
    for units in 2..=4 {
        let templates = DEMANDED.map(|(shape, pairing)| Template::of(units, shape, pairing));
        let pairs = pairs(units);
        every_set(pairs.len(), &mut |set| {
            let set: Vec<_> = set.iter().map(|index| pairs[*index]).collect();
            let mut sockets: Vec<_> = set.iter().flat_map(|(a, b)| [*a, *b]).collect();
            sockets.sort_unstable();
            let matching = sockets.windows(2).all(|pair| pair[0] != pair[1]);
            if !matching && choice.one_in > 1 && dice.roll(choice.one_in) != 0 {
                return;
            }
            position += 1;
            if position % threads != thread {
                return;
            }
            outcome.graphs += 1;
            outcome.matchings += u64::from(matching);
            for template in &templates {
                template.judge(&set, &mut comparer, &mut outcome);
            }
            if outcome.graphs.is_multiple_of(STEP) {
                count(STEP);
            }
        });
    }
    outcome.tally = comparer.tally;
    outcome
}

/// Graphs between two calls of the progress.
const STEP: u64 = 500;
/// Differences of one rule that are kept; some of each kind are enough.
const KEPT: usize = 6;

impl Outcome {
    fn add(&mut self, other: Self) {
        self.graphs += other.graphs;
        self.matchings += other.matchings;
        self.tally.add(&other.tally);
        self.differing += other.differing;
        for (site, difference) in other.differences {
            self.keep(&difference, || site);
        }
    }

    fn keep(&mut self, difference: &Difference, site: impl FnOnce() -> String) {
        let alike = self.differences.iter().filter(|(_, other)| other.rule == difference.rule);
        if alike.count() < KEPT {
            self.differences.push((site(), difference.clone()));
        }
    }
}

/// A site without link cables, and the same as a plan.
struct Template {
    site: Site,
    image: coldcheck::engine::Site,
}

impl Template {
    fn of(units: usize, shape: Shape, pairing: Option<Pairing>) -> Self {
        let site = right_site_without_link(units, shape, pairing);
        let text = site.json().to_string();
        let sheets = [sheet("template.json", &text)];
        let image = read_site(&request(&sheets, None)).expect("the template can be read");
        Self { site, image }
    }

    fn judge(&self, set: &[(usize, usize)], comparer: &mut Comparer, outcome: &mut Outcome) {
        let plan = Plan::from_body(&self.image.assembled.body).expect("a plan");
        let mut site = self.site.clone();
        site.cables.extend(set.iter().map(|(a, b)| link(*a, *b)));
        let mut cables = plan.cables.to_vec();
        cables.extend(set.iter().map(|(a, b)| record(*a, *b)));
        let mut units: Vec<UnitRecord> = plan.units.to_vec();
        for setting in 0..1usize << units.len() {
            for (index, (record, unit)) in units.iter_mut().zip(&mut site.units).enumerate() {
                let on = setting >> index & 1 != 0;
                record.terminator = terminator(on).code();
                unit.terminator = if on { Terminator::On } else { Terminator::Off };
            }
            let plan = Plan { units: &units, cables: &cables, ..plan };
            for difference in comparer.compare(&plan, &judge(&site)) {
                outcome.differing += 1;
                outcome.keep(&difference, || site.json().to_string());
            }
        }
    }
}

const fn terminator(on: bool) -> coldcheck_core::plan::Terminator {
    if on { coldcheck_core::plan::Terminator::On } else { coldcheck_core::plan::Terminator::Off }
}

/// Roles, addresses, counts, battery link and sensors as they should be.
fn right_site_without_link(units: usize, shape: Shape, pairing: Option<Pairing>) -> Site {
    let count = u16::try_from(units).expect("few units");
    let lead = |end, socket, kind| Cable { ends: [end, End::Unit(0, Some(socket))], kind };
    Site {
        demands: Demands {
            shape,
            terminated: shape == Shape::Line,
            pairing,
            address_range: Some((1, 16)),
            contiguous: true,
            coordinator_address: None,
            // A ring has no ends.
            coordinator_at_end: shape == Shape::Line,
            leaders: Leaders::One,
            count_at_coordinator: false,
            max_units: Some(4),
            battery_link_each: false,
        },
        units: (1..=count)
            .map(|number| Unit {
                leads: number == 1,
                address: Some(number),
                count,
                terminator: Terminator::Off,
                serial: Some(7000 + u32::from(number)),
                phase: 1,
            })
            .collect(),
        cables: vec![
            lead(End::Pack(0), Socket::Battery, Kind::Battery),
            lead(End::Sensor(1), Socket::Sensor, Kind::Sensor),
            lead(End::Sensor(2), Socket::Sensor, Kind::Sensor),
        ],
    }
}

fn link(a: usize, b: usize) -> Cable {
    let end = |socket: usize| {
        let name = if socket.is_multiple_of(2) { Socket::A } else { Socket::B };
        End::Unit(socket / 2, Some(name))
    };
    Cable { ends: [end(a), end(b)], kind: Kind::Link }
}

/// The same cable as the core knows it. Sockets A and B are the first two of profile `plain`.
fn record(a: usize, b: usize) -> CableRecord {
    let end = |socket: usize| EndRecord {
        kind: EndKind::Unit.code(),
        index: u8::try_from(socket / 2).expect("few units"),
        port: u8::try_from(socket % 2).expect("two sockets"),
    };
    CableRecord { ends: [end(a), end(b)], kind: CableKind::Link.code(), ..CableRecord::default() }
}
