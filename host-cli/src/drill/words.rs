//! The words of a drill, as data: what is noticed first, and faults that no rule names.

use coldcheck_core::rules::{RULES, RuleId};
use std::sync::LazyLock;

static SYMPTOMS: LazyLock<Vec<Symptom>> =
    LazyLock::new(|| parts(include_str!("../../assets/drill/symptoms.txt")).map(symptom).collect());
static PLANT: LazyLock<Vec<Words>> =
    LazyLock::new(|| parts(include_str!("../../assets/drill/plant.txt")).map(words).collect());

static REASONS: LazyLock<Vec<Reason>> =
    LazyLock::new(|| parts(include_str!("../../assets/drill/reasons.txt")).map(reason).collect());

/// What a drill says of a rule's fault instead of the rule's own words.
#[derive(Debug)]
struct Reason {
    kind: &'static str,
    done: &'static str,
    title: &'static str,
    why: &'static str,
}

/// What a person notices before anything is opened.
#[derive(Debug)]
pub struct Symptom {
    /// Its name.
    pub name: &'static str,
    /// The part of the plant that its faults are in.
    pub part: &'static str,
    /// What is noticed.
    pub says: &'static str,
    /// Kinds of faults behind it.
    kinds: Vec<&'static str>,
}

/// The words of a kind of fault.
#[derive(Clone, Copy, Debug)]
pub struct Words {
    /// Its name: a rule's, a kind of the meter's model, or `pair-split`.
    pub kind: &'static str,
    /// The fault.
    pub title: &'static str,
    /// What it does.
    pub why: &'static str,
    /// What mends it.
    pub act: &'static str,
    /// What proves it.
    pub prove: &'static str,
}

/// Pieces below a line `== NAME`; lines that begin with `#` say something about the file.
fn parts(text: &'static str) -> impl Iterator<Item = (&'static str, Vec<&'static str>)> {
    text.split("\n== ").skip(1).map(|part| {
        let mut lines = part.lines().filter(|line| !line.is_empty());
        (lines.next().unwrap_or(""), lines.collect())
    })
}

fn symptom((name, lines): (&'static str, Vec<&'static str>)) -> Symptom {
    let kinds = lines.iter().skip(1).flat_map(|line| line.split(' ')).collect();
    let (name, part) = name.split_once(" | ").unwrap_or((name, ""));
    Symptom { name, part, says: lines.first().unwrap_or(&""), kinds }
}

fn words((kind, lines): (&'static str, Vec<&'static str>)) -> Words {
    let line = |at: usize| lines.get(at).copied().unwrap_or("");
    Words { kind, title: line(0), why: line(1), act: line(2), prove: line(3) }
}

fn reason((head, lines): (&'static str, Vec<&'static str>)) -> Reason {
    let (kind, done) = head.split_once(" | ").unwrap_or((head, ""));
    let line = |at: usize| lines.get(at).copied().unwrap_or("");
    Reason { kind, done, title: line(0), why: line(1) }
}

/// The words of a fault: those of its kind, where nothing else fits what was done.
pub fn words_of_done(kind: &str, done: &str) -> Option<Words> {
    let words = words_of(kind)?;
    let own = REASONS.iter().find(|own| own.kind == kind && done.contains(own.done));
    Some(own.map_or(words, |own| Words { title: own.title, why: own.why, ..words }))
}

/// The symptom of a kind of fault.
pub fn symptom_of(kind: &str) -> Option<&'static Symptom> {
    SYMPTOMS.iter().find(|symptom| symptom.kinds.contains(&kind))
}

/// The rule of a name.
pub fn rule_of(kind: &str) -> Option<RuleId> {
    RULES.iter().find(|(_, rule)| rule.slug == kind).map(|(id, _)| *id)
}

/// The words of a kind of fault.
pub fn words_of(kind: &str) -> Option<Words> {
    if let Some(rule) = rule_of(kind) {
        let (slug, text) = (rule.rule().slug, rule.rule().text);
        let (title, why, act, prove) = (text.title, text.why, text.act, text.prove);
        return Some(Words { kind: slug, title, why, act, prove });
    }
    of_plant(kind)
}

/// The words of a fault that no rule names, since no sheet shows it.
pub fn of_plant(kind: &str) -> Option<Words> {
    PLANT.iter().find(|words| words.kind == kind).copied()
}

/// Every kind of fault that can be drilled: rules in the order of their table, then those that no
/// rule names.
pub fn kinds() -> impl Iterator<Item = &'static str> {
    RULES.iter().map(|(_, rule)| rule.slug).chain(PLANT.iter().map(|words| words.kind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::meter::fault::Kind;

    #[test]
    fn every_kind_has_words_and_one_symptom() {
        for kind in kinds() {
            let behind = SYMPTOMS.iter().filter(|symptom| symptom.kinds.contains(&kind));
            assert_eq!(behind.count(), 1, "{kind}");
            assert!(!symptom_of(kind).unwrap().part.is_empty(), "{kind}");
            let words = words_of(kind).unwrap();
            for text in [words.title, words.why, words.act, words.prove] {
                assert!(text.len() > 10, "{kind}");
            }
        }
        let known: Vec<_> = kinds().collect();
        for kind in SYMPTOMS.iter().flat_map(|symptom| &symptom.kinds) {
            assert!(known.contains(kind), "{kind} is no kind of fault");
        }
        for reason in REASONS.iter() {
            assert!(known.contains(&reason.kind) && reason.why.len() > 10, "{reason:?}");
        }
        assert!(Kind::ALL.iter().all(|kind| known.contains(&kind.word())));
    }
}
