//! The way through a job day: what of it is done for one site, what is open, and what is next.

use crate::phrase::counted;
use crate::powerup::Stage;
use crate::powerup::told::Told;
use crate::render::told::verdict;
use crate::sizing::work::Worksheet;
use coldcheck_core::finding::Verdict;

/// A part of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// On paper.
    Design,
    /// Everything off.
    Dead,
    /// From the battery to the changeover.
    Live,
    /// The sheet to sign.
    HandOver,
}

impl Part {
    /// Every part in order.
    pub const ALL: [Self; 4] = [Self::Design, Self::Dead, Self::Live, Self::HandOver];

    /// Its heading.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Design => "Design",
            Self::Dead => "Dead",
            Self::Live => "Live",
            Self::HandOver => "Hand-over",
        }
    }
}

/// Where something stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Nothing is left to do.
    Done,
    /// It can be done now.
    Open,
    /// A danger stands in it.
    Stop,
    /// Something before it is to be done first.
    Waits,
}

impl Standing {
    /// Its word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::Open => "open",
            Self::Stop => "stop",
            Self::Waits => "waits",
        }
    }
}

/// One thing to do, by the command that does it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Station {
    /// The part of the day.
    pub part: Part,
    /// The command.
    pub command: &'static str,
    /// Where it stands.
    pub standing: Standing,
    /// In a few words.
    pub says: String,
}

/// The stations of a site, in order.
pub fn way(told: &Told<'_>, sizes: &Worksheet) -> Vec<Station> {
    let check = told.diagnosis.verdict;
    let (word, says) = verdict(told.diagnosis);
    // Also one whose act is written down and not confirmed.
    let has_danger = told.diagnosis.dangers().next().is_some();
    let is_sound = matches!(check, Verdict::Ok | Verdict::OkWithNotes);
    let mut way = Vec::new();
    let mut station = |part, command, standing, says| {
        way.push(Station { part, command, standing, says });
    };
    let standing = match (has_danger, is_sound) {
        (true, _) => Standing::Stop,
        (false, true) => Standing::Done,
        (false, false) => Standing::Open,
    };
    station(Part::Design, "check", standing, format!("{word}: {says}"));
    if matches!(check, Verdict::Stop | Verdict::FixFirst) {
        let says = "the least that must change at the plant".to_owned();
        station(Part::Design, "mend", Standing::Open, says);
    }
    let (standing, says) = sized(sizes);
    station(Part::Design, "size", standing, says);
    let count = |is_it: &dyn Fn(Stage, &str) -> bool| Count::of(told, is_it);
    let is_off = |stage: Stage| matches!(stage, Stage::Off | Stage::Dead);
    let dead = count(&|stage, _| is_off(stage));
    station(Part::Dead, "powerup", dead.standing(false), dead.says("dead test"));
    let pair = count(&|_, kind| kind == "pair");
    if pair.all > 0 {
        // No ohms before everything is off and proven off.
        let is_live = count(&|stage, _| stage == Stage::Off).is_open();
        station(Part::Dead, "meter", pair.standing(is_live), pair.says("reading of the pair"));
    }
    let waits = dead.is_open() || has_danger;
    let is_sensor = |kind: &str| kind == "sensor";
    let is_change = |kind: &str| matches!(kind, "changeover" | "bond-in-position");
    let live = count(&|stage, kind| !is_off(stage) && !is_sensor(kind) && !is_change(kind));
    let says = if has_danger {
        "a danger stands: nothing is done live".to_owned()
    } else {
        live.says("live step")
    };
    station(Part::Live, "powerup", live.standing(waits), says);
    for (command, of, what) in [
        ("sensors", count(&|_, kind| is_sensor(kind)), "sensor"),
        ("changeover", count(&|_, kind| is_change(kind)), "changeover"),
    ] {
        if of.all > 0 {
            station(Part::Live, command, of.standing(waits), of.says(what));
        }
    }
    let (standing, says) = if told.progress.is_done() {
        (Standing::Open, "every step is passed: print the sheet and sign it")
    } else {
        (Standing::Waits, "not commissioned: steps are open")
    };
    station(Part::HandOver, "report", standing, says.to_owned());
    way
}

/// The station that is next.
pub fn next(way: &[Station]) -> Option<&Station> {
    let mut open = way.iter().filter(|one| one.standing == Standing::Open);
    // A number that waits for data holds up nobody who can go on with something else.
    let open = open.clone().find(|one| one.command != "size").or_else(|| open.next());
    // What a danger stands in is told by `check`, and taken out by what is done at the plant.
    open.or_else(|| way.iter().find(|one| one.standing == Standing::Stop))
}

fn sized(sheet: &Worksheet) -> (Standing, String) {
    let left = sheet.uncomputed.len();
    match (sheet.quantities.len(), left) {
        (0, _) => (Standing::Waits, "the sheets state too little to size anything".to_owned()),
        (numbers, 0) => (Standing::Done, counted(numbers, "number")),
        (numbers, _) => {
            let says = format!("{}; {left} more lack data", counted(numbers, "number"));
            (Standing::Open, says)
        }
    }
}

/// How many steps of a kind are passed.
struct Count {
    passed: usize,
    failed: usize,
    all: usize,
}

impl Count {
    fn of(told: &Told<'_>, is_it: &dyn Fn(Stage, &str) -> bool) -> Self {
        let own = told.steps.iter().zip(&told.progress.states);
        let own: Vec<_> = own.filter(|(step, _)| is_it(step.stage, &step.kind)).collect();
        let passed = own.iter().filter(|(_, state)| state.is_passed()).count();
        let failed = |(_, state): &&(_, &crate::powerup::State)| {
            matches!(state, crate::powerup::State::Failed(_))
        };
        Self { passed, failed: own.iter().filter(failed).count(), all: own.len() }
    }

    const fn is_open(&self) -> bool {
        self.passed < self.all
    }

    const fn standing(&self, waits: bool) -> Standing {
        if waits {
            Standing::Waits
        } else if self.is_open() {
            Standing::Open
        } else {
            Standing::Done
        }
    }

    fn says(&self, what: &str) -> String {
        let failed = match self.failed {
            0 => String::new(),
            failed => format!(", {failed} NOT AS EXPECTED"),
        };
        format!("{} of {} passed{failed}", self.passed, counted(self.all, what))
    }
}
