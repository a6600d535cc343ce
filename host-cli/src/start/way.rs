//! The order of units along a link with the least cable.

/// So many units at the most are ordered by trying every order, in effect; more by improving one.
pub const EXACT: usize = 12;

/// What the link is like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Whether it is closed to a ring.
    pub ring: bool,
    /// Whether the first unit must be at an end.
    pub first_at_end: bool,
}

/// An order of units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// The units by position, along the link.
    pub order: Vec<usize>,
    /// All cables together, in millimetres.
    pub total: u64,
    /// Whether no order takes less cable.
    pub is_least: bool,
}

/// Finds the order; distances are in millimetres, the same both ways.
pub fn least(distances: &[Vec<u32>], wanted: Wanted) -> Way {
    let count = distances.len();
    let is_least = count <= EXACT;
    let mut order = if count < 3 {
        (0..count).collect()
    } else if is_least {
        exact(distances, wanted)
    } else {
        improved(distances, wanted)
    };
    // Of the two ways to walk it, that from the unit that is named first.
    if !wanted.ring && order.first() > order.last() {
        order.reverse();
    }
    Way { total: total(distances, &order, wanted.ring), order, is_least }
}

/// All cables of an order together.
pub fn total(distances: &[Vec<u32>], order: &[usize], ring: bool) -> u64 {
    let way = |from: usize, to: usize| u64::from(distances[from][to]);
    let line: u64 = order.windows(2).map(|pair| way(pair[0], pair[1])).sum();
    let closing = match order {
        [first, .., last] if ring && order.len() > 1 => way(*last, *first),
        _ => 0,
    };
    line + closing
}

/// Dynamic programming over sets of units: the least cable that joins a set and ends at one of it
/// (Held and Karp 1962, from memory).
fn exact(distances: &[Vec<u32>], wanted: Wanted) -> Vec<usize> {
    let count = distances.len();
    let all = (1_usize << count) - 1;
    let mut best = vec![vec![u64::MAX; count]; all + 1];
    let mut before = vec![vec![usize::MAX; count]; all + 1];
    for unit in 0..count {
        // A ring may begin anywhere; a line with its first unit at an end begins there.
        if unit == 0 || !wanted.ring && !wanted.first_at_end {
            best[1 << unit][unit] = 0;
        }
    }
    for set in 1..=all {
        for last in (0..count).filter(|last| set >> last & 1 == 1) {
            let so_far = best[set][last];
            if so_far == u64::MAX {
                continue;
            }
            for next in (0..count).filter(|next| set >> next & 1 == 0) {
                let (grown, cost) = (set | 1 << next, so_far + u64::from(distances[last][next]));
                if cost < best[grown][next] {
                    best[grown][next] = cost;
                    before[grown][next] = last;
                }
            }
        }
    }
    let closed = |last: usize| {
        let back = if wanted.ring { u64::from(distances[last][0]) } else { 0 };
        best[all][last].saturating_add(back)
    };
    let mut last = (0..count).min_by_key(|last| closed(*last)).unwrap_or(0);
    let (mut set, mut order) = (all, vec![last]);
    while before[set][last] != usize::MAX {
        let from = before[set][last];
        set &= !(1 << last);
        last = from;
        order.push(last);
    }
    order.reverse();
    order
}

/// From each unit always on to the nearest one, then stretches turned round and units moved for as long
/// as that saves cable; the best of all beginnings.
fn improved(distances: &[Vec<u32>], wanted: Wanted) -> Vec<usize> {
    let starts = if wanted.first_at_end && !wanted.ring { 0..1 } else { 0..distances.len() };
    let tried = starts.map(|start| {
        let mut order = nearest(distances, start);
        while improve(distances, &mut order, wanted) {}
        order
    });
    tried.min_by_key(|order| total(distances, order, wanted.ring)).unwrap_or_default()
}

fn nearest(distances: &[Vec<u32>], start: usize) -> Vec<usize> {
    let mut order = vec![start];
    while let Some(last) = order.last().copied()
        && order.len() < distances.len()
    {
        let free = (0..distances.len()).filter(|unit| !order.contains(unit));
        order.extend(free.min_by_key(|unit| distances[last][*unit]));
    }
    order
}

