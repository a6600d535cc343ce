//! What the sheets hold beside their facts: questions, what nobody understood, comments. A change of
//! a fact leaves all of it as it was, but for what was about that fact.

use super::Edit;
use crate::declared::Declared;
use crate::fold::Folded;
use crate::source::{Cell, Origin};

pub(super) struct Beside {
    /// What each question says, with its places.
    questions: Vec<(String, Vec<Origin>)>,
    not_understood: Vec<String>,
    comments: Vec<String>,
}

impl Beside {
    pub(super) fn of(declared: &Declared) -> Self {
        let asked = declared.questions.iter();
        let asked = asked.map(|question| (question.says.clone(), question.origins.clone()));
        let found = declared.readings.iter().map(|reading| {
            let parts = [reading.value.as_deref(), reading.wanted.as_deref()];
            (format!("{:?} {:?} {parts:?}", reading.rule, reading.at), reading.origins.clone())
        });
        let texts = |cells: &[Cell]| {
            let mut texts: Vec<String> = cells.iter().map(|cell| cell.text.clone()).collect();
            texts.sort();
            texts
        };
        Self {
            questions: asked.chain(found).collect(),
            not_understood: texts(&declared.not_understood),
            comments: texts(&declared.remarks),
        }
    }

    /// Whether nothing has come, and nothing has gone but what is about the fact that stood at these
    /// places, or went with the thing that was taken away.
    pub(super) fn is_kept(&self, after: &Self, change: &Edit, places: &[Origin]) -> bool {
        let goes = matches!(change, Edit::Disconnect(_) | Edit::RemoveUnit(_));
        let is_there = |list: &[(String, Vec<Origin>)], says: &str| {
            list.iter().any(|(other, _)| other == says)
        };
        let new = after.questions.iter().any(|(says, _)| !is_there(&self.questions, says));
        let is_about = |origins: &[Origin]| {
            let meets = |one: &Origin, other: &Origin| {
                one.sheet == other.sheet && one.start <= other.end && other.start <= one.end
            };
            origins.iter().any(|one| places.iter().any(|other| meets(one, other)))
        };
        let gone = self.questions.iter().any(|(says, origins)| {
            !goes && !is_there(&after.questions, says) && !is_about(origins)
        });
        let lost = |before: &[String], after: &[String]| {
            let mut left = after.to_vec();
            let mut lost = Vec::new();
            for text in before {
                match left.iter().position(|other| other == text) {
                    Some(at) => {
                        left.remove(at);
                    }
                    None => lost.push(text.clone()),
                }
            }
            (lost, left)
        };
        let (unread, new_unread) = lost(&self.not_understood, &after.not_understood);
        let (comments, new_comments) = lost(&self.comments, &after.comments);
        // A blank that was filled in is a comment no more.
        let is_blank = |comment: &String| {
            let Edit::Set { key, .. } = change else { return false };
            let bare = comment.trim_start_matches('#').trim();
            bare.split_once('=').is_some_and(|(own, value)| {
                Folded::of(own) == Folded::of(key) && value.trim().trim_matches('"').is_empty()
            })
        };
        !new && !gone
            && new_unread.is_empty()
            && new_comments.is_empty()
            && (goes || unread.is_empty() && comments.iter().all(is_blank))
    }
}
