"""A million clause results on random clauses, by name: reader, printed functions, columns.

`RULE_SETS=500 pytest tests/benchmarks/test_million_clauses.py -n 0` for fewer.
"""

from __future__ import annotations

import os

from hypothesis import Phase

from deckclause.evaluate.catalogue import Catalogue
from reading.test_random_clauses import agreement

RULE_SETS = int(os.environ.get("RULE_SETS", "40000"))
"""Each is read on six designs and has about four clauses: a million results."""


def test_a_million_results_agree() -> None:
    phases = (Phase.generate, Phase.shrink)
    seen = agreement(Catalogue.open().vocabulary, RULE_SETS, phases=phases)
    assert sum(seen.values()) > RULE_SETS * 10
