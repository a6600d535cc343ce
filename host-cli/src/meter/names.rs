//! The person's own words for points and cables, and places out of words.

use super::circuit::{Pulled, Where};
use super::fit::Spot;
use super::topology::Topology;
use crate::declared::Spoken;
use crate::engine::Site;
use crate::fold::Folded;
use coldcheck_core::links::Links;
use coldcheck_core::place::{PortId, UnitId};
use coldcheck_core::plan::{Plan, PortClass};
use coldcheck_core::sets::NodeId;

/// Words for the parts of a topology.
#[derive(Clone, Debug)]
pub struct Names<'s> {
    site: &'s Site,
    /// One for each point.
    pub points: Vec<String>,
    /// One for each cable.
    pub cables: Vec<String>,
}

/// Words in front of or behind a cable for its loose plug.
const PLUG_WORDS: [&str; 4] = ["loose plug of", "loose plug", "plug of", "plug"];

impl<'s> Names<'s> {
    /// The words of a site.
    pub fn of(site: &'s Site, topology: &Topology) -> Self {
        let map = &site.assembled.map;
        let declared = &site.declared;
        let point = |node: NodeId| -> Option<String> {
            Some(match (node.unit(), node.device()) {
                (Some(unit), _) => declared.units.get(map.unit(unit)?)?.name.clone(),
                (None, Some(device)) => declared.devices.get(map.device(device)?)?.0.name.clone(),
                (None, None) => return None,
            })
        };
        let named = |name: Option<String>| name.unwrap_or_else(|| "?".to_owned());
        let cable = |id| Some(declared.cables.get(map.cable(id)?)?.label.clone());
        Self {
            site,
            points: topology.points.iter().map(|one| named(point(one.node))).collect(),
            cables: topology.cables.iter().map(|one| named(cable(one.id))).collect(),
        }
    }

    /// A cable's name, with the word in front that tells it from a unit's.
    pub fn cable(&self, cable: usize) -> String {
        let name = self.cables.get(cable).map_or("?", String::as_str);
        if name.to_lowercase().contains("cable") || name.contains(' ') {
            name.to_owned()
        } else {
            format!("cable {name}")
        }
    }

    /// A point's name.
    pub fn point(&self, point: usize) -> &str {
        self.points.get(point).map_or("?", String::as_str)
    }

    /// The one link socket of a point that holds no cable, if the sheets tell.
    pub fn free_socket(&self, plan: &Plan<'_>, topology: &Topology, point: usize) -> Option<&str> {
        let unit = topology.points.get(point)?.node.unit()?;
        let port = Links::build(plan).free_link_port(unit)?;
        Some(self.site.profile.port_name(port))
    }

    /// A spot as `--read` takes it.
    pub fn spot(&self, topology: &Topology, spot: Spot) -> String {
        let place = match (spot.place, spot.pulled) {
            (Where::Point(point), _) => self.point(point).to_owned(),
            (Where::Plug, Some(pulled)) => format!("plug {}", self.cables[pulled.cable]),
            (Where::Plug, None) => "plug".to_owned(),
        };
        match spot.pulled {
            None => place,
            Some(pulled) => {
                let cable = &self.cables[pulled.cable];
                if pulled_at(topology, pulled.cable) == pulled.at {
                    format!("{place}@pull {cable}")
                } else {
                    format!("{place}@pull {cable} at {}", self.point(pulled.at))
                }
            }
        }
    }

