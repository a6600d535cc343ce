//! Many drills of like difficulty for one class.

use super::ask::{Ask, MOST_OF_CLASS, Refused};
use super::exercise::Drill;

/// Drills that are tried for one of a class.
const TRIES: u64 = 30;
/// No part of the plant has more than one in so many drills of a class.
pub const PARTS: usize = 3;

/// So many drills, no two alike, that take like numbers of readings.
#[derive(Debug)]
pub struct Class {
    /// The drills.
    pub drills: Vec<Drill>,
    /// The fewest and the most readings that an ideal search takes for the faults that they have.
    pub taken: (u32, u32),
    /// The fewest and the most readings that it needs at the most.
    pub spread: (u32, u32),
}

impl Class {
    /// One drill alone.
    pub fn of(drill: Drill) -> Self {
        let (taken, spread) = (drill.readings(), drill.at_most());
        Self { drills: vec![drill], taken: (taken, taken), spread: (spread, spread) }
    }

    /// A class of so many. The first drill is that of the number asked for; the others follow from
    /// it. The readings that their faults take differ by one at the most, and no part of the plant
    /// has more than a third of the drills, as far as there are faults for that.
    ///
    /// # Errors
    /// Why there are not so many.
    pub fn make(ask: &Ask, count: usize) -> Result<Self, Refused> {
        Self::make_telling(ask, count, &mut |_| ())
    }

    /// The same; after each drill that may be one of the class, how many there are is told.
    ///
    /// # Errors
    /// Why there are not so many.
    pub fn make_telling(
        ask: &Ask,
        count: usize,
        tell: &mut dyn FnMut(usize),
    ) -> Result<Self, Refused> {
        if !(1..=MOST_OF_CLASS).contains(&count) {
            let says = format!("a class of {count} drills");
            return Err(Refused::new(says, format!("1 to {MOST_OF_CLASS}")));
        }
        let mut all = vec![Drill::make(ask)?];
        let mut number = ask.number;
        let most = TRIES * u64::try_from(count).unwrap_or(1);
        for _ in 0..most {
            if count == 1 || fitting(&all, count).is_some() {
                break;
            }
            number = number.wrapping_add(1000);
            let Ok(drill) = Drill::make(&Ask { number, ..ask.clone() }) else { continue };
            let is_like = drill.at_most().abs_diff(all[0].at_most()) <= 1;
            if is_like && all.iter().all(|other| !are_alike(other, &drill)) {
                all.push(drill);
                tell(all.len());
            }
        }
        let chosen = fitting(&all, count).unwrap_or_else(|| nearest(&all, count));
        if chosen.len() < count {
            let says = format!("only {} drills of like difficulty were found", chosen.len());
            return Err(Refused::new(says, "fewer, more kinds, another number, or no level"));
        }
        let mut drills: Vec<Option<Drill>> = all.into_iter().map(Some).collect();
        let drills: Vec<Drill> = chosen.into_iter().filter_map(|at| drills[at].take()).collect();
        let (taken, spread) = (range(&drills, Drill::readings), range(&drills, Drill::at_most));
        Ok(Self { drills, taken, spread })
    }
}

fn range(drills: &[Drill], readings: impl Fn(&Drill) -> u32) -> (u32, u32) {
    let of = || drills.iter().map(&readings);
    (of().min().unwrap_or(0), of().max().unwrap_or(0))
}

/// A class out of drills, the first of them among it, that keeps both promises; kinds that it does
/// not have yet come first.
fn fitting(all: &[Drill], count: usize) -> Option<Vec<usize>> {
    let first = all[0].readings();
    let windows = [(first, first + 1), (first.saturating_sub(1), first)];
    windows.into_iter().find_map(|(least, most)| {
        let chosen = chosen(all, count, count.div_ceil(PARTS), |drill| {
            (least..=most).contains(&drill.readings())
        });
        (chosen.len() == count).then_some(chosen)
    })
}

/// The nearest to it that there is: readings as near to the first drill's as may be, then parts.
fn nearest(all: &[Drill], count: usize) -> Vec<usize> {
    let first = all[0].readings();
    let limits = (1..=u32::MAX).map_while(|far| {
        let widest = all.iter().map(|drill| drill.readings().abs_diff(first)).max()?;
        (far <= widest.max(1)).then_some(far)
    });
    let mut best = Vec::new();
    for far in limits {
        for of_part in [count.div_ceil(PARTS), count] {
            best = chosen(all, count, of_part, |drill| drill.readings().abs_diff(first) <= far);
            if best.len() == count {
                return best;
            }
        }
    }
    best
}

/// Up to so many drills that fit, no part having more than so many, new kinds first.
fn chosen(
    all: &[Drill],
    count: usize,
    of_part: usize,
    fits: impl Fn(&Drill) -> bool,
) -> Vec<usize> {
    let kinds = |at: usize| all[at].causes().map(|cause| cause.kind).collect::<Vec<_>>();
    let mut chosen: Vec<usize> = Vec::new();
    for with_known_kinds in [false, true] {
        for at in (0..all.len()).filter(|at| fits(&all[*at])) {
            let has_part = |part: &str, own: &usize| all[*own].parts().any(|other| other == part);
            let is_full =
                |part: &str| chosen.iter().filter(|own| has_part(part, own)).count() >= of_part;
            let is_known = chosen.iter().any(|own| kinds(*own) == kinds(at));
            let is_in = chosen.contains(&at);
            if chosen.len() < count
                && !is_in
                && (with_known_kinds || !is_known)
                && !all[at].parts().any(is_full)
            {
                chosen.push(at);
            }
        }
    }
    chosen.sort_unstable();
    chosen
}

/// Whether two drills have the same faults, on whatever bench.
fn are_alike(one: &Drill, two: &Drill) -> bool {
    let done = |drill: &Drill| drill.causes().map(|cause| cause.done.clone()).collect::<Vec<_>>();
    done(one) == done(two)
}
