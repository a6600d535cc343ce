//! The power-up for people: dangers, where it stands, the steps, the way down.

use super::{Ink, Style, Text};
use crate::phrase::counted;
use crate::powerup::told::{self, Told};
use crate::powerup::{Expected, Hold, State, Step, WayDown};
use crate::words::CAUTIONS;
use std::fmt::Write;

/// Every step, where it stands, and the way down.
pub fn text(told: &Told<'_>, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    out.powerup_head(told);
    let (mut stage, mut number) = (None, 0);
    for (position, step) in told.steps.iter().enumerate() {
        if stage != Some(step.stage) {
            stage = Some(step.stage);
            number += 1;
            out.heading(&format!("{number}  {}", step.stage.title()));
        }
        out.step(told, position, step);
    }
    out.way_down(told.way_down);
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}

/// The way down by itself.
pub fn way_down(told: &Told<'_>, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    out.way_down(told.way_down);
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out.trim_start().to_owned()
}

/// One step by itself, with its reason: what a guide asks for.
pub fn one(told: &Told<'_>, position: usize, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    if let Some(step) = told.steps.get(position) {
        out.heading(&format!(
            "{} of {}  {}  [{}; {}]",
            position + 1,
            told.steps.len(),
            step.stage.title(),
            step.id,
            step.holds()
        ));
        out.entry("do:", &step.act);
        out.entry("why:", step.why);
        out.entry("where:", &step.place);
        out.entry("must:", &step.must());
    }
    out.out
}

/// What readings that were just taken showed, and the next step.
pub fn taken(told: &Told<'_>, positions: &[usize], style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    out.powerup_head(told);
    out.heading("Taken now");
    for (at, position) in positions.iter().enumerate() {
        if let Some(step) =
            told.steps.get(*position).filter(|_| !positions[..at].contains(position))
        {
            out.step(told, *position, step);
        }
    }
    if let Some(next) = told.progress.next(told.steps) {
        out.out.push_str(&one(told, next, style));
    }
    out.blank();
    out.wrapped("", "Without --take the same command shows every step.");
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}

/// What a reading showed of its step.
pub fn answer(told: &Told<'_>, position: usize, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    let (Some(step), Some(state)) = (told.steps.get(position), told.progress.states.get(position))
    else {
        return String::new();
    };
    let ink = if state.is_passed() { Ink::Calm } else { Ink::Alarm };
    let head = out.bold(&format!("{}:", told.state(position)), ink);
    let read = told.reading(position).map(told::shown).unwrap_or_default();
    out.wrapped(&format!("{head} "), &format!("{read}; must be {}", step.must()));
    if matches!(state, State::Failed(_)) {
        out.entry("do:", step.otherwise);
    }
    out.out
}

impl Text {
    fn powerup_head(&mut self, told: &Told<'_>) {
        let dangers: Vec<&str> =
            told.diagnosis.dangers().map(|danger| danger.says.as_str()).collect();
        if !dangers.is_empty() {
            let head = self.bold("STOP:", Ink::Alarm);
            let count = counted(dangers.len(), "danger");
            let text = format!(
                "the sheets hold {count}. {}. Only the dead tests are open, [-] is closed; mend this first.",
                dangers.join("; ")
            );
            self.wrapped(&format!("{head} "), &text);
        }
        let head = self.bold("POWER-UP", Ink::Calm);
        let site = told.site;
        let name = site.declared.site_name().unwrap_or("this site");
        let assumed = if site.profile_assumed { " (assumed)" } else { "" };
        let units = counted(site.declared.units.len(), "unit");
        let says = format!(
            "{name}; profile {}{assumed}; {units}; sheets {}",
            site.profile.name, told.hash
        );
        self.wrapped(&format!("{head} "), &says);
        let (word, verdict) = crate::render::told::verdict(told.diagnosis);
        self.item(&format!("`check` says {word}: {verdict}"));
        let failed = told.failed();
        let mut stand = format!("{} of {} steps passed", told.passed(), told.steps.len());
        if failed > 0 {
            let _ = write!(stand, ", {failed} NOT AS EXPECTED");
        }
        if let Some(next) = told.progress.next(told.steps).and_then(|next| told.steps.get(next)) {
            let _ = write!(stand, "; next: {}", next.id);
        }
        self.item(&stand);
        for remark in &told.remarks {
            self.item(remark);
        }
    }

    fn step(&mut self, told: &Told<'_>, position: usize, step: &Step) {
        let state = told.progress.states.get(position).copied().unwrap_or(State::Open);
        let sign = match state {
            State::Passed(_) => "[x]",
            State::ByReason(_) => "[r]",
            State::Failed(_) => "[!]",
            State::Stopped => "[-]",
            State::Open
            | State::Waits(_)
            | State::Again(_)
            | State::Undone(_)
            | State::Alone(_)
            | State::Behind { .. }
            | State::Stale(_)
            | State::Disproved(_) => "[ ]",
        };
        let ink = match (state, step.hold) {
            (State::Failed(_), _) => Ink::Alarm,
            (State::Again(_) | State::Undone(_) | State::Stale(_) | State::Disproved(_), _) => {
                Ink::Attention
            }
            (_, Hold::Reading) => Ink::Plain,
            (_, Hold::None | Hold::Reason) => Ink::Calm,
        };
        let head = self.bold(&format!("{sign} {}", step.id), ink);
        let is_known = told.steps[..position]
            .iter()
            .any(|before| before.stage == step.stage && before.kind == step.kind);
        if is_known {
            // What to do stands at the first of its kind; here only where.
            let mut alike = told.steps[..position].iter().filter(|before| before.kind == step.kind);
            // What is not known of this one alone has no words above.
            let is_said = alike.any(|before| before.expected == step.expected);
            let is_unknown = matches!(step.expected, Expected::Unknown(_));
            let must = if is_unknown && !is_said { step.must() } else { step.bare() };
            self.wrapped(&format!("{head}  "), &format!("{}: {must}", step.place));
        } else {
            self.wrapped(&format!("{head}  "), step.holds());
            self.wrapped("      ", &step.act);
            self.wrapped("      must: ", &step.must());
        }
        // What is next, and that a danger stops the rest, stands at the top.
        if let Some(reading) = told.reading(position) {
            let read = format!(
                "{}, {} {} by {}, {}",
                told::shown(reading),
                reading.time,
                reading.instrument,
                reading.by,
                told.state(position)
            );
            self.wrapped("      read: ", &read);
            if matches!(state, State::Failed(_)) {
                self.wrapped("      do:   ", step.otherwise);
            }
        }
    }

    fn way_down(&mut self, way: &WayDown) {
        self.heading("THE WAY DOWN");
        for (position, down) in way.acts.iter().enumerate() {
            self.wrapped(&format!("{:>3}  ", position + 1), &format!("{} {}", down.act, down.why));
        }
        self.heading("Points of isolation: each open, locked, tagged");
        for point in &way.isolation {
            self.wrapped("  [ ] ", point);
        }
        self.heading("If a danger is found with the plant live");
        for (position, act) in way.danger.iter().enumerate() {
            self.wrapped(&format!("{:>3}  ", position + 1), act);
        }
    }
}
