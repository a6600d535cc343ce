// The library: unpacked from the page itself, called with JSON or bytes, answering in JSON.

import { unlzma } from "./unpack.js";

// Seven bits a character, packed by `cargo dev page`: the three that HTML would change stand 128
// higher, which the mask takes away again.
function unpacked(text) {
  const bytes = new Uint8Array(Math.floor((text.length * 7) / 8));
  let held = 0;
  let bits = 0;
  let at = 0;
  for (let index = 0; index < text.length; index += 1) {
    held = ((held << 7) | (text.charCodeAt(index) & 127)) & 0x3fff;
    bits += 7;
    if (bits >= 8) {
      bits -= 8;
      bytes[at] = (held >> bits) & 255;
      at += 1;
    }
  }
  return bytes;
}

// Bytes through a compressor or a decompressor of the browser, at the most so many.
export async function through(bytes, stream, most = Infinity) {
  const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader();
  const chunks = [];
  let length = 0;
  for (let next = await reader.read(); !next.done; next = await reader.read()) {
    length += next.value.length;
    if (length > most) {
      await reader.cancel();
      throw new RangeError("more than is allowed");
    }
    chunks.push(next.value);
  }
  const all = new Uint8Array(length);
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
  }
  return all;
}

// The library's calls, each from a value (or bytes) to the answer.
export async function engine(packed) {
  const module = unlzma(unpacked(packed));
  const { instance } = await WebAssembly.instantiate(module, {});
  const { memory, input, output, ...calls } = instance.exports;
  return (call, request) => {
    const bytes =
      request instanceof Uint8Array ? request : new TextEncoder().encode(JSON.stringify(request ?? {}));
    const start = input(bytes.length);
    // Taken anew after each call, since any of them may move the memory.
    new Uint8Array(memory.buffer, start, bytes.length).set(bytes);
    const length = calls[call]();
    return JSON.parse(new TextDecoder().decode(new Uint8Array(memory.buffer, output(), length)));
  };
}