    /// The spot that words mean: a place, and the cable that was out. The error is what nobody
    /// understands.
    pub fn meant(
        &self,
        topology: &Topology,
        place: &str,
        pulled: Option<&str>,
    ) -> Result<Spot, String> {
        let pulled = pulled.map(|words| self.pulled(topology, words)).transpose()?;
        if let Some(cable) = plug_of(place) {
            let cable = self
                .link_cable(topology, &cable)
                .ok_or_else(|| format!("`{place}`: no link cable of this site has that name"))?;
            let pulled = match pulled {
                Some(pulled) if pulled.cable == cable => pulled,
                Some(_) => return Err(format!("`{place}`: another cable is out")),
                None => Pulled { cable, at: pulled_at(topology, cable) },
            };
            return Ok(Spot { place: Where::Plug, pulled: Some(pulled) });
        }
        let node = match self.site.declared.spoken(place, &self.site.profile) {
            Some(Spoken::Unit(_, Some(socket))) if !self.is_of_link(socket) => {
                return Err(format!("`{place}` is a socket that is not made for the link"));
            }
            Some(Spoken::Unit(unit, _)) => self.node_of_unit(unit),
            Some(Spoken::Device(device)) => self.node_of_device(device),
            Some(Spoken::Cable(_)) => {
                return Err(format!("`{place}` is a cable; its loose plug is `plug {place}`"));
            }
            None => None,
        };
        let point = node.and_then(|node| topology.position(node)).ok_or_else(|| {
            format!("`{place}`: no unit or device on the link of this site has that name")
        })?;
        Ok(Spot { place: Where::Point(point), pulled })
    }

    /// Whether words name a socket that is made for something else than the link.
    pub fn is_elsewhere(&self, place: &str) -> bool {
        let spoken = self.site.declared.spoken(place, &self.site.profile);
        matches!(spoken, Some(Spoken::Unit(_, Some(socket))) if !self.is_of_link(socket))
    }

    fn is_of_link(&self, socket: PortId) -> bool {
        let port = self.site.profile.ports.get(socket.index());
        port.is_none_or(|port| port.class == PortClass::Link)
    }

    /// `C2`, or `C2 at unit 3`.
    fn pulled(&self, topology: &Topology, words: &str) -> Result<Pulled, String> {
        let words = words.trim();
        if let Some(cable) = self.link_cable(topology, words) {
            return Ok(Pulled { cable, at: pulled_at(topology, cable) });
        }
        let unknown = || format!("pulled `{words}`: no link cable of this site has that name");
        let (cable, at) = words.rsplit_once(" at ").ok_or_else(unknown)?;
        let cable = self.link_cable(topology, cable).ok_or_else(unknown)?;
        let spot = self.meant(topology, at, None)?;
        match spot.place {
            Where::Point(at) if topology.cables[cable].ends.contains(&at) => {
                Ok(Pulled { cable, at })
            }
            Where::Point(_) | Where::Plug => {
                Err(format!("pulled `{words}`: that cable has no end there"))
            }
        }
    }

    fn link_cable(&self, topology: &Topology, name: &str) -> Option<usize> {
        let folded = Folded::of(name);
        let bare = ["cable", "lead"].iter().find_map(|word| folded.after(word));
        let is_it = |label: &String| {
            let label = Folded::of(label);
            !label.is_empty() && (label == folded || Some(&label) == bare.as_ref())
        };
        let mut found = (0..topology.cables.len()).filter(|cable| is_it(&self.cables[*cable]));
        let first = found.next()?;
        found.next().is_none().then_some(first)
    }

    fn node_of_unit(&self, declared: usize) -> Option<NodeId> {
        let units = &self.site.assembled.map.units;
        let position = crate::assemble::position_of(units, declared)?;
        Some(NodeId::of_unit(UnitId(position)))
    }

    fn node_of_device(&self, declared: usize) -> Option<NodeId> {
        let devices = &self.site.assembled.map.devices;
        let position = crate::assemble::position_of(devices, declared)?;
        Some(NodeId::of_device(coldcheck_core::place::DeviceId(position)))
    }
}

/// The cable that words name as a loose plug.
fn plug_of(place: &str) -> Option<String> {
    let place = place.trim();
    let lower = place.to_lowercase();
    PLUG_WORDS.iter().find_map(|word| {
        let before = lower.strip_prefix(word).filter(|rest| rest.starts_with(' '));
        let behind = lower.strip_suffix(word).filter(|rest| rest.ends_with(' '));
        before.or(behind).map(|rest| rest.trim().to_owned())
    })
}

/// Where a cable is pulled unless somebody says otherwise: at an end of the line if it meets one,
/// else at the first of its two points as one walks along.
pub fn pulled_at(topology: &Topology, cable: usize) -> usize {
    let [a, b] = topology.cables[cable].ends;
    let (first, second) = (a.min(b), a.max(b));
    let is_end = |point: usize| topology.cables_at(point).count() == 1;
    if !is_end(first) && is_end(second) { second } else { first }
}
