"use strict";
const data = JSON.parse(document.getElementById("data").textContent);
const cards = [...document.querySelectorAll("section[data-row]")];
const rows = document.getElementById("rows");
const chosen = new Map();
let now = null;

const key = (card) => `${card.dataset.row}-${card.dataset.column}`;
const open = () => cards.filter((card) => !chosen.has(key(card)));

function tell() {
  const left = open().length;
  const counted = rows.value !== "";
  const cells = left === 1 ? "1 cell" : `${left} cells`;
  const what = left ? `${cells} to confirm` : "every cell is confirmed";
  document.getElementById("left").textContent = counted ? what : `${what}; count the rows`;
  const differs = counted && Number(rows.value) !== Number(rows.dataset.read);
  document.getElementById("rows-differ").hidden = !differs;
}

function go(card, focus) {
  if (now) now.classList.remove("now");
  now = card || null;
  if (!now) return;
  now.classList.add("now");
  if (focus) {
    now.focus({ preventScroll: true });
    now.scrollIntoView({ block: "nearest" });
  }
}

function choose(card, value) {
  chosen.set(key(card), value);
  card.classList.replace("open", "done");
  for (const button of card.querySelectorAll("button")) {
    const is = button.dataset.value === value;
    button.classList.toggle("chosen", is);
    button.setAttribute("aria-pressed", String(is));
  }
  const cell = document.querySelector(`[data-cell="${key(card)}"]`);
  cell.textContent = value;
  cell.classList.replace("open", "done");
  const after = cards.slice(cards.indexOf(card) + 1).find((one) => !chosen.has(key(one)));
  go(after || open()[0], true);
  tell();
}

function quoted(text) {
  return /[",\r\n]/.test(text) || text.trim() !== text ? `"${text.replaceAll('"', '""')}"` : text;
}

function list() {
  const lines = data.rows.map((cells, row) =>
    cells.map((cell, column) => quoted(chosen.get(`${row}-${column}`) ?? cell)).join(","));
  const count = rows.value === "" ? "# rows = " : `rows = ${Number(rows.value)}`;
  return `${data.before.replace("\u0000", count)}${lines.join("\n")}\n${data.after}`;
}

for (const card of cards) {
  card.addEventListener("focusin", () => go(card, false));
  card.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button) choose(card, button.dataset.value);
    else go(card, false);
  });
  card.querySelector("input").addEventListener("keydown", (event) => {
    const value = event.target.value.trim();
    if (event.key === "Enter" && value !== "") choose(card, value);
  });
  card.querySelector("input").addEventListener("change", (event) => {
    const value = event.target.value.trim();
    if (value !== "" && chosen.get(key(card)) !== value) choose(card, value);
  });
}

document.addEventListener("keydown", (event) => {
  if (event.target.matches("input") || event.ctrlKey || event.metaKey || event.altKey) return;
  const button = /^[1-9]$/.test(event.key) && now ? now.querySelectorAll("button")[event.key - 1] : null;
  if (button) choose(now, button.dataset.value);
});

rows.addEventListener("input", tell);

document.getElementById("save").addEventListener("click", () => {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([list()], { type: "text/csv" }));
  link.download = data.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
});

go(open()[0], false);
tell();
