//! The cheapest acts for people.

use super::{Ink, Style, Text};
use crate::engine::Site;
use crate::mend::{Answer, Told};
use crate::phrase::{all_of, counted};
use crate::words::CAUTIONS;
use coldcheck_core::finding::Verdict;
use coldcheck_core::rule::Severity;
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
    if let Some(below) = told.given_up {
        let says = format!(
            "no set of acts was found that costs less than {}; the search was given up after {}. \
             Mend one finding by hand and ask again.",
            below.max(1),
            counted(usize::try_from(told.judged).unwrap_or(usize::MAX), "state")
        );
        return ("NOT FOUND", says);
    }
    let Some(first) = told.answers.first() else {
        return if told.beyond.is_empty() {
            ("NOTHING TO DO", "no rule is broken; there is nothing to mend.".to_owned())
        } else {
            ("NO ACT", "no act that is known here mends what is broken.".to_owned())
        };
    };
    let others = match told.answers.len() {
        1 => String::new(),
        count => format!(", in {count} ways that cost the same"),
    };
    let says = format!(
        "{} for {}{others}; no set of acts is cheaper.",
        counted(first.acts.len(), "act"),
        cost(told.cost)
    );
    let head = if told.before == Verdict::Stop { "STOP, THEN MEND" } else { "MEND" };
    (head, says)
}

/// What the rules of a danger say to do, beside the act itself.
pub(crate) fn caution(mends: &[RuleId]) -> Option<String> {
    let dangers = mends.iter().map(|rule| rule.rule());
    let dangers = dangers.filter(|rule| rule.severity == Severity::Danger);
    let acts: Vec<&str> = dangers.map(|rule| rule.text.act).collect();
    (!acts.is_empty()).then(|| acts.join(" "))
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
pub(crate) const COSTS: &str = "A setting, a switch or a plug taken out costs 2; a plug, a terminator or a sensor moved 3; a \
    cable taken out or a conductor rejoined 4; two plugs exchanged, or a cable turned, 5; a new cable 8; a cable replaced 9.";

impl Text {
    fn mend_head(&mut self, told: &Told) {
        let (word, says) = head(told);
        let ink = if told.answers.is_empty() { Ink::Attention } else { Ink::Alarm };
        let word = self.bold(&format!("{word}:"), ink);
        self.wrapped(&format!("{word} "), &says);
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
            if let Some(first) = caution(&act.mends) {
                self.wrapped("     with it: ", &first);
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
        if told.beyond.is_empty() {
            return;
        }
        self.heading("What no act here mends");
        for one in &told.beyond {
            let rule = one.rule.rule();
            self.item(&format!("{} ({}): {}", one.says, rule.slug, rule.text.act));
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
