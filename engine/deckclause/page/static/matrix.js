// Every topic under every rule set: shown where it is asked for, searched and filtered by its reader.

const $ = (id) => document.getElementById(id);
const shown = new Map(); // each row as it came
let heads = "";
let parts = "";

export function show(matrix) {
  if (!matrix) return;
  const now = JSON.stringify(matrix.heads);
  if (now !== heads) {
    heads = now;
    shown.clear();
    const row = document.createElement("tr");
    row.append(heading("Topic", "col"), ...matrix.heads.map(([name, title]) => Object.assign(heading(title, "col"), { title: name })));
    $("matrix").tHead.replaceChildren(row);
    $("matrix").tBodies[0].replaceChildren();
  }
  offerParts(matrix.parts);
  rows(matrix.rows, matrix.heads.length);
  filter();
}

function heading(words, scope) {
  return Object.assign(document.createElement("th"), { textContent: words, scope });
}

function offerParts(given) {
  const now = JSON.stringify(given);
  if (now === parts) return;
  parts = now;
  const kept = $("of-part").value;
  $("of-part").replaceChildren(new Option("all", ""), ...given.map(([name, title]) => new Option(title, name)));
  if (given.some(([name]) => name === kept)) $("of-part").value = kept;
}

function rows(given, columns) {
  const body = $("matrix").tBodies[0];
  const there = new Map([...body.rows].map((row) => [row.dataset.topic || row.dataset.part, row]));
  const wanted = [];
  let part = "";
  for (const row of given) {
    if (row.part !== part) {
      part = row.part;
      wanted.push(there.get(`part-${part}`) || partRow(part, given, columns));
    }
    const place = there.get(row.topic) || Object.assign(document.createElement("tr"), {});
    place.dataset.topic = row.topic;
    Object.assign(place.dataset, { of: row.part, statuses: row.statuses, title: row.title.toLowerCase(), differs: row.differs });
    if (shown.get(row.topic) !== row.html) {
      const focus = place.contains(document.activeElement) ? [...place.querySelectorAll("button")].indexOf(document.activeElement) : -1;
      place.innerHTML = row.html; // written by our own server, every text in it escaped
      if (focus >= 0) place.querySelectorAll("button")[focus]?.focus();
      shown.set(row.topic, row.html);
    }
    wanted.push(place);
  }
  const same = wanted.length === body.rows.length && wanted.every((row, index) => body.rows[index] === row);
  if (!same) body.replaceChildren(...wanted);
}

function partRow(part, given, columns) {
  const row = document.createElement("tr");
  row.className = "part-row";
  row.dataset.part = `part-${part}`;
  const cell = heading($("of-part").querySelector(`option[value="${CSS.escape(part)}"]`)?.textContent || part, "colgroup");
  cell.colSpan = columns + 1;
  row.append(cell);
  return row;
}

/** Hide the rows that were not asked for, and say how many are left. */
export function filter() {
  const words = $("find").value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  const part = $("of-part").value;
  const status = $("of-status").value;
  const differing = $("only-differing").checked;
  let count = 0;
  let all = 0;
  let head = null;
  for (const row of $("matrix").tBodies[0].rows) {
    if (row.dataset.part) {
      head = row;
      head.hidden = true;
      continue;
    }
    const { title, of, statuses, differs } = row.dataset;
    const wanted = words.every((word) => title.includes(word)) && (!part || of === part)
      && (!status || statuses.split(" ").includes(status)) && (!differing || differs === "true");
    row.hidden = !wanted;
    all += 1;
    count += wanted;
    if (wanted && head) head.hidden = false;
  }
  const told = `${count} of ${all} topics.`;
  if ($("found").textContent !== told) $("found").textContent = told;
}

export function begin() {
  for (const id of ["find", "of-part", "of-status", "only-differing"]) $(id).addEventListener("input", filter);
}
