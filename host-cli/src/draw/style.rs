//! How cables and conductors are told apart: by colour, and by their dashes without it.

use super::palette;
use super::scene::Paint;
use coldcheck_core::plan::CableKind;

/// Every kind of cable, in the order of the key.
pub const KINDS: &[Option<CableKind>] = &[
    Some(CableKind::Link),
    Some(CableKind::Battery),
    Some(CableKind::Sensor),
    Some(CableKind::Meter),
    Some(CableKind::PackLink),
    Some(CableKind::Service),
    Some(CableKind::Terminator),
    None,
];

/// The line of a cable.
pub const fn cable(kind: Option<CableKind>) -> Paint {
    match kind {
        Some(CableKind::Link) => Paint::line(palette::LINK, 26, ""),
        Some(CableKind::Battery) => Paint::line(palette::BATTERY, 24, "9 3"),
        Some(CableKind::Sensor) => Paint::line(palette::SENSOR, 20, "2 2"),
        Some(CableKind::Meter) => Paint::line(palette::METER, 20, "7 2 2 2"),
        Some(CableKind::PackLink) => Paint::line(palette::BATTERY, 20, "7 2 2 2 2 2"),
        Some(CableKind::Service) => Paint::line(palette::SERVICE, 16, "4 4"),
        Some(CableKind::Terminator) => Paint::line(palette::LINK, 16, "2 4"),
        None => Paint::line(palette::UNKNOWN, 14, "1 4"),
    }
}

/// A cable's kind in a word.
pub const fn word(kind: Option<CableKind>) -> &'static str {
    match kind {
        Some(kind) => kind.word(),
        None => "kind not known",
    }
}
