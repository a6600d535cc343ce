//! Columns of boxes: where one ends, which cables run beside it, and how wide that makes it.

use super::{BETWEEN, Communication, GAP, Room};
use crate::draw::wires::{Span, tracks};
use std::collections::BTreeMap;

/// A box is no narrower.
const NARROWEST: i32 = 130;
/// From one track to the next: at the most, and at the least.
const PITCH: (i32, i32) = (8, 3);
/// From one lane to the next: at the most, and at the least.
const LANE: (i32, i32) = (7, 3);
/// Lanes beside each other take no more, as long as they can be told apart.
const LANES: i32 = 110;
/// From the edge of a box to the first tag.
pub(super) const STUB: i32 = 8;

/// A column of boxes with the cables beside it.
#[derive(Clone, Debug, Default)]
pub(super) struct Panel {
    /// Which row of columns it is in.
    pub(super) band: usize,
    /// Which column of that row it is.
    pub(super) column: usize,
    /// Its first box.
    pub(super) first: usize,
    /// The box behind its last one.
    pub(super) behind: usize,
    /// Width of its boxes.
    pub(super) boxes: i32,
    /// Left edge.
    pub(super) x: i32,
    /// Top of its first box.
    pub(super) top: i32,
    /// Room for tags.
    tags: i32,
    pitch: i32,
    /// Track of each cable that runs here.
    track: BTreeMap<usize, i32>,
}

impl Panel {
    /// Where a cable runs.
    pub(super) fn track_x(&self, cable: usize) -> i32 {
        let track = self.track.get(&cable).copied().unwrap_or(0);
        self.x + self.boxes + STUB + self.tags + 6 + track * self.pitch
    }
}

/// Lanes in which cables run from column to column.
#[derive(Clone, Debug, Default)]
pub(super) struct Lanes {
    /// For each row of columns, the lane of each cable above it.
    above: Vec<BTreeMap<usize, i32>>,
    /// The lane of each cable beside all columns.
    beside: BTreeMap<usize, i32>,
    /// Left edge of those.
    x: i32,
}

impl Lanes {
    /// Height of the lanes above a row of columns.
    pub(super) fn height(&self, band: usize) -> i32 {
        let lanes = self.above.get(band);
        let count = lanes.map_or(0, count);
        if count == 0 { 0 } else { count * pitch(count) + 4 }
    }

    /// How far above the row of columns a cable runs.
    pub(super) fn above(&self, band: usize, cable: usize) -> i32 {
        let Some(lanes) = self.above.get(band) else { return 0 };
        pitch(count(lanes)) * (lanes.get(&cable).copied().unwrap_or(0) + 1)
    }

    /// Where a cable runs from one row of columns to another.
    pub(super) fn beside(&self, cable: usize) -> i32 {
        let lane = self.beside.get(&cable).copied().unwrap_or(0);
        self.x + pitch(count(&self.beside)) * (lane + 1)
    }
}

/// How many lanes there are.
fn count(lanes: &BTreeMap<usize, i32>) -> i32 {
    lanes.values().max().map_or(0, |last| last + 1)
}

/// From one of so many lanes to the next.
fn pitch(count: i32) -> i32 {
    (LANES / count.max(1)).clamp(LANE.1, LANE.0)
}

impl Communication {
    /// Cuts the boxes into columns of about one height. A column begins with a point of the link.
    pub(super) fn split(&mut self, room: Room) {
        let total: i32 = self.boxes.iter().map(|standing| standing.laid.height + GAP).sum();
        let columns = i32::try_from(room.columns).unwrap_or(1);
        let one = total <= room.highest || room.columns == 1;
        let bands = (total + columns * room.highest - 1) / (columns * room.highest);
        let mut target = if one { i32::MAX } else { total / (bands * columns) };
        let most = usize::try_from(bands * columns).unwrap_or(1);
        let starts = loop {
            let starts = self.starts(target, room.highest);
            if one || starts.len() <= most || target > total {
                break starts;
            }
            target += target / 16 + 1;
        };
        self.columns = starts.len().min(room.columns);
        let behind = starts.iter().skip(1).copied().chain([self.boxes.len()]);
        self.panels = starts
            .iter()
            .zip(behind)
            .enumerate()
            .map(|(position, (first, behind))| Panel {
                band: position / room.columns,
                column: position % room.columns,
                first: *first,
                behind,
                ..Panel::default()
            })
            .collect();
        for (position, panel) in self.panels.iter().enumerate() {
            for standing in &mut self.boxes[panel.first..panel.behind] {
                standing.panel = position;
            }
        }
    }

    /// The first box of each column, if none is to be higher than the target. What hangs on a
    /// point of the link stays with it, unless that alone is higher than any column may be.
    fn starts(&self, target: i32, highest: i32) -> Vec<usize> {
        let mut starts = vec![0];
        let mut height: i32 = 0;
        let mut position = 0;
        while position < self.boxes.len() {
            let rest = &self.boxes[position..];
            let with = 1 + rest.iter().skip(1).take_while(|standing| !standing.is_point).count();
            let high = |count| -> i32 {
                rest.iter().take(count).map(|standing| standing.laid.height + GAP).sum()
            };
            let with = if high(with) > highest { 1 } else { with };
            if height > 0 && height.saturating_add(high(with)) > target {
                starts.push(position);
                height = 0;
            }
            height += high(with);
            position += with;
        }
        starts
    }

