//! Generated sites: right ones of every size, written as people write them.

use crate::cases::sheet;
use coldcheck::read::RawSheet;
use std::fmt::Write;

/// Numbers that are the same on every machine.
pub use coldcheck::drill::dice::Dice;

/// How many of something a test draws: as many as usual, or `COLDCHECK_ROUNDS` for a whole run.
pub fn rounds(usual: u64) -> u64 {
    let asked = std::env::var("COLDCHECK_ROUNDS").ok();
    asked.and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// A cable of a generated site, in its own order of columns.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cable {
    /// Label.
    pub label: String,
    /// One end: name and socket.
    pub from: (String, &'static str),
    /// The other.
    pub to: (String, &'static str),
    /// Kind.
    pub kind: &'static str,
    /// Length in millimetres.
    pub millimetres: Option<u32>,
}

/// A unit of a generated site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unit {
    /// Number in its name.
    pub number: usize,
    /// Role.
    pub role: &'static str,
    /// Address.
    pub address: usize,
    /// Unit count.
    pub count: usize,
    /// Terminator.
    pub terminator: &'static str,
    /// Battery bank.
    pub bank: &'static str,
}

/// A site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Model {
    /// Units by number.
    pub units: Vec<Unit>,
    /// Cables.
    pub cables: Vec<Cable>,
}

impl Model {
    /// A right line of so many units: units in any order along it, any coordinator, addresses
    /// with gaps, some cables written from their far end.
    ///
    /// # Panics
    /// Never: a roll of eight fits any number.
    pub fn line(count: usize, dice: &mut Dice) -> Self {
        let mut order: Vec<usize> = (1..=count).collect();
        dice.shuffle(&mut order);
        let mut addresses: Vec<usize> = (1..=2 * count).collect();
        dice.shuffle(&mut addresses);
        let coordinator = 1 + dice.roll(count);
        let is_end = |number| order.first() == Some(&number) || order.last() == Some(&number);
        let units = (1..=count)
            .zip(addresses)
            .map(|(number, address)| Unit {
                number,
                role: if number == coordinator { "coordinator" } else { "follower" },
                address,
                count,
                terminator: if is_end(number) { "on" } else { "off" },
                bank: "A",
            })
            .collect();
        let name = |number: usize| format!("unit {number}");
        let mut cables: Vec<Cable> = order
            .windows(2)
            .enumerate()
            .map(|(index, pair)| Cable {
                label: format!("C{}", index + 1),
                from: (name(pair[0]), "A"),
                to: (name(pair[1]), "B"),
                kind: "link",
                millimetres: Some(500 * (1 + u32::try_from(dice.roll(8)).expect("small"))),
            })
            .collect();
        let owner = name(coordinator);
        for (label, from, socket, kind) in [
            ("B1", "pack 1", "battery", "battery"),
            ("S1", "CT L1", "CT", "ct"),
            ("S2", "CT L2", "CT", "ct"),
        ] {
            cables.push(Cable {
                label: label.to_owned(),
                from: (from.to_owned(), ""),
                to: (owner.clone(), socket),
                kind,
                millimetres: None,
            });
        }
        Self { units, cables }
    }

    /// The sheets in the plainest form.
    pub fn sheets(&self) -> Vec<RawSheet> {
        self.written(&mut Dice::new(0), &Hand::PLAIN)
    }

    /// The sheets in someone's hand: a cable list and a settings list.
    pub fn written(&self, dice: &mut Dice, hand: &Hand) -> Vec<RawSheet> {
        let (mut cables, mut units) = (self.cables.clone(), self.units.clone());
        if hand.shuffles {
            dice.shuffle(&mut cables);
            dice.shuffle(&mut units);
            for cable in &mut cables {
                if dice.roll(2) == 0 {
                    std::mem::swap(&mut cable.from, &mut cable.to);
                }
            }
        }
        let mut list = String::from(hand.heading);
        for cable in &cables {
            let cells = [
                cable.label.clone(),
                end(dice, hand, &cable.from),
                end(dice, hand, &cable.to),
                cable.kind.to_owned(),
                cable.millimetres.map_or(String::new(), |length| length_text(dice, hand, length)),
            ];
            list.push_str(&cells.join(hand.separator));
            list.push('\n');
        }
        let mut settings = String::from("neutral-earth bond = main board (fixed)\n");
        for unit in &units {
            let name = unit_name(dice, hand, &format!("unit {}", unit.number));
            let _ = write!(
                settings,
                "{name} = {}, addr {}, count {}, term {}, bank {}\n{name} ac out = straight\n",
                unit.role, unit.address, unit.count, unit.terminator, unit.bank
            );
        }
        vec![sheet("cables", &list), sheet("settings", &settings)]
    }
}

/// How someone writes.
#[derive(Clone, Copy, Debug)]
pub struct Hand {
    /// Whether lines come in any order and cables from either end.
    pub shuffles: bool,
    /// Whether names and lengths are spelt in different ways.
    pub varies: bool,
    /// The heading of the cable list.
    heading: &'static str,
    /// What stands between two cells.
    separator: &'static str,
}

impl Hand {
    /// Everything the same way.
    pub const PLAIN: Self = Self {
        shuffles: false,
        varies: false,
        heading: "cable,from,to,kind,length\n",
        separator: ",",
    };
    /// Lines in any order.
    pub const SHUFFLED: Self = Self { shuffles: true, ..Self::PLAIN };
    /// Every spelling, with semicolons.
    pub const FREE: Self = Self {
        shuffles: true,
        varies: true,
        heading: "Lead;One end;Other end;What for;How long\n",
        separator: ";",
    };
}

fn end(dice: &mut Dice, hand: &Hand, (name, socket): &(String, &'static str)) -> String {
    let name = unit_name(dice, hand, name);
    if socket.is_empty() {
        return name;
    }
    let joints: &[&str] = if hand.varies { &[" ", " / ", " – ", " port "] } else { &[" "] };
    format!("{name}{}{socket}", joints[dice.roll(joints.len())])
}

/// A unit's name in one of its spellings; other names stay.
fn unit_name(dice: &mut Dice, hand: &Hand, name: &str) -> String {
    let Some(number) = name.strip_prefix("unit ").filter(|_| hand.varies) else {
        return name.to_owned();
    };
    let number: usize = number.parse().expect("generated names carry numbers");
    match dice.roll(5) {
        0 => format!("U{number}"),
        1 => format!("Unit#{number}"),
        2 => format!("U{number:02}"),
        3 => format!("inv. {number}"),
        _ => format!("UNIT–{number}"),
    }
}

fn length_text(dice: &mut Dice, hand: &Hand, millimetres: u32) -> String {
    let metres = format!("{}.{:03}", millimetres / 1000, millimetres % 1000);
    match if hand.varies { dice.roll(4) } else { 0 } {
        0 => format!("{metres} m"),
        1 => format!("{}.{} cm", millimetres / 10, millimetres % 10),
        2 => format!("{}m", metres.replace('.', ",")),
        _ => format!("{millimetres}mm"),
    }
}
