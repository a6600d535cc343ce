//! Firmware, settings, protocols and speeds: what must be alike.

pub(super) mod bitrate_mismatch;
pub(super) mod firmware_mixed;
pub(super) mod model_mixed;
pub(super) mod protocol_not_matching;
pub(super) mod serial_rate_or_parity;
pub(super) mod settings_differ_between_units;
pub(super) mod two_pollers_on_one_pair;
pub(super) mod two_services_on_one_bus;
