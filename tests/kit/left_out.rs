//! Generated sites from which a person left facts out, and the sites that could be meant.

use crate::cases::{request, sheet};
use crate::generate::Dice;
use crate::generate_faulty;
use crate::oracle::compare::{Comparer, Difference};
use crate::oracle::judge;
use crate::oracle::site::{Site, Terminator};
use coldcheck::engine::read_site;
use coldcheck_core::plan::Plan;
use serde_json::Value;

/// Facts of a unit that can be left out.
const FACTS: [&str; 5] = ["role", "address", "count", "terminator", "serial"];
/// Sites that could be meant, besides the one from which facts were left out.
const MEANT: usize = 12;

/// Leaves up to three facts out of a generated site and compares the core with the oracle.
/// Gives the site as a line of JSON with each difference.
///
/// # Panics
/// If the core cannot read the site.
pub fn compare(comparer: &mut Comparer, seed: u64) -> Vec<(String, Difference)> {
    let dice = &mut Dice::new(seed);
    let site = generate_faulty::site(dice);
    let mut written = site.json();
    let mut left_out = Vec::new();
    for _ in 0..=dice.roll(3) {
        let (unit, fact) = (dice.roll(site.units.len()), FACTS[dice.roll(FACTS.len())]);
        let row = written["unit"][unit].as_object_mut().expect("a unit");
        if row.remove(fact).is_some() {
            left_out.push((unit, fact));
        }
    }
    let mut meant = vec![judge(&site)];
    for _ in 0..MEANT {
        let mut other = site.clone();
        for (unit, fact) in &left_out {
            fill(&mut other, *unit, fact, dice);
        }
        meant.push(judge(&other));
    }
    let text = Value::to_string(&written);
    let sheets = [sheet("site.json", &text)];
    let read = read_site(&request(&sheets, None))
        .unwrap_or_else(|refusal| panic!("{:?}\n{text}", refusal.errors));
    let plan = Plan::from_body(&read.assembled.body).expect("a plan");
    let found = comparer.compare_open(&plan, &meant).into_iter();
    found.map(|difference| (text.clone(), difference)).collect()
}

/// Gives a unit any value for a fact: often one that another unit has.
fn fill(site: &mut Site, unit: usize, fact: &str, dice: &mut Dice) {
    let other = site.units[dice.roll(site.units.len())];
    let number = u16::try_from(1 + dice.roll(20)).expect("small");
    let copies = dice.roll(2) == 0;
    let row = &mut site.units[unit];
    match fact {
        "role" => row.leads = dice.roll(2) == 0,
        "address" => row.address = if copies { other.address } else { Some(number) },
        "count" => row.count = if copies { other.count } else { number },
        "terminator" => {
            row.terminator = [Terminator::Off, Terminator::On, Terminator::Automatic][dice.roll(3)];
        }
        _ => row.serial = if copies { other.serial } else { Some(9000 + u32::from(number)) },
    }
}
