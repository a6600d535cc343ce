//! What only this board knows: where the plan image lies, and how to end a run in an emulator.
//!
//! To port the example, replace this file and `memory.x` in `build.rs`; `memory.rs` is for
//! Cortex-M3 and larger.
#![allow(unsafe_code, reason = "linker symbols and the emulator's exit call are outside Rust")]

use cortex_m_semihosting::syscall;

/// Handlers of the board's own interrupts. The program enables none; the runtime wants one line.
#[unsafe(link_section = ".vector_table.interrupts")]
#[unsafe(no_mangle)]
static __INTERRUPTS: [unsafe extern "C" fn(); 1] = {
    unsafe extern "C" {
        fn DefaultHandler();
    }
    [DefaultHandler]
};

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

/// Ends the run; the emulator exits with the status.
pub(crate) fn exit(status: u8) -> ! {
    /// Semihosting operation that passes a status on.
    const EXIT_EXTENDED: usize = 0x20;
    /// The reason "the application asks for it".
    const APPLICATION_EXIT: usize = 0x2_0026;
    // SAFETY: the operation reads the two words and does not return under an emulator.
    unsafe { syscall(EXIT_EXTENDED, &[APPLICATION_EXIT, usize::from(status)]) };
    loop {
        cortex_m::asm::wfi();
    }
}
