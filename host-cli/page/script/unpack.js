// Unpacks the library: a stream of LZMA (range coder and matches), as `tests/kit/page.rs` packs it. No
// browser has it of its own, and it is a quarter smaller than what browsers have.
//
// Behind four bytes of length stands the bare stream: literals in the context of three bits of the byte
// before (lc 3), no bits of the position (lp 0, pb 0), no mark at the end.

const KINDS_OF_STATE = 12;
// Chances are of 2048, and begin even.
const evens = (count) => new Uint16Array(count).fill(1024);

// One after the other: whole numbers of so many bits, the first bit decided first.
class Ranges {
  constructor(bytes, at) {
    this.bytes = bytes;
    // The first byte is always none.
    this.at = at + 5;
    this.range = 0xffffffff;
    this.code = ((bytes[at + 1] << 24) | (bytes[at + 2] << 16) | (bytes[at + 3] << 8) | bytes[at + 4]) >>> 0;
  }

  filled() {
    if (this.range >= 0x1000000) return;
    this.range = (this.range << 8) >>> 0;
    this.code = ((this.code << 8) | this.bytes[this.at]) >>> 0;
    this.at += 1;
  }

  bit(chances, at) {
    const chance = chances[at];
    const bound = (this.range >>> 11) * chance;
    let bit = 0;
    if (this.code < bound) {
      this.range = bound;
      chances[at] += (2048 - chance) >> 5;
    } else {
      this.range -= bound;
      this.code -= bound;
      chances[at] -= chance >> 5;
      bit = 1;
    }
    this.filled();
    return bit;
  }

  tree(chances, bits, from = 0) {
    let at = 1;
    for (let left = bits; left > 0; left -= 1) at = (at << 1) | this.bit(chances, from + at);
    return at - (1 << bits);
  }

  // The same, the last bit first.
  reversed(chances, bits, from = 0) {
    let at = 1;
    let number = 0;
    for (let bit = 0; bit < bits; bit += 1) {
      const own = this.bit(chances, from + at);
      at = (at << 1) | own;
      number |= own << bit;
    }
    return number;
  }

  // Bits that are even whatever came before.
  even(bits) {
    let number = 0;
    for (let left = bits; left > 0; left -= 1) {
      this.range >>>= 1;
      const own = this.code >= this.range ? 1 : 0;
      if (own === 1) this.code -= this.range;
      number = ((number << 1) | own) >>> 0;
      this.filled();
    }
    return number;
  }
}

// Lengths from 2 on, in three classes.
class Lengths {
  constructor() {
    this.choice = evens(2);
    this.low = evens(8);
    this.mid = evens(8);
    this.high = evens(256);
  }

  next(ranges) {
    if (ranges.bit(this.choice, 0) === 0) return 2 + ranges.tree(this.low, 3);
    if (ranges.bit(this.choice, 1) === 0) return 10 + ranges.tree(this.mid, 3);
    return 18 + ranges.tree(this.high, 8);
  }
}

export function unlzma(bytes) {
  const out = new Uint8Array(new DataView(bytes.buffer, bytes.byteOffset).getUint32(0, true));
  const ranges = new Ranges(bytes, 4);
  // A match or a literal; the distance of before; of which one before; only one byte of it.
  const [isMatch, isAgain, isOlder, isThird, isFourth, isLonger] = Array.from({ length: 6 }, () => evens(KINDS_OF_STATE));
  const literals = evens(0x300 << 3);
  const slots = Array.from({ length: 4 }, () => evens(64));
  const special = evens(115);
  const aligned = evens(16);
  const [fresh, again] = [new Lengths(), new Lengths()];
  let state = 0;
  let [one, two, three, four] = [0, 0, 0, 0];
  let at = 0;
  while (at < out.length) {
    if (ranges.bit(isMatch, state) === 0) {
      const from = 0x300 * ((at > 0 ? out[at - 1] : 0) >> 5);
      let sign = 1;
      if (state >= 7) {
        let match = out[at - one - 1];
        while (sign < 0x100) {
          const wanted = (match >> 7) & 1;
          match <<= 1;
          const own = ranges.bit(literals, from + ((1 + wanted) << 8) + sign);
          sign = (sign << 1) | own;
          if (own !== wanted) break;
        }
      }
      while (sign < 0x100) sign = (sign << 1) | ranges.bit(literals, from + sign);
      out[at] = sign;
      at += 1;
      state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
      continue;
    }
    let length;
    if (ranges.bit(isAgain, state) === 0) {
      [two, three, four] = [one, two, three];
      length = fresh.next(ranges);
      const slot = ranges.tree(slots[Math.min(length - 2, 3)], 6);
      one = slot;
      if (slot >= 4) {
        const bits = (slot >> 1) - 1;
        one = (2 | (slot & 1)) << bits;
        if (slot < 14) one += ranges.reversed(special, bits, one - slot);
        else one += ranges.even(bits - 4) * 16 + ranges.reversed(aligned, 4);
      }
      state = state < 7 ? 7 : 10;
    } else {
      if (ranges.bit(isOlder, state) === 0) {
        if (ranges.bit(isLonger, state) === 0) {
          out[at] = out[at - one - 1];
          at += 1;
          state = state < 7 ? 9 : 11;
          continue;
        }
      } else {
        let distance = two;
        if (ranges.bit(isThird, state) === 1) {
          distance = three;
          if (ranges.bit(isFourth, state) === 1) {
            distance = four;
            four = three;
          }
          three = two;
        }
        two = one;
        one = distance;
      }
      length = again.next(ranges);
      state = state < 7 ? 8 : 11;
    }
    for (const end = Math.min(at + length, out.length); at < end; at += 1) out[at] = out[at - one - 1];
  }
  return out;
}
