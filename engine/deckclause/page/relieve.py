"""What would make a failing design comply under one rule set, for the page."""

from __future__ import annotations

from deckclause.answers.relief.answer import ReliefAnswer
from deckclause.page.bench import Bench
from deckclause.page.typed import ToRelieve

MOST_OPTIONS = 8


def relief_view(bench: Bench, asked: ToRelieve) -> ReliefAnswer:
    """Return the answer the command prints. Raises InputError where a value cannot be read."""
    from deckclause.answers.relief.build import relief_answer

    return relief_answer(bench.relief(asked, asked.under), most_options=MOST_OPTIONS)
