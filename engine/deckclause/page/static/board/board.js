// The drawing board: the section under one of the rule sets, beside the cards.

const MARKUP = `
  <p class="inline"><label for="drawn-under">Drawn under</label> <select id="drawn-under"></select></p>
  <figure><div class="scroll sheet" role="region" tabindex="0" aria-label="The section" id="section-region"></div>
  <figcaption id="section-words"></figcaption></figure>`;

export function mount(element, store) {
  element.innerHTML = MARKUP; // our own words, no text of a design
  const select = element.querySelector("#drawn-under");
  const sheet = element.querySelector("#section-region");
  let drawn = "";
  select.addEventListener("change", () => store.want({ drawn: select.value }));
  store.subscribe((_, what) => {
    if (what !== "answer") return;
    const { section, cards } = store.answer;
    if (!section) return;
    select.replaceChildren(...cards.map((card) => new Option(card.title, card.name)));
    select.value = section.rule_set;
    if (section.svg !== drawn) sheet.innerHTML = drawn = section.svg; // written by our own server
    sheet.hidden = !section.svg;
    element.querySelector("#section-words").textContent = section.words;
  });
}
