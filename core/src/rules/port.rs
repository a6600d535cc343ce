//! Ports, pins and cable types.

pub(super) mod port_listed_twice;
