//! The report: sound HTML that holds everything the check says, and nothing from elsewhere.
fn main() {}
