//! The board mps2-an386 of the emulator: Cortex-M4F, 4 MiB for the program, 4 MiB RAM.
//!
//! Addresses and bits are those of the Cortex-M System Design Kit (ARM DDI 0479) and of the note
//! that describes the board (ARM DAI 0386), from memory.

use super::{Received, Register};

/// Number of the interrupt "received" of the first serial line.
pub(super) const LINE_INTERRUPT: u16 = 0;

/// The clock is 25 MHz.
pub(super) const TICKS_A_MS: u32 = 25_000;

const DATA: Register = Register(0x4000_4000);
const STATE: Register = Register(0x4000_4004);
const CONTROL: Register = Register(0x4000_4008);
const CLEAR: Register = Register(0x4000_400C);
const DIVISOR: Register = Register(0x4000_4010);

const NO_ROOM_TO_SEND: u32 = 1;
const IS_RECEIVED: u32 = 1 << 1;
/// Bytes were lost; written to take note of it.
const OVERRUN: u32 = 1 << 3;

const LAMP: Register = Register(0x4002_8000);

/// 115,200 bits a second: 25 MHz / 217.
pub(super) fn start() {
    DIVISOR.write(217);
    // Send, receive, interrupt when something was received.
    CONTROL.write(1 | 1 << 1 | 1 << 3);
}

/// The next byte that was received.
pub(super) fn receive() -> Option<Received> {
    let state = STATE.read();
    if state & IS_RECEIVED == 0 {
        return None;
    }
    // Before the byte is taken, so that the next one interrupts again.
    CLEAR.write(1 << 1);
    let [byte, ..] = DATA.read().to_le_bytes();
    let is_after_loss = state & OVERRUN != 0;
    if is_after_loss {
        STATE.write(OVERRUN);
    }
    Some(Received { byte, is_after_loss })
}

/// Sends a byte down the line, once there is room.
pub(crate) fn send(byte: u8) {
    while STATE.read() & NO_ROOM_TO_SEND != 0 {}
    DATA.write(byte.into());
}

/// Switches the lamp.
pub(crate) fn light(is_lit: bool) {
    LAMP.write(is_lit.into());
}
