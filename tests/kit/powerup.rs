//! Sites to power up, their steps, and readings as a person would put them down.

use coldcheck::engine::{Request, Site, examine};
use coldcheck::powerup::{Expected, Step, Today, WayDown, progress, steps, told, way_down};
use coldcheck::read::{RawSheet, ReadError};
use coldcheck::readings::{Amount, Moment, Quantity, Reading};
use coldcheck::render::{json, terminal};
use coldcheck::site_file::SiteFile;
use coldcheck::source::{Cell, Origin, SheetId};
use coldcheck::tidy;

/// The hash under which readings are taken here.
pub const HASH: &str = "0123456789abcdef";
/// Sheets of that hash, without and with a danger, and other sheets.
pub const SOUND: Today<'static> = Today { hash: HASH, has_danger: false, now: None };
/// With a danger.
pub const DANGER: Today<'static> = Today { hash: HASH, has_danger: true, now: None };
/// Sheets that were changed since.
pub const CHANGED: Today<'static> =
    Today { hash: "fedcba9876543210", has_danger: false, now: None };

/// A split-phase group with everything that a power-up can be about.
pub const WHOLE: &str = "\
site = orchard pump house
supply system = split-phase 120/240 V
rated power = 6000 VA
min battery voltage = 44 V
max battery voltage = 58 V
max solar voltage = 450 V
input capacitance = 2000 uF
pre-charge = yes
pre-charge resistor = 100 ohm
supply breaker = 100 A
neutral-earth bond = main board (fixed)
changeover switches the neutral = no
pv = roof east -> unit 1; roof west -> unit 2
unit 1 = coordinator, addr 1, count 3, fw 2.14, term on, bank A, mode parallel, frequency 60 Hz
unit 2 = follower, addr 2, count 3, fw 2.14, term off, bank A, mode parallel, frequency 60 Hz
unit 3 = follower, addr 3, count 3, fw 2.14, term on, bank A, mode parallel, frequency 60 Hz
all units ac out = straight
all units ac in = L1->supply L1; L2->supply L2; N->supply N
pack 1 addr = 1
pack 1 resistance = 20 mohm
pack 1 charge limit = 50 A
pack 2 addr = 2
pack 2 resistance = 20 mohm
pack 2 charge limit = 50 A
ct L1 rating = 200 A
ct L2 rating = 200 A
";

/// Its cable list.
pub const CABLES: &str =
    "cable,from,to,kind\nP1,unit 1 B,unit 2 A,link\nP2,unit 2 B,unit 3 A,link\n";

/// Three units, each with a phase of its own.
pub const THREE_PHASE: &str = "\
profile = three-phase-sets
supply system = three-phase 230/400 V
rated power = 5000 VA
neutral-earth bond = unit 1 relay (closed on island, open on supply)
unit 1 = coordinator, addr 1, count 3, phase L1
unit 2 = coordinator, addr 2, count 3, phase L2
unit 3 = coordinator, addr 3, count 3, phase L3
";

/// As little as a group can be.
pub const BARE: &str = "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n";

/// The files of a site.
pub fn files(texts: &[&str]) -> Vec<RawSheet> {
    let names = ["settings.txt", "cables.csv", "more.txt"];
    texts
        .iter()
        .zip(names)
        .map(|(text, name)| RawSheet { name: name.to_owned(), bytes: text.as_bytes().to_vec() })
        .collect()
}

/// A site's steps, and whether a danger stands in it.
///
/// # Panics
/// If the sheets cannot be read.
pub fn steps_of(texts: &[&str]) -> (Site, Vec<Step>, bool) {
    let (site, shape, has_danger) = shaped(texts);
    let steps = steps(&site, &shape);
    (site, steps, has_danger)
}

/// The way down of a site.
///
/// # Panics
/// If the sheets cannot be read.
pub fn way_down_of(texts: &[&str]) -> WayDown {
    let (site, shape, _) = shaped(texts);
    way_down(&site, &shape)
}

/// A site, its canonical form, and whether a danger stands in it.
fn shaped(texts: &[&str]) -> (Site, SiteFile, bool) {
    let files = files(texts);
    let request = Request {
        files: &files,
        profile: None,
        scope: None,
        load_profile: &|name| Err(ReadError::file(name, "no such profile", "a built-in one")),
    };
    let (site, diagnosis) = examine(&request).expect("the sheets can be read");
    let shape = tidy::shape(&site, &request).expect("there are words for every fact");
    let has_danger = diagnosis.dangers().next().is_some();
    (site, shape, has_danger)
}

