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

/// The bonds in each operating state that the site can be in.
fn bonds_by_state(nets: &Nets<'_>) -> impl Iterator<Item = (OperatingState, Bonds)> {
    let bonds = nets.plan.bonds;
    let switched = nets.plan.group.switches_neutral();
    let generator = OperatingState::Generator;
    let has_generator = bonds.iter().any(|bond| {
        bond.place() == Some(BondPlace::GeneratorFrame)
            || bond.place() == Some(BondPlace::UnitRelay) && bond.declared & generator.code() != 0
    });
    [OperatingState::Supply, OperatingState::Island, generator]
        .into_iter()
        .filter(move |state| *state != generator || has_generator)
        .map(move |state| {
            let mut sum = Bonds::default();
            for bond in bonds {
                match is_closed(*bond, state, switched) {
                    Some(true) => sum.closed = sum.closed.saturating_add(1),
                    Some(false) => {}
                    None => sum.unclear = sum.unclear.saturating_add(1),
                }
            }
            (state, sum)
        })
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
