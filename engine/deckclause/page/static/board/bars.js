// Each rule set's limit on what is taken hold of, as a labelled bar beside the section.

import { draw, element } from "./svg.js";

const TOP = 38;

/** The bars of one handle: the strictest solid, the others hatched, no range dashed and asked. */
export function barsOf(one, level, left, room) {
  const count = one.reaches.length;
  const pitch = Math.min(70, (room - 14) / Math.max(count, 1));
  const upright = count > 3;
  const caption = element("text", { x: left + room / 2, y: 16, "text-anchor": "middle", class: "end" }, `How far: ${one.member || one.label}`);
  return [caption, ...one.reaches.map((reach, index) => {
    const x = left + 12 + pitch * index;
    const middle = x + pitch / 2;
    const bar = draw("g", {});
    const [low, high] = [reach.least?.at ?? one.low, reach.most?.at ?? one.high];
    const known = reach.least || reach.most;
    const y1 = level(known ? low : one.low);
    const y2 = level(known ? high : one.high);
    const kind = !known ? "asked" : stops(one, reach) ? "strictest" : "other";
    bar.append(element("rect", { class: kind, x: middle - 8, y: y1, width: 16, height: Math.max(y2 - y1, 3) }));
    if (upright) {
      bar.append(element("text", { x: 0, y: 0, transform: `translate(${middle - 11} ${y1 + 4}) rotate(90)` }, reach.title));
    } else {
      lines(reach.title).forEach((text, row) => bar.append(element("text", { x: middle, y: TOP + 15 * row, "text-anchor": "middle" }, text)));
      bar.append(element("line", { x1: middle, y1: TOP + 34, x2: middle, y2: y1, class: "lead" }));
    }
    if (!known) bar.append(element("text", { x: middle, y: (y1 + y2) / 2, "text-anchor": "middle", class: "end" }, "?"));
    else if (reach.most) bar.append(element("text", { x: middle, y: y2 + 15, "text-anchor": "middle", class: "end" }, reach.most.text));
    return bar;
  })];
}

/** One rule set's limit lying down, where there is no room beside the section. */
export function stripOf(one, reach, strictest) {
  const wood = Math.max(one.high - one.low, 1);
  const at = (value) => 2 + (296 * (value - one.low)) / wood;
  const [low, high] = [reach.least?.at ?? one.low, reach.most?.at ?? one.high];
  return draw("svg", { class: "strip", viewBox: "0 0 300 22", preserveAspectRatio: "none", "aria-hidden": "true" },
    element("rect", { class: "wood", x: 1, y: 1, width: 298, height: 20 }),
    element("rect", { class: strictest ? "strictest" : "other", x: at(low), y: 4, width: Math.max(at(high) - at(low), 3), height: 14 }));
}

/** Whether a rule set is the one that stops a member, one way or the other. */
export function stops(one, reach) {
  const sets = (end) => Boolean(reach[end]) && reach[end].text === one.strictest[end]?.text;
  return sets("most") || (sets("least") && one.strictest.least.at > one.low);
}

/** A rule set's name on at most three short lines. */
function lines(title) {
  const words = title.split(" ");
  return words.length > 1 ? [words[0], words.slice(1).join(" ").slice(0, 11)] : [title.slice(0, 11)];
}
