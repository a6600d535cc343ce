//! Who looks at which field: what sizes are computed from, and what only the host's rules see.

use super::Field;

impl Field {
    /// Whether it only says what sizes are computed from: no part of a plan.
    pub const fn is_for_sizes(self) -> bool {
        matches!(
            self,
            Self::BatteryLead | Self::OutputLead | Self::OutputBreaker | Self::BatteryFuse
        ) || self.position() >= Self::Code.position()
    }

    /// Whether a rule that the host checks looks at it: a microcontroller knows nothing of it, or
    /// makes nothing of it.
    pub const fn is_for_host(self) -> bool {
        self.is_for_sizes()
            || matches!(
                self,
                Self::Interlock | Self::Precharge | Self::ChangeoverGap | Self::GeneratorIn
            )
    }
}
