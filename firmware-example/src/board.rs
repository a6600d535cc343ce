//! What only a board knows: where the plan image lies, the clock, the serial line, the lamp, and
//! how to end a run in an emulator.
//!
//! To port the example, write a file beside those in `board/` with the same items, name it below,
//! and put its memory into `build.rs`. Nothing else knows the board; `memory.rs` is for Cortex-M3
//! and larger.
#![allow(unsafe_code, reason = "registers, linker symbols and interrupts are outside Rust")]

#[cfg(board = "lm3s6965evb")]
#[path = "board/lm3s6965evb.rs"]
mod chosen;
#[cfg(board = "mps2_an386")]
#[path = "board/mps2_an386.rs"]
mod chosen;

pub(crate) use chosen::{light, send};

use coldcheck_core::plan::Milliseconds;
use cortex_m::interrupt::InterruptNumber;
use cortex_m::peripheral::{NVIC, SYST, syst::SystClkSource};

unsafe extern "C" {
    /// First byte of the image's region, from the linker script.
    static _plan_start: u8;
    /// First byte behind the region, from the linker script.
    static _plan_end: u8;
}

/// The bytes of the region: an image, or whatever else was left there.
pub(crate) fn plan_region() -> &'static [u8] {
    let start = &raw const _plan_start;
    let length = (&raw const _plan_end).addr().saturating_sub(start.addr());
    // SAFETY: the linker script sets both symbols to the bounds of one region of flash, which is
    // readable, initialised by its nature, and written by nobody while the program runs.
    unsafe { core::slice::from_raw_parts(start, length) }
}

/// A register of the board.
#[derive(Clone, Copy)]
struct Register(usize);

impl Register {
    fn read(self) -> u32 {
        // SAFETY: only the board's file makes one, of a register that may be read at any time.
        unsafe { core::ptr::with_exposed_provenance::<u32>(self.0).read_volatile() }
    }

    fn write(self, value: u32) {
        // SAFETY: as above; no register that is written here changes memory that Rust knows.
        unsafe { core::ptr::with_exposed_provenance_mut::<u32>(self.0).write_volatile(value) }
    }
}

/// The interrupt of the serial line.
#[derive(Clone, Copy)]
struct LineInterrupt;

// SAFETY: the board has an interrupt of this number, and no other is used.
unsafe impl InterruptNumber for LineInterrupt {
    fn number(self) -> u16 {
        chosen::LINE_INTERRUPT
    }
}

/// A byte of the serial line, or that some were lost before it.
#[derive(Clone, Copy)]
struct Received {
    byte: u8,
    is_after_loss: bool,
}

/// The handler: moves bytes from the line into the queue. Where the queue is full it stops itself,
/// and the line keeps what it can.
extern "C" fn line_received() {
    while crate::line::has_room() {
        let Some(received) = chosen::receive() else { return };
        crate::line::put(received.byte, received.is_after_loss);
    }
    NVIC::mask(LineInterrupt);
}

/// Lets the line interrupt: at the beginning, and when the queue has room again.
pub(crate) fn resume_line() {
    // SAFETY: no critical section relies on this interrupt being off.
    unsafe { NVIC::unmask(LineInterrupt) };
}

/// Opens line and lamp.
pub(crate) fn start() {
    chosen::start();
    resume_line();
}

/// An entry of the vector table behind those of the processor.
#[repr(C)]
union Vector {
    handler: extern "C" fn(),
    unused: usize,
}

/// Only as long as it must be: the whole one that the runtime offers takes 960 bytes.
#[unsafe(link_section = ".vector_table.interrupts")]
#[unsafe(no_mangle)]
static __INTERRUPTS: [Vector; chosen::LINE_INTERRUPT as usize + 1] = {
    let mut vectors = [const { Vector { unused: 0 } }; chosen::LINE_INTERRUPT as usize + 1];
    vectors[chosen::LINE_INTERRUPT as usize] = Vector { handler: line_received };
    vectors
};

/// The board's clock. Its counter has 24 bits: asked less often than every 2^24 / (1000 * `TICKS_A_MS`)
/// seconds (0.67 at 25 MHz), it loses time.
pub(crate) struct Clock {
    last: u32,
    ticks: u32,
    now: Milliseconds,
}

impl Clock {
    /// The counter of the processor counts so many ticks and begins anew.
    const MOST: u32 = 0x00FF_FFFF;

    /// Starts at zero.
    pub(crate) fn start() -> Self {
        // SAFETY: nothing else uses the counter.
        let mut counter = unsafe { cortex_m::Peripherals::steal() }.SYST;
        counter.set_clock_source(SystClkSource::Core);
        counter.set_reload(Self::MOST);
        counter.clear_current();
        counter.enable_counter();
        Self { last: SYST::get_current(), ticks: 0, now: Milliseconds(0) }
    }

    /// The time since the start.
    pub(crate) fn now(&mut self) -> Milliseconds {
        let current = SYST::get_current();
        // It counts down.
        let gone = self.last.wrapping_sub(current) & Self::MOST;
        self.last = current;
        let ticks = self.ticks.saturating_add(gone);
        self.now.0 = self.now.0.wrapping_add(ticks.checked_div(chosen::TICKS_A_MS).unwrap_or(0));
        self.ticks = ticks.checked_rem(chosen::TICKS_A_MS).unwrap_or(0);
        self.now
    }
}

/// Ends the run; the emulator exits with the status.
#[cfg(feature = "emulator")]
pub(crate) fn exit(status: u8) -> ! {
    /// Semihosting operation that passes a status on.
    const EXIT_EXTENDED: usize = 0x20;
    /// The reason "the application asks for it".
    const APPLICATION_EXIT: usize = 0x2_0026;
    // SAFETY: the operation reads the two words and does not return under an emulator.
    unsafe {
        cortex_m_semihosting::syscall(EXIT_EXTENDED, &[APPLICATION_EXIT, usize::from(status)]);
    }
    loop {
        cortex_m::asm::wfi();
    }
}
