// Tabs: two lists of panels, side by side where there is room, else one panel of all.

import { byId } from "./dom.js";

const SIDES = { start: "site", connect: "site", sheets: "site", found: "answer", dial: "answer", day: "answer" };
// As in the style sheet.
const WIDE = "(min-width: 1000px)";

export function wireTabs(onshow) {
  const tabs = [...document.querySelectorAll("[role=tab]")];
  const own = (tab) => tab.id.slice("tab-".length);
  const wide = matchMedia(WIDE);
  const chosen = { site: "start", answer: "found" };
  let side = "site";
  // How far each panel was scrolled when it was left by a tab.
  const left = {};
  const paint = () => {
    document.body.dataset.side = side;
    for (const tab of tabs) {
      const name = own(tab);
      const isChosen = chosen[SIDES[name]] === name;
      byId(name).hidden = !isChosen;
      tab.setAttribute("aria-selected", String(isChosen && (wide.matches || SIDES[name] === side)));
      tab.tabIndex = isChosen ? 0 : -1;
    }
  };
  const show = (name, focus = false, top = 0) => {
    side = SIDES[name];
    chosen[side] = name;
    paint();
    byId(name).parentElement.scrollTop = 0;
    if (focus) byId(`tab-${name}`).focus();
    onshow();
    // Only what is shown has its height.
    scrollTo(0, top);
  };
  wide.addEventListener("change", paint);
  for (const tab of tabs) {
    tab.addEventListener("click", () => {
      left[chosen[side]] = scrollY;
      show(own(tab), false, left[own(tab)]);
    });
    tab.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: -1, ArrowRight: 1, Home: -tabs.length, End: tabs.length }[event.key];
      if (step === undefined) return;
      event.preventDefault();
      const list = tabs.filter((one) => one.parentElement === tab.parentElement);
      const at = Math.min(Math.max(list.indexOf(tab) + step, 0), list.length - 1);
      show(own(list[at]), true);
    });
  }
  paint();
  return show;
}

// Light, dark, or as the device has it.
export function wireLight() {
  const button = byId("light");
  const order = ["auto", "light", "dark"];
  const words = { auto: "Look: auto", light: "Look: light", dark: "Look: dark" };
  const set = (choice) => {
    document.documentElement.dataset.light = choice;
    button.textContent = words[choice];
    button.setAttribute("aria-label", `${words[choice]}: change between light and dark`);
  };
  let now = "auto";
  try {
    now = order.find((choice) => choice === localStorage.getItem("coldcheck light")) ?? "auto";
  } catch {
    // A browser may refuse to keep anything for a page that is a file.
  }
  set(now);
  button.addEventListener("click", () => {
    now = order[(order.indexOf(now) + 1) % order.length];
    set(now);
    try {
      localStorage.setItem("coldcheck light", now);
    } catch {
      // It is forgotten when the page is closed, then.
    }
  });
}
