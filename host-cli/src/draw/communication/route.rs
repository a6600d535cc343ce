//! Cables drawn: out of a box, along their track, and back; through lanes from column to column.

use super::Communication;
use crate::declared::{Declared, End};
use crate::draw::measure::short;
use crate::draw::palette;
use crate::draw::scene::{Paint, Role, Scene, Shape};
use crate::draw::style;
use crate::draw::things::CableEnd;
use crate::engine::Site;
use crate::words;
use std::collections::BTreeMap;

impl Communication {
    pub(super) fn draw_cables(
        &self,
        site: &Site,
        scene: &mut Scene,
        top: i32,
        ends: &BTreeMap<CableEnd, (i32, i32)>,
    ) {
        for cable in self.cables() {
            let (Some(from), Some(to)) = (ends.get(&(cable, 0)), ends.get(&(cable, 1))) else {
                continue;
            };
            let points = self.way(cable, *from, *to, top);
            let title = title(site, cable);
            scene.group(Role::Cable(cable), short(&title, 300));
            // A light edge lets a crossing be seen for what it is.
            let edge = Paint::line(palette::PAPER, 55, "");
            scene.draw(Shape::Line(points.clone(), edge));
            scene.draw(Shape::Line(points, style::cable(site.declared.cables[cable].kind)));
        }
    }

    /// The points that a cable passes.
    fn way(&self, cable: usize, from: (i32, i32), to: (i32, i32), top: i32) -> Vec<(i32, i32)> {
        let Some((a, b)) = self.panels_of(cable) else { return vec![from, to] };
        let (one, two) = (&self.panels[a], &self.panels[b]);
        let (out, back) = (one.track_x(cable), two.track_x(cable));
        if a == b {
            return vec![from, (out, from.1), (out, to.1), to];
        }
        let above = |panel: &super::Panel| top + panel.top - self.lanes.above(panel.band, cable);
        let (lane, other_lane) = (above(one), above(two));
        let mut points = vec![from, (out, from.1), (out, lane)];
        if one.band != two.band {
            let x = self.lanes.beside(cable);
            points.extend([(x, lane), (x, other_lane)]);
        }
        points.extend([(back, other_lane), (back, to.1), to]);
        points
    }
}

/// A cable in words: what it is for, how long it is, and where it goes.
fn title(site: &Site, cable: usize) -> String {
    let declared = &site.declared;
    let own = &declared.cables[cable];
    let kind = style::word(own.kind);
    let length = own.length().map(|length| format!(", {}", words::length(length)));
    let ends = own.ends.map(|end| end_words(declared, site, end));
    format!(
        "cable {}: {kind}{}, from {} to {}",
        own.label,
        length.unwrap_or_default(),
        ends[0],
        ends[1]
    )
}

fn end_words(declared: &Declared, site: &Site, end: End) -> String {
    match end {
        End::Unit(unit, Some(port)) => {
            let name = site.profile.port_name(port);
            format!("socket {name} of {}", declared.units[unit].name)
        }
        End::Unit(unit, None) => declared.units[unit].name.clone(),
        End::Pack(pack) => declared.packs[pack].name.clone(),
        End::Sensor(sensor) => declared.sensors[sensor].0.name.clone(),
        End::Device(device) => declared.devices[device].0.name.clone(),
        End::Open => "an end that hangs free".to_owned(),
        End::Unknown => "where nobody knows".to_owned(),
    }
}
