//! The board lm3s6965evb of the emulator: Cortex-M3, 256 KiB flash, 64 KiB RAM.
//!
//! Addresses and bits of the serial line are those of the PL011 (ARM DDI 0183); those of clock
//! gates and pins are from memory. A real board of this kind needs its crystal started besides.

use super::{Received, Register};

/// Number of the interrupt of the first serial line.
pub(super) const LINE_INTERRUPT: u16 = 5;

/// The emulator's clock after reset is 12.5 MHz.
pub(super) const TICKS_A_MS: u32 = 12_500;

const CLOCKS_OF_LINES: Register = Register(0x400F_E104);
const CLOCKS_OF_PINS: Register = Register(0x400F_E108);

const PINS_OF_LINE_FUNCTION: Register = Register(0x4000_4420);
const PINS_OF_LINE_DIGITAL: Register = Register(0x4000_451C);

/// Only the lowest pin of its group: the address chooses which bits are written.
const LAMP: Register = Register(0x4002_5004);
const LAMP_OUTPUT: Register = Register(0x4002_5400);
const LAMP_DIGITAL: Register = Register(0x4002_551C);

const DATA: Register = Register(0x4000_C000);
const FLAGS: Register = Register(0x4000_C018);
const DIVISOR: Register = Register(0x4000_C024);
const DIVISOR_FRACTION: Register = Register(0x4000_C028);
const FORM: Register = Register(0x4000_C02C);
const CONTROL: Register = Register(0x4000_C030);
const INTERRUPTS: Register = Register(0x4000_C038);

const NOTHING_RECEIVED: u32 = 1 << 4;
const NO_ROOM_TO_SEND: u32 = 1 << 5;
/// Bytes were lost before this one.
const OVERRUN: u32 = 1 << 11;

/// 115,200 bits a second, eight bits, no parity: 12.5 MHz / (16 * 115,200) = 6 + 50/64.
pub(super) fn start() {
    CLOCKS_OF_LINES.write(1);
    CLOCKS_OF_PINS.write(1 | 1 << 5);
    PINS_OF_LINE_FUNCTION.write(0b11);
    PINS_OF_LINE_DIGITAL.write(0b11);
    LAMP_OUTPUT.write(1);
    LAMP_DIGITAL.write(1);
    DIVISOR.write(6);
    DIVISOR_FRACTION.write(50);
    // Eight bits, with the queue of 16 bytes.
    FORM.write(0b11 << 5 | 1 << 4);
    CONTROL.write(1 | 1 << 8 | 1 << 9);
    // Something was received, or lies in the queue for a while.
    INTERRUPTS.write(1 << 4 | 1 << 6);
}

/// The next byte that was received.
pub(super) fn receive() -> Option<Received> {
    if FLAGS.read() & NOTHING_RECEIVED != 0 {
        return None;
    }
    let data = DATA.read();
    let [byte, ..] = data.to_le_bytes();
    Some(Received { byte, is_after_loss: data & OVERRUN != 0 })
}

/// Sends a byte down the line, once there is room.
pub(crate) fn send(byte: u8) {
    while FLAGS.read() & NO_ROOM_TO_SEND != 0 {}
    DATA.write(byte.into());
}

/// Switches the lamp.
pub(crate) fn light(is_lit: bool) {
    LAMP.write(is_lit.into());
}
