//! Shape of the link.

pub(super) mod link_broken;
pub(super) mod link_ring_closed;
pub(super) mod link_ring_open;
pub(super) mod link_self_loop;
pub(super) mod link_too_long;
pub(super) mod unit_not_on_link;
