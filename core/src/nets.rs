//! Tables of the power side: which terminals lie on which net.

use crate::alike::{Agreement, Values};
use crate::plan::{Net, Plan, Terminal};

/// Terminals by net.
pub struct Nets<'p> {
    /// The plan that the tables were built from.
    pub plan: &'p Plan<'p>,
}

impl<'p> Nets<'p> {
    /// Looks at the power records where they lie.
    pub const fn build(plan: &'p Plan<'p>) -> Self {
        Self { plan }
    }

    /// Whether the like-named terminals of all units lie on one net. Units whose terminal was not
    /// declared are left out.
    ///
    /// A terminal that is joined to no other one counts as a net of its own, so each gets a
    /// number that no net has.
    pub fn agreement(&self, terminal: Terminal) -> Agreement {
        const FIRST_LONELY: u32 = 0x100;
        let mut nets = Values::NONE;
        for ((unit, _), power) in self.plan.units().zip(self.plan.power) {
            match power.net(terminal) {
                Some(Net::ALONE) => nets.set(unit, FIRST_LONELY | u32::from(unit.0)),
                Some(net) => nets.set(unit, u32::from(net.0)),
                None => {}
            }
        }
        Agreement::of(&nets)
    }
}
