// What stands beside the cards, one panel at a time: tabs, moved between with the arrow keys.

const $ = (id) => document.getElementById(id);
const tabs = () => [...$("panels").querySelectorAll("[role=tab]")];
const opened = new Map();
let changed = () => {};

/** Have something done when a panel comes on screen. */
export function onShow(panel, act) {
  opened.set(panel, act);
}

/** Have something done whenever another panel comes on screen. */
export function onChange(act) {
  changed = act;
}

export const shown = () => tabs().find((tab) => tab.ariaSelected === "true").getAttribute("aria-controls");

export function show(panel) {
  if (panel === shown()) return;
  for (const tab of tabs()) {
    const mine = tab.getAttribute("aria-controls");
    tab.ariaSelected = String(mine === panel);
    tab.tabIndex = mine === panel ? 0 : -1;
    $(mine).hidden = mine !== panel;
  }
  changed(panel);
  opened.get(panel)?.();
}

export function begin() {
  $("panels").addEventListener("click", (event) => {
    const tab = event.target.closest("[role=tab]");
    if (tab) show(tab.getAttribute("aria-controls"));
  });
  $("panels").addEventListener("keydown", (event) => {
    const all = tabs();
    const here = all.indexOf(document.activeElement);
    const to = { ArrowRight: here + 1, ArrowLeft: here - 1, Home: 0, End: all.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const tab = all[(to + all.length) % all.length];
    show(tab.getAttribute("aria-controls"));
    tab.focus();
  });
}
