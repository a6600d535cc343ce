//! The power side: battery, AC, neutral, earth, solar inputs.

pub(super) mod ac_earth_missing;
pub(super) mod ac_leg_crossed;
pub(super) mod battery_banks_separate;
pub(super) mod neutral_earth_double_bond;
pub(super) mod neutral_earth_no_bond;
pub(super) mod neutral_not_common;
pub(super) mod pv_array_shared;

use crate::nets::Nets;
use crate::plan::{BondPlace, BondRecord, OperatingState, YesNo};

/// How many bonds between neutral and earth are on the neutral that is in use.
#[derive(Clone, Copy, Default)]
struct Bonds {
    /// Closed for certain.
    closed: u8,
    /// Perhaps: it is not declared, or it depends on where a board stands.
    unclear: u8,
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
            Some(true) => sum.closed = sum.closed.wrapping_add(1),
            Some(false) => {}
            None => sum.unclear = sum.unclear.wrapping_add(1),
        }
    }
    occurs.then_some(sum)
}

/// Whether a bond is closed on the neutral in use; `None` if it cannot be told.
fn is_closed(bond: BondRecord, state: OperatingState, switched: Option<YesNo>) -> Option<bool> {
    if bond.declared & state.code() == 0 {
        return None;
    }
    if bond.closed & state.code() == 0 {
        return Some(false);
    }
    match (bond.place()?, state) {
        // The board of the supply may stand before or behind a changeover that cuts its neutral.
        (BondPlace::MainBoard, OperatingState::Island | OperatingState::Generator) => {
            (switched == Some(YesNo::No)).then_some(true)
        }
        (BondPlace::GeneratorFrame, OperatingState::Supply | OperatingState::Island) => {
            match switched {
                Some(YesNo::Yes) => Some(false),
                Some(YesNo::No) => Some(true),
                None => None,
            }
        }
        _ => Some(true),
    }
}
