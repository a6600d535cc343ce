//! What the gateway costs, beside the floors that were measured before the first line was
//! written, and the budgets that later work must keep.

use coldcheck::read::RawSheet;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::{request, sheet};
use coldcheck_tests::detail::detail;
use coldcheck_tests::firmware::{Firmware, firmware};
use coldcheck_tests::generate::{Dice, Model};
use coldcheck_tests::heard::{read, slcan};
use coldcheck_tests::measure::Cost;
use coldcheck_tests::{elf, measure};
use std::fmt::Write;

/// Measured on the same emulated board with an empty program, and with a postcard decode and a
/// naive walk over 16 units, at the same optimisation.
const FLOORS: &str = "\
floors: an empty program takes 1120 B flash, 1024 of them vectors;
        a decode into structs with a naive walk over 16 units takes 4680 B flash,
        0 B variables, 1200 B stack and 11418 instructions, 3935 of them the walk";

/// A cost with the goal that was set for it, and what fails: a little above what was reached last,
/// so that nothing grows unseen.
struct Budget {
    what: &'static str,
    cost: u64,
    goal: u64,
    most: u64,
}

pub(crate) fn print() -> Result<(), String> {
    let firmware = firmware();
    let sizes = elf::sizes(&firmware.elf);
    println!("gateway, Cortex-M3, profile firmware, {} rules", RULES.len());
    println!("  flash      {:6} B, {} of them vectors", sizes.flash, sizes.vectors);
    println!("  variables  {:6} B", sizes.ram);
    let parts = elf::parts(&firmware.elf);
    println!("  bytes of flash by part:");
    for (part, bytes) in parts.iter().filter(|(_, bytes)| *bytes > 0) {
        println!("      {bytes:6}  {part}");
    }
    let sum = |is_so: &dyn Fn(&str) -> bool| -> u64 {
        parts.iter().filter(|(part, _)| is_so(part)).map(|(_, bytes)| bytes).sum()
    };
    let engine = sum(&|part| !elf::NOT_ENGINE.contains(&part));
    let own = sum(&|part| part == elf::OWN);
    println!("  units   image B   body B     load    check  compare  instructions; stack B");
    let plain = measure_all(firmware, "plain", |_| None)?;
    println!("  the same with every further fact stated, so that nearly all rules are at work:");
    let detailed = measure_all(firmware, "detail", |units| Some(detail(units)))?;
    let most_of_a_frame = frames(firmware)?;
    println!("{FLOORS}");
    let ram = sizes.ram + plain.stack.max(detailed.stack);
    let both = plain.load + plain.check;
    let budgets = [
        budget("flash, load, check, hear, compare", engine, 24 << 10, 35_940),
        budget("flash, gateway itself", own, 4 << 10, 2_500),
        budget("flash of everything", sizes.flash, 32 << 10, 41 << 10),
        budget("variables and stack", ram, 6 << 10, 5_600),
        budget("instructions, load and check", both, 40_000, 40_000),
        budget("instructions, check", plain.check, 25_000, 25_000),
        budget("instructions, check with every fact", detailed.check, 25_000, 25_000),
        budget("instructions, most of a frame", most_of_a_frame, 1_400, 1_400),
    ];
    println!("for 16 units                              reached      goal  fails above");
    let mut over = Vec::new();
    for Budget { what, cost, goal, most } in budgets {
        println!("  {what:36}  {cost:9} {goal:9}    {most:9}");
        if cost > most {
            over.push(format!("{what}: {cost} of {most}"));
        }
    }
    if over.is_empty() { Ok(()) } else { Err(format!("over budget: {}", over.join("; "))) }
}

const fn budget(what: &'static str, cost: u64, goal: u64, most: u64) -> Budget {
    Budget { what, cost, goal, most }
}

/// The work for a frame does not grow with what was heard before: prints the least and the most
/// over twenty signs of life of each unit, and gives the most.
fn frames(firmware: &Firmware) -> Result<u64, String> {
    println!("  units   frames   instructions to hear one   with reading its text");
    let mut most = 0;
    for units in [2, 32] {
        let mut sheets = Model::line(units, &mut Dice::new(1)).sheets();
        sheets.push(sheet("dialect.txt", "dialect = canopen\n"));
        let site = coldcheck::engine::read_site(&request(&sheets, None))
            .map_err(|refusal| format!("{:?}", refusal.errors))?;
        let mut log = String::new();
        for second in 0..20 {
            for unit in 1..=units {
                let _ = writeln!(log, "({second}.{unit:03}000) can0 7{unit:02X}#05");
            }
        }
        let image = coldcheck::image::write(&site);
        let line = slcan(&read(&log));
        let cost = measure::measure(firmware, &format!("frames-{units}"), &image, &line);
        let ([hear, hear_most], [frame, frame_most]) = (cost.hear, cost.frame);
        println!(
            "  {units:5}   {:6}   {hear:8} to {hear_most:8}       {frame:8} to {frame_most:8}",
            cost.frames
        );
        most = most.max(frame_most);
    }
    Ok(most)
}

/// Measures sites of every size and gives the cost of the one with 16 units. One more unit must
/// cost the same between 8 and 16 units as between 16 and 32.
fn measure_all(
    firmware: &Firmware,
    name: &str,
    further: impl Fn(usize) -> Option<RawSheet>,
) -> Result<Cost, String> {
    let mut costs = Vec::new();
    for units in [2, 4, 8, 16, 32] {
        let mut sheets = Model::line(units, &mut Dice::new(1)).sheets();
        sheets.extend(further(units));
        let site = coldcheck::engine::read_site(&request(&sheets, None))
            .map_err(|refusal| format!("{:?}", refusal.errors))?;
        let image = coldcheck::image::write(&site);
        let cost = measure::measure(firmware, &format!("{name}-{units}"), &image, &[]);
        println!(
            "  {units:5}   {:7}   {:6}   {:6}   {:6}   {:6}                {:7}",
            image.len(),
            site.assembled.body.len(),
            cost.load,
            cost.check,
            cost.compare,
            cost.stack
        );
        costs.push(cost);
    }
    let [.., eight, sixteen, thirty_two] = costs.as_slice() else {
        return Err("five sizes are measured".to_owned());
    };
    let (near, far) = (sixteen.check - eight.check, (thirty_two.check - sixteen.check) / 2);
    println!("  clearing room for what is heard and found: {}", sixteen.room);
    println!("  each further unit: {} and {} instructions", near / 8, far / 8);
    if near.abs_diff(far) * 20 > near {
        return Err(format!("{name}: the cost of one more unit is not constant within 5 %"));
    }
    Ok(*sixteen)
}
