//! Images: those of earlier programs stay readable, and damaged ones are refused.

use coldcheck_tests::{damage, stored};

#[test]
fn images_of_earlier_programs_say_what_they_said() {
    let stored = stored::all();
    for version in [1, 2] {
        let of_version = stored.iter().filter(|one| one.version() == version);
        assert!(of_version.count() >= 3, "version {version}");
    }
    for one in stored {
        let golden = one.golden();
        assert!(golden.agrees(), "{}", golden.difference());
        assert!(one.name.starts_with(&format!("v{}-", one.version())), "{}", one.name);
    }
}

#[test]
fn every_flipped_bit_and_every_cut_is_refused() {
    for one in stored::all() {
        assert_eq!(damage::unseen(&one.bytes), [""; 0], "{}", one.name);
    }
}

/// `cargo dev damage` does it with a million.
#[test]
fn no_bytes_make_the_core_panic() {
    let images: Vec<_> = stored::all().into_iter().map(|one| one.bytes).collect();
    let accepted = damage::endure(&images, 3000);
    assert!(accepted > 100, "only {accepted} of them come as far as the check");
}

/// What is read back from flash ends with what nobody has written.
#[test]
fn the_padding_of_flash_is_no_damage_and_anything_else_is() {
    for one in stored::all() {
        let read = |tail: &[u8]| {
            let bytes = [one.bytes.as_slice(), tail].concat();
            coldcheck::image::read(&bytes).map(|(_, names)| names).ok()
        };
        let whole = read(&[]);
        assert!(whole.is_some(), "{}", one.name);
        for sign in [0, 0xFF] {
            assert_eq!(read(&[sign; 300]), whole, "{}", one.name);
            assert_eq!(read(&[&[sign; 300][..], b"x"].concat()), None, "{}", one.name);
        }
        assert_eq!(read(&[0xFF, 0]), None, "{}", one.name);
    }
}
