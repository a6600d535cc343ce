//! How far what a picture shows can be relied on, and how that stands in a cable list.

use crate::visible;

/// How far a cell can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// It has one reading, and that was seen well.
    Sure,
    /// It has likely readings; a person must say which.
    Doubtful,
    /// Something must stand there, and nothing could be read.
    Unread,
}

impl Certainty {
    /// Its name in JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Sure => "sure",
            Self::Doubtful => "doubtful",
            Self::Unread => "unread",
        }
    }
}

/// What stands above a list in which cells are marked.
pub(crate) const MARKS: &str =
    "# Where a cell has question marks, leave the right reading and drop the mark.\n";

/// A cell with a question mark behind each of its readings; one without any is a mark alone, and
/// never empty: empty is a reading too.
pub(crate) fn marked(certainty: Certainty, text: &str, alternatives: &[String]) -> String {
    let all = std::iter::once(text).chain(alternatives.iter().map(String::as_str));
    let all: Vec<String> =
        all.filter(|text| !text.is_empty()).map(|text| format!("{text}?")).collect();
    match certainty {
        Certainty::Sure => text.to_owned(),
        Certainty::Doubtful if !all.is_empty() => all.join(" "),
        Certainty::Doubtful | Certainty::Unread => "?".to_owned(),
    }
}

/// A cell in quotes where it needs them.
pub fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) || cell.trim() != cell {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// Text as one line that a terminal shows as it is.
pub(crate) fn one_line(text: &str) -> String {
    visible::visible(text).replace(['\n', '\r'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_is_not_sure_has_a_mark() {
        let one = ["U7".to_owned()];
        assert_eq!(marked(Certainty::Sure, "U1", &one), "U1");
        assert_eq!(marked(Certainty::Doubtful, "U1", &one), "U1? U7?");
        assert_eq!(marked(Certainty::Doubtful, "", &one), "U7?");
        for certainty in [Certainty::Doubtful, Certainty::Unread] {
            assert_eq!(marked(certainty, "", &[]), "?");
        }
    }

    #[test]
    fn cells_are_quoted_where_they_would_be_read_otherwise() {
        assert_eq!(quoted("1.5"), "1.5");
        assert_eq!(quoted("1,5"), "\"1,5\"");
        assert_eq!(quoted("a \"b\""), "\"a \"\"b\"\"\"");
        assert_eq!(quoted(" x"), "\" x\"");
        assert_eq!(one_line("a\nb"), "a\u{240a}b");
    }
}
