"""A rules folder of one small rule set, for tests of one mechanism at a time."""

from __future__ import annotations

import shutil
from pathlib import Path

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.files import default_root

HEAD = """ruleset: small
kind: edition
title: A small rule set
in_force: {published: 2020}
"""


def small_rules(folder: Path, clauses: str, tables: str = "") -> Catalogue:
    """Write a rule set `small` with the shipped vocabulary and one topic `t`; open it."""
    shipped = default_root()
    for name in ("quantities.yaml", "sources.yaml"):
        shutil.copy(shipped / name, folder / name)
    (folder / "topics.yaml").write_text(
        "parts: {p: Part}\ntopics:\n  t: {title: Topic, part: p, question: What}\n"
    )
    (folder / "editions").mkdir()
    body = HEAD + (f"tables:{tables}" if tables else "") + f"clauses:{clauses}"
    (folder / "editions" / "small.yaml").write_text(body)
    return Catalogue.open(folder, cached=False)
