//! One plan, one answer: the laptop and the emulated gateways, which boot with the same image and
//! hear the same.
//!
//! Ignored in a plain `cargo test`, because they need the other targets and QEMU; `cargo dev test`
//! sets those up and runs them.

use coldcheck_core::plan::Milliseconds;
use coldcheck_core::rules::RULES;
use coldcheck_tests::firmware::{Board, Build, END, build, built, firmware};
use coldcheck_tests::generate::Dice;
use coldcheck_tests::heard::{expected, read, slcan};
use coldcheck_tests::images::{self, Site};
use coldcheck_tests::rig::{self, differences};
use coldcheck_tests::{buses, damage, elf, paths, stored};

fn agree(board: Board, name: &str, sites: &[Site]) {
    let differences = differences(board, name, sites);
    assert!(differences.is_empty(), "{}", differences.join("\n"));
}

/// Logs of whole buses, each with its site.
fn heard() -> Vec<Site> {
    buses::all().into_iter().map(|bus| bus.site).collect()
}

#[test]
#[ignore = "needs the thumb target and QEMU; cargo dev test runs it"]
fn the_gateway_says_what_the_laptop_says() {
    agree(Board::CortexM3, "sites", &images::all());
    agree(Board::CortexM3, "buses", &heard());
}

#[test]
#[ignore = "needs the second thumb target and QEMU; cargo dev test runs it"]
fn the_second_board_says_the_same() {
    agree(Board::CortexM4, "sites", &images::all());
    agree(Board::CortexM4, "buses", &heard());
}

#[test]
#[ignore = "needs the second thumb target and QEMU; cargo dev test runs it"]
fn single_faults_are_found_on_the_gateway_too() {
    for units in 2..=8 {
        let sites = rig::singles(units, 220);
        assert!(sites.len() > 8, "{units} units: {} sites", sites.len());
        agree(Board::CortexM4, "singles", &sites);
    }
}

/// Flipped, cut, with the checksum put right, and noise: refused, or taken for the same plan.
#[test]
#[ignore = "needs the second thumb target and QEMU; cargo dev test runs it"]
fn damaged_images_are_judged_as_on_the_laptop() {
    let images: Vec<_> = stored::all().into_iter().map(|stored| stored.bytes).collect();
    let site = |number| {
        let mut dice = Dice::new(number);
        let image = damage::damaged(&images[dice.roll(images.len())], &mut dice);
        Site { name: format!("damaged {number}"), image, log: String::new() }
    };
    // The list of images ends with one of no length.
    let sites: Vec<_> = (0..1000).map(site).filter(|site| !site.image.is_empty()).collect();
    agree(Board::CortexM4, "damaged", &sites);
    agree(Board::CortexM3, "damaged", &sites[..100]);
}

/// As it lies in flash: what follows the image, and flash that was erased or never written.
#[test]
#[ignore = "needs the thumb target and QEMU; cargo dev test runs it"]
fn the_gateway_refuses_what_is_no_image() {
    for (name, bytes, says) in [
        ("empty", vec![0; 64], "refused Image(NotAnImage)"),
        ("erased", vec![0xFF; 64], "refused Image(NotAnImage)"),
        ("later", [b"COLD\x03", &[0; 59][..]].concat(), "refused Image(UnknownVersion(3))"),
    ] {
        let boot = firmware().boot(name, &bytes, &[]);
        assert_eq!(boot.lines[0], says, "{name}");
        assert_eq!((boot.lines.len(), boot.status, boot.sent.len()), (2, 2, 0), "{name}");
    }
}

/// The firmware that a board gets, not the one with a list of images.
#[test]
#[ignore = "needs both thumb targets and QEMU; cargo dev test runs it"]
fn one_image_at_a_time_gives_the_same() {
    let sites = images::all();
    let some =
        ["lone-node-no-ack", "unit-silent", "stranger-heard", "line-of-32", "ac-leg-crossed"];
    for board in [Board::CortexM3, Board::CortexM4] {
        for name in some {
            let site = sites.iter().find(|site| site.name == name).expect("a site of this name");
            let events = read(&site.log);
            let boot = built(board, Build::One).boot(name, &site.image, &slcan(&events));
            assert_eq!((boot.lines, boot.status), expected(&site.image, &events), "{name}");
            let rest = boot.sent.strip_prefix(b"C\r").expect("the adapter is closed first");
            assert!(rest.ends_with(b"Z1\rL\r"), "{name}: more is sent than to listen");
        }
    }
}

fn bus(name: &str) -> Site {
    heard().into_iter().find(|site| site.name == name).expect("a log of this name")
}

