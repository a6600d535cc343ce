//! Terminators: none, too few, too many, in the wrong place.

use super::link::{Line, Point};
use super::site::{Site, Terminator, Unit};
use super::{Judged, Judgment, Places};

pub(super) fn judge(site: &Site, line: &Line) -> Vec<Judged> {
    let ends = line.ends();
    let is_end = |unit: usize| ends.contains(&Point::Unit(unit));
    let is_on = |unit: usize| match site.units[unit].terminator {
        Terminator::On | Terminator::BuiltIn => true,
        // On an open ring that wants none it is the missing cable that is to blame.
        Terminator::Automatic => site.demands.terminated && is_end(unit),
        Terminator::Off => false,
    };
    let on: Vec<usize> = (0..site.units.len()).filter(|unit| is_on(*unit)).collect();
    let open = |end: &&Point| !matches!(end, Point::Unit(unit) if is_on(*unit));
    let mut open_ends = Places::default();
    ends.iter().filter(open).for_each(|end| end.add_to(&mut open_ends));
    let middle: Vec<usize> = on.iter().copied().filter(|unit| !is_end(*unit)).collect();
    // On a line that is not whole, one that minds itself may still become an end.
    let may_be_on = |unit: &Unit| unit.terminator == Terminator::Automatic && !line.is_whole();
    let none = on.is_empty() && !site.units.iter().any(may_be_on);
    let missing = if none { Places::default() } else { open_ends };
    // One that switches itself on in a broken or branched line is no fault of its own.
    let minds_itself = |unit: &&usize| site.units[**unit].terminator == Terminator::Automatic;
    let excused = if line.is_whole() { 0 } else { on.iter().filter(minds_itself).count() };
    let wanted = if site.demands.terminated { 2 } else { 0 };
    let both = site.demands.terminated;
    vec![
        ("term-missing-both-ends", Judgment::broken(none).demanded(both)),
        ("term-too-many", Judgment::broken(on.len() - excused > wanted)),
        ("term-missing-one-end", Judgment::at(missing).demanded(both)),
        ("term-on-middle-unit", Judgment::at(Places::of_units(middle)).demanded(both)),
    ]
}
