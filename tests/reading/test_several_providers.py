"""Several clauses that may give one quantity: what comes of it never rests on their order."""

from __future__ import annotations

from fractions import Fraction
from itertools import chain, permutations
from pathlib import Path

import pytest

from deckclause.designs.design import Design
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import STATUS_WORDS
from reading.held_together import hold
from support.small_rules import small_rules

TAIL = "standing: memory, sources: [memory]}\n"
GIVES = "provides: loads.framing_table_snow"
CLAUSES = {
    "past": f"  - {{key: past, topic: t, cites: '1', says: A., scope: {{site.ground_snow_load: "
    f"{{at_most: 70 psf}}}}, scope_says: snow to 70 psf, {GIVES}, value: 50 psf, {TAIL}",
    "open": f"  - {{key: open, topic: t, cites: '2', says: B., applies: {{loads.deck_live_load: "
    f"{{more_than: 40 psf}}}}, {GIVES}, value: 70 psf, {TAIL}",
    "later": f"  - {{key: later, topic: t, cites: '3', says: C., applies: {{loads.deck_dead_load: "
    f"{{more_than: 20 psf}}}}, {GIVES}, value: 60 psf, {TAIL}",
}
READS = (
    "  - {key: reads, topic: t, cites: '4', says: D., limit: loads.stair_live_load, at_least: "
    "{reads: loads.framing_table_snow}, " + TAIL
)


def _psf(**loads: int) -> dict[str, Fraction]:
    return {name.replace("__", "."): Fraction(value, 144) for name, value in loads.items()}


STAIR = _psf(loads__stair_live_load=65)


@pytest.mark.parametrize("order", list(permutations(CLAUSES)), ids="-".join)
def test_what_one_clause_lacks_keeps_a_quantity_open_whichever_is_read_first(
    tmp_path: Path, order: tuple[str, ...]
) -> None:
    body = "\n" + "".join(CLAUSES[key] for key in order) + READS
    catalogue = small_rules(tmp_path, body)
    evaluator = catalogue.evaluator("small")
    cases = {
        "information missing": [
            {**STAIR, **_psf(site__ground_snow_load=80)},
            STAIR,
            {**STAIR, **_psf(site__ground_snow_load=80, loads__deck_live_load=40)},
        ],
        "engineering required": [
            {
                **STAIR,
                **_psf(
                    site__ground_snow_load=80, loads__deck_live_load=40, loads__deck_dead_load=9
                ),
            },
        ],
        "complies": [{**STAIR, **_psf(site__ground_snow_load=60)}],
        "does not comply": [{**STAIR, **_psf(site__ground_snow_load=80, loads__deck_live_load=50)}],
    }
    for words, designs in cases.items():
        for facts in designs:
            design = catalogue.prepare(Design("d", "", facts, {}, "d", "d"))
            findings = evaluate(design, evaluator, catalogue.vocabulary).findings
            found = next(f for f in findings if f.key == "reads")
            assert STATUS_WORDS[found.status] == words, (order, facts)
    stated = [Design("d", "", facts, {}, "d", "d") for facts in chain(*cases.values())]
    hold(catalogue.ruleset("small"), stated, catalogue.vocabulary)


def test_what_each_clause_lacks_is_asked_for(tmp_path: Path) -> None:
    body = "\n" + CLAUSES["later"] + CLAUSES["open"] + READS
    catalogue = small_rules(tmp_path, body)
    design = catalogue.prepare(Design("d", "", STAIR, {}, "d", "d"))
    findings = evaluate(design, catalogue.evaluator("small"), catalogue.vocabulary).findings
    missing = next(f for f in findings if f.key == "reads").missing
    assert set(missing) == {"loads.deck_live_load", "loads.deck_dead_load"}
