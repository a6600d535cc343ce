//! The cheapest acts for people.

use super::{Ink, Style, Text};
use crate::engine::Site;
use crate::mend::told::GaveUp;
use crate::mend::{Answer, Told};
use crate::phrase::{all_of, counted};
use crate::words::CAUTIONS;
use coldcheck_core::finding::Verdict;
use coldcheck_core::rules::RuleId;

/// The acts; with the proof if it is asked for.
pub fn text(site: &Site, told: &Told, explain: bool, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    out.subject(site);
    out.blank();
    out.mend_head(told);
    for (number, answer) in told.answers.iter().enumerate() {
        out.answer(told, number, answer);
    }
    out.beyond(told);
    if explain {
        out.explained(told);
    }
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}

fn slugs(rules: &[RuleId]) -> String {
    let slugs: Vec<&str> = rules.iter().map(|rule| rule.rule().slug).collect();
    all_of(&slugs)
}

/// What was found, in one line.
pub(crate) fn head(told: &Told) -> (&'static str, String) {
    if told.asks {
        let says = "a person must answer a question first, or confirm an act that is to do; `check` \
                    names it. Until then nothing is proposed.";
        return ("ASK", says.to_owned());
    }
    if let Some(gave_up) = told.given_up {
        let says = format!("{}. Mend one finding by hand and ask again.", far(gave_up));
        return ("NOT FOUND", says);
    }
    let Some(first) = told.answers.first() else { return nothing(told) };
    let others = match (told.answers.len(), told.ways) {
        (1, (_, false)) => String::new(),
        (count, (ways, true)) => {
            format!(", {count} of at least {} that cost the same", counted(ways, "way"))
        }
        (count, (ways, false)) if ways > count => {
            format!(", {count} of {} that cost the same", counted(ways, "way"))
        }
        (count, _) => format!(", in {count} ways that cost the same"),
    };
    let says = format!(
        "{} for {}{others}; no set of acts is cheaper.",
        counted(first.acts.len(), "act"),
        cost(told.cost)
    );
    let head = if told.before == Verdict::Stop { "STOP, THEN MEND" } else { "MEND" };
    (head, says)
}

/// What is said where no act is proposed.
fn nothing(told: &Told) -> (&'static str, String) {
    let mut says = if !told.beyond.is_empty() {
        if told.beyond.iter().any(|one| one.gave_up.is_some()) {
            let says = "no set of acts was found that mends what is broken; below stands how far the \
                        search went.";
            return ("NOT FOUND", says.to_owned());
        }
        return ("NO ACT", "no act that is known here mends what is broken.".to_owned());
    } else if told.waived.is_empty() {
        "no rule that was checked is broken".to_owned()
    } else {
        format!(
            "{} by a waiver, and nothing else is broken; --also-waived mends what is waived too",
            if told.waived.len() == 1 {
                "1 finding stands".to_owned()
            } else {
                format!("{} findings stand", told.waived.len())
            }
        )
    };
    if told.undeclared.is_empty() {
        return ("NOTHING TO DO", format!("{says}; there is nothing to mend."));
    }
    says = format!(
        "{says}, but not all was checked. Declare what is missing and ask again: {}.",
        all_of(&told.undeclared)
    );
    ("DECLARE FIRST", says)
}

/// How far a search went that found nothing.
fn far(gave_up: GaveUp) -> String {
    let states = counted(usize::try_from(gave_up.judged).unwrap_or(usize::MAX), "state");
    if gave_up.below == 0 {
        return format!(
            "every set of acts that is known here was tried ({states}), and none mends all"
        );
    }
    format!(
        "no set of acts costs less than {}; whether a dearer one mends it was not tried to the end \
         ({states})",
        gave_up.below
    )
}

/// A cost in words.
fn cost(cost: u32) -> String {
    format!("a cost of {cost}")
}

/// Why nothing is cheaper, in sentences.
pub(crate) fn why(told: &Told) -> Vec<String> {
    let mut says: Vec<String> = told
        .least
        .iter()
        .map(|(rules, takes)| {
            let verb = if rules.len() == 1 { "takes" } else { "take" };
            format!("{} {verb} {takes} at the least", slugs(rules))
        })
        .collect();
    let sum: u32 = told.least.iter().map(|(_, takes)| takes).sum();
    if told.least.len() > 1 {
        says.push(format!("no act mends two of these, so that all take {sum} at the least"));
    }
    if told.cost > 0 && sum == told.cost {
        says.push("that is what the answer costs: no set is cheaper".to_owned());
    }
    for bound in &told.bounds {
        says.push(format!(
            "every set that costs {bound} and bears on what is broken was tried: each leaves a rule \
             broken"
        ));
    }
    let judged = usize::try_from(told.judged).unwrap_or(usize::MAX);
    says.push(format!("{} of the site were judged by the check itself", counted(judged, "state")));
    says
}

/// What acts cost.
pub(crate) const COSTS: &str = crate::mend::cost::costs!();

impl Text {
    fn mend_head(&mut self, told: &Told) {
        let (word, says) = head(told);
        let ink = if told.answers.is_empty() { Ink::Attention } else { Ink::Alarm };
        let word = self.bold(&format!("{word}:"), ink);
        self.wrapped(&format!("{word} "), &says);
        if !told.waived.is_empty() && !told.answers.is_empty() {
            let says = slugs(&told.waived);
            self.item(&format!("left as it is by a waiver: {says} (--also-waived mends it too)"));
        }
        if told.before == Verdict::Stop {
            self.item("a danger stands: keep everything off until it is mended at the plant");
        }
    }

    fn answer(&mut self, told: &Told, number: usize, answer: &Answer) {
        let heading = match (told.answers.len(), number) {
            (1, _) => "To do at the plant".to_owned(),
            (_, 0) => "To do at the plant: one way".to_owned(),
            _ => "or, at the same cost".to_owned(),
        };
        self.heading(&heading);
        for (position, act) in answer.acts.iter().enumerate() {
            let mends = slugs(&act.mends);
            let says = format!("{} (cost {}; {mends})", act.says, act.cost);
            self.wrapped(&format!("  {}. ", position + 1), &says);
            for says in &act.cautions {
                self.wrapped("     with it: ", says);
            }
        }
        let mut after = format!("`check` says {} once they are done", answer.after.word());
        if !answer.left.is_empty() {
            after = format!("{after}, with {} still broken", slugs(&answer.left));
        }
        if !answer.undeclared.is_empty() {
            after = format!("{after}; still to declare: {}", all_of(&answer.undeclared));
        }
        self.wrapped("  then: ", &after);
    }

    fn beyond(&mut self, told: &Told) {
        let (none, not_found): (Vec<_>, Vec<_>) =
            told.beyond.iter().partition(|one| one.gave_up.is_none());
        if !none.is_empty() {
            self.heading("What no act here mends");
        }
        for one in none {
            let rule = one.rule.rule();
            self.item(&format!("{} ({}): {}", one.says, rule.slug, rule.text.act));
        }
        for says in &told.unclear_bars {
            self.item(&format!("first say: {says}"));
        }
        if !not_found.is_empty() {
            self.heading("What no act was found for");
        }
        for one in not_found {
            let rule = one.rule.rule();
            let far = one.gave_up.map(far).unwrap_or_default();
            self.item(&format!("{} ({}): {far}. {}", one.says, rule.slug, rule.text.act));
        }
    }

    fn explained(&mut self, told: &Told) {
        self.heading("Why no set is cheaper");
        for says in why(told) {
            self.item(&says);
        }
        self.wrapped("  ", COSTS);
    }
}