/// Takes the first change that saves cable; false if there is none.
fn improve(distances: &[Vec<u32>], order: &mut Vec<usize>, wanted: Wanted) -> bool {
    let count = order.len();
    let now = total(distances, order, wanted.ring);
    let held = usize::from(wanted.first_at_end && !wanted.ring);
    for from in held..count {
        for to in from + 1..count {
            let mut turned = order.clone();
            turned[from..=to].reverse();
            let mut moved = order.clone();
            let unit = moved.remove(from);
            moved.insert(to, unit);
            let mut back = order.clone();
            let unit = back.remove(to);
            back.insert(from, unit);
            for other in [turned, moved, back] {
                if total(distances, &other, wanted.ring) < now {
                    *order = other;
                    return true;
                }
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Distances of points that a small generator draws.
    fn drawn(count: usize, mut state: u64) -> Vec<Vec<u32>> {
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            u32::try_from(state >> 33).expect("31 bits") % 5_000
        };
        let points: Vec<(u32, u32)> = (0..count).map(|_| (next(), next())).collect();
        let way =
            |one: &(u32, u32), two: &(u32, u32)| one.0.abs_diff(two.0) + one.1.abs_diff(two.1);
        points.iter().map(|one| points.iter().map(|two| way(one, two)).collect()).collect()
    }

    /// Every order there is.
    fn by_force(distances: &[Vec<u32>], wanted: Wanted) -> u64 {
        let mut orders = vec![Vec::new()];
        for _ in 0..distances.len() {
            let longer = |order: &Vec<usize>| {
                let free = (0..distances.len()).filter(|unit| !order.contains(unit));
                free.map(|unit| [order.as_slice(), &[unit]].concat()).collect::<Vec<_>>()
            };
            orders = orders.iter().flat_map(longer).collect();
        }
        let fits = |order: &&Vec<usize>| {
            let ends = [order.first(), order.last()];
            !wanted.first_at_end || wanted.ring || ends.contains(&Some(&0))
        };
        let totals = orders.iter().filter(fits).map(|order| total(distances, order, wanted.ring));
        totals.min().expect("one")
    }

    #[test]
    fn no_order_takes_less_cable() {
        for count in 1..=7 {
            for (ring, first_at_end) in [(false, false), (false, true), (true, false)] {
                let wanted = Wanted { ring, first_at_end };
                for state in 0..8 {
                    let distances = drawn(count, state);
                    let way = least(&distances, wanted);
                    let mut sorted = way.order.clone();
                    sorted.sort_unstable();
                    assert_eq!(sorted, (0..count).collect::<Vec<_>>());
                    assert!(way.is_least);
                    assert_eq!(way.total, by_force(&distances, wanted), "{count} {wanted:?}");
                    let ends = [way.order.first(), way.order.last()];
                    assert!(ring || !first_at_end || ends.contains(&Some(&0)));
                }
            }
        }
    }

    #[test]
    fn many_units_are_ordered_well_and_that_is_not_called_the_least() {
        // Along a wall, named in any order: no order is shorter than from end to end.
        let places: Vec<u32> = (0..20).map(|unit| unit * 7 % 20 * 600).collect();
        let way = |one: &u32| places.iter().map(|two| one.abs_diff(*two)).collect();
        let distances: Vec<Vec<u32>> = places.iter().map(way).collect();
        let way = least(&distances, Wanted { ring: false, first_at_end: false });
        assert_eq!((way.total, way.is_least), (19 * 600, false));
        // Against what is certain, where that can still be had.
        for state in 0..20 {
            let distances = drawn(EXACT, state);
            let wanted = Wanted { ring: false, first_at_end: state % 2 == 0 };
            let certain = least(&distances, wanted).total;
            let found = total(&distances, &improved(&distances, wanted), false);
            assert!(found >= certain && found * 100 <= certain * 110, "{found} {certain}");
        }
    }
}
