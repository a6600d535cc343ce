//! The power side: battery, AC, neutral, earth, solar inputs.

pub(super) mod ac_earth_missing;
pub(super) mod ac_leads_unequal;
pub(super) mod ac_leg_crossed;
pub(super) mod battery_banks_separate;
pub(super) mod dc_leads_unequal;
pub(super) mod generator_bond_unknown;
pub(super) mod grid_profile_wrong;
pub(super) mod input_legs_not_as_output;
pub(super) mod leg_assignment_wrong;
pub(super) mod line_on_neutral_bar;
pub(super) mod neutral_earth_double_bond;
pub(super) mod neutral_earth_no_bond;
pub(super) mod neutral_not_common;
pub(super) mod neutral_not_switched_with_bond;
pub(super) mod no_interlock_backfeed;
pub(super) mod no_precharge;
pub(super) mod pv_array_shared;
pub(super) mod supply_not_split_phase;
pub(super) mod transfer_inputs_exchanged;
pub(super) mod transfer_too_fast;

use crate::nets::Nets;
use crate::plan::{
    BondPlace, BondRecord, Datum, Net, OperatingState, PowerRecord, Terminal, UnitRecord, YesNo,
};
use crate::sets::UnitSet;

/// A leg, from 0, and the net that it lies on together with another terminal.
type OnNet = (usize, usize);

/// The legs of a unit that are looked at.
#[derive(Clone, Copy)]
enum Legs {
    /// Those at three terminals, in the order of their names.
    At([Terminal; 3]),
    /// The only one, as it is set.
    AsSet,
}

impl Legs {
    fn of(self, unit: &UnitRecord, power: &PowerRecord) -> [Option<OnNet>; 3] {
        match self {
            Self::At([one, two, three]) => {
                [on_net(power, 0, one), on_net(power, 1, two), on_net(power, 2, three)]
            }
            Self::AsSet => {
                let leg = unit.phase().map(|leg| usize::from(leg.code()).wrapping_sub(1));
                [leg.and_then(|leg| only_leg(power, leg)), None, None]
            }
        }
    }
}

/// The leg of this number at a terminal, if it lies on a net with another terminal.
#[inline(never)]
fn on_net(power: &PowerRecord, leg: usize, terminal: Terminal) -> Option<OnNet> {
    power.net(terminal).filter(|net| *net != Net::ALONE).map(|net| (leg, usize::from(net.0)))
}

/// The bar that the only leg of a unit feeds, together with another unit.
fn only_leg(power: &PowerRecord, leg: usize) -> Option<OnNet> {
    let has_one = power.net(Terminal::OutL2).is_none() && power.net(Terminal::OutL3).is_none();
    on_net(power, leg, Terminal::OutL1).filter(|_| has_one)
}

/// Units of which a leg at these terminals lies on a net that more units, or as many, use for
/// another leg. Free where all units have each on one net.
#[inline(always)]
fn crossed(nets: &Nets<'_>, terminals: [Terminal; 3]) -> UnitSet {
    if nets.are_common(&terminals) {
        return UnitSet::EMPTY;
    }
    misplaced(nets, Legs::At(terminals), false)
}

/// Units of which two poles of the output lie on one net: a short, also where all are alike.
fn bridged(nets: &Nets<'_>) -> UnitSet {
    const POLES: [Terminal; 4] =
        [Terminal::OutL1, Terminal::OutL2, Terminal::OutL3, Terminal::OutN];
    const _: () = assert!(Terminal::OutL1.position() == 2 && Terminal::OutN.position() == 5);
    let is_bridged = |power: &PowerRecord| {
        // As `POLES` has them: behind the two of the battery.
        let [_, _, one, two, three, four, ..] = power.nets;
        let meets = |net: u8, other: u8| net == other && net != 0 && net != Net::ALONE.0;
        meets(one, two)
            || meets(one, three)
            || meets(one, four)
            || meets(two, three)
            || meets(two, four)
            || meets(three, four)
    };
    // Where all are alike, the first one tells of all.
    let mut bridged = UnitSet::EMPTY;
    if !nets.are_common(&POLES) || nets.plan.power.first().is_some_and(is_bridged) {
        for ((id, _), power) in nets.plan.units().zip(nets.plan.power) {
            if is_bridged(power) {
                bridged.insert(id);
            }
        }
    }
    bridged
}

