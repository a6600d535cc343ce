//! A right site to start from: the cables to lay and the settings to dial in, as a profile
//! demands them.
//!
//! What a plan can choose is chosen: roles, addresses, which socket meets which, what is set. What
//! is found only at the plant or on a part (a length, a firmware, where neutral and earth are
//! joined) is left out, and where it must be declared a blank stands for it: `check` then says
//! `incomplete` and names it, which an invented number would hide. Where the positions of the units are
//! given, the link runs in the order with the least cable, and each cable has the way between its units.

mod cables;
mod facts;
pub mod positions;
pub mod way;

use crate::profile::{self, Profile};
use crate::read::ReadError;
use crate::site_file::{Entry, List, SiteFile, Table};
use crate::words::WIDTH;
use coldcheck_core::limits;
use coldcheck_core::plan::{
    AddressRange, CoordinatorPlace, Coordinators, Demand, DemandValue, Leg, Role, Shape, YesNo,
};
use coldcheck_core::units::Millimetres;
use way::Way;

/// The legs in their order.
const LEGS: [Leg; 3] = [Leg::L1, Leg::L2, Leg::L3];

/// A unit of the plan.
#[derive(Clone, Copy, Debug)]
struct Unit {
    number: u16,
    role: Role,
    address: u16,
    /// Whether it is an end of an open line.
    is_end: bool,
    /// The phase that it makes, where each phase has its own set of units.
    phase: Option<Leg>,
}

impl Unit {
    fn name(self) -> String {
        format!("unit {}", self.number)
    }
}

/// What is to be built.
struct Plan<'p> {
    profile: &'p Profile,
    units: Vec<Unit>,
    shape: Shape,
    /// The units by position, along the link.
    order: Vec<usize>,
    /// The ways between units in millimetres, if their places are known.
    distances: Option<Vec<Vec<u32>>>,
}

/// A right site of so many units under a profile that is named so.
///
/// # Errors
/// Every reason why the profile has no such site.
pub fn start(profile: &Profile, named: &str, count: u16) -> Result<SiteFile, Vec<ReadError>> {
    start_at(profile, named, count, None)
}

/// As [`start`], with the ways between the units in millimetres where their places are known: the link
/// then runs in the order with the least cable.
///
/// # Errors
/// As [`start`].
pub fn start_at(
    profile: &Profile,
    named: &str,
    count: u16,
    distances: Option<Vec<Vec<u32>>>,
) -> Result<SiteFile, Vec<ReadError>> {
    let mut errors = Vec::new();
    check_count(profile, count, &mut errors);
    let addresses = addresses(profile, count).unwrap_or_else(|error| {
        errors.push(error);
        Vec::new()
    });
    let shape = value(profile, Demand::LinkShape).unwrap_or(Shape::Line);
    let wanted = way::Wanted {
        ring: shape == Shape::Ring,
        first_at_end: value(profile, Demand::CoordinatorPlace) == Some(CoordinatorPlace::End),
    };
    let way = distances.as_deref().map(|distances| way::least(distances, wanted));
    let order: Vec<usize> =
        way.as_ref().map_or_else(|| (0..count.into()).collect(), |way| way.order.clone());
    let ends = [order.first().copied(), order.last().copied()];
    let phases = value(profile, Demand::Coordinators) == Some(Coordinators::OneEachPhase);
    let units = (1..=count)
        .zip(addresses)
        .map(|(number, address)| {
            let leads = number <= if phases { 3 } else { 1 };
            Unit {
                number,
                address,
                role: if leads { Role::Coordinator } else { Role::Follower },
                is_end: shape == Shape::Line && ends.contains(&Some(usize::from(number - 1))),
                phase: phases.then(|| LEGS[usize::from(number - 1) % LEGS.len()]),
            }
        })
        .collect();
    let plan = Plan { profile, units, shape, order, distances };
    let cables = plan.cables().unwrap_or_else(|error| {
        errors.push(error);
        Vec::new()
    });
    if !errors.is_empty() {
        return Err(errors);
    }
    let mut tables: Vec<Table> = plan
        .units
        .iter()
        .map(|unit| Table { list: List::Unit, entries: plan.unit_entries(*unit) })
        .collect();
    tables.extend(plan.sensor_tables());
    tables.extend(cables);
    Ok(SiteFile {
        head: head(profile, named, count, way.as_ref()),
        group: plan.group_entries(named),
        demands: Vec::new(),
        lists_cables: true,
        tables,
        remarks: Vec::new(),
    })
}

/// What a person must fill in before the site is complete: the keys of all blanks that must be
/// declared, each once.
pub fn blanks(file: &SiteFile) -> Vec<&str> {
    let entries = file.group.iter().chain(file.tables.iter().flat_map(|table| &table.entries));
    let mut keys: Vec<&str> = Vec::new();
    for entry in entries.filter(|entry| entry.value.is_none()) {
        if !keys.contains(&entry.key.as_str()) {
            keys.push(&entry.key);
        }
    }
    keys
}

/// What the profile demands, as a type of the core.
fn value<T: DemandValue>(profile: &Profile, demand: Demand) -> Option<T> {
    T::from_bits(profile.demands.get(&demand)?.bits)
}

fn refused(says: String, expected: String) -> ReadError {
    ReadError::file("--units", says, expected)
}

