//! Sites to draw: cases, examples, new sites, generated ones with faults, and hostile ones.

pub mod sound;

use crate::cases::{self, examine_sheets, sheet};
use crate::generate::Dice;
use crate::generate_faulty;
use crate::golden::Golden;
use crate::paths;
use coldcheck::diagnosis::Diagnosis;
use coldcheck::draw::{Parts, Width, draw};
use coldcheck::engine::Site;
use coldcheck::profile;
use coldcheck::read::RawSheet;
use coldcheck::render::explain;
use coldcheck::start::start;
use coldcheck_core::rule::Check;
use coldcheck_core::rules::RULES;
use std::fs;

/// A site with a name for messages.
#[derive(Debug)]
pub struct Named {
    /// What it is.
    pub name: String,
    /// Its sheets.
    pub sheets: Vec<RawSheet>,
    /// Whether it is one of many.
    pub is_generated: bool,
}

impl Named {
    /// Checks it.
    ///
    /// # Panics
    /// If it cannot be read.
    pub fn examine(&self) -> (Site, Diagnosis) {
        let outcome = examine_sheets(&self.sheets, None);
        outcome.unwrap_or_else(|refusal| panic!("{}: {:?}", self.name, refusal.errors))
    }
}

/// The cases, in every part.
pub fn of_cases() -> Vec<Named> {
    cases::all()
        .into_iter()
        .map(|case| Named { name: case.name, sheets: case.sheets, is_generated: false })
        .collect()
}

/// The example of every rule that sheets can break.
pub fn of_rules() -> Vec<Named> {
    let of_sheets = RULES.iter().filter(|(_, rule)| !matches!(rule.check, Check::Heard(_)));
    of_sheets
        .map(|(_, rule)| Named {
            name: rule.slug.to_owned(),
            sheets: explain::sheets(&explain::broken(&rule.text.example)),
            is_generated: false,
        })
        .collect()
}

/// New sites of 2 to 32 units under every built-in profile that takes so many.
///
/// # Panics
/// Never: built-in profiles are sound.
pub fn new_ones() -> Vec<Named> {
    let mut sites = Vec::new();
    for name in profile::builtin_names() {
        let text = profile::builtin(name).expect("built in");
        let parsed = profile::parse(name, text).expect("sound");
        for units in [2, 3, 4, 8, 16, 32] {
            if let Ok(site) = start(&parsed, name, units) {
                let sheets = vec![sheet("site.toml", &site.toml())];
                sites.push(Named {
                    name: format!("new {name} {units}"),
                    sheets,
                    is_generated: false,
                });
            }
        }
    }
    sites
}

/// Generated sites of 2 to 32 units with none to four faults each.
pub fn generated(seeds: std::ops::Range<u64>) -> impl Iterator<Item = Named> {
    seeds.map(|seed| {
        let mut dice = Dice::new(seed);
        let units = 2 + dice.roll(31);
        let site = generate_faulty::site_of(units, &mut dice);
        let sheets = vec![sheet("site.json", &site.json().to_string())];
        Named { name: format!("generated {seed}"), sheets, is_generated: true }
    })
}

/// Names as nobody should write them: markup, signs that act, other directions, no end.
pub const HOSTILE: &[&str] = &[
    "</text><script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "]]> <!-- & &amp; &#x41; --> <?xml?>",
    "a\u{202e}b\u{2066}c\u{200f}d\u{1b}[31me\u{7f}f",
    "\u{fffe}\u{ffff}\u{fdd0}\u{10ffff}\u{85}\u{2028}",
    "مرحبا שלום 表 🔌 \u{fdfd} ﷺ e\u{301}\u{301}\u{301}",
    "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
];

/// Sites with hostile names of the site, units, cables and everything else that is free text.
pub fn hostile() -> Vec<Named> {
    let mut texts: Vec<String> = HOSTILE.iter().map(|text| (*text).to_owned()).collect();
    texts.push("long ".repeat(2000));
    texts.push("x".repeat(10_000));
    texts.push("\u{301}".repeat(10_000));
    let site = |(at, text): (usize, &String)| {
        let quoted = serde_json::Value::from(text.as_str());
        let unit = |number: usize, role: &str| {
            format!(
                "{{\"name\": {name}, \"role\": \"{role}\", \"address\": 1, \"count\": 3, \
                 \"model\": {type_name}, \"bank\": {type_name}, \"ac out\": \"straight\"}}",
                type_name = serde_json::Value::from(format!("a {text}")),
                name = serde_json::Value::from(format!("{text} {number}"))
            )
        };
        let cable = |label: &str, from: usize, to: usize| {
            let (from, to) = (format!("{text} {from} A"), format!("{text} {to} B"));
            serde_json::json!({ "label": label, "from": from, "to": to, "length": "2 m" })
        };
        let text = format!(
            "{{\"site\": {quoted}, \"unit\": [{}, {}, {}], \"cable\": [{}, {}, {}]}}",
            unit(1, "coordinator"),
            unit(2, "follower"),
            unit(3, "follower"),
            cable(text, 1, 2),
            cable("C2", 2, 3),
            cable(text, 2, 9),
        );
        Named {
            name: format!("hostile {at}"),
            sheets: vec![sheet("site.json", &text)],
            is_generated: false,
        }
    };
    texts.iter().enumerate().map(site).collect()
}

