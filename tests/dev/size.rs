//! What the gateway costs, beside the floors that were measured before the first line was
//! written, and the budgets that later work must keep.

use coldcheck::read::RawSheet;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::request;
use coldcheck_tests::detail::detail;
use coldcheck_tests::firmware::{Firmware, firmware};
use coldcheck_tests::generate::{Dice, Model};
use coldcheck_tests::measure::Cost;
use coldcheck_tests::{elf, measure};

/// Measured on the same emulated board with an empty program, and with a postcard decode and a
/// naive walk over 16 units, at the same optimisation.
const FLOORS: &str = "\
floors: an empty program takes 1120 B flash, 1024 of them vectors;
        a decode into structs with a naive walk over 16 units takes 4680 B flash,
        0 B variables, 1200 B stack and 11418 instructions, 3935 of them the walk";

/// Limits for load and check of 16 units, with the memory lent to the report. The goal for flash
/// is 32 KiB, with what listens on the bus; what it takes today may grow by a little only.
const FLASH_GOAL: u64 = 32 * 1024;
const MOST_FLASH: u64 = 30_900;
const MOST_RAM: u64 = 6 * 1024;
const MOST_INSTRUCTIONS: u64 = 40_000;
/// For the check alone, whatever the site states.
const MOST_CHECK: u64 = 25_000;

pub(crate) fn print() -> Result<(), String> {
    let firmware = firmware();
    let sizes = elf::sizes(&firmware.elf);
    println!("gateway, Cortex-M3, profile firmware, {} rules", RULES.len());
    println!("  flash      {:6} B, {} of them vectors", sizes.flash, sizes.vectors);
    println!("  variables  {:6} B", sizes.ram);
    println!("  bytes of flash by part:");
    for (part, bytes) in elf::parts(&firmware.elf).into_iter().filter(|(_, bytes)| *bytes > 0) {
        println!("      {bytes:6}  {part}");
    }
    println!("  units   image B   body B     load    check  instructions; stack B");
    let plain = measure_all(firmware, "plain", |_| None)?;
    println!("  the same with every further fact stated, so that nearly all rules are at work:");
    let detailed = measure_all(firmware, "detail", |units| Some(detail(units)))?;
    println!("{FLOORS}");
    println!(
        "budgets for 16 units: {MOST_FLASH} B flash (goal {FLASH_GOAL}), {MOST_RAM} B variables \
         and stack, {MOST_INSTRUCTIONS} instructions for load and check, {MOST_CHECK} for the \
         check, with every fact stated too"
    );
    let ram = sizes.ram + plain.stack.max(detailed.stack);
    let over = [
        ("flash", sizes.flash, MOST_FLASH),
        ("variables and stack", ram, MOST_RAM),
        ("load and check", plain.load + plain.check, MOST_INSTRUCTIONS),
        ("check", plain.check, MOST_CHECK),
        ("check with every fact", detailed.check, MOST_CHECK),
    ]
    .into_iter()
    .filter(|(_, cost, most)| cost > most)
    .map(|(what, cost, most)| format!("{what}: {cost} of {most}"))
    .collect::<Vec<_>>();
    if over.is_empty() { Ok(()) } else { Err(format!("over budget: {}", over.join("; "))) }
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
        let cost = measure::measure(firmware, &format!("{name}-{units}"), &image);
        println!(
            "  {units:5}   {:7}   {:6}   {:6}   {:6}                {:7}",
            image.len(),
            site.assembled.body.len(),
            cost.load,
            cost.check,
            cost.stack
        );
        costs.push(cost);
    }
    let [.., eight, sixteen, thirty_two] = costs.as_slice() else {
        return Err("five sizes are measured".to_owned());
    };
    let (near, far) = (sixteen.check - eight.check, (thirty_two.check - sixteen.check) / 2);
    println!("  each further unit: {} and {} instructions", near / 8, far / 8);
    if near.abs_diff(far) * 20 > near {
        return Err(format!("{name}: the cost of one more unit is not constant within 5 %"));
    }
    Ok(*sixteen)
}
