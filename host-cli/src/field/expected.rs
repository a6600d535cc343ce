//! What a fact's value looks like, in words: for hints, tables and questions.

use super::{Field, Form};
use crate::value::parse;

/// What no form takes for a value.
const NO_VALUE: &str = "\u{1}x";

impl Field {
    /// The words to choose from, or what is expected.
    ///
    /// ```
    /// use coldcheck::field::Field;
    ///
    /// assert_eq!(Field::Role.expected(), "coordinator or follower");
    /// assert_eq!(Field::SupplyBreaker.expected(), "a current such as 80 A");
    /// ```
    pub fn expected(self) -> String {
        if self == Self::Scope {
            return "communication, power or all".to_owned();
        }
        if self == Self::Profile {
            return "the name of a built-in profile, or a file".to_owned();
        }
        if let Form::Choice(words) = self.form() {
            return words.phrase();
        }
        parse(self.form(), NO_VALUE).err().unwrap_or_else(|| "any words".to_owned())
    }
}
