// Opening, keeping and saving: what is typed is kept beside the design's file as it is typed.

import { ask, complaints, onNewKey } from "./api.js";

const $ = (id) => document.getElementById(id);
const PAUSE = 300; // after this pause what stands on screen is kept (ms)
const MOST_STEPS = 350_000; // letters of the record of steps that is kept
const MOST_LEAVING = 60_000; // letters a browser still sends while a page is left
const HERE = "deckclause-open"; // which deck this tab has open, for a reload

/** The file behind the design on screen. */
export const file = { name: "", base: "", digest: "", draft: "", saved: "", loaded: 0, open: false };

const asText = (design) => JSON.stringify(design);

export function withFile(store) {
  return { design: store.design, base: file.base, file: file.name || "design.yaml" };
}

/** Put a design the server opened on screen. */
export function takeIn(store, opened, under) {
  Object.assign(file, { name: opened.file, base: opened.base, digest: opened.digest, draft: opened.draft, open: true, loaded: store.revision + 1 });
  store.load(opened.design, under, stepsOf(opened.steps));
  file.saved = opened.digest && !opened.unsaved ? asText(store.design) : "";
  $("file-name").value = opened.file;
  $("saved").textContent = "";
  $("kept").textContent = opened.digest && !opened.unsaved ? `As in ${opened.file}.` : "Not saved yet.";
}

function stepsOf(text) {
  try {
    const { past, future } = JSON.parse(text);
    return { past, future };
  } catch {
    return { past: [], future: [] };
  }
}

export function remember(source, name) {
  sessionStorage.setItem(HERE, JSON.stringify({ source, name }));
}

export function remembered() {
  try {
    return JSON.parse(sessionStorage.getItem(HERE));
  } catch {
    return null;
  }
}

export function forgetWhich() {
  sessionStorage.removeItem(HERE);
}

// --- keeping -----------------------------------------------------------------------------------

const keeping = { timer: 0, last: null, waits: null, kept: 0 };

export const allKept = (store) => !file.open || store.revision === file.loaded || keeping.kept === store.revision;

export function beginKeeping(store) {
  store.subscribe((_, what) => {
    if (what === "design" && file.open && store.revision !== file.loaded) {
      $("kept").textContent = "Changed, not kept yet.";
      $("saved").textContent = "";
      soon(store);
    }
    if (what === "answer" && !allKept(store)) soon(store);
  });
  onNewKey(() => { if (!allKept(store)) keep(store); });
  addEventListener("pagehide", () => { if (!allKept(store)) keep(store, true); });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden" && !allKept(store)) keep(store);
  });
}

function soon(store) {
  clearTimeout(keeping.timer);
  keeping.timer = setTimeout(() => keep(store), PAUSE);
}

/** Keep what stands on screen, after whatever is being kept; `leaving` does not wait for that. */
export function keep(store, leaving = false) {
  clearTimeout(keeping.timer);
  if (leaving || !keeping.last) {
    keeping.last = send(store, leaving).finally(() => { keeping.last = null; });
    return keeping.last;
  }
  keeping.waits ??= keeping.last.then(() => {
    keeping.waits = null;
    return keep(store);
  });
  return keeping.waits;
}

async function send(store, leaving) {
  const { revision } = store;
  const unsaved = asText(store.design) !== file.saved;
  const asked = { ...withFile(store), under: store.under, digest: file.digest, unsaved, steps: steps(store), replacing: file.draft };
  const small = leaving && JSON.stringify(asked).length < MOST_LEAVING;
  const answer = await ask("keep", asked, "json", { keepalive: small });
  if (answer.ok) {
    file.draft = answer.data.draft;
    keeping.kept = revision;
    remember("folder", file.name);
    if (revision !== store.revision) return; // a newer change is still to be kept
    $("kept").textContent = unsaved ? `Kept as a draft, not saved to ${file.name}.` : `Saved as ${file.name}.`;
  } else if (answer.status === 409) {
    $("kept").textContent = "Not kept: this deck was worked on in another tab. Save it under another name, or open it again.";
  } else {
    $("kept").textContent = `Not kept: ${complaints(answer).join(" ")}`;
  }
}

/** The steps that can be undone, the oldest left out where they are too many. */
function steps(store) {
  const { past, future } = store.steps;
  for (let from = 0; from <= past.length; from += Math.max(1, Math.ceil((past.length - from) / 2))) {
    const text = JSON.stringify({ past: past.slice(from), future });
    if (text.length <= MOST_STEPS) return text;
  }
  return "";
}

// --- saving ------------------------------------------------------------------------------------

/** Save under the name in the field; a file that is not the one opened is replaced only when asked. */
export async function save(store, replacing = "") {
  clearTimeout(keeping.timer);
  // what is being kept is kept first, and nothing is kept meanwhile: a saving takes the tab's own
  // draft away, which it must know by its digest
  while (keeping.last) await keeping.last;
  keeping.last = written(store, replacing).finally(() => { keeping.last = null; });
  if (await keeping.last) await keep(store);
}

/** Have the file written; whether it was. */
async function written(store, replacing) {
  const name = $("file-name").value;
  const design = store.design;
  const own = name === file.name ? file.digest : "";
  $("saved").textContent = "Saving.";
  const asked = { design, base: file.base, file: name, was: file.name, draft: file.draft, replacing: replacing || own };
  const answer = await ask("save", asked);
  if (answer.status === 409) {
    $("saved").textContent = "Not saved yet.";
    askToReplace(store, answer.data, own);
    return false;
  }
  if (!answer.ok) {
    $("saved").textContent = `Not saved. ${complaints(answer).join(" ")}`;
    return false;
  }
  Object.assign(file, { name: answer.data.file, base: answer.data.base, digest: answer.data.digest, draft: "" });
  const all = asText(store.design) === asText(design);
  store.renumber(design);
  file.saved = all ? asText(store.design) : "";
  const lost = answer.data.kept ? "" : " The comments of the file opened could not be carried over.";
  $("saved").textContent = `Saved as ${answer.data.file}.${lost}`;
  return true;
}

function askToReplace(store, there, own) {
  const lost = there.kept ? "" : " Comments of the file opened cannot be carried over.";
  const why = own ? "was changed by someone else since it was opened here" : "is in the folder already";
  $("replace-words").textContent = `${there.already_there} ${why}. Replacing it cannot be undone here.${lost}`;
  $("do-replace").onclick = () => {
    $("replace").close();
    save(store, there.digest);
  };
  $("replace").showModal();
  $("keep").focus();
}
