//! Values as people write them, form by form.

use super::*;
use crate::vocabulary;

#[test]
fn the_same_version_is_spelt_in_several_ways() {
    for spelling in ["2.14", "V2.14", "v 2.14", "2.14.0"] {
        assert_eq!(
            parse(Form::Version, spelling),
            Ok(Value::Version(Ok([2, 14, 0, 0]))),
            "{spelling}"
        );
    }
    assert_ne!(parse(Form::Version, "2.11"), parse(Form::Version, "2.14"));
    assert!(matches!(parse(Form::Version, "2024-03-B"), Ok(Value::Version(Err(_)))));
    assert!(parse(Form::Version, "new").is_err());
    assert_eq!(parse(Form::Version, "2."), parse(Form::Version, "2"));
}

#[test]
fn a_version_reads_back_from_its_folded_words() {
    for text in ["(v3.02", "\"v 3.02", "x v3", "vv 3 b", "-V-2.b"] {
        let Some(Err(name)) = version(text) else { panic!("{text}") };
        assert_eq!(version(&name.to_string()), Some(Err(name)), "{text}");
    }
}

#[test]
fn a_zero_in_front_of_a_later_number_makes_another_version() {
    let same = |one, two| parse(Form::Version, one) == parse(Form::Version, two);
    for (one, two) in [("v3.02", "3.02"), ("3.02", "3.02.0"), ("05.01.02", "5.1.2")] {
        assert!(same(one, two), "{one} and {two}");
    }
    for (one, two) in [("3.02", "3.2"), ("3.02", "3.002"), ("1.09", "1.9"), ("3.20", "3.2")] {
        assert!(!same(one, two), "{one} and {two}");
    }
}

#[test]
fn a_terminator_may_carry_its_ohms() {
    for (text, word, ohms) in [
        ("plug 120 ohm", "plug", 120),
        ("120 ohm plug", "plug", 120),
        ("on (120 ohm)", "on", 120),
        ("240 ohm", "on", 240),
        ("120\u{3A9}", "on", 120),
        ("built in, 120 R", "built in", 120),
        ("yes 120", "on", 120),
        ("120", "on", 120),
        ("off (120 ohm)", "off", 120),
        ("terminator plug 120 ohms", "plug", 120),
    ] {
        let code = TERMINATOR.code(&Folded::of(word)).expect("a word of the vocabulary");
        assert_eq!(terminator(text), Some((code, Ohms(ohms))), "{text}");
    }
    for text in ["on", "1", "2", "plug 2", "120 m", "maybe 120 ohm", "12 V"] {
        assert_eq!(terminator(text), None, "{text}");
    }
}

#[test]
fn an_address_keeps_its_base() {
    assert_eq!(address("0x10").map(|address| (address.number, address.base)), Some((16, 16)));
    assert_eq!(address("010").map(|address| (address.number, address.base)), Some((10, 10)));
    assert_eq!(parse(Form::Address, "0x10"), parse(Form::Address, "16"));
    for wrong in ["-1", "+1", "1.5", "65536", "0x", "ten"] {
        assert!(parse(Form::Address, wrong).is_err(), "{wrong}");
    }
}

#[test]
fn switches_and_pins_are_written_in_several_ways() {
    for text in ["1001", "1 0 0 1", "on off off on", "Up, down, down, up"] {
        assert_eq!(switches(text), Some(4 << 16 | 0b1001), "{text}");
    }
    assert_eq!(switches("0100"), Some(4 << 16 | 0b0010), "the first switch is the lowest bit");
    assert_eq!(switches("102"), None);
    assert_eq!(switches(""), None);
    assert_eq!(pins("1, 2, 3"), Some(0b111));
    assert_eq!(pins("all"), Some(255));
    assert_eq!(pins("9"), None);
}

#[test]
fn an_address_that_was_not_set_is_said() {
    assert_eq!(parse(Form::Address, "not set"), Ok(Value::Nothing));
    assert_eq!(parse(Form::Address, "-"), Ok(Value::Nothing));
}

#[test]
fn a_word_outside_the_vocabulary_is_told_what_fits() {
    assert_eq!(
        parse(Form::Choice(vocabulary::ROLE), "boss"),
        Err("coordinator or follower".to_owned())
    );
}
