//! Every capacity of the core, and why that number.
//!
//! A site that is larger is refused by the reader or by [`crate::plan::Plan::from_body`] with the
//! name of the limit; nothing is cut off in silence.

/// Units in one group: one bit each in a [`crate::sets::UnitSet`], and the node limit that common
/// transceivers give for one pair without a repeater.
pub const UNITS: usize = 32;

/// Sockets of one unit that a profile can name: one nibble each in the `ports` demand.
pub const PORTS: usize = 8;

/// Communication cables and terminator plugs: one bit each in a [`crate::sets::CableSet`]. A ring
/// of 32 units takes 32, which leaves 32 for battery, sensor, meter and terminator leads.
pub const CABLES: usize = 64;

/// Current transformers: four for each leg of a three-phase group, with room left.
pub const SENSORS: usize = 16;

/// Battery packs on all banks together: two for each unit.
pub const PACKS: usize = 64;

/// Other devices on the data cables: gateways, splitters, meters, network gear.
pub const DEVICES: usize = 16;

/// Places where neutral and earth can be joined.
pub const BONDS: usize = 40;

/// Points of the communication link: units first, then other devices; one bit each in a
/// [`crate::sets::NodeSet`].
pub const NODES: usize = UNITS + DEVICES;

/// Power terminals of one unit that a plan can place on a net (see
/// [`crate::plan::Terminal`]), with three to spare.
pub const TERMINALS: usize = 24;

/// Nets that join at least two terminals. Net numbers are one byte; 0 means not declared and 255
/// means joined to no other terminal of the group.
pub const NETS: usize = 254;

/// Demands that a profile can state; the record has spare places, so that an older image stays
/// readable when demands are added.
pub const DEMANDS: usize = 52;

/// Rule numbers on the wire are below this.
pub const RULES: usize = 180;

/// Findings that a gateway lends room for; a host lends more.
pub const GATEWAY_FINDINGS: usize = 48;

/// Places that a gateway lends room for.
pub const GATEWAY_PLACES: usize = 128;

/// Kinds of frames that a profile can list: each fact about a unit in one of its own, and some to
/// spare.
pub const FRAMES: usize = 8;

/// Addresses that a gateway keeps apart while it listens: the units and four strangers. More
/// strangers are counted.
pub const SPEAKERS: usize = UNITS + 4;

/// Identities that quarrel about an address at one time.
pub const RIVALS: usize = 2;

/// The longest body of a plan image. A full plan of 32 units is below 6 KiB.
pub const BODY_BYTES: usize = 8 * 1024;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_of_the_link_fit_a_set() {
        assert_eq!(NODES, UNITS + DEVICES);
        const { assert!(NODES <= 64) };
    }
}