/// Link cables in every odd way: a star of 32, a full mesh, loops, free and unknown ends, one
/// socket for all, packs and sensors to the limit.
pub fn tangled() -> Vec<Named> {
    let heading = "cable,from,to,kind,length\n";
    let units = |count: usize| -> String {
        let unit = |at: usize| {
            let role = if at == 1 { "coordinator" } else { "follower" };
            format!("unit {at} = {role}, addr {at}, count {count}, term off, bank A\n")
        };
        joined((1..=count).map(unit))
    };
    let star = joined((2..=32).map(|at| format!("C{at},unit 1 A,unit {at} B,link,1 m\n")));
    let pairs = (1..=11).flat_map(|a| (a + 1..=11).map(move |b| (a, b)));
    let mesh = joined(pairs.map(|(a, b)| format!("M{a}-{b},unit {a} A,unit {b} A,link,1 m\n")));
    let loops = "L1,unit 1 A,unit 1 B,link,\nL2,unit 2,unit 2,link,\nL3,unit 3 A,unit 3 A,link,\n\
                 L4,-,-,link,\nL5,unit 1 A,-,link,\nL6,?,?,link,\nL7,unit 2 service,unit 9 B,link,\n\
                 L8,unit 1 A,unit 2 B,link,\nL9,unit 1 A,unit 2 B,,\nL8,unit 3 B,unit 2 A,link,\n\
                 T1,unit 1 B,-,terminator,\nT2,-,-,terminator,\nP1,pack 1,pack 2,,\n\
                 P2,pack 2,pack 1,battery,\nR1,router,splitter,link,\nR2,gateway,unit 3 A,link,\n\
                 S1,CT L1,CT L2,ct,\nS2,CT L3,unit 2 B,ct,\nX,unit 1,pack 3,,\n";
    let packs = joined((1..=60).map(|at| format!("B{at},pack {at},unit 1 battery,bms,1 m\n")));
    let ring =
        joined((1..=32).map(|at| format!("R{at},unit {at} A,unit {} B,link,1 m\n", at % 32 + 1)));
    let site = |name: &str, cables: &str, count: usize, more: &str| Named {
        name: name.to_owned(),
        sheets: vec![
            sheet("cables", &format!("{heading}{cables}")),
            sheet("settings", &format!("{}{more}", units(count))),
        ],
        is_generated: false,
    };
    let own_bars = joined((1..=32).map(|at| {
        format!("unit {at} ac out = L1->own {at}; L2->x {}; N->bar N; PE->y {}\n", at / 2, at / 3)
    }));
    let powered = "all units ac out = L1->bar L2; L2->bar L1; N->bar N; PE->earth bar\n\
                   all units ac in = straight\nall units generator in = straight\n\
                   pv = barn -> unit 1; barn -> unit 2; roof -> unit 3; shed -> unit 3\n\
                   neutral-earth bond = main board (fixed); unit 2 relay (closed on island); cellar\n\
                   changeover switches the neutral = no\npacks fitted = 3\npacks set = 2\n";
    vec![
        site("star", &star, 32, ""),
        site("mesh", &mesh, 11, ""),
        site("loops", loops, 3, powered),
        site("packs", &packs, 2, ""),
        site("ring", &ring, 32, powered),
        site("bars", "", 32, &own_bars),
    ]
}

fn joined(lines: impl Iterator<Item = String>) -> String {
    lines.collect::<Vec<_>>().concat()
}

/// All of these, and so many generated ones.
pub fn all(generated_ones: u64) -> impl Iterator<Item = Named> {
    let fixed = [of_cases(), of_rules(), new_ones(), hostile(), tangled()];
    fixed.into_iter().flatten().chain(generated(0..generated_ones))
}

/// Drawings that a person has looked at: one for the README, and two of odd sites.
///
/// # Panics
/// If a site cannot be read.
pub fn goldens() -> Vec<Golden> {
    let folder = paths::workspace().join("host-cli/demo/terrace-faulty");
    let sheets = ["cables.csv", "settings.txt"].map(|file| RawSheet {
        name: file.to_owned(),
        bytes: fs::read(folder.join(file)).expect("the demonstration"),
    });
    let terrace = Named { name: "terrace".to_owned(), sheets: sheets.into(), is_generated: false };
    let find = |sites: Vec<Named>, name: &str| {
        sites.into_iter().find(|named| named.name == name).expect("a site of this name")
    };
    let drawn = |named: &Named, width, parts| {
        let (site, diagnosis) = named.examine();
        draw(&site, &diagnosis, width, parts).svg()
    };
    let golden = paths::tests().join("golden");
    let guest_house = find(of_cases(), "11-guest-house");
    let loops = find(tangled(), "loops");
    vec![
        Golden::new(
            &paths::workspace().join("host-cli/guide"),
            "terrace-faulty.svg",
            drawn(&terrace, Width::Page, Parts::Picture),
        ),
        Golden::new(
            &golden,
            "draw-guest-house.svg",
            drawn(&guest_house, Width::Phone, Parts::Whole),
        ),
        Golden::new(&golden, "draw-loops.svg", drawn(&loops, Width::Page, Parts::Picture)),
    ]
}
