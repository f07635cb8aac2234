// The few questions on a member, answered on the spot: the form's own fields, shown a second time.

import { change, copyOf, partOf } from "../form.js";

const $ = (id) => document.getElementById(id);

/** Put a member's questions in place; `asks` are quantities. */
export function ask(place, store, { member, title: named, asks }) {
  const title = Object.assign(document.createElement("h2"), { textContent: `Questions on the ${named}`, tabIndex: -1 });
  const close = Object.assign(document.createElement("button"), { type: "button", textContent: "Close", className: "link" });
  close.addEventListener("click", () => place.replaceChildren());
  const fields = asks.flatMap((name) => again(store, name, member));
  const none = Object.assign(document.createElement("p"), { textContent: "Its questions stand in the form: none of these parts is stated yet." });
  place.replaceChildren(title, ...alike(store, member), ...(fields.length ? fields : [none]), close);
  title.focus();
}

/** The field or fields of a quantity, as they stand in the form. */
function again(store, name, member) {
  const own = $(name) ? [$(name)] : fieldsOfParts(name, member);
  return own.map((field) => {
    const { home, input } = copyOf(field, `board-${field.id}`, partOf(field));
    input.value = field.value;
    input.addEventListener("input", () => change(field.id, input.value, input));
    input.addEventListener("focusout", () => store.settle());
    return home;
  });
}

/** The fields of one quantity in every part of its group, or in the part a member is. */
function fieldsOfParts(name, member) {
  const [group, key] = name.split(".");
  const parts = [...document.querySelectorAll(`[data-group="${group}"] .part`)];
  const [, own, index] = /^(\w+)\[(\d+)\]$/.exec(member) || [];
  const meant = own === group ? parts.slice(Number(index), Number(index) + 1) : parts;
  return meant.map((part) => part.querySelector(`.field[data-key="${key}"] [data-field]`)).filter(Boolean);
}

/** Offer the joists what the ledger is of, where that is stated and theirs is another or open. */
function alike(store, member) {
  const parts = store.get("joists");
  if (!member.startsWith("joists") || !Array.isArray(parts) || !parts.length) return [];
  const found = ["size", "species", "grade"].filter((key) => {
    const own = store.get(`ledger.${key}`);
    return own && $(`ledger.${key}`).value === own && parts.some((part) => part.facts[key] !== own);
  });
  if (!found.length) return [];
  const told = found.map((key) => $(`ledger.${key}`).selectedOptions[0].textContent).join(", ");
  const button = Object.assign(document.createElement("button"), { type: "button", textContent: `Same as the ledger: ${told}` });
  button.addEventListener("click", () => {
    const changes = parts.flatMap((_, index) => found.map((key) => [`joists[${index}].${key}`, store.get(`ledger.${key}`)]));
    store.edit(Object.fromEntries(changes), { label: "Joists: as the ledger" });
    for (const [name, value] of changes) {
      const shown = $(`board-${name}`);
      if (shown) shown.value = value;
    }
    button.remove();
  });
  return [button];
}
