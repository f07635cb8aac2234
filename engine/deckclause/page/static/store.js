// The one design on screen and what it is held against: every change of it is one that can be undone.
//
// Keys of `get` and `edit`:
//   "name", "says"                 the deck's name and its line or two, text
//   "ledger.size"                  what one part of a deck states, text as typed
//   "joists[0].span"               what one of several like parts states; "joists[0].name" its name
//   "joists"                       all of them: a list of {name, origin, facts}; [] says there are none
//   "under"                        the rule sets it is held against, a list
// Text "" and a list that is null say nothing: unknown, which never complies.

const MOST_STEPS = 300;
const PART = /^([a-z_]+)\[(\d+)\]\.(\w+)$/;
const nothing = () => ({ name: "", says: "", facts: {}, parts: {} });
const same = (one, two) => JSON.stringify(one) === JSON.stringify(two);

export function createStore() {
  let design = nothing();
  let under = [];
  let past = [];
  let future = [];
  const listeners = new Set();
  const tell = (what) => { for (const listener of [...listeners]) listener(store, what); };

  const store = {
    revision: 0, // one more with every change, never used again
    answer: null, // the last answer of the server; `answer.for` is the revision it belongs to
    trouble: "", // why there is no answer to what stands on screen, in words
    wants: {}, // what an answer is to hold besides: {matrix, why, si}

    get design() { return design; },
    get under() { return under; },
    get steps() { return { past, future }; },

    /** The text, or the list of parts, that stands under a key. */
    get(key) { return read(design, under, key); },

    /** Whether what the server answered belongs to what stands on screen. */
    current() { return Boolean(store.answer) && store.answer.for === store.revision && !store.trouble; },

    /** Change several things in one step. Steps of the same `merge` that follow each other are one. */
    edit(changes, { label = "", merge = "" } = {}) {
      const after = {};
      const before = {};
      for (const [key, value] of Object.entries(changes)) {
        const then = read(design, under, key);
        const now = value ?? (typeof then === "string" ? "" : null);
        if (same(then, now)) continue;
        before[key] = then;
        after[key] = now;
      }
      if (!Object.keys(after).length) return false;
      const last = past[past.length - 1];
      if (merge && last && last.merge === merge && !future.length && same(Object.keys(last.after), Object.keys(after))) {
        last.after = after;
      } else {
        past = [...past, { label, merge, before, after }].slice(-MOST_STEPS);
      }
      future = [];
      put(after);
      return true;
    },

    /** End a step: what is typed next into the same place is a step of its own. */
    settle() { if (past.length) past[past.length - 1].merge = ""; },

    undo() {
      const step = past[past.length - 1];
      if (!step) return null;
      past = past.slice(0, -1);
      future = [step, ...future];
      put(step.before);
      return step;
    },

    redo() {
      const [step, ...rest] = future;
      if (!step) return null;
      future = rest;
      past = [...past, step];
      put(step.after);
      return step;
    },

    /** The design as it was before the last step: what an answer's "what changed" is told against. */
    before() {
      const last = past[past.length - 1];
      return last ? apply({ design, under }, last.before) : null;
    },

    /** Put another design on screen; `steps` are those it came with. */
    load(opened, heldAgainst, steps = { past: [], future: [] }) {
      design = opened;
      under = heldAgainst;
      past = steps.past;
      future = steps.future;
      store.answer = null;
      store.trouble = "";
      store.revision += 1;
      tell("design");
    },

    /** The file was written: its parts now stand there in their order on screen. No step of its own. */
    renumber(written) {
      for (const [group, parts] of Object.entries(written.parts)) {
        const now = new Map();
        parts.forEach((part, index) => { if (part.origin !== null) now.set(part.origin, index); });
        const told = (list) => list?.map((part) => ({ ...part, origin: now.get(part.origin) ?? null }));
        const shown = design.parts[group];
        const fresh = shown?.map((part, index) => (same(part, parts[index]) ? { ...part, origin: index } : told([part])[0]));
        design = { ...design, parts: { ...design.parts, ...(fresh && { [group]: fresh }) } };
        for (const step of [...past, ...future]) {
          for (const side of [step.before, step.after]) if (side[group]) side[group] = told(side[group]);
        }
      }
    },

    /** Have the answers hold more, or less. */
    want(more) {
      const before = store.wants;
      store.wants = { ...before, ...more };
      const less = Object.entries(more).every(([name, value]) => value === false && name !== "si");
      if (!less && !same(before, store.wants)) tell("wants");
    },

    answered(data, revision) {
      store.answer = { ...data, for: revision };
      store.trouble = "";
      tell("answer");
    },

    failed(words) {
      store.trouble = words;
      tell("trouble");
    },

    /** Hear of every change: `listener(store, what)`, what is "design", "wants", "answer", "trouble". */
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };

  function put(values) {
    ({ design, under } = apply({ design, under }, values));
    store.revision += 1;
    tell("design");
  }

  return store;
}

function read(design, under, key) {
  if (key === "under") return under;
  if (key === "name" || key === "says") return design[key];
  const part = PART.exec(key);
  if (part) {
    const found = design.parts[part[1]]?.[Number(part[2])];
    return (part[3] === "name" ? found?.name : found?.facts[part[3]]) || "";
  }
  return key.includes(".") ? design.facts[key] || "" : design.parts[key] ?? null;
}

/** What stands after some keys have other values; nothing that stood before is touched. */
function apply(state, values) {
  let { design, under } = state;
  for (const [key, value] of Object.entries(values)) {
    const part = PART.exec(key);
    if (key === "under") under = value;
    else if (key === "name" || key === "says") design = { ...design, [key]: value };
    else if (part) design = withPart(design, part[1], Number(part[2]), part[3], value);
    else if (key.includes(".")) design = { ...design, facts: stated(design.facts, key, value) };
    else {
      const { [key]: old, ...others } = design.parts;
      design = { ...design, parts: value === null ? others : { ...others, [key]: value } };
    }
  }
  return { design, under };
}

function withPart(design, group, index, key, value) {
  const parts = [...(design.parts[group] || [])];
  while (parts.length <= index) parts.push({ name: "", origin: null, facts: {} });
  const one = parts[index];
  parts[index] = key === "name" ? { ...one, name: value } : { ...one, facts: stated(one.facts, key, value) };
  return { ...design, parts: { ...design.parts, [group]: parts } };
}

function stated(facts, key, value) {
  const { [key]: old, ...others } = facts;
  return value ? { ...others, [key]: value } : others;
}
