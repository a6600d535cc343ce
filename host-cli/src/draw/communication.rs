//! The communication side: boxes below each other along the link, in as many columns as it takes,
//! and the cables beside them.
//!
//! Every cable leaves its box to the right, runs along a track of the column, and comes back from
//! the right; from column to column it runs in a lane above them. No word is written there, so
//! that no cable crosses one.

mod panels;
mod route;

use super::boxes::{Laid, lay, measured, tag_width};
use super::marks::Marks;
use super::order::order;
use super::scene::{Area, Scene};
use super::things::{CableEnd, Maker, Thing};
use crate::engine::Site;
use panels::Panel;
use std::collections::BTreeMap;

/// Between two boxes.
const GAP: i32 = 14;
/// What hangs on a unit stands further in.
const INDENT: i32 = 22;
/// Between two columns.
pub(super) const BETWEEN: i32 = 18;

/// How much room there is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// Left edge.
    pub(super) x: i32,
    /// Width of a column.
    pub(super) column: i32,
    /// How many columns there are.
    pub(super) columns: usize,
    /// A column that is higher goes on in the next one, if there is one.
    pub(super) highest: i32,
}

/// A box with its place.
#[derive(Debug)]
struct Standing {
    thing: Thing,
    /// Whether it is a point of the link, so that a column may begin with it.
    is_point: bool,
    laid: Laid,
    panel: usize,
    at: (i32, i32),
}

impl Standing {
    const fn indent(&self) -> i32 {
        if self.is_point { 0 } else { INDENT }
    }
}

/// The communication side, measured and ready to be drawn.
#[derive(Debug)]
pub(super) struct Communication {
    boxes: Vec<Standing>,
    panels: Vec<Panel>,
    /// The box that each end of a cable is at.
    ends: BTreeMap<CableEnd, usize>,
    /// The end at which a cable's marks are shown.
    tagged: BTreeMap<usize, CableEnd>,
    lanes: panels::Lanes,
    /// Whether there is room for one column only.
    is_single: bool,
    /// Columns that are used.
    pub(super) columns: usize,
    /// Height below the top.
    pub(super) height: i32,
}

impl Communication {
    /// Measures everything and finds it a place below a height of zero.
    pub(super) fn of(site: &Site, marks: &Marks, room: Room) -> Self {
        let maker = Maker { site, marks };
        let standing = |(node, is_point)| Standing {
            thing: maker.thing(node),
            is_point,
            laid: Laid::default(),
            panel: 0,
            at: (0, 0),
        };
        let boxes: Vec<_> = order(site).into_iter().map(standing).collect();
        let mut all = Self {
            boxes,
            panels: Vec::new(),
            ends: BTreeMap::new(),
            tagged: BTreeMap::new(),
            lanes: panels::Lanes::default(),
            is_single: room.columns == 1,
            columns: 1,
            height: 0,
        };
        all.find_ends();
        // A first guess at the width of the boxes tells where columns end, and that tells which
        // cables run beside each of them, and so the width that is left.
        all.measure(|_| room.column - 90);
        all.split(room);
        all.sort_sockets();
        all.find_tracks(room);
        let widths: Vec<_> = all.panels.iter().map(|panel| panel.boxes).collect();
        all.measure(|panel| widths[panel]);
        all.stand();
        all
    }

    fn find_ends(&mut self) {
        for (position, standing) in self.boxes.iter().enumerate() {
            for entry in standing.thing.sockets.iter().flat_map(|socket| &socket.entries) {
                self.ends.insert(entry.end, position);
                self.tagged.entry(entry.end.0).or_insert(entry.end);
            }
        }
    }

    fn measure(&mut self, width: impl Fn(usize) -> i32) {
        let tagged = &self.tagged;
        for standing in &mut self.boxes {
            let has_tag = |end: CableEnd| tagged.get(&end.0) == Some(&end);
            let width = width(standing.panel) - standing.indent();
            standing.laid = measured(&standing.thing, width, &has_tag);
        }
    }

    /// Sockets in the order in which their cables leave: those that go up, the nearest first, then
    /// what stays, then those that go down, the farthest first. So brackets lie inside each other.
    fn sort_sockets(&mut self) {
        let panel_of: Vec<usize> = self.boxes.iter().map(|standing| standing.panel).collect();
        let ends = self.ends.clone();
        for (position, standing) in self.boxes.iter_mut().enumerate() {
            let key = |end: CableEnd| {
                let other = ends.get(&(end.0, 1 - end.1)).copied();
                let far = |other: usize| std::cmp::Reverse(other);
                match other {
                    None => (2, far(0)),
                    Some(other) if panel_of[other] != panel_of[position] => (1, far(other)),
                    Some(other) if other < position => (0, far(other)),
                    Some(other) if other == position => (2, far(0)),
                    Some(other) => (3, far(other)),
                }
            };
            for socket in &mut standing.thing.sockets {
                socket.entries.sort_by_key(|entry| (key(entry.end), entry.end));
            }
            standing.thing.sockets.sort_by_key(|socket| {
                let first = socket.entries.iter().find(|entry| entry.plug.is_none());
                (first.map_or((2, std::cmp::Reverse(0)), |entry| key(entry.end)), socket.place)
            });
        }
    }

    /// Room for the tags of a column's cables.
    fn tags(&self, panel: usize) -> i32 {
        let own = self.boxes.iter().filter(|standing| standing.panel == panel);
        own.flat_map(|standing| &standing.thing.sockets)
            .flat_map(|socket| &socket.entries)
            .filter(|entry| self.tagged.get(&entry.end.0) == Some(&entry.end))
            .map(|entry| tag_width(&entry.marks))
            .max()
            .unwrap_or(0)
    }

    /// Draws everything below this height.
    pub(super) fn draw(&self, site: &Site, scene: &mut Scene, top: i32) {
        let has_tag = |end: CableEnd| self.tagged.get(&end.0) == Some(&end);
        let width = |standing: &Standing| self.panels[standing.panel].boxes - standing.indent();
        let at = |standing: &Standing| (standing.at.0, standing.at.1 + top);
        let ends: BTreeMap<CableEnd, (i32, i32)> = self
            .boxes
            .iter()
            .flat_map(|standing| {
                let (x, y) = at(standing);
                let ends = standing.laid.ends.iter();
                ends.map(move |(end, from_corner)| (*end, (x + from_corner.0, y + from_corner.1)))
            })
            .collect();
        self.draw_cables(site, scene, top, &ends);
        for standing in &self.boxes {
            let (x, y) = at(standing);
            let area = Area { x, y, w: width(standing), h: standing.laid.height };
            lay(&standing.thing, scene, area, &has_tag);
        }
        self.draw_cuts(scene, top);
    }

    /// Pages may end between rows of columns; where there is only one column, between boxes.
    fn draw_cuts(&self, scene: &mut Scene, top: i32) {
        for panel in self.panels.iter().filter(|panel| panel.column == 0) {
            scene.cuts.push(top + panel.top - self.lanes.height(panel.band) - GAP / 2);
        }
        if self.is_single {
            let below = self.boxes.iter().map(|standing| top + standing.at.1 - GAP / 2);
            scene.cuts.extend(below);
        }
    }
}
