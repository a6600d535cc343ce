//! Tables of the power side: which terminals lie on which net.

use crate::alike::Agreement;
use crate::plan::{Plan, PowerRecord, Terminal};

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
        Agreement::of(self.plan.units().zip(self.plan.power).filter_map(
            move |((unit, _), power): (_, &PowerRecord)| {
                let net = power.net(terminal)?;
                let number = if net == crate::plan::Net::ALONE {
                    FIRST_LONELY | u32::from(unit.0)
                } else {
                    u32::from(net.0)
                };
                Some((unit, number))
            },
        ))
    }
}
