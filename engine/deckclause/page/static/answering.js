// Keeps what the rule sets make of the design on screen up to date, or says why it is not.

import { ask, complaints, onNewKey } from "./api.js";

const $ = (id) => document.getElementById(id);
const SOON = 500; // first wait before a server that does not answer is asked again (ms)
const LATEST = 8000;

/** Ask for an answer to every change; while one is on its way only the newest waits. */
export function keepAnswered(store) {
  let busy = false;
  let again = false;
  let wait = SOON;
  let timer = 0;

  async function answer() {
    clearTimeout(timer);
    if (busy) {
      again = true;
      return;
    }
    if (!store.under.length) {
      store.failed("No rule set is chosen: choose at least one to hold the deck against.");
      return;
    }
    busy = true;
    const { revision, design, under, wants } = store;
    const sent = performance.now();
    const given = await ask("evaluate", { design, under, ...wants });
    busy = false;
    if (given.ok) {
      wait = SOON;
      store.answered({ ...given.data, sent }, revision);
    }
    if (again) {
      again = false;
      answer();
      return;
    }
    if (given.ok) return;
    store.failed(`Not worked out: ${complaints(given).join(" ")}`);
    if (given.status === 0 || given.status >= 500) {
      timer = setTimeout(answer, wait);
      wait = Math.min(2 * wait, LATEST);
    }
  }

  store.subscribe((_, what) => {
    if (what === "design" || what === "wants") answer();
    mark(store);
  });
  $("retry").addEventListener("click", answer);
  addEventListener("online", answer);
  onNewKey(answer);
}

/** Say of every answer on screen whether it belongs to the design on screen. */
function mark(store) {
  const current = store.current();
  document.body.dataset.answers = current ? "current" : store.trouble ? "none" : "waiting";
  $("trouble").hidden = current || !store.trouble;
  $("retry").hidden = !store.trouble;
  const said = store.answer && !current ? " What is struck through belongs to an earlier state of the deck." : "";
  const words = store.trouble ? store.trouble + said : "";
  if ($("trouble-words").textContent !== words) $("trouble-words").textContent = words;
}