    /// The column of each end of a cable that has two.
    pub(super) fn panels_of(&self, cable: usize) -> Option<(usize, usize)> {
        let panel = |side| Some(self.boxes[*self.ends.get(&(cable, side))?].panel);
        Some((panel(0)?, panel(1)?))
    }

    /// Cables with two ends that are drawn.
    pub(super) fn cables(&self) -> Vec<usize> {
        let first = self.ends.keys().filter(|(_, side)| *side == 0);
        first.map(|(cable, _)| *cable).filter(|cable| self.panels_of(*cable).is_some()).collect()
    }

    /// Gives each cable a track in the columns of its ends, and each column its widths.
    pub(super) fn find_tracks(&mut self, room: Room) {
        let ranks = self.ranks();
        let cables = self.cables();
        let far = cables.iter().filter(|cable| {
            self.panels_of(**cable).is_some_and(|(a, b)| self.panels[a].band != self.panels[b].band)
        });
        let far: Vec<usize> = far.copied().collect();
        let lanes = i32::try_from(far.len()).unwrap_or(0);
        let beside = if lanes == 0 { 0 } else { pitch(lanes) * lanes + 8 };
        let columns = i32::try_from(self.columns).unwrap_or(1);
        // Columns share what the lanes beside them take.
        let column = room.column - beside / columns - 1;
        self.lanes.x = room.x + columns * (column + BETWEEN) - BETWEEN;
        self.lanes.beside = far.into_iter().zip(0..).collect();
        for position in 0..self.panels.len() {
            let mut own = Vec::new();
            for cable in &cables {
                let Some((a, b)) = self.panels_of(*cable) else { continue };
                let (one, two) = (ranks[&(*cable, 0)], ranks[&(*cable, 1)]);
                let span = match (a == position, b == position) {
                    (true, true) => Span::between(one, two),
                    (true, false) => Span::between(-1, one),
                    (false, true) => Span::between(-1, two),
                    (false, false) => continue,
                };
                own.push((*cable, span));
            }
            let spans: Vec<_> = own.iter().map(|(_, span)| *span).collect();
            let (found, count) = tracks(&spans);
            let tags = self.tags(position);
            let left = column - STUB - tags - 12 - NARROWEST;
            let pitch = (left / count.max(1)).clamp(PITCH.1, PITCH.0);
            let panel = &mut self.panels[position];
            panel.tags = tags;
            panel.pitch = pitch;
            panel.boxes = column - STUB - tags - 12 - pitch * (count - 1).max(0);
            let at = i32::try_from(panel.column).unwrap_or(0);
            panel.x = room.x + at * (column + BETWEEN);
            panel.track = own.iter().map(|(cable, _)| *cable).zip(found).collect();
        }
        self.find_lanes(&cables);
    }

    /// Each end's place in the order of all rows.
    fn ranks(&self) -> BTreeMap<(usize, usize), i32> {
        let sockets = self.boxes.iter().flat_map(|standing| &standing.thing.sockets);
        sockets.flat_map(|socket| &socket.entries).map(|entry| entry.end).zip(0..).collect()
    }

    fn find_lanes(&mut self, cables: &[usize]) {
        let bands = self.panels.iter().map(|panel| panel.band + 1).max().unwrap_or(0);
        for band in 0..bands {
            let mut own = Vec::new();
            for cable in cables {
                let Some((a, b)) = self.panels_of(*cable) else { continue };
                let (one, two) = (&self.panels[a], &self.panels[b]);
                if a == b || one.band != band && two.band != band {
                    continue;
                }
                let x = |panel: &Panel| {
                    if panel.band == band {
                        panel.track_x(*cable)
                    } else {
                        self.lanes.beside(*cable)
                    }
                };
                own.push((*cable, Span::between(x(one), x(two))));
            }
            let spans: Vec<_> = own.iter().map(|(_, span)| *span).collect();
            let (found, _) = tracks(&spans);
            self.lanes.above.push(own.iter().map(|(cable, _)| *cable).zip(found).collect());
        }
    }

    /// Gives every box its place.
    pub(super) fn stand(&mut self) {
        let bands = self.panels.iter().map(|panel| panel.band + 1).max().unwrap_or(0);
        let mut below = 0;
        for band in 0..bands {
            let top = below + self.lanes.height(band);
            below = top;
            for panel in self.panels.iter_mut().filter(|panel| panel.band == band) {
                panel.top = top;
                let mut y = top;
                for standing in &mut self.boxes[panel.first..panel.behind] {
                    standing.at = (panel.x + standing.indent(), y);
                    y += standing.laid.height + GAP;
                }
                below = below.max(y);
            }
        }
        self.height = below;
    }
}
