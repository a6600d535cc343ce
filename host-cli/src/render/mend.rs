//! What `mend` found in words, in the order in which it is told: the terminal and the page set the same
//! out, each in its own way.

use crate::mend::told::GaveUp;
use crate::mend::{Answer, Told};
use crate::phrase::{all_of, counted};
use coldcheck_core::finding::Verdict;
use coldcheck_core::rules::RuleId;

/// Everything that is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    /// The word that everything begins with, and its sentence.
    pub head: (&'static str, String),
    /// What holds for all answers.
    pub remarks: Vec<String>,
    /// The answers.
    pub answers: Vec<AnswerWords>,
    /// What no answer mends, under headings.
    pub lists: Vec<(&'static str, Vec<String>)>,
}

/// An answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AnswerWords {
    /// Its heading.
    pub heading: &'static str,
    /// Its acts in order, each with what whoever does it must keep in mind.
    pub acts: Vec<(String, Vec<&'static str>)>,
    /// What `check` says afterwards.
    pub then: String,
}

/// What was found, in words.
pub fn words(told: &Told) -> Words {
    let mut remarks = Vec::new();
    if !told.waived.is_empty() && !told.answers.is_empty() {
        let says = slugs(&told.waived);
        remarks.push(format!("left as it is by a waiver: {says}"));
    }
    if told.before == Verdict::Stop {
        let says = "a danger stands: keep everything off until it is mended at the plant";
        remarks.push(says.to_owned());
    }
    let answers = told.answers.iter().enumerate();
    Words {
        head: head(told),
        remarks,
        answers: answers.map(|(number, one)| answer(told, number, one)).collect(),
        lists: beyond(told),
    }
}

fn slugs(rules: &[RuleId]) -> String {
    let slugs: Vec<&str> = rules.iter().map(|rule| rule.rule().slug).collect();
    all_of(&slugs)
}

/// What was found, in one line.
pub(crate) fn head(told: &Told) -> (&'static str, String) {
    if told.asks {
        const FEW: usize = 3;
        let shown = told.asked.iter().take(FEW).map(String::as_str).collect::<Vec<_>>().join("; ");
        let more = match told.asked.len().saturating_sub(FEW) {
            0 => String::new(),
            more => format!("; and {more} more"),
        };
        let says = format!(
            "a person must answer first, or confirm an act that is to do: {shown}{more}. Until then \
             nothing is proposed; `coldcheck check` has each with its place."
        );
        return ("ASK", says);
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
            "{} by a waiver, and nothing else is broken",
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
pub fn why(told: &Told) -> Vec<String> {
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
pub const COSTS: &str = crate::mend::cost::costs!();

fn answer(told: &Told, number: usize, answer: &Answer) -> AnswerWords {
    let heading = match (told.answers.len(), number) {
        (1, _) => "To do at the plant",
        (_, 0) => "To do at the plant: one way",
        _ => "or, at the same cost",
    };
    let acts = answer.acts.iter().map(|act| {
        let says = format!("{} (cost {}; {})", act.says, act.cost, slugs(&act.mends));
        (says, act.cautions.clone())
    });
    let mut then = format!("the check says {} once they are done", answer.after.word());
    if !answer.left.is_empty() {
        then = format!("{then}, with {} still broken", slugs(&answer.left));
    }
    if !answer.undeclared.is_empty() {
        then = format!("{then}; still to declare: {}", all_of(&answer.undeclared));
    }
    AnswerWords { heading, acts: acts.collect(), then }
}

fn beyond(told: &Told) -> Vec<(&'static str, Vec<String>)> {
    let (none, not_found): (Vec<_>, Vec<_>) =
        told.beyond.iter().partition(|one| one.gave_up.is_none());
    let no_act = none.iter().map(|one| {
        let rule = one.rule.rule();
        format!("{} ({}): {}", one.says, rule.slug, rule.text.act)
    });
    let first = told.unclear_bars.iter().map(|says| format!("first say: {says}"));
    let no_act: Vec<String> = no_act.chain(first).collect();
    let not_found = not_found.iter().map(|one| {
        let rule = one.rule.rule();
        let far = one.gave_up.map(far).unwrap_or_default();
        format!("{} ({}): {far}. {}", one.says, rule.slug, rule.text.act)
    });
    let lists =
        [("What no act here mends", no_act), ("What no act was found for", not_found.collect())];
    lists.into_iter().filter(|(_, items)| !items.is_empty()).collect()
}
