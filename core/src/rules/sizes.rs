//! Sizes of the power side: computed by the host from tables, never by a microcontroller.

pub(super) mod bank_too_small;
pub(super) mod battery_fuse_too_large;
pub(super) mod battery_fuse_too_small;
pub(super) mod breaker_shared_wrong;
pub(super) mod breaker_too_large;
pub(super) mod breaker_too_small;
pub(super) mod busbar_overloaded;
pub(super) mod conductor_too_small;
pub(super) mod earth_conductor_too_small;
pub(super) mod fuse_cannot_interrupt;
pub(super) mod island_fault_current_low;
pub(super) mod pv_input_mapping_wrong;
pub(super) mod sensor_burden_high;
pub(super) mod source_limit_too_high;
pub(super) mod string_current_high;
pub(super) mod string_fuse_missing;
pub(super) mod string_voltage_high;
pub(super) mod string_voltage_near_limit;
pub(super) mod voltage_drop_high;
