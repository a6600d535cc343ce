//! JSON under the schema `coldcheck.drill.v1`.

use crate::drill::class::Class;
use crate::drill::exercise::Drill;
use crate::drill::score::{self, Did, Score, Step};
use crate::drill::told::{Answers, CAUTION, Exercise, PROVE_DEAD};
use crate::read::RawSheet;
use crate::words::CAUTIONS;
use serde_json::{Value, json};

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.drill.v1";

/// A class: its exercises, and its answers where they are wanted.
pub fn class(class: &Class, with_exercises: bool, with_answers: bool) -> Value {
    let mut told = json!({ "schema": SCHEMA, "caution": CAUTION, "cautions": CAUTIONS });
    let drills = class.drills.iter();
    if with_exercises {
        let all = drills.clone().map(|drill| exercise(drill, &drill.exercise()));
        told["exercises"] = all.collect();
    }
    if with_answers {
        told["readings_taken"] = json!([class.taken.0, class.taken.1]);
        told["readings_at_most"] = json!([class.spread.0, class.spread.1]);
        told["answers"] = drills.map(|drill| answers(&drill.answered())).collect();
    }
    told
}

/// One exercise as a file of its own, under its place in the class: the number that makes it stands
/// in the answers alone.
pub fn one(drill: &Drill, told: &Exercise, place: usize) -> Value {
    let mut exercise = exercise(drill, told);
    exercise["number"] = json!(place);
    json!({
        "schema": SCHEMA,
        "caution": CAUTION,
        "cautions": CAUTIONS,
        "exercises": [exercise],
    })
}

/// What a learner did, weighed.
pub fn scored(drill: &Drill, did: &[Did]) -> Value {
    let step = |step: Step| json!({ "cost": step.cost, "did": step.did, "shown": step.shown });
    let mut weighed = score(&score::score(drill, did));
    weighed["steps"] = score::steps(drill, did).into_iter().map(step).collect();
    json!({ "schema": SCHEMA, "caution": CAUTION, "cautions": CAUTIONS, "score": weighed })
}

/// A score.
pub fn score(score: &Score) -> Value {
    json!({
        "solved": score.solved,
        "says": score.says(),
        "readings": score.readings,
        "ideal": score.ideal,
        "wrong": score.wrong,
        "guessed": score.guessed,
        "missed": score.missed,
        "points": score.points,
    })
}

/// An exercise.
pub fn exercise(drill: &Drill, exercise: &Exercise) -> Value {
    let sheet = |sheet: &RawSheet| json!({ "name": sheet.name, "text": String::from_utf8_lossy(&sheet.bytes) });
    json!({
        "number": exercise.number,
        "units": drill.ask.units,
        "profile": drill.ask.profile,
        "faults": drill.puzzles.len(),
        "level": drill.level().word(),
        "at_most": drill.at_most(),
        "on_paper": drill.on_paper(),
        "head": exercise.head,
        "noticed": exercise.noticed,
        "task": exercise.task,
        "first": PROVE_DEAD,
        "acts": exercise.acts.iter().map(|(cost, says)| json!({ "cost": cost, "says": says })).collect::<Vec<_>>(),
        "sheets": exercise.sheets.iter().map(sheet).collect::<Vec<_>>(),
    })
}

/// The answers of one drill.
pub fn answers(answers: &Answers<'_>) -> Value {
    let drill = answers.drill;
    let of_fault = answers.answers.iter().map(|answer| {
        let confirmed = answer.confirmed.as_ref();
        let way = answer.way.iter().map(|(act, seen)| {
            json!({ "act": act.short(), "says": act.says(), "cost": act.cost(), "shown": seen.shown })
        });
        json!({
            "id": answer.cause.id(),
            "kind": answer.words.kind,
            "severity": answer.severity().word(),
            "title": answer.words.title,
            "place": answer.cause.done,
            "why": answer.words.why,
            "prove": answer.words.prove,
            "mend": answer.words.act,
            "confirmed_by": confirmed.map(|it| it.by.word()),
            "confirmed": confirmed.map(|it| it.says.clone()),
            "readings": answer.puzzle.readings,
            "at_most": answer.puzzle.at_most,
            "rivals": answer.puzzle.rivals.len().saturating_sub(1),
            "told_apart": answer.puzzle.classes,
            "alike": answer.alike.iter().map(|cause| cause.done.clone()).collect::<Vec<_>>(),
            "way": way.collect::<Vec<_>>(),
        })
    });
    json!({
        "number": drill.ask.number,
        "readings_taken": drill.readings(),
        "parts": drill.parts().collect::<Vec<_>>(),
        "faults": of_fault.collect::<Vec<_>>(),
        "readings": answers.readings.iter().map(|(act, shown)| json!({
            "act": act.short(), "says": act.says(), "cost": act.cost(), "shown": shown,
        })).collect::<Vec<_>>(),
        "usual": answers.usual.iter().map(|(asked, told)| json!({ "act": asked, "shown": told })).collect::<Vec<_>>(),
        "heard": answers.heard,
        "log": answers.log,
    })
}