/// What a reading is to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// As expected.
    Right,
    /// Not as expected.
    Wrong,
    /// No reading, but a reason.
    Reason,
}

/// A reading of a step as a person would put it down; none of a step that nobody can judge.
///
/// # Panics
/// Never: the time is one.
pub fn reading(step: &Step, kind: Kind) -> Option<Reading> {
    let nowhere = Origin { sheet: SheetId(0), start: 0, end: 0 };
    let cell = |text: &str| Cell { text: text.to_owned(), origin: nowhere };
    let number = |value: f64| Amount::Number { value, resolution: 0.001 };
    let (quantity, value) = if kind == Kind::Reason {
        (Quantity::Reason, Amount::Seen("nobody had the time".to_owned()))
    } else {
        let is_right = kind == Kind::Right;
        let amount = match &step.expected {
            Expected::Between { low, high, .. } => match (low, high, is_right) {
                (Some(low), Some(high), true) => number(f64::midpoint(*low, *high)),
                (Some(low), None, true) => number(low * 2.0),
                (None, Some(high), true) => number(high / 2.0),
                (_, Some(high), false) => number(high * 1.5),
                (Some(low), None, false) => number(low / 2.0),
                (None, None, _) => return None,
            },
            Expected::Share { .. } => number(if is_right { 24.0 } else { -1.0 }),
            Expected::Seen(_) => Amount::Seen(if is_right { "yes" } else { "no: dark" }.to_owned()),
            Expected::Unknown(_) if is_right => return None,
            Expected::Unknown(_) => number(1.0),
        };
        (step.quantity, amount)
    };
    Some(Reading {
        time: Moment::read("2027-03-01T09:12").expect("a time"),
        by: "RK".to_owned(),
        instrument: "meter 2".to_owned(),
        place: cell(&step.place),
        quantity,
        value,
        sheets: HASH.to_owned(),
        pulled: None,
        note: None,
        step: Some(cell(&step.id)),
        basis: Some(step.basis.clone()),
        origin: nowhere,
    })
}

/// A right reading of every step, in order; a reason where nobody can judge.
pub fn all_right(steps: &[Step]) -> Vec<Reading> {
    let one = |step: &Step| reading(step, Kind::Right).or_else(|| reading(step, Kind::Reason));
    steps.iter().filter_map(one).collect()
}

/// The position of a step.
///
/// # Panics
/// If there is none.
pub fn position(steps: &[Step], id: &str) -> usize {
    let found = steps.iter().position(|step| step.id == id);
    found.unwrap_or_else(|| panic!("no step {id}: {:?}", names(steps)))
}

/// The names of steps.
pub fn names(steps: &[Step]) -> Vec<&str> {
    steps.iter().map(|step| step.id.as_str()).collect()
}

/// The steps of the whole site as text and as JSON, some of them read.
///
/// # Panics
/// If the sheets cannot be read.
pub fn goldens() -> Vec<crate::golden::Golden> {
    let (site, steps, _) = steps_of(&[WHOLE, CABLES]);
    let files = files(&[WHOLE, CABLES]);
    let request =
        Request { files: &files, profile: None, scope: None, load_profile: &|_| unreachable!() };
    let (_, diagnosis) = examine(&request).expect("the sheets can be read");
    let shape = tidy::shape(&site, &request).expect("there are words for every fact");
    let taken = steps.iter().take(8).enumerate();
    let kind = |at: usize| if at == 7 { Kind::Wrong } else { Kind::Right };
    let readings: Vec<Reading> = taken.filter_map(|(at, step)| reading(step, kind(at))).collect();
    let way_down = way_down(&site, &shape);
    let told = told::Told {
        site: &site,
        diagnosis: &diagnosis,
        steps: &steps,
        progress: progress(&steps, &readings, SOUND),
        readings: &readings,
        way_down: &way_down,
        hash: HASH,
        remarks: Vec::new(),
    };
    let style = terminal::Style { colour: false, quiet: false };
    let folder = crate::paths::tests().join("golden");
    let text = terminal::powerup::text(&told, style);
    let json = format!("{:#}\n", json::powerup::told(&told));
    vec![
        crate::golden::Golden::new(&folder, "powerup.txt", text),
        crate::golden::Golden::new(&folder, "powerup.json", json),
    ]
}
