//! Each rule beside the wrong cell that gets through without it.

use super::super::columns::Column;
use super::super::decode::{Costs, Glyph};
use super::super::similar::folded;
use super::super::words::{Word, Words};
use super::*;

/// Signs with one confidence, but for those in brackets, which have that of the second figure.
fn glyphs(text: &str, sure: f32, poor: f32) -> Vec<Glyph> {
    let (mut glyphs, mut confidence) = (Vec::new(), sure);
    for sign in text.chars() {
        match sign {
            '[' => confidence = poor,
            ']' => confidence = sure,
            _ => {
                if let Some(sign) = folded(sign) {
                    let x = glyphs.len() as f64;
                    glyphs.push(Glyph { sign, confidence, piece: 0, x, parted: false });
                }
            }
        }
    }
    glyphs
}

fn words(units: &[&str]) -> Words {
    Words {
        units: units.iter().map(|unit| Word::new(unit, [])).collect(),
        kinds: vec![Word::new("parallel link", []), Word::new("meter cable", [])],
        prefix: Some("P".to_owned()),
        ..Words::default()
    }
}

fn seen(column: Column, text: &str, poor: f32, words: &Words) -> Seen {
    let signs = glyphs(text, 0.99, poor);
    let found = Costs::of(&signs, words).found(column, 0, signs.len()).unwrap();
    Seen { found, signs }
}

/// A unit as two readings have it, with this confidence in what stands in brackets.
fn unit(first: &str, second: &str, poor: f32, units: &[&str]) -> Result<(), Doubt> {
    let words = words(units);
    let of = |text| seen(Column::FromUnit, text, poor, &words);
    word(&of(first), &of(second), &words.units)
}

fn metres(first: &str, second: &str, poor: f32) -> Result<(), Doubt> {
    let words = words(&["U1"]);
    let of = |text| seen(Column::Length, text, poor, &words);
    length(&of(first), &of(second))
}

#[test]
fn a_word_that_both_readings_see_well_is_sure() {
    assert_eq!(unit("U1", "U1", 0.99, &["U1", "U2"]), Ok(()));
    assert_eq!(unit("U[3]", "U3", 0.7, &["U3", "U8"]), Ok(()));
}

#[test]
fn a_sign_with_a_rival_needs_a_second_witness() {
    // A blurred 5 is read as 3 with 0.98 by the one reading and with 0.55 by the other.
    assert_eq!(unit("U[3]", "U3", 0.55, &["U3", "U5"]), Err(Doubt::LooksLike));
    assert_eq!(unit("U[3]", "U3", 0.55, &["U3", "U4"]), Ok(()));
}

#[test]
fn one_reading_alone_makes_u3_of_u8() {
    assert_eq!(unit("U3", "U8", 0.99, &["U3", "U8"]), Err(Doubt::ReadingsDiffer));
}

#[test]
fn a_unit_that_the_vocabulary_lacks_is_not_taken_for_the_nearest() {
    assert_eq!(unit("U4", "U4", 0.99, &["U1", "U2"]), Err(Doubt::NoSuchWord));
    // A ruling beside it is read as a digit, or was it one?
    assert_eq!(unit("U11", "U1", 0.99, &["U1", "U2"]), Err(Doubt::NoSuchWord));
}

#[test]
fn a_twin_is_settled_only_where_no_other_word_looks_like_it() {
    assert_eq!(unit("UI", "UI", 0.99, &["U1", "U2"]), Ok(()));
    assert_eq!(unit("UI", "UI", 0.99, &["U1", "U7"]), Err(Doubt::LooksLike));
    assert_eq!(unit("US", "US", 0.99, &["U5", "U6"]), Err(Doubt::LooksLike));
    assert_eq!(unit("B8", "B8", 0.99, &["B8", "BB"]), Ok(()));
    assert_eq!(unit("[B8]", "[B8]", 0.7, &["B8", "BB"]), Err(Doubt::LooksLike));
}

#[test]
fn a_poor_sign_with_a_rival_is_asked_and_without_one_it_is_not() {
    assert_eq!(unit("U[3]", "U[3]", 0.8, &["U3", "U8"]), Err(Doubt::LooksLike));
    assert_eq!(unit("U[3]", "U[3]", 0.8, &["U3", "U4"]), Ok(()));
    assert_eq!(unit("U[3]", "U[3]", 0.4, &["U3", "U4"]), Err(Doubt::PoorlySeen));
}

#[test]
fn a_long_word_may_have_a_slip_and_a_short_one_may_not() {
    let words = words(&[]);
    let of = |text| seen(Column::Kind, text, 0.99, &words);
    assert_eq!(word(&of("parailel link"), &of("paralIel link"), &words.kinds), Ok(()));
    let mut two = words.clone();
    two.kinds.push(Word::new("parallel sink", []));
    let of = |text| seen(Column::Kind, text, 0.99, &two);
    let judged = word(&of("paralxel link"), &of("paralxel link"), &two.kinds);
    assert_eq!(judged, Err(Doubt::NoSuchWord));
}

#[test]
fn a_length_needs_both_readings_and_all_of_its_digits_as_they_are() {
    assert_eq!(metres("1.5 m", "1,50 m", 0.99), Err(Doubt::ReadingsDiffer));
    assert_eq!(metres("1.5 m", "1,5m", 0.99), Ok(()));
    assert_eq!(metres("0.8 m", "0.3 m", 0.99), Err(Doubt::ReadingsDiffer));
    assert_eq!(metres("0.B m", "0.B m", 0.99), Err(Doubt::LooksLike));
    assert_eq!(metres("0.[8] m", "0.[8] m", 0.7), Err(Doubt::LooksLike));
}

#[test]
fn a_lost_decimal_sign_is_asked_however_well_the_digits_are_seen() {
    assert_eq!(metres("15 m", "15 m", 0.99), Err(Doubt::NoDecimalSign));
    assert_eq!(metres("5 m", "5 m", 0.99), Ok(()));
}

#[test]
fn a_label_must_follow_its_neighbours() {
    let labels = |all: &[&str]| -> Vec<Option<String>> {
        all.iter().map(|label| Some((*label).to_owned())).collect()
    };
    let judged = in_sequence(&labels(&["P1", "P2", "P8", "P4", "P5"]));
    let expected = [Ok(()), Ok(()), Err(Doubt::OutOfSequence), Ok(()), Ok(())];
    assert_eq!(judged, expected);
    assert_eq!(expected_label(&labels(&["P1", "P2", "P8"]), 2).as_deref(), Some("P3"));
    // The second one follows, and yet one of the two is wrong.
    let twice = in_sequence(&labels(&["P1", "P2", "P2", "P4"]));
    assert_eq!(twice[1], Err(Doubt::Repeated));
    assert_eq!(expected_label(&labels(&["W09", "W1"]), 1).as_deref(), Some("W10"));
}
