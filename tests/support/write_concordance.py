"""The concordance page: topic by edition, where each says it. Written by support/regenerate.py."""

from __future__ import annotations

from pathlib import Path

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.names import rule_set_title

PAGE = Path(__file__).resolve().parents[2] / "docs" / "concordance.md"
HEAD = """# Concordance

Where each edition speaks of a topic, from the rule files; `*` marks clauses from memory, unverified. A dash: the rule set has no clause. `deckclause rules concordance TOPIC` adds the figures. Written by `python tests/support/regenerate.py`.
"""


def concordance() -> str:
    """Return the page's text."""
    catalogue = Catalogue.open()
    vocabulary = catalogue.vocabulary
    editions = [n for n in catalogue.files.rulesets if n.startswith("irc-")]
    sets = [catalogue.ruleset(name) for name in editions]
    lines = [HEAD]
    for part, title in vocabulary.parts.items():
        topics = [t for t in vocabulary.topics.values() if t.part == part]
        rows = []
        for topic in topics:
            cells = []
            for ruleset in sets:
                clauses = ruleset.topic_clauses(topic.name)
                cites = dict.fromkeys(
                    c.cites + (r"\*" if c.standing == "memory" else "") for c in clauses
                )
                cells.append("; ".join(cites) or "-")
            if set(cells) != {"-"}:
                rows.append(f"| {topic.title} | {' | '.join(cells)} |")
        if rows:
            heads = " | ".join(rule_set_title(n) for n in editions)
            lines += [
                f"## {title}\n",
                f"| topic | {heads} |",
                "|---" * (len(sets) + 1) + "|",
                *rows,
                "",
            ]
    return "\n".join(lines)
