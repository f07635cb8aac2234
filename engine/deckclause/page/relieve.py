"""What would make a failing design comply under one rule set, for the page."""

from __future__ import annotations

from typing import Any

from deckclause.page.bench import Bench
from deckclause.page.typed import ToRelieve

MOST_OPTIONS = 8


def relief_view(bench: Bench, asked: ToRelieve) -> dict[str, Any]:
    """Return the relief report as plain data. Raises InputError where a value cannot be read."""
    from deckclause.report.relief.data import relief_data

    return relief_data(bench.relief(asked, asked.under), most_options=MOST_OPTIONS)