/// Adds an error unless a profile allows groups of so many units.
pub(crate) fn check_count(profile: &Profile, count: u16, errors: &mut Vec<ReadError>) {
    let most = u32::try_from(limits::UNITS).unwrap_or(u32::MAX);
    let least: u32 = value(profile, Demand::UnitsMin).unwrap_or(1);
    let most = value(profile, Demand::UnitsMax).unwrap_or(most).min(most);
    if !(least..=most).contains(&count.into()) {
        let from = [Demand::UnitsMin, Demand::UnitsMax]
            .iter()
            .filter_map(|demand| Some((demand, profile.demands.get(demand)?)))
            .map(|(demand, own)| format!("{} = {} ({})", demand.key(), own.text, own.from))
            .collect::<Vec<_>>();
        errors.push(refused(
            format!(
                "profile {} has no site of {}: {}",
                profile.name,
                crate::phrase::counted(count.into(), "unit"),
                from.join("; ")
            ),
            format!("a number from {least} to {most}"),
        ));
    }
}

/// The addresses of the units in their order: from the bottom of the range, without gaps, and the
/// first unit at the address that the coordinator must have.
fn addresses(profile: &Profile, count: u16) -> Result<Vec<u16>, ReadError> {
    let first: Option<u32> = value(profile, Demand::CoordinatorAddress);
    let first = first.and_then(|first| u16::try_from(first).ok());
    // A profile that states both has the one within the other.
    let any = AddressRange { low: first.unwrap_or(1).min(1), high: u16::MAX };
    let range = value(profile, Demand::AddressRange).unwrap_or(any);
    let room = u32::from(range.high).saturating_sub(range.low.into()) + 1;
    if room < count.into() {
        return Err(refused(
            format!(
                "the address range {}-{} of profile {} has {room} addresses, and {count} units \
                 need one each",
                range.low, range.high, profile.name
            ),
            format!("at most {room} units, or a profile with a wider range"),
        ));
    }
    let Some(first) = first else {
        return Ok((range.low..=range.high).take(count.into()).collect());
    };
    // Without gaps the stretch must hold the coordinator's address too.
    let contiguous = value(profile, Demand::AddressesContiguous) == Some(YesNo::Yes);
    let from = if contiguous {
        let last_start = range.high - (count - 1);
        if first - range.low < count { range.low } else { first.min(last_start) }
    } else {
        range.low
    };
    let others = (from..=range.high).filter(|address| *address != first);
    Ok([first].into_iter().chain(others).take(count.into()).collect())
}

fn head(profile: &Profile, named: &str, count: u16, way: Option<&Way>) -> Vec<String> {
    let limits = [Demand::MaxLinkTotal, Demand::MaxCable, Demand::MaxStub];
    let limited = limits.iter().any(|demand| profile.demands.contains_key(demand));
    let lengths = if let Some(way) = way {
        let least = if way.is_least {
            "no order takes less"
        } else {
            "found by improving one order after the other, so another may take less"
        };
        let total = u32::try_from(way.total).unwrap_or(u32::MAX);
        &format!(
            "The order along the link is that with the least cable, {} in all ({least}). Each length \
             is the straight way between two units: correct it when the cable is cut.",
            crate::words::length(Millimetres(total))
        )
    } else if limited {
        "Lengths are not known yet: until they are filled in, no limit of length is checked."
    } else {
        "Lengths are left out: add them when the cables are cut."
    };
    let paragraphs = [
        format!(
            "{count} units to start from, made by `coldcheck new` for the profile {named}: {}.",
            profile.summary
        ),
        "This is a plan: cables to lay and settings to dial in, not what was seen at the plant. \
         What only the plant can tell is not invented. Fill in what `coldcheck check` asks for, \
         and correct every line that was built otherwise."
            .to_owned(),
        lengths.to_owned(),
    ];
    let lines = paragraphs.iter().flat_map(|paragraph| textwrap::wrap(paragraph, WIDTH - 2));
    lines.map(|line| line.into_owned()).collect()
}

impl Plan<'_> {
    fn unit_entries(&self, unit: Unit) -> Vec<Entry> {
        let mut entries = vec![Entry::new("name", unit.name())];
        entries.extend(self.facts_of_unit(unit));
        entries
    }

    fn group_entries(&self, named: &str) -> Vec<Entry> {
        let named = profile::builtin(named).map_or(named, |_| self.profile.name.as_str());
        let mut entries = vec![Entry::new("profile", named)];
        entries.extend(self.facts_of_group());
        entries
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::{builtin, parse};

    fn with(demands: &str) -> Profile {
        let text = builtin("plain").expect("built in");
        parse("mine", &format!("{text}{demands}")).expect("sound")
    }

    #[test]
    fn addresses_follow_range_gaps_and_the_coordinators_own() {
        let from = ", from = \"ours\" }\n";
        let range = format!("\"address range\" = {{ is = \"5-9\"{from}");
        assert_eq!(addresses(&with(&range), 3), Ok(vec![5, 6, 7]));
        assert!(addresses(&with(&range), 6).is_err());
        let own = format!("{range}\"coordinator address\" = {{ is = 9{from}");
        assert_eq!(addresses(&with(&own), 3), Ok(vec![9, 5, 6]));
        let tight = format!("{own}\"addresses without gaps\" = {{ is = \"yes\"{from}");
        assert_eq!(addresses(&with(&tight), 3), Ok(vec![9, 7, 8]));
        let low = tight.replace("is = 9", "is = 6");
        assert_eq!(addresses(&with(&low), 3), Ok(vec![6, 5, 7]));
        let zero = low.replace(&range, "").replace("is = 6", "is = 0");
        assert_eq!(addresses(&with(&zero), 3), Ok(vec![0, 1, 2]));
    }
}
