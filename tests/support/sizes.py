"""How many random cases a check takes: some thousands in every run, all of them when asked by name.

`DECKCLAUSE_WHOLE=1 pytest tests/evaluate/test_against_oracle.py` takes all.
"""

from __future__ import annotations

import os


def cases(every_run: int, by_name: int) -> int:
    """Return how many cases to take: the larger number where DECKCLAUSE_WHOLE is set."""
    return by_name if os.environ.get("DECKCLAUSE_WHOLE") else every_run
