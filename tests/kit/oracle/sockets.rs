//! Which cable is in which socket.

use super::site::{Cable, Kind, Pairing, Site, Socket};
use super::{Judged, Judgment, Places};

pub(super) fn judge(site: &Site) -> Vec<Judged> {
    let cables = |kind: Kind| site.single_cables().filter(move |(_, c)| c.kind == kind);
    let mut outside = Places::default();
    for (index, cable) in cables(Kind::Link) {
        for (unit, _) in cable.unit_ends().filter(|(_, s)| s.is_some_and(|s| !s.is_link())) {
            outside.add_cable(index);
            outside.add_unit(unit);
        }
    }
    // A cable with both ends at one unit is a loop, whatever its sockets.
    let between_two = |cable: &Cable| {
        let units: Vec<_> = cable.unit_ends().map(|(unit, _)| unit).collect();
        !matches!(units.as_slice(), [one, other] if one == other)
    };
    let against =
        cables(Kind::Link).filter(|(_, cable)| between_two(cable)).filter(|(_, cable)| {
            let sockets: Vec<_> = sockets(cable).collect();
            let [one, other] = sockets.as_slice() else { return false };
            match site.demands.pairing {
                _ if !one.is_link() || !other.is_link() => false,
                Some(Pairing::Across) => one == other,
                Some(Pairing::Alike) => one != other,
                Some(Pairing::Either) | None => false,
            }
        });
    vec![
        ("port-listed-twice", Judgment::at(listed_twice(site))),
        ("link-in-service-port", Judgment::at(outside)),
        (
            "port-pairing-against-policy",
            Judgment::at(Places::of_cables(against.map(|(index, _)| index)))
                .demanded(site.demands.pairing.is_some()),
        ),
    ]
}

fn sockets(cable: &Cable) -> impl Iterator<Item = Socket> {
    cable.unit_ends().filter_map(|(_, socket)| socket)
}

/// Units with a socket that holds plugs of two cables. Sensor leads share their input.
fn listed_twice(site: &Site) -> Places {
    let mut taken: Vec<(usize, Socket, usize)> = Vec::new();
    let mut places = Places::default();
    for (index, cable) in site.single_cables() {
        for (unit, socket) in cable.unit_ends() {
            let Some(socket) = socket.filter(|socket| *socket != Socket::Sensor) else { continue };
            if taken.iter().any(|(u, s, other)| (*u, *s) == (unit, socket) && *other != index) {
                places.add_unit(unit);
            }
            taken.push((unit, socket, index));
        }
    }
    places
}
