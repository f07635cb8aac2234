// The form: filled from a design, read back as typed, faults shown beside their fields.

const form = document.getElementById("form");
const wide = matchMedia("(min-width: 62rem)");
const $ = (id) => document.getElementById(id);

/** Every field outside the repeated parts, by quantity. */
const single = () => [...form.querySelectorAll("[data-field]")].filter((e) => !e.closest(".part"));

export function fill(typed) {
  for (const part of form.querySelectorAll(".part")) part.remove();
  $("name").value = typed.name;
  $("says").value = typed.says;
  for (const field of single()) put(field, typed.facts[field.dataset.field] || "");
  for (const group of form.querySelectorAll("[data-many]")) {
    const parts = typed.parts[group.dataset.group];
    group.querySelector(".none").checked = Boolean(parts) && parts.length === 0;
    for (const part of parts || []) addPart(group, part);
  }
  for (const group of form.querySelectorAll(".group")) {
    group.open = wide.matches && count(group) > 0 && "ledger" in group.dataset;
  }
  counts();
}

/** Show a value; a choice that is none stays visible, so that its fault can be seen. */
function put(field, text) {
  if (field.tagName === "SELECT") {
    for (const odd of field.querySelectorAll(".odd")) odd.remove();
    if (text && ![...field.options].some((o) => o.value === text)) {
      const odd = new Option(text, text);
      odd.className = "odd";
      field.append(odd);
    }
  }
  field.value = text;
}

export function addPart(group, typed = { name: "", origin: null, facts: {} }) {
  const name = group.dataset.group;
  const made = $(`part-${name}`).content.cloneNode(true);
  const part = made.querySelector(".part");
  part.dataset.origin = typed.origin ?? "";
  group.querySelector(".parts").append(made);
  group.querySelector(".none").checked = false;
  number(group);
  part.querySelector("[data-part-name]").value = typed.name;
  for (const field of part.querySelectorAll("[data-field]")) {
    put(field, typed.facts[field.closest("[data-key]").dataset.key] || "");
  }
  return part;
}

export function removePart(part) {
  const group = part.closest(".group");
  const next = part.nextElementSibling || part.previousElementSibling;
  part.remove();
  number(group);
  (next?.querySelector("input") || group.querySelector(".add-part")).focus();
}

/** Give the fields of each part the ids of its place. */
function number(group) {
  const name = group.dataset.group;
  [...group.querySelectorAll(".part")].forEach((part, index) => {
    const here = `${name}[${index}]`;
    const before = part.dataset.here || "__part__";
    for (const attribute of ["id", "for", "aria-describedby"]) {
      for (const element of part.querySelectorAll(`[${attribute}]`)) {
        const old = element.getAttribute(attribute);
        element.setAttribute(attribute, old.split(" ").map((w) => (w.startsWith(`${before}.`) ? here + w.slice(before.length) : w)).join(" "));
      }
    }
    part.dataset.here = here;
    for (const shown of part.querySelectorAll(".number")) shown.textContent = `number ${index + 1}`;
  });
}

export function read() {
  const facts = {};
  for (const field of single()) if (field.value.trim()) facts[field.dataset.field] = field.value;
  const parts = {};
  for (const group of form.querySelectorAll("[data-many]")) {
    const found = [...group.querySelectorAll(".part")].map(readPart);
    if (found.length || group.querySelector(".none").checked) parts[group.dataset.group] = found;
  }
  return { name: $("name").value, says: $("says").value, facts, parts };
}

function readPart(part) {
  const facts = {};
  for (const field of part.querySelectorAll("[data-field]")) {
    if (field.value.trim()) facts[field.closest("[data-key]").dataset.key] = field.value;
  }
  const origin = part.dataset.origin;
  return { name: part.querySelector("[data-part-name]").value, origin: origin === "" ? null : Number(origin), facts };
}

/** Show what is wrong beside each field, and how a measure was read where it was typed otherwise. */
export function tell(faults, readings) {
  const by = new Map(faults.map((fault) => [fault.field, fault.message]));
  for (const field of form.querySelectorAll("[data-field], [data-head]")) {
    const message = by.get(field.id) || "";
    say($(`${field.id}-fault`), message);
    if (message) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
    const reading = $(`${field.id}-reading`);
    if (reading) say(reading, readings[field.id] ? `read as ${readings[field.id]}` : "");
  }
  for (const part of form.querySelectorAll(".part")) {
    say(part.querySelector(".part-fault"), by.get(part.dataset.here) || "");
  }
  for (const group of form.querySelectorAll("[data-many]")) {
    say($(`fault-${group.dataset.group}`), by.get(group.dataset.group) || "");
  }
}

function say(place, message) {
  if (!place) return;
  place.textContent = message;
  place.hidden = !message;
}

function count(group) {
  return [...group.querySelectorAll("[data-field]")].filter((f) => f.value.trim()).length;
}

/** Say in each part's heading how much of it is known. */
export function counts() {
  for (const group of form.querySelectorAll(".group")) {
    const all = group.querySelectorAll("[data-field]").length;
    const parts = group.querySelectorAll(".part").length;
    let words = all ? `${count(group)} of ${all} known` : "not stated";
    if ("many" in group.dataset) {
      if (parts) words = `${parts} stated, ${words}`;
      else words = group.querySelector(".none").checked ? "stated: none" : "not stated";
    }
    group.querySelector(".count").textContent = words;
  }
}

/** The field of a quantity: an empty one first; for one that follows from others, the like question. */
function fieldOf(group, name, question) {
  const fields = [...group.querySelectorAll("[data-field]")];
  const own = fields.filter((f) => f.dataset.field === name);
  const like = fields.filter((f) => f.labels[0]?.textContent === question);
  const found = own.length ? own : like;
  return found.find((f) => !f.value) || found[0] || fields.find((f) => !f.value) || group.querySelector(".add-part");
}

/** Bring a field into view and put the cursor in it. */
export function goTo(name, question) {
  let field = $(name);
  if (!field) {
    const group = form.querySelector(`[data-group="${CSS.escape(name.split(/[.[]/)[0])}"]`);
    if (!group) return;
    field = fieldOf(group, name, question);
  }
  const group = field.closest("details");
  if (group) group.open = true;
  field.scrollIntoView({ block: "center" });
  field.focus({ preventScroll: true });
}
