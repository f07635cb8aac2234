// The drawing board: the section, its members moved in eighths of an inch against each rule set's
// limits, and the few questions on a member that is tapped. What is drawn and how far anything may
// go comes from the server; here it is put on screen and taken hold of.

import { barsOf, stops, stripOf } from "./bars.js";
import { inches } from "./inches.js";
import { ask } from "./questions.js";
import { draw, element, put } from "./svg.js";

const BARS = 214; // width beside the section for the limits
const NARROW = 560; // px: no room for them there, so they lie under the section
const NAMES = {
  ledger: "Ledger: its top below the band joist's top",
  "upper row": "Upper row of fasteners, below the ledger's top",
  "lower row": "Lower row of fasteners, below the ledger's top",
  joists: "Joists: their tops below the ledger's top",
};
const MARKUP = `
  <p id="board-said" class="said" role="status">Take hold of the ledger, a row or the joists, by pointer or with Tab and the arrow keys.</p>
  <div class="scroll sheet" role="region" tabindex="0" aria-label="The section" id="section-region">
    <svg id="stage" role="group" aria-labelledby="section-words"><g id="drawn"></g><g id="members"></g><g id="bars" aria-hidden="true"></g><g id="grips"></g></svg>
  </div>
  <p id="section-words" class="faint"></p>
  <dl id="steps-down"></dl>
  <div id="reaches"></div>
  <div id="member-questions"></div>`;

