//! What a cable is for.

use crate::declared::{Declared, End, Subject, Topic};
use crate::field::Field;
use crate::fold::{Folded, nearest};
use crate::profile::Profile;
use crate::source::Cell;
use crate::statement::CableRow;
use crate::value::Value;
use crate::vocabulary::CABLE_KIND;
use coldcheck_core::plan::{CableKind, PortClass};

impl Declared {
    /// What a cable is for: as written, else as its ends tell.
    pub(super) fn kind(
        &mut self,
        row: &CableRow,
        ends: &[Option<End>; 2],
        profile: &Profile,
    ) -> Option<CableKind> {
        let by_ends = kind_by_ends(ends, profile);
        let Some(cell) = row.kind.as_ref().filter(|cell| !cell.is_empty()) else {
            if by_ends.is_none()
                && let Some(cell) = &row.row
            {
                self.ask(cell.origin, "what is this cable for?", "fill in its kind");
            }
            return by_ends;
        };
        let of_two = two_kinds(&cell.text).map(|both| {
            // The one that fits the ends; the link first, because it counts for the shape.
            both.into_iter().find(|kind| Some(*kind) == by_ends).unwrap_or(both[0])
        });
        let Some(kind) = of_two.or_else(|| kind_of(&cell.text)) else {
            self.ask_about_kind(cell, by_ends);
            return by_ends;
        };
        // From pack to pack, and not to a unit.
        if kind == CableKind::Battery && by_ends == Some(CableKind::PackLink) {
            return by_ends;
        }
        let joins_two_units = ends.iter().all(|end| matches!(end, Some(End::Unit(..))));
        if joins_two_units && matches!(kind, CableKind::Battery | CableKind::Sensor) {
            self.ask(
                cell.origin,
                format!("a cable of kind {} joins two units; what is it for?", kind.word()),
                "correct its kind or its ends",
            );
        }
        Some(kind)
    }

    /// `link + BMS`: what else the cable carries.
    pub(super) fn second_service(&mut self, position: usize, row: &CableRow) {
        let Some(cell) = &row.kind else { return };
        let own = self.cables.get(position).and_then(|cable| cable.kind);
        let both = two_kinds(&cell.text).into_iter().flatten();
        if let Some(second) = both.rev().find(|kind| Some(*kind) != own) {
            let value = Value::Number(second.code().into());
            let topic = Topic::Field(Field::AlsoCarries);
            self.say(Subject::Cable(position), topic, value, cell.origin);
        }
    }

    fn ask_about_kind(&mut self, cell: &Cell, by_ends: Option<CableKind>) {
        let near = nearest(&cell.text, CABLE_KIND.all_words());
        let near = near.map(|near| format!("; is \u{201c}{near}\u{201d} meant?"));
        let meanwhile = by_ends.map_or_else(String::new, |kind| {
            format!(" Until you say, its ends make it a cable of kind {}.", kind.word())
        });
        self.ask(
            cell.origin,
            format!(
                "\u{201c}{}\u{201d} is no kind of cable that is known{}{meanwhile}",
                cell.text,
                near.as_deref().unwrap_or(".")
            ),
            format!("write one of these kinds: {}", CABLE_KIND.phrase()),
        );
    }
}

pub(in crate::declared) fn kind_of(text: &str) -> Option<CableKind> {
    CABLE_KIND.code(&Folded::of(text)).and_then(CableKind::from_code)
}

/// Two services on one cable, the link first. A plug is no service, and a sensor lead carries no
/// data.
pub(in crate::declared) fn two_kinds(text: &str) -> Option<[CableKind; 2]> {
    let (first, second) = ["+", "&", "/", " and ", ","].iter().find_map(|sign| {
        let (first, second) = text.split_once(sign)?;
        Some((kind_of(first)?, kind_of(second)?))
    })?;
    let is_service = |kind| !matches!(kind, CableKind::Terminator | CableKind::Sensor);
    let both = is_service(first) && is_service(second) && first != second;
    both.then(|| [first.min(second), first.max(second)])
}

/// What a cable is for, as far as its ends and sockets tell.
fn kind_by_ends(ends: &[Option<End>; 2], profile: &Profile) -> Option<CableKind> {
    let has = |wanted: fn(&End) -> bool| ends.iter().flatten().any(wanted);
    if has(|end| matches!(end, End::Sensor(_))) {
        return Some(CableKind::Sensor);
    }
    if ends.iter().all(|end| matches!(end, Some(End::Pack(_)))) {
        return Some(CableKind::PackLink);
    }
    if has(|end| matches!(end, End::Pack(_))) {
        return Some(CableKind::Battery);
    }
    if !has(|end| matches!(end, End::Unit(..) | End::Device(_))) || has(|end| *end == End::Open) {
        return None;
    }
    let class = ends.iter().flatten().find_map(|end| match end {
        End::Unit(_, Some(port)) => profile.ports.get(port.index()).map(|port| port.class),
        End::Unit(_, None)
        | End::Pack(_)
        | End::Sensor(_)
        | End::Device(_)
        | End::Open
        | End::Unknown => None,
    });
    match class {
        Some(PortClass::Link) | None => Some(CableKind::Link),
        Some(PortClass::Battery) => Some(CableKind::Battery),
        Some(PortClass::Sensor) => Some(CableKind::Sensor),
        Some(PortClass::Meter) => Some(CableKind::Meter),
        Some(PortClass::Service) => Some(CableKind::Service),
    }
}
