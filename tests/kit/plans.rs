//! Plans of every kind, for a record of what the core answers: right ones and broken ones, with
//! facts left out, and bytes that are hardly plans.

use crate::cases::{all, examine_sheets, request};
use crate::generate::Dice;
use crate::{generate_faulty, proof};
use coldcheck::engine::{Site, read_site};
use coldcheck::fault::{Group, faults};
use coldcheck::read::RawSheet;
use coldcheck::render::explain::{broken, sheets};
use coldcheck_core::rules::RULES;
use std::collections::BTreeSet;

/// Units of the groups that are broken on purpose.
const UNITS: [usize; 4] = [2, 3, 5, 6];
/// One in so many faults, and one in so many pairs of them, is taken.
const ONE_FAULT_IN: usize = 12;
const ONE_PAIR_IN: usize = 12_000;
/// Sites from the generator of faulty sites.
const GENERATED: u64 = 300;
/// Plans with bytes changed, for each that has none, one in so many.
const ONE_DAMAGED_IN: usize = 2;

/// The plans, each once.
///
/// # Panics
/// If a case or an example cannot be read.
pub fn of_every_kind() -> BTreeSet<Vec<u8>> {
    let mut plans = BTreeSet::new();
    let mut add = |site: Option<Site>| plans.extend(site.map(|site| site.assembled.body));
    for case in all() {
        add(case.read().ok());
    }
    for (_, rule) in RULES {
        let example = &rule.text.example;
        for text in [example.site.to_owned(), broken(example)] {
            add(examine_sheets(&sheets(&text), None).ok().map(|(site, _)| site));
        }
    }
    let mut dice = Dice::new(1);
    for layout in UNITS.into_iter().flat_map(proof::of_each_kind) {
        let Some(right) = Group::build(layout) else { continue };
        add(read(&right.sheets()));
        let faults = faults(&right);
        for (index, one) in faults.iter().enumerate() {
            if dice.roll(ONE_FAULT_IN) == 0 {
                let mut group = right.clone();
                one.inject(&mut group);
                add(read(&group.sheets()));
                add(read(&without_some_lines(&group.sheets(), &mut dice)));
            }
            for two in &faults[index + 1..] {
                if dice.roll(ONE_PAIR_IN) == 0 {
                    let mut group = right.clone();
                    one.inject(&mut group);
                    two.inject(&mut group);
                    add(read(&group.sheets()));
                }
            }
        }
    }
    for seed in 0..GENERATED {
        let site = generate_faulty::site(&mut Dice::new(seed)).json().to_string();
        add(read(&[crate::cases::sheet("site.json", &site)]));
    }
    let damaged: Vec<_> = plans
        .iter()
        .filter_map(|plan| {
            if dice.roll(ONE_DAMAGED_IN) != 0 {
                return None;
            }
            let mut plan = plan.clone();
            for _ in 0..=dice.roll(3) {
                damage(&mut plan, &mut dice);
            }
            Some(plan)
        })
        .collect();
    plans.extend(damaged);
    plans
}

fn read(sheets: &[RawSheet]) -> Option<Site> {
    read_site(&request(sheets, None)).ok()
}

/// As if a person had not come to some lines yet.
fn without_some_lines(sheets: &[RawSheet], dice: &mut Dice) -> Vec<RawSheet> {
    let mut shorter = sheets.to_vec();
    for sheet in &mut shorter {
        let lines = sheet.bytes.split_inclusive(|byte| *byte == b'\n');
        let kept = lines.enumerate().filter(|(line, _)| *line == 0 || dice.roll(6) != 0);
        sheet.bytes = kept.flat_map(|(_, line)| line).copied().collect();
    }
    shorter
}

fn damage(plan: &mut Vec<u8>, dice: &mut Dice) {
    let at = dice.roll(plan.len().max(1));
    let byte = u8::try_from(dice.roll(256)).unwrap_or(0);
    match dice.roll(8) {
        0 => plan.truncate(at),
        1 => plan.push(byte),
        // Small numbers are words of closed lists more often than large ones.
        2..=4 => plan.iter_mut().skip(at).take(1).for_each(|old| *old = byte % 6),
        _ => plan.iter_mut().skip(at).take(1).for_each(|old| *old ^= 1 << (byte % 8)),
    }
}