export function mount(root, store) {
  root.innerHTML = MARKUP; // our own words, no text of a design
  const at = (id) => root.querySelector(`#${id}`);
  let board = null;
  let active = "ledger";
  let held = null; // what is being moved: {member, from, start, value}

  const handle = (member) => board?.handles.find((one) => one.member === member);

  function show() {
    board = store.answer?.board ?? null;
    if (!board) return;
    at("section-words").textContent = board.words;
    at("section-region").hidden = !board.svg;
    if (!board.svg) {
      for (const id of ["steps-down", "reaches", "member-questions"]) at(id).replaceChildren();
      at("board-said").textContent = "";
      return;
    }
    fit();
    put(at("drawn"), board.svg); // written by our own server
    members();
    grips();
    limits();
    steps();
  }

  /** The limits stand beside the section where there is room, and lie under it where there is none. */
  function fit() {
    if (!board?.svg) return;
    const narrow = at("section-region").clientWidth < NARROW;
    root.classList.toggle("narrow", narrow);
    at("bars").toggleAttribute("hidden", narrow);
    at("stage").setAttribute("viewBox", `0 0 ${board.width + (narrow ? 0 : BARS)} ${Math.ceil(board.height)}`);
  }
  new ResizeObserver(fit).observe(at("section-region"));

  // --- members ---------------------------------------------------------------------------------

  function members() {
    const place = at("members");
    if (place.contains(document.activeElement)) return;
    place.replaceChildren(...board.members.map(({ member, box: [x, y, width, height] }) =>
      element("rect", { x, y, width, height, class: "member", role: "button", tabindex: 0, "data-member": member, "aria-label": `Questions on the ${member}` })));
  }

  function askOf(member) {
    const found = board.members.find((one) => one.member === member);
    if (found) ask(at("member-questions"), store, found);
  }

  at("members").addEventListener("click", (event) => askOf(event.target.dataset.member));
  at("members").addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    askOf(event.target.dataset.member);
  });

  // --- taking hold -------------------------------------------------------------------------------

  const level = (one, value) => board.level + (one.zero + value / 8) * board.per_inch;
  const valueOf = (one) => (held?.member === one.member ? held.value : one.drawn);

  function grips() {
    const place = at("grips");
    for (const one of board.handles) {
      let grip = place.querySelector(`[data-member="${one.member}"]`);
      if (!grip) {
        grip = draw("g", { class: "grip", role: "slider", tabindex: 0, "data-member": one.member, "aria-orientation": "vertical", "aria-label": NAMES[one.member] },
          element("circle", { r: 20, class: "hit" }), element("circle", { r: 12 }),
          element("path", { d: "M-4 -3 L0 -7.5 L4 -3 M-4 3 L0 7.5 L4 3" }));
        place.append(grip);
      }
      const value = valueOf(one);
      const [low, high] = [one.low, one.high];
      const offset = one.member === "ledger" ? 26 : one.member === "joists" ? 26 : 0;
      grip.setAttribute("transform", `translate(${one.across} ${level(one, value) + offset})`);
      grip.classList.toggle("unstated", one.value === null && held?.member !== one.member);
      const told = { "aria-valuemin": low / 8, "aria-valuemax": high / 8, "aria-valuenow": value / 8,
        "aria-valuetext": one.value === null && held?.member !== one.member ? "not stated" : inches(value) };
      for (const [name, text] of Object.entries(told)) grip.setAttribute(name, text);
    }
    for (const grip of [...place.children]) if (!handle(grip.dataset.member)) grip.remove();
  }

  /** Where a member may stand: between the strictest limits, or where it stands already. */
  function room(one, past) {
    if (past) return [one.low, one.high];
    const { least, most } = one.strictest;
    const low = Math.max(one.low, least ? least.at : one.low);
    const high = Math.min(one.high, most ? most.at : one.high);
    return [Math.min(low, one.drawn), Math.max(high, one.drawn)];
  }

  function move(one, wanted, past) {
    const [low, high] = room(one, past);
    const value = Math.min(high, Math.max(low, Math.round(wanted)));
    tell(one, value, wanted, past);
    if (held) held.value = value;
    if (value === one.value && !held) return;
    const text = inches(value);
    const changes = Object.fromEntries(one.keys.map((key) => [key, text]));
    store.edit(changes, { label: `${one.member} moved to ${text}`, merge: `board ${one.member}` });
    grips();
  }

  function tell(one, value, wanted, past) {
    const { least, most } = one.strictest;
    const words = [`${one.member[0].toUpperCase()}${one.member.slice(1)}: ${inches(value)}.`];
    const [stop, way] = wanted > value ? [most, "farther"] : wanted < value ? [least, "nearer"] : [null, ""];
    if (stop && !past) words.push(`No ${way} under ${stop.title}, ${stop.text}: ${stop.because}. Hold Shift to draw it past that.`);
    else if (wanted !== value && way) words.push("The wood ends there.");
    else if (most && value > most.at) words.push(`Past the limit of ${most.title}, ${most.text}: ${most.because}.`);
    else if (least && value < least.at) words.push(`Short of the limit of ${least.title}, ${least.text}: ${least.because}.`);
    at("board-said").textContent = words.join(" ");
  }

  function choose(member) {
    if (active === member) return;
    active = member;
    limits();
  }

  const grippedBy = (event) => event.target.closest?.("[role=slider]");
  at("grips").addEventListener("focusin", (event) => choose(grippedBy(event).dataset.member));
  at("grips").addEventListener("focusout", () => store.settle());
  at("grips").addEventListener("keydown", (event) => {
    const one = handle(grippedBy(event)?.dataset.member);
    if (!one) return;
    const now = one.value ?? one.drawn;
    const [low, high] = room(one, event.shiftKey);
    const to = { ArrowDown: now + 1, ArrowUp: now - 1, ArrowRight: now + 1, ArrowLeft: now - 1, PageDown: now + 8, PageUp: now - 8, Home: low, End: high }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const near = to > now ? Math.floor(to) : Math.ceil(to); // a value between two steps goes to the next
    move(one, near, event.shiftKey);
    one.drawn = one.value = Math.min(high, Math.max(low, near)); // until the answer comes
    grips();
  });
  at("grips").addEventListener("pointerdown", (event) => {
    const grip = grippedBy(event);
    const one = handle(grip?.dataset.member);
    if (!one || event.button) return;
    event.preventDefault();
    grip.focus({ preventScroll: true });
    grip.setPointerCapture(event.pointerId);
    held = { member: one.member, from: event.clientY, start: one.drawn, value: one.drawn };
  });
  at("grips").addEventListener("pointermove", (event) => {
    const one = held && handle(held.member);
    if (!one) return;
    const scale = at("stage").getScreenCTM().a;
    const wanted = held.start + ((event.clientY - held.from) / scale / board.per_inch) * 8;
    const past = event.shiftKey;
    if (Math.round(wanted) !== held.value) move({ ...one, drawn: held.start }, wanted, past);
  });
  for (const kind of ["pointerup", "pointercancel"]) {
    at("grips").addEventListener(kind, () => {
      held = null;
      store.settle();
    });
  }

  // --- limits ------------------------------------------------------------------------------------

  function limits() {
    const one = handle(active) || board?.handles[0];
    if (!one) return;
    at("bars").replaceChildren(...barsOf(one, (value) => level(one, value), board.width, BARS));
    const list = document.createElement("ul");
    for (const reach of one.reaches) {
      const item = document.createElement("li");
      const ends = [reach.least?.text, reach.most?.text].filter(Boolean);
      const range = ends.length === 2 && ends[0] !== ends[1] ? `${ends[0]} to ${ends[1]}` : ends.length ? `just ${ends[0]}` : "";
      const because = [...new Set([reach.least?.because, reach.most?.because])].filter((words) => words && words !== "the wood ends there").join("; ");
      item.append(Object.assign(document.createElement("strong"), { textContent: `${reach.title}: ` }), [range, because && `(${because})`, reach.words].filter(Boolean).join(" "));
      if (ends.length) item.append(stripOf(one, reach, stops(one, reach)));
      list.append(item);
    }
    const title = Object.assign(document.createElement("h2"), { textContent: `How far it may go. ${NAMES[one.member]}` });
    at("reaches").replaceChildren(title, list);
  }

  function steps() {
    at("steps-down").replaceChildren(...board.steps.flatMap((step) => {
      const name = Object.assign(document.createElement("dt"), { textContent: `${step.name[0].toUpperCase()}${step.name.slice(1)}` });
      const limits = step.greatest.map((one) => `${one.title} ${one.words}`).join(", ");
      const said = Object.assign(document.createElement("dd"), { textContent: `${step.asked ?? "not known"} as drawn; greatest: ${limits}` });
      return [name, said];
    }));
  }

  store.subscribe((_, what) => {
    if (what === "answer") show();
  });
}