/// Lines that are none are passed over, and so are cut ones and those of an adapter in another form.
#[test]
#[ignore = "needs the thumb target and QEMU; cargo dev test runs it"]
fn noise_on_the_line_changes_nothing() {
    let site = bus("unit-silent");
    let events = read(&site.log);
    let mut dice = Dice::new(7);
    let mut noisy = Vec::new();
    for line in slcan(&events).split_inclusive(|byte| *byte == b'\r') {
        for _ in 0..dice.roll(40) {
            let byte = u8::try_from(dice.roll(256)).expect("below 256");
            // No end of the line, and none of what the adapter says itself.
            noisy.push(if matches!(byte, END | b'\r' | 0x07) { b'?' } else { byte });
        }
        noisy.extend(b"?\r");
        noisy.extend(line);
    }
    let boot = firmware().boot("noise", &site.image, &noisy);
    assert_eq!((boot.lines, boot.status), expected(&site.image, &events));
}

/// By the board's clock all of it comes within a moment, which J1939 without a rhythm allows.
#[test]
#[ignore = "needs both thumb targets and QEMU; cargo dev test runs it"]
fn an_adapter_without_times_is_timed_by_the_board() {
    let site = bus("j1939-unit-under-other-address");
    let events = read(&site.log);
    let mut line = Vec::new();
    for one in slcan(&events).split(|byte| *byte == b'\r').filter(|one| !one.is_empty()) {
        line.extend(&one[..one.len() - 4]);
        line.push(b'\r');
    }
    // All at once, as the emulator hands it over.
    let events: Vec<_> = events.into_iter().map(|(_, said)| (Milliseconds(0), said)).collect();
    for board in [Board::CortexM3, Board::CortexM4] {
        let boot = built(board, Build::One).boot("untimed", &site.image, &line);
        assert_eq!((boot.lines, boot.status), expected(&site.image, &events), "{board:?}");
    }
}

#[test]
#[ignore = "needs the thumb target and QEMU; cargo dev test runs it"]
fn listening_ends_after_a_minute_of_the_frames_time() {
    let site = bus("canopen-right");
    let beat = |second: u32, node: u32| format!("({second}.{node}00000) can0 70{node}#05\n");
    let log: String =
        (0..80).flat_map(|second| (1..=4).map(move |node| beat(second, node))).collect();
    // One that comes too late for a gateway that is done after a minute.
    let late = log.replace("(70.100000)", "(70.050000) can0 70A#05\n(70.100000)");
    let events = read(&late);
    let end = events.iter().position(|(at, _)| at.0 >= 60_000).expect("more than a minute");
    let boot = firmware().boot("window", &site.image, &slcan(&events));
    assert_eq!((boot.lines, boot.status), expected(&site.image, &events[..=end]));
    assert_ne!(expected(&site.image, &events), expected(&site.image, &events[..=end]));
}

#[test]
#[ignore = "needs the thumb target and QEMU; cargo dev test runs it"]
fn the_verdict_is_sent_only_if_its_owner_wants_it() {
    let site = bus("unit-silent");
    let line = slcan(&read(&site.log));
    for (kind, sent) in [
        (Build::One, "C\rZ1\rL\r"),
        // Two of four units are heard: one finding that keeps the group from starting.
        (Build::Status, "C\rZ1\rO\rt6C080103000100000204\r"),
    ] {
        let boot = built(Board::CortexM3, kind).boot("status", &site.image, &line);
        assert_eq!(String::from_utf8_lossy(&boot.sent), sent, "{kind:?}");
        assert_eq!(boot.status, 1, "{kind:?}");
    }
}

#[test]
#[ignore = "needs the thumb target; cargo dev test runs it"]
fn a_panic_path_keeps_the_firmware_from_linking() {
    let folder = paths::scratch("firmware-with-panic");
    let output = build(Board::CortexM3, &folder, &["with-panic-path"])
        .output()
        .expect("cargo can be started");
    let says = String::from_utf8_lossy(&output.stderr);
    assert!(!output.status.success(), "the negative control has linked");
    assert!(says.contains("undefined symbol: a_panic_path_is_linked"), "{says}");
}

#[test]
#[ignore = "needs the thumb target; cargo dev test runs it"]
fn the_firmware_is_a_program_and_carries_no_words_of_rules() {
    let elf_file = &firmware().elf;
    let sizes = elf::sizes(elf_file);
    assert!(sizes.flash > 8 * 1024, "the linker threw the code away: {sizes:?}");
    for (_, rule) in RULES {
        let opening: String = rule.text.why.chars().take(24).collect();
        for words in [rule.text.title, &opening, rule.slug] {
            assert!(!elf::flash_holds(elf_file, words.as_bytes()), "flash holds: {words}");
            assert!(!whole_file_holds(elf_file, words.as_bytes()), "the file holds: {words}");
        }
    }
    // The search can find something: the log's own words stand in the file, outside flash.
    assert!(
        whole_file_holds(elf_file, b"outcome {=?} {=?}") || whole_file_holds(elf_file, b"verdict")
    );
}

fn whole_file_holds(file: &[u8], bytes: &[u8]) -> bool {
    file.windows(bytes.len()).any(|window| window == bytes)
}
