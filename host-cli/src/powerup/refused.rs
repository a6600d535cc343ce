//! Readings that do not count.

/// Why a reading does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// The site has no such step.
    NoSuchStep,
    /// It was taken under other sheets, of a step that the site has no more.
    Gone,
    /// It was taken before this hold, by position, was passed.
    OutOfTurn(usize),
    /// It was taken live while a danger stood in the sheets.
    Danger,
    /// A reason does not pass this step.
    NoReason,
    /// It is of another quantity.
    OtherQuantity,
    /// Nobody states what must be read, so that nothing can be held against it; the step, by
    /// position.
    NotJudged(usize),
}
