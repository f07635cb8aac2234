// Eighths of an inch as a carpenter writes them.

const PARTS = { 0: "", 1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8" };

/** Write a whole number of eighths: 17 is "2-1/8 in". */
export function inches(eighths) {
  const all = Math.abs(Math.round(eighths));
  const whole = Math.floor(all / 8);
  const part = PARTS[all % 8];
  const text = whole && part ? `${whole}-${part}` : part || String(whole);
  return `${eighths < 0 ? "-" : ""}${text} in`;
}
