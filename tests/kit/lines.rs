//! Sites as lines of JSON: right ones and faulty ones, from both generators.

use crate::generate::Dice;
use crate::generate_faulty;
use crate::proof;
use coldcheck::fault::{Group, faults};

/// Right groups of so many units in every built-in profile, and each of them with every fault that
/// a site file can say. Everything that a rule looks at is declared in them.
pub fn of_groups(units: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for layout in proof::of_each_kind(units) {
        let Some(right) = Group::build(layout) else { continue };
        lines.push(right.site_file().json());
        for fault in faults(&right) {
            let mut group = right.clone();
            if fault.inject(&mut group) && group.is_plain() {
                lines.push(group.site_file().json());
            }
        }
    }
    lines
}

/// Sites of two to nine units with none to four faults, as the judges beside the core know them.
pub fn of_sites(draws: std::ops::Range<u64>) -> impl Iterator<Item = String> {
    draws.map(|draw| generate_faulty::site(&mut Dice::new(draw)).json().to_string())
}
