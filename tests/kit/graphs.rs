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
    /// The first differences, with the site as a line of JSON.
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

/// Judges graphs of two to four units: all of them, or every one that a die with so many sides
/// picks. Each with every setting of the terminators, as line and as ring. `progress` hears the
/// number of graphs from time to time.
///
/// # Panics
/// If the template cannot be read.
pub fn judge_all(one_in: usize, seed: u64, progress: &mut dyn FnMut(u64)) -> Outcome {
    let mut outcome = Outcome::default();
    let mut comparer = Comparer::default();
    let mut dice = Dice::new(seed);
    for units in 2..=4 {
        let templates = DEMANDED.map(|(shape, pairing)| Template::of(units, shape, pairing));
        let pairs = pairs(units);
        every_set(pairs.len(), &mut |set| {
            let set: Vec<_> = set.iter().map(|index| pairs[*index]).collect();
            let mut sockets: Vec<_> = set.iter().flat_map(|(a, b)| [*a, *b]).collect();
            sockets.sort_unstable();
            let matching = sockets.windows(2).all(|pair| pair[0] != pair[1]);
            // Matchings are few and the only ones with no socket taken twice: all, always.
            if !matching && one_in > 1 && dice.roll(one_in) != 0 {
                return;
            }
            outcome.graphs += 1;
            outcome.matchings += u64::from(matching);
            for template in &templates {
                template.judge(&set, &mut comparer, &mut outcome);
            }
            if outcome.graphs.is_multiple_of(1000) {
                progress(outcome.graphs);
            }
        });
    }
    outcome.tally = comparer.tally;
    outcome
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
                let alike = |(_, other): &&(String, Difference)| other.rule == difference.rule;
                // Some of each kind are enough.
                if outcome.differences.iter().filter(alike).count() < 6 {
                    outcome.differences.push((site.json().to_string(), difference));
                }
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
