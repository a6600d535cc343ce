//! What the gateway costs, beside the floors that were measured before the first line was
//! written, and the budgets that later work must keep.

use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::request;
use coldcheck_tests::firmware::firmware;
use coldcheck_tests::generate::{Dice, Model};
use coldcheck_tests::{elf, measure};

/// Measured on the same emulated board with an empty program, and with a postcard decode and a
/// naive walk over 16 units, at the same optimisation.
const FLOORS: &str = "\
floors: an empty program takes 1120 B flash, 1024 of them vectors;
        a decode into structs with a naive walk over 16 units takes 4680 B flash,
        0 B variables, 1200 B stack and 11418 instructions, 3935 of them the walk";

/// Limits for load and check of 16 units, with the memory lent to the report.
const MOST_FLASH: u64 = 32 * 1024;
const MOST_RAM: u64 = 6 * 1024;
const MOST_INSTRUCTIONS: u64 = 40_000;

pub(crate) fn print() -> Result<(), String> {
    let firmware = firmware();
    let sizes = elf::sizes(&firmware.elf);
    println!("gateway, Cortex-M3, profile firmware, {} rules", RULES.len());
    println!("  flash      {:6} B, {} of them vectors", sizes.flash, sizes.vectors);
    println!("  variables  {:6} B", sizes.ram);
    println!("  units   image B   body B     load    check  instructions; stack B");
    let mut last = None;
    for units in [2, 4, 8, 16, 32] {
        let sheets = Model::line(units, &mut Dice::new(1)).sheets();
        let site = coldcheck::engine::read_site(&request(&sheets, None))
            .map_err(|refusal| format!("{:?}", refusal.errors))?;
        let image = coldcheck::image::write(&site);
        let cost = measure::measure(firmware, &format!("size-{units}"), &image);
        println!(
            "  {units:5}   {:7}   {:6}   {:6}   {:6}                {:7}",
            image.len(),
            site.assembled.body.len(),
            cost.load,
            cost.check,
            cost.stack
        );
        if units == 16 {
            last = Some(cost);
        }
    }
    println!("{FLOORS}");
    println!(
        "budgets for 16 units: {MOST_FLASH} B flash, {MOST_RAM} B variables and stack, \
         {MOST_INSTRUCTIONS} instructions"
    );
    let cost = last.ok_or("no site of 16 units was measured")?;
    let ram = sizes.ram + cost.stack;
    if sizes.flash > MOST_FLASH || ram > MOST_RAM || cost.load + cost.check > MOST_INSTRUCTIONS {
        return Err("the gateway is over a budget".to_owned());
    }
    Ok(())
}
