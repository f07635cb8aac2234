"""A rules folder of a few lines, written where a test wants it."""

from __future__ import annotations

from pathlib import Path

from deckclause.rulesets.library import RuleLibrary

QUANTITIES = """
groups:
  site: {title: The site}
  bolts: {title: Bolts}
  joists: {title: Joists}
quantities:
  site.frost_depth: {kind: length, fixed_by_place: true, says: Frost line., ask: "How deep is the frost line?"}
  site.elevation: {kind: length, says: Height., ask: "How high is the site?"}
  bolts.spacing: {kind: length, says: Spacing., ask: "How far apart are the bolts?"}
  bolts.kind: {kind: choice, choices: [lag, bolt], says: Kind., ask: "What kind are the bolts?"}
  joists.span: {kind: length, says: Span., ask: "How far do the joists span?"}
  joists.live_load: {kind: load, provided: true, says: Load., ask: "What load?"}
datums: {}
"""
TOPICS = """
parts: {bolts: Bolts}
topics:
  bolt_spacing: {title: Bolt spacing, part: bolts, unit: in, question: "How far apart?"}
  bolt_kind: {title: Bolt kind, part: bolts, question: "Which kind?"}
  frost: {title: Frost, part: bolts, unit: in, question: "How deep?"}
  load: {title: Load, part: bolts, unit: psf, question: "How much?"}
"""
SOURCES = """
sources:
  invented: {title: Invented for demonstration, kind: other}
"""
EDITION = """
ruleset: code-2018
kind: edition
title: A small code
in_force: {published: 2018}
tables:
  spacing:
    title: Bolt spacing
    cites: Table 1
    by: [bolts.kind, joists.span]
    between: {joists.span: next_larger}
    columns: [6 ft, 12 ft]
    cells:
      lag: [30 in, 15 in]
      bolt: [36 in, 29 in]
    standing: confirmed
    sources: [invented]
clauses:
  - key: bolt_spacing
    topic: bolt_spacing
    cites: "5.1"
    says: Bolts stand no farther apart than the table gives.
    limit: bolts.spacing
    at_most: {table: spacing}
    note: Seen in a handbook.
    standing: confirmed
    sources: [invented]
  - key: bolt_kind
    topic: bolt_kind
    cites: "5.2"
    says: Lags or bolts.
    limit: bolts.kind
    one_of: [lag, bolt]
    standing: confirmed
    sources: [invented]
  - key: frost
    topic: frost
    cites: "5.3"
    says: The frost line is at most 40 in deep here.
    limit: site.frost_depth
    at_most: 40 in
    unless:
      - {when: {bolts.kind: lag}, says: Lags go deeper., at_most: 50 in}
    standing: confirmed
    sources: [invented]
  - key: load
    topic: load
    cites: "5.4"
    says: Decks carry 40 psf.
    provides: joists.live_load
    value: 40 psf
    standing: confirmed
    sources: [invented]
"""
HEAD = """
amendment: {name}
kind: amendment
title: An amendment
place: {place}
edition: {edition}
ordinance: Ordinance 7
adopted: 2019-05-01
sources: [invented]
changes:
"""


def open_rules(root: Path, register: str = "", **amendments: str) -> RuleLibrary:
    """Write the small rules folder with a register and amendments (changes by name), and open it."""
    (root / "editions").mkdir(parents=True, exist_ok=True)
    (root / "amendments").mkdir(exist_ok=True)
    for name, text in (("quantities", QUANTITIES), ("topics", TOPICS), ("sources", SOURCES)):
        (root / f"{name}.yaml").write_text(text)
    if not (root / "editions" / "code-2018.yaml").exists():
        (root / "editions" / "code-2018.yaml").write_text(EDITION)
        (root / "editions" / "code-2021.yaml").write_text(EDITION.replace("code-2018", "code-2021"))
    if register:
        (root / "register.yaml").write_text(register)
    for name, changes in amendments.items():
        head = HEAD.format(name=name, place="Aldmere", edition="code-2018")
        (root / "amendments" / f"{name}.yaml").write_text(head + changes)
    return RuleLibrary.open(root)


def one_place(*amendments: str) -> str:
    """Return a register of one place, Aldmere, that adopted the small code in 2019."""
    names = ", ".join(amendments)
    adoption = f"{{edition: code-2018, amendments: [{names}], from: 2019-06-01}}"
    return f"places:\n  Aldmere: {{invented: true, adoptions: [{adoption}]}}\n"
