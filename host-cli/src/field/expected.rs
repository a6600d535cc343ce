//! What a fact's value looks like, in words: for hints, tables and questions.

use super::{Field, Form};
use crate::value::parse;

/// What no form takes for a value.
const NO_VALUE: &str = "\u{1}x";

impl Field {
    /// The words to choose from, or what is expected; `None` where any words will do.
    ///
    /// ```
    /// use coldcheck::field::Field;
    ///
    /// assert_eq!(Field::Role.expected().as_deref(), Some("coordinator or follower"));
    /// assert_eq!(Field::SupplyBreaker.expected().as_deref(), Some("a current such as 80 A"));
    /// assert_eq!(Field::Site.expected(), None);
    /// ```
    pub fn expected(self) -> Option<String> {
        if self == Self::Scope {
            return Some("communication, power or all".to_owned());
        }
        if self == Self::Profile {
            return Some("the name of a built-in profile, or a file".to_owned());
        }
        if let Form::Choice(words) = self.form() {
            return Some(words.phrase());
        }
        let expected = parse(self.form(), NO_VALUE).err()?;
        if self == Self::Together {
            return Some(format!(
                "{expected}: conductors that carry current in one conduit or bundle, \
                 all units counted"
            ));
        }
        Some(expected)
    }
}
