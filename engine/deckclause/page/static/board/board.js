// The drawing board: section, ledger elevation, plan and stairs, each the form of the deck. Members
// are moved against each rule set's limits, and one that is tapped asks its few questions. What is
// drawn and how far anything may go comes from the server; here it is put on screen and taken hold of.

import { barsOf, stops, stripOf } from "./bars.js";
import { inches } from "./inches.js";
import { ask } from "./questions.js";
import { draw, element, put } from "./svg.js";

const BARS = 214; // width beside the section for the limits
const LEAST = 12 / 13.5; // lettering of the drawings is 13.5 units, and 12 px at the least
const NARROW = 560; // px: no room for them there, so they lie under the drawing
const VIEWS = { section: "Section", elevation: "Ledger elevation", plan: "Plan", stairs: "Stairs" };
const HINT = matchMedia("(max-width: 40rem)").matches
  ? "Drag a handle; tap a member for its questions."
  : "Take hold of a handle, by pointer or with Tab and the arrow keys; tap a member for its questions.";
const MARKUP = `
  <div id="board-views" class="inline" role="group" aria-label="Drawing">${Object.entries(VIEWS).map(([view, title]) => `<button type="button" data-view="${view}" aria-pressed="${view === "section"}">${title}</button>`).join("")}</div>
  <p id="board-said" class="said" role="status">${HINT}</p>
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
  let active = "";
  let roomy = 0; // width for the drawing, told when it changes: asking for it would lay out the page
  let held = null; // what is being moved: {name, from, start, value}

  const handle = (name) => board?.handles?.find((one) => one.name === name);

  function show() {
    board = store.answer?.board ?? null;
    if (!board) return;
    const other = root.dataset.shown !== board.view;
    root.dataset.shown = board.view;
    at("section-words").textContent = board.words;
    at("section-region").hidden = !board.svg;
    at("section-region").ariaLabel = VIEWS[board.view];
    if (other) {
      for (const id of ["members", "grips", "bars", "member-questions", "reaches"]) at(id).replaceChildren();
      at("board-said").textContent = board.svg ? HINT : "";
      active = "";
    }
    if (!board.svg) {
      for (const id of ["steps-down", "reaches", "member-questions"]) at(id).replaceChildren();
      return;
    }
    fit();
    put(at("drawn"), board.svg); // written by our own server
    members();
    grips();
    limits();
    steps();
  }

  /** The section's limits stand beside it where there is room; else they lie under the drawing. */
  function fit() {
    if (!board?.svg) return;
    const narrow = roomy < NARROW || board.view !== "section";
    root.classList.toggle("narrow", narrow);
    at("bars").toggleAttribute("hidden", narrow);
    const [wide, high] = [Math.ceil(board.width) + (narrow ? 0 : BARS), Math.ceil(board.height)];
    const stage = at("stage");
    stage.setAttribute("viewBox", `0 0 ${wide} ${high}`);
    stage.style.minWidth = `${Math.ceil(wide * LEAST)}px`; // never drawn so small that it is not read
    stage.style.minHeight = `${Math.ceil(high * LEAST)}px`;
  }
  new ResizeObserver(([{ target }]) => {
    roomy = target.clientWidth;
    fit();
  }).observe(at("section-region"));

  at("board-views").addEventListener("click", (event) => {
    const view = event.target.dataset.view;
    if (!view) return;
    for (const button of at("board-views").children) button.ariaPressed = String(button === event.target);
    store.want({ view });
  });

  // --- members ---------------------------------------------------------------------------------

  function members() {
    const place = at("members");
    if (place.contains(document.activeElement)) return;
    place.replaceChildren(...board.members.map(({ member, title, box: [x, y, width, height] }) =>
      element("rect", { x, y, width, height, class: "member", role: "button", tabindex: 0, "data-member": member, "aria-label": `Questions on the ${title}` })));
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

  const place = (one, value) => one.origin + (value / 8) * one.per_inch;
  const valueOf = (one) => (held?.name === one.name ? held.value : one.drawn);

  function grips() {
    const where = at("grips");
    for (const one of board.handles) {
      let grip = where.querySelector(`[data-name="${one.name}"]`);
      if (!grip) {
        const turned = one.axis === "x" ? "rotate(90)" : "";
        grip = draw("g", { class: `grip ${one.axis}`, role: "slider", tabindex: 0, "data-name": one.name, "aria-orientation": one.axis === "x" ? "horizontal" : "vertical", "aria-label": one.label },
          element("circle", { r: 20, class: "hit" }), element("circle", { r: 12 }),
          element("path", { d: "M-4 -3 L0 -7.5 L4 -3 M-4 3 L0 7.5 L4 3", transform: turned }));
        where.append(grip);
      }
      const value = valueOf(one);
      const along = place(one, value) + one.offset;
      const unstated = one.value === null && held?.name !== one.name;
      grip.setAttribute("transform", one.axis === "x" ? `translate(${along} ${one.across})` : `translate(${one.across} ${along})`);
      grip.classList.toggle("unstated", unstated);
      const told = { "aria-valuemin": one.low / 8, "aria-valuemax": one.high / 8, "aria-valuenow": value / 8,
        "aria-valuetext": unstated ? "not stated" : said(value) };
      for (const [name, text] of Object.entries(told)) grip.setAttribute(name, text);
    }
    for (const grip of [...where.children]) if (!handle(grip.dataset.name)) grip.remove();
  }

  /** A measure aloud: one that lies between two steps is told as near it, not as it. */
  const said = (value) => (Number.isInteger(value) ? inches(value) : `about ${inches(value)}`);

  /** Where a member may stand: between the strictest limits, or where it stands already. */
  function room(one, past) {
    if (past) return [one.low, one.high];
    const { least, most } = one.strictest;
    const low = Math.max(one.low, least ? least.at : one.low);
    const high = Math.min(one.high, most ? most.at : one.high);
    return [Math.min(low, Math.ceil(one.drawn)), Math.max(high, Math.floor(one.drawn))]; // no farther than it stands
  }

  /** The nearest step to a wish; the ends of the room count as steps. */
  function near(one, wanted, low, high) {
    const stepped = Math.round(wanted / one.step) * one.step;
    return wanted >= high || stepped > high ? high : wanted <= low || stepped < low ? low : stepped;
  }

  function move(one, wanted, past) {
    const [low, high] = room(one, past);
    const value = near(one, wanted, low, high);
    tell(one, value, wanted, past);
    if (held) held.value = value;
    if (value === one.value && !held) return value;
    const text = inches(value);
    const changes = Object.fromEntries(one.keys.map((key) => [key, text]));
    store.edit(changes, { label: `${one.label}: ${text}`, merge: `board ${one.name}` });
    grips();
    return value;
  }

  function tell(one, value, wanted, past) {
    const { least, most } = one.strictest;
    const words = [`${one.label}: ${inches(value)}.`];
    const [stop, way, end] = wanted > value && value < wanted - one.step / 2 ? [most, "farther", one.high] : wanted < value && value > wanted + one.step / 2 ? [least, "nearer", one.low] : [null, "", null];
    if (way && value === end && !(stop && stop.at === value)) words.push("It can be moved no farther on the drawing.");
    else if (stop && !past) words.push(`No ${way} under ${stop.title}, ${stop.text}: ${stop.because}. Hold Shift to draw it past that.`);
    else if (most && value > most.at) words.push(`Past the limit of ${most.title}, ${most.text}: ${most.because}.`);
    else if (least && value < least.at) words.push(`Short of the limit of ${least.title}, ${least.text}: ${least.because}.`);
    at("board-said").textContent = words.join(" ");
  }

  function choose(name) {
    if (active === name) return;
    active = name;
    limits();
  }

  const grippedBy = (event) => event.target.closest?.("[role=slider]");
  at("grips").addEventListener("focusin", (event) => choose(grippedBy(event).dataset.name));
  at("grips").addEventListener("focusout", () => store.settle());
  at("grips").addEventListener("keydown", (event) => {
    const one = handle(grippedBy(event)?.dataset.name);
    if (!one) return;
    const now = one.value ?? one.drawn;
    const [low, high] = room(one, event.shiftKey);
    const { step } = one;
    const next = Math.floor(now / step + 1) * step; // a value between two steps goes to the next
    const before = Math.ceil(now / step - 1) * step;
    const to = { ArrowDown: next, ArrowUp: before, ArrowRight: next, ArrowLeft: before, PageDown: next + 7 * step, PageUp: before - 7 * step, Home: low, End: high }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    one.drawn = one.value = move(one, to, event.shiftKey); // until the answer comes
    grips();
  });
  at("grips").addEventListener("pointerdown", (event) => {
    const grip = grippedBy(event);
    const one = handle(grip?.dataset.name);
    if (!one || event.button) return;
    event.preventDefault();
    grip.focus({ preventScroll: true });
    grip.setPointerCapture(event.pointerId);
    held = { name: one.name, from: [event.clientX, event.clientY], start: one.drawn, value: one.drawn, room: one.per_inch };
  });
  at("grips").addEventListener("pointermove", (event) => {
    const one = held && handle(held.name);
    if (!one) return;
    const scale = at("stage").getScreenCTM().a;
    const gone = one.axis === "x" ? event.clientX - held.from[0] : event.clientY - held.from[1];
    const wanted = held.start + (gone / scale / held.room) * 8;
    if (Math.abs(wanted - held.value) >= one.step / 2) move({ ...one, drawn: held.start }, wanted, event.shiftKey);
  });
  for (const kind of ["pointerup", "pointercancel"]) {
    at("grips").addEventListener(kind, () => {
      held = null;
      store.settle();
    });
  }

  // --- limits ------------------------------------------------------------------------------------

  function limits() {
    const one = handle(active) || board?.handles?.[0];
    if (!one) return;
    if (board.view === "section") at("bars").replaceChildren(...barsOf(one, (value) => place(one, value), Math.ceil(board.width), BARS));
    const list = document.createElement("ul");
    for (const reach of one.reaches) {
      const item = document.createElement("li");
      const because = [...new Set([reach.least, reach.most].filter((end) => end && !end.wood).map((end) => end.because))].join("; ");
      item.append(Object.assign(document.createElement("strong"), { textContent: `${reach.title}: ` }), [range(reach), because && `(${because})`, reach.words].filter(Boolean).join(" "));
      if (reach.least || reach.most) item.append(stripOf(one, reach, stops(one, reach)));
      list.append(item);
    }
    if (!one.reaches.length) list.append(Object.assign(document.createElement("li"), { textContent: "No limit of a rule set on it alone is worked out here." }));
    const title = Object.assign(document.createElement("h2"), { textContent: `How far it may go. ${one.label}` });
    at("reaches").replaceChildren(title, list);
  }

  function range({ least, most }) {
    if (least && most) return least.text === most.text ? `just ${least.text}` : `${least.text} to ${most.text}`;
    return most ? `at most ${most.text}` : least ? `at least ${least.text}` : "";
  }

  function steps() {
    at("steps-down").replaceChildren(...board.steps.flatMap((step) => {
      const name = Object.assign(document.createElement("dt"), { textContent: `${step.name[0].toUpperCase()}${step.name.slice(1)}` });
      const greatest = step.greatest.map((one) => `${one.title} ${one.words}`).join(", ");
      const said = Object.assign(document.createElement("dd"), { textContent: `${step.asked ?? "not known"} as drawn; greatest: ${greatest}` });
      return [name, said];
    }));
  }

  store.subscribe((_, what) => {
    if (what === "answer") show();
  });
}
