// Requests to this page's own server, each with the key of this run.

const PLACE = "deckclause-key";

/** Take the key out of the address, so that it is neither shown nor kept in the history. */
function takeKey() {
  const given = new URLSearchParams(location.hash.slice(1)).get("key");
  if (given) {
    sessionStorage.setItem(PLACE, given);
    history.replaceState(null, "", location.pathname);
  }
  return sessionStorage.getItem(PLACE) || "";
}

let key = takeKey();
const waiting = [];

/** Hear of a new key: the address of a page started again, pasted into this tab. */
export function onNewKey(listener) {
  waiting.push(listener);
}

addEventListener("hashchange", () => {
  const before = key;
  key = takeKey();
  if (key !== before) for (const listener of waiting) listener();
});

/** Send a request; `keepalive` lets it outlive the page. Gives {ok, status, data} for JSON, {ok, status, text} or {ok, status, blob}. */
export async function ask(name, body, as = "json", { signal, keepalive } = {}) {
  try {
    const response = await fetch(`/api/${name}`, {
      method: "POST",
      headers: { "content-type": "application/json", "x-deckclause-key": key },
      body: JSON.stringify(body),
      signal,
      keepalive,
    });
    takeGiven(response.headers.get("x-deckclause-key"));
    return await taken(response, as);
  } catch (fault) {
    if (fault.name === "AbortError") return { ok: false, status: -1, data: { refused: "Given up." } };
    return { ok: false, status: 0, data: { refused: "The page's server no longer answers. Start it again." } };
  }
}

/** The word a browser was started with serves once; the answer to it brings the key itself. */
function takeGiven(given) {
  if (!given) return;
  key = given;
  sessionStorage.setItem(PLACE, given);
}

async function taken(response, as) {
  const { ok, status } = response;
  const json = (response.headers.get("content-type") || "").startsWith("application/json");
  if (ok && as === "text") return { ok, status, text: await response.text() };
  if (ok && as === "blob") {
    return { ok, status, blob: await response.blob(), name: response.headers.get("x-file-name") };
  }
  return { ok, status, data: json ? await response.json() : { refused: `the server answered ${status}` } };
}

/** Say what an answer complains of, in lines. */
export function complaints(answer) {
  const data = answer.data || {};
  if (data.problems) return data.problems;
  return [data.refused || `the server answered ${answer.status}`];
}
