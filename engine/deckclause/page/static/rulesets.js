// The rule sets a design is held against: editions, guides, places on a day.

const $ = (id) => document.getElementById(id);
let places = [];

export function title(name) {
  if (name.includes("@")) return name.replace("@", " on ");
  const match = /^(.*)-(\d+)$/.exec(name);
  return match ? `${match[1].toUpperCase().replace("AWC-DCA6", "AWC DCA 6")} ${match[2]}` : name;
}

export function offer(start) {
  for (const [where, names] of [["editions", start.editions], ["guides", start.guides]]) {
    for (const name of names) addBox($(where), name, start.begin_with.includes(name));
  }
  places = start.places;
  for (const place of places) $("place").append(new Option(place.name, place.name));
  $("day").value = new Date().toISOString().slice(0, 10);
  $("place").addEventListener("change", about);
  if (places.length) about();
  else $("places").hidden = true;
}

function addBox(where, name, checked) {
  const label = document.createElement("label");
  label.className = "check";
  const box = document.createElement("input");
  box.type = "checkbox";
  box.value = name;
  box.checked = checked;
  label.append(box, title(name));
  where.append(label);
  return box;
}

function about() {
  const place = places.find((p) => p.name === $("place").value);
  const spans = place.adoptions.map((a) => `${a.edition} from ${a.from}${a.until ? ` until ${a.until}` : ""}`);
  $("place-says").textContent = `${place.invented ? "Invented. " : ""}${place.says} ${spans.join("; ")}.`;
}

/** Add the place and day asked for; gives its box, or null where it is there already. */
export function addPlace() {
  const name = `${$("place").value}@${$("day").value}`;
  const there = [...$("against").querySelectorAll("input[type=checkbox]")].find((b) => b.value === name);
  if (there) {
    there.checked = true;
    return null;
  }
  return addBox($("chosen-places"), name, true);
}

export function chosen() {
  return [...$("against").querySelectorAll("input[type=checkbox]:checked")].map((box) => box.value);
}
