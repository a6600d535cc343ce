//! Example gateway: reads the plan image from flash, checks it, listens on the link, compares what
//! it hears with what was declared, and says what it found.
//!
//! The steps are functions that are not inlined, so that a measuring emulator can tell where each
//! begins. README.md says how to put it on a real board.
#![no_std]
#![no_main]

mod adapter;
mod board;
mod can;
mod line;
mod listen;
mod log;
mod memory;
mod panic_guard;
mod self_check;
mod wire;

use adapter::Adapter;
use can::Port;
use coldcheck_core::finding::{Finding, Verdict};
use coldcheck_core::heard::Heard;
use coldcheck_core::image::{Image, ImageError};
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Plan, PlanError};
use coldcheck_core::report::Report;
use coldcheck_core::signal::{self, Lamp};
use cortex_m as _;

/// How long the gateway listens before it compares, in milliseconds: long enough for six signs of
/// life of a unit that gives one in ten seconds.
const LISTEN_MS: u32 = 60_000;

/// Exit status for an image that cannot be used, as on the command line.
const UNREADABLE: u8 = 2;
/// Exit status for a gateway that does not find what is wrong.
const UNFIT: u8 = 70;

#[cortex_m_rt::entry]
fn main() -> ! {
    board::start();
    if !self_check::finds_a_fault() {
        defmt::println!("unfit");
        rest(UNFIT, signal::REFUSED);
    }
    let mut can = Adapter::new();
    let (status, lamp) = boot_all(board::plan_region(), &mut can);
    rest(status, lamp)
}

/// Boots with the image in the region.
#[cfg(not(feature = "many-images"))]
fn boot_all<C: Port>(region: &[u8], can: &mut C) -> (u8, Lamp) {
    boot(region, can)
}

/// Boots with each image in the region: four bytes with a length, the image, and so on; erased or
/// empty flash ends the list.
#[cfg(feature = "many-images")]
fn boot_all<C: Port>(region: &[u8], can: &mut C) -> (u8, Lamp) {
    let mut rest = region;
    while let Some((length, tail)) = rest.split_first_chunk::<4>() {
        let length = usize::try_from(u32::from_le_bytes(*length)).unwrap_or(0);
        let Some((image, tail)) = tail.split_at_checked(length).filter(|_| length > 0) else {
            break;
        };
        let (status, lamp) = boot(image, can);
        defmt::println!("end {} {}", status, lamp);
        rest = tail;
    }
    (0, signal::REFUSED)
}

/// From an image to the verdict: its exit status, and how the lamp shows it.
#[inline(never)]
fn boot<C: Port>(bytes: &[u8], can: &mut C) -> (u8, Lamp) {
    let plan = match load(bytes) {
        Ok(plan) => plan,
        Err(error) => {
            defmt::println!("refused {}", error);
            return (UNREADABLE, signal::REFUSED);
        }
    };
    // Made before the report, since making it takes more of the stack than it has itself.
    let mut heard = nothing_heard(&plan);
    let verdict = judge(&plan, &mut heard, can);
    (verdict.exit_code(), signal::lamp(verdict))
}

/// Checks, listens and compares.
#[inline(never)]
fn judge<C: Port>(plan: &Plan<'_>, heard: &mut Heard, can: &mut C) -> Verdict {
    let mut findings = [Finding::BLANK; limits::GATEWAY_FINDINGS];
    let mut places = [Place::Group; limits::GATEWAY_PLACES];
    let mut report = Report::new(&mut findings, &mut places, &mut []);
    check(plan, &mut report);
    let logged = log::log(&report, log::Logged::default());
    can.open(plan.demands.bit_rate());
    listen::listen(plan, can, signal::lamp(report.verdict()), heard);
    compare(plan, heard, &mut report);
    log::log(&report, logged);
    if cfg!(feature = "status-frame") {
        send_status(plan, heard, &report, can);
    }
    report.verdict()
}

/// Why the image in flash cannot be used.
#[derive(defmt::Format)]
enum LoadError {
    Image(ImageError),
    Plan(PlanError),
}

#[inline(never)]
fn load(bytes: &[u8]) -> Result<Plan<'_>, LoadError> {
    let image = Image::read(bytes).map_err(LoadError::Image)?;
    image.plan().map_err(LoadError::Plan)
}

#[inline(never)]
fn check(plan: &Plan<'_>, report: &mut Report<'_>) {
    coldcheck_core::check(plan, report);
}

#[inline(never)]
fn nothing_heard(plan: &Plan<'_>) -> Heard {
    Heard::of(plan)
}

#[inline(never)]
fn compare(plan: &Plan<'_>, heard: &Heard, report: &mut Report<'_>) {
    coldcheck_core::compare(plan, heard, report);
}

/// The identifier of the status frame: eleven bits, which no predefined object of `CANopen` uses
/// (`CiA` 301, from memory) and which J1939, with its 29 bits, does not look at.
const STATUS_ID: u16 = 0x6C0;

/// Sends the verdict once; see [`signal::status`] for its bytes.
fn send_status<C: Port>(plan: &Plan<'_>, heard: &Heard, report: &Report<'_>, can: &mut C) {
    let units = plan.units().filter_map(|(id, _)| heard.unit(id));
    let mut count = 0u8;
    for unit in units {
        count = count.saturating_add(u8::from(unit.is_heard()));
    }
    let declared = u8::try_from(plan.units.len()).unwrap_or(u8::MAX);
    let bytes = signal::status(report, count, declared);
    let id = embedded_can::StandardId::new(STATUS_ID);
    let frame = id.and_then(|id| <C::Frame as embedded_can::Frame>::new(id, &bytes));
    if let Some(frame) = frame {
        // What the controller cannot send now, it may drop: the lamp says the same.
        let _ = can.transmit(&frame);
    }
}

/// Ends in the emulator.
#[cfg(feature = "emulator")]
fn rest(status: u8, lamp: Lamp) -> ! {
    defmt::println!("lamp {}", lamp);
    board::exit(status)
}

/// Blinks until the power goes.
#[cfg(not(feature = "emulator"))]
fn rest(_: u8, lamp: Lamp) -> ! {
    let mut clock = board::Clock::start();
    loop {
        board::light(lamp.is_lit(clock.now().0));
    }
}
