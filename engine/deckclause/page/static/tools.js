// Panels that work something out of the deck when they are asked: sizes to buy, one deck for all, fasteners.

import { complaints } from "./api.js";
import { askLong } from "./longer.js";

const $ = (id) => document.getElementById(id);
const all = () => [...document.querySelectorAll("[data-tool]")];
let store;
let withFile;

export function begin(given, file) {
  store = given;
  withFile = file;
  store.subscribe((_, what) => {
    if (what !== "design") return;
    for (const panel of all()) {
      const found = panel.querySelector(".found");
      found.classList.toggle("stale", Boolean(found.children.length));
    }
  });
  $("prices").addEventListener("change", () => {
    const found = $("choosing").querySelector(".found");
    found.classList.toggle("stale", Boolean(found.children.length));
  });
  for (const panel of all()) {
    panel.querySelector(".work-out").addEventListener("click", () => workOut(panel));
    panel.addEventListener("click", (event) => {
      const use = event.target.closest("[data-use]");
      if (use) take(JSON.parse(use.dataset.use));
    });
  }
}

export function forget() {
  for (const panel of all()) {
    panel.querySelector(".found").replaceChildren();
    panel.querySelector(".told").replaceChildren();
  }
}

async function workOut(panel) {
  const found = panel.querySelector(".found");
  const told = panel.querySelector(".told");
  const { revision } = store;
  const prices = await priceList();
  if (prices === null) {
    told.textContent = NO_PRICES;
    return;
  }
  const asked = { ...withFile(), under: store.under, si: Boolean(store.wants.si), prices };
  const answer = await askLong(panel.id, asked, "text", told, "Working it out");
  if (!answer.ok) {
    told.textContent = complaints(answer).join(" ");
    found.classList.toggle("stale", Boolean(found.children.length));
    return;
  }
  found.innerHTML = answer.text; // written by our own server, every text in it escaped
  found.classList.toggle("stale", revision !== store.revision);
}

/** The reader's own price list, read when it is wanted; null where it cannot be (any longer). */
export async function priceList() {
  const file = $("prices").files[0];
  if (!file) return "";
  try {
    return await file.text();
  } catch {
    return null;
  }
}

export const NO_PRICES = "The price list cannot be read any more; choose it again.";

/** Take the sizes chosen over into the deck: one step, each in every part of its kind. */
function take(sizes) {
  const changes = {};
  for (const [quantity, text] of Object.entries(sizes)) {
    const [group, key] = quantity.split(".");
    const parts = store.get(group);
    if (Array.isArray(parts)) parts.forEach((_, index) => { changes[`${group}[${index}].${key}`] = text; });
    else changes[quantity] = text;
  }
  store.edit(changes, { label: "The sizes chosen" });
  $("undo").focus();
}
