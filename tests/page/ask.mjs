// Calls the page's library: node ask.mjs LIBRARY REQUESTS. A request names the export and the
// bytes to give it; the answers are printed as one JSON list of texts.
import { readFileSync } from "node:fs";

const [library, requests] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(readFileSync(library), {});
const { memory, input, output, ...calls } = instance.exports;

const answers = JSON.parse(readFileSync(requests, "utf8")).map(({ call, bytes }) => {
  const start = input(bytes.length);
  new Uint8Array(memory.buffer, start, bytes.length).set(bytes);
  const length = calls[call]();
  return new TextDecoder().decode(new Uint8Array(memory.buffer, output(), length));
});
console.log(JSON.stringify(answers));
