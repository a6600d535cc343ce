//! Generated links.
