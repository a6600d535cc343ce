//! Many drills of like difficulty for one class.

use super::ask::{Ask, MOST_OF_CLASS, Refused};
use super::exercise::Drill;

/// Drills that are tried for one of a class.
const TRIES: u64 = 30;

/// So many drills, no two alike, of which no two differ by more readings than is said.
#[derive(Debug)]
pub struct Class {
    /// The drills.
    pub drills: Vec<Drill>,
    /// The fewest and the most readings that an ideal search needs at the most.
    pub spread: (u32, u32),
}

impl Class {
    /// A class of so many. The first drill is that of the number asked for; the others follow from
    /// it, each with a kind that the class does not have yet where there is one.
    ///
    /// # Errors
    /// Why there are not so many.
    pub fn make(ask: &Ask, count: usize) -> Result<Self, Refused> {
        if !(1..=MOST_OF_CLASS).contains(&count) {
            let says = format!("a class of {count} drills");
            return Err(Refused::new(says, format!("1 to {MOST_OF_CLASS}")));
        }
        let first = Drill::make(ask)?;
        let wanted = first.at_most();
        let mut drills = vec![first];
        let mut spares: Vec<Drill> = Vec::new();
        let mut number = ask.number;
        let most = TRIES * u64::try_from(count).unwrap_or(1);
        for _ in 0..most {
            if drills.len() == count {
                break;
            }
            number = number.wrapping_add(1000);
            let Ok(drill) = Drill::make(&Ask { number, ..ask.clone() }) else { continue };
            let is_like = drill.at_most().abs_diff(wanted) <= 1;
            if !is_like || drills.iter().chain(&spares).any(|other| are_alike(other, &drill)) {
                continue;
            }
            let kinds = |drill: &Drill| drill.causes().map(|cause| cause.kind).collect::<Vec<_>>();
            if drills.iter().any(|other| kinds(other) == kinds(&drill)) {
                spares.push(drill);
            } else {
                drills.push(drill);
            }
        }
        let missing = count.saturating_sub(drills.len());
        drills.extend(spares.into_iter().take(missing));
        if drills.len() < count {
            let says = format!("only {} drills of like difficulty were found", drills.len());
            return Err(Refused::new(says, "fewer, more kinds, another number, or no level"));
        }
        let readings = drills.iter().map(Drill::at_most);
        let spread = (readings.clone().min().unwrap_or(0), readings.max().unwrap_or(0));
        Ok(Self { drills, spread })
    }
}

/// Whether two drills have the same faults on the same bench.
fn are_alike(one: &Drill, two: &Drill) -> bool {
    let done = |drill: &Drill| drill.causes().map(|cause| cause.done.clone()).collect::<Vec<_>>();
    one.bench.right.layout == two.bench.right.layout && done(one) == done(two)
}