/// Units of which a leg shares its net with another leg: those of whom there are fewer; or all, if
/// nobody can be singled out. With `one_net` a leg must not lie on two nets either.
#[inline(never)]
fn misplaced(nets: &Nets<'_>, legs: Legs, one_net: bool) -> UnitSet {
    let mut misplaced = UnitSet::EMPTY;
    // When the strangers are gone, the rest may be right.
    for all in [false, true] {
        // How many units have each leg on each net.
        let mut users = [[0u8; 256]; 3];
        let mut found = UnitSet::EMPTY;
        for counts in [true, false] {
            for ((id, unit), power) in nets.plan.units().zip(nets.plan.power) {
                if misplaced.contains(id) {
                    continue;
                }
                for (leg, net) in legs.of(unit, power).into_iter().flatten() {
                    let Some(own) = users.get_mut(leg).and_then(|own| own.get_mut(net)) else {
                        continue;
                    };
                    if counts {
                        *own = own.wrapping_add(1);
                        continue;
                    }
                    let least = if all { 1 } else { own.wrapping_add(1) };
                    if has_rival(&users, (leg, net), one_net, least) {
                        found.insert(id);
                    }
                }
            }
        }
        misplaced = misplaced.or(found);
    }
    misplaced
}

/// Whether at least so many units have another leg on the net or, with `one_net`, the leg on
/// another net.
fn has_rival(users: &[[u8; 256]; 3], (leg, net): OnNet, one_net: bool, least: u8) -> bool {
    [0, 1, 2].into_iter().zip(users).any(|(other, own)| {
        if other == leg {
            let others = [0u8..=255].into_iter().flatten().zip(own);
            one_net
                && others.into_iter().any(|(at, count)| usize::from(at) != net && *count >= least)
        } else {
            own.get(net).is_some_and(|count| *count >= least)
        }
    })
}

/// How many bonds between neutral and earth are on the neutral that is in use.
#[derive(Clone, Copy, Default)]
struct Bonds {
    /// Closed for certain.
    closed: u8,
    /// Of these, the ones that a generator has of its own.
    of_generator: u8,
    /// Perhaps: it is not declared, or it depends on where a board stands.
    unclear: u8,
}

impl Bonds {
    /// Whether there is one bond too many, and only because the generator's comes in over a neutral
    /// that is not switched.
    fn meet_over_neutral(self, nets: &Nets<'_>) -> bool {
        self.closed > 1
            && self.of_generator != 0
            && self.closed.wrapping_sub(self.of_generator) <= 1
            && nets.plan.group.switches_neutral() == Some(YesNo::No)
    }
}

/// The operating states that a site can be in.
const STATES: [OperatingState; 3] =
    [OperatingState::Supply, OperatingState::Island, OperatingState::Generator];

/// The bonds in an operating state; `None` if the site has no generator that could run.
#[inline(never)]
fn bonds_in(nets: &Nets<'_>, state: OperatingState) -> Option<Bonds> {
    let switched = nets.plan.group.switches_neutral();
    let mut sum = Bonds::default();
    let mut occurs = state != OperatingState::Generator;
    for bond in nets.plan.bonds {
        let place = bond.place();
        occurs |= place == Some(BondPlace::GeneratorFrame)
            || place == Some(BondPlace::UnitRelay) && bond.declared & state.code() != 0;
        match is_closed(*bond, state, switched) {
            Some(true) => {
                sum.closed = sum.closed.wrapping_add(1);
                let of_generator = u8::from(place == Some(BondPlace::GeneratorFrame));
                sum.of_generator = sum.of_generator.wrapping_add(of_generator);
            }
            Some(false) => {}
            None => sum.unclear = sum.unclear.wrapping_add(1),
        }
    }
    occurs.then_some(sum)
}

/// What would make an unclear bond clear: which poles are switched or, where that is declared, more
/// about the bonds.
const fn unclear(nets: &Nets<'_>) -> Datum {
    if nets.plan.group.switches_neutral().is_some() { Datum::Bonds } else { Datum::Changeover }
}

/// Whether a bond is closed on the neutral in use; `None` if it cannot be told.
fn is_closed(bond: BondRecord, state: OperatingState, switched: Option<YesNo>) -> Option<bool> {
    if bond.declared & state.code() == 0 {
        return None;
    }
    if bond.closed & state.code() == 0 {
        return Some(false);
    }
    let elsewhere = match (bond.place()?, state) {
        // Such a board may stand before or behind a changeover that cuts its neutral.
        (
            BondPlace::MainBoard | BondPlace::Other,
            OperatingState::Island | OperatingState::Generator,
        ) => return (switched == Some(YesNo::No)).then_some(true),
        (BondPlace::BeforeChangeover, state) => state != OperatingState::Supply,
        (BondPlace::GeneratorFrame, state) => state != OperatingState::Generator,
        _ => false,
    };
    // What is on the neutral of a source that is not in use is joined unless the neutral is cut.
    if elsewhere { switched.map(|switched| switched == YesNo::No) } else { Some(true) }
}
