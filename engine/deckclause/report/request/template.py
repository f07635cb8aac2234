"""Write a new request: what the engine knows as comments, every question of the form left open."""

from __future__ import annotations

import json
from collections.abc import Iterator

from deckclause.answers.request.new import Ask, NewItem, NewRequest
from deckclause.report.relief.choice import choice_lines
from deckclause.rulesets.relief import LocalSettings

WORKED_OUT = "#="
"""Comments that begin so are worked out by the engine; `request refresh` writes them anew."""
HOW_TO_WRITE = """\
# Write each answer after its colon. An answer with a # or a colon in it stands in quotation marks:
# what follows a bare # is a comment and is not printed. A long answer may take several lines:
#   summary: >-
#     First line of the answer,
#     and the next. Lines are joined; a # in here is printed."""
WITH_CHANGES = """\
# with_changes: the measures in which the deck asked for differs from the design file. The request
# is worked out, drawn and printed with them. Take a line out to keep the design file's own."""
CONDITIONS = """\
# conditions: what you offer beside, one an entry, in quotation marks: for instance inspection of the
# bolts and flashing before decking, photographs of every bolt, an engineer's letter, a placard with
# the load, hold-downs beyond the code. expires: when the relief ends if it is not used. office_log:
# the office's log of decisions, whose entries on the same clause are then cited."""
WHY_NOT = """\
# why_not: changes of the design that would avoid relief, least work first; say of each, after the
# colon, why it is not made. In sum and at length: alternatives_considered, in the items."""
EVIDENCE_HOW = """\
# evidence: ids of attachments, as [A1, A2]. Attachments, one line for each paper:
#   - {{id: A1, title: Section through the ledger, kind: drawing}}
#   - {{id: A2, title: The wall, kind: photo, file: wall.jpg, caption: "The band joist, from inside"}}
# kind is one of: {kinds}. A file (PNG, JPEG or PDF) is bound into the papers;
# the pages of a PDF stand behind the last page of the PDF paper."""


def request_template(new: NewRequest) -> str:
    """Return the YAML of a new request for one relief."""
    return "\n".join(_Template(new).lines()) + "\n"


class _Template:
    def __init__(self, new: NewRequest) -> None:
        self.new = new

    def lines(self) -> Iterator[str]:
        new = self.new
        yield f"# {new.kind.title}, decided by {new.kind.decided_by}."
        yield f"# Form: {new.form.title} ({new.form.published_as})."
        yield "# Fill in your own words. What is left empty stays visibly empty in the request."
        yield "# Figures, sections and precedents are worked out afresh when it is built."
        yield from HOW_TO_WRITE.splitlines()
        yield f"# Lines that begin with {WORKED_OUT} are worked out; request refresh writes them anew."
        yield from self.head()
        yield 'request: "1"'
        yield f"kind: {new.kind.name}"
        yield f"form: {new.form.name}"
        if new.local is not None:
            yield f"local: {_quoted(new.local.place)}"
            yield from _local_comments(new.local)
        yield f"under: {_quoted(new.under)}"
        yield f"design: {_quoted(new.design)}"
        yield f"design_digest: {new.design_digest}"
        yield f"rule_set_digest: {new.rule_set_digest}"
        yield "state: draft"
        yield from WITH_CHANGES.splitlines()
        yield "with_changes:" if new.with_changes else "with_changes: {}"
        yield from (f"  {name}: {text}" for name, text in new.with_changes)
        yield from _asked(new.whole, "")
        yield from self.ways_out()
        yield from CONDITIONS.splitlines()
        yield "conditions: []"
        yield "items:"
        for item in new.items:
            yield from self.item(item)
        yield from EVIDENCE_HOW.format(kinds=", ".join(new.attachment_kinds)).splitlines()
        yield "attachments: []"
        yield "declarations:"
        yield f'  owner_consent: "no"  # {new.consent}'
        yield f'  statement_of_truth: "no"  # {new.truth}'

    def head(self) -> Iterator[str]:
        """Say which relief is asked for and which others would do."""
        yield f"{WORKED_OUT} Asked for here is:"
        for line in choice_lines(self.new.choice):
            yield f"{WORKED_OUT}   {line}"
        if self.new.others:
            yield f"{WORKED_OUT} Others that would do (request new ... --relief N):"
        for other in self.new.others:
            for line in choice_lines(other):
                yield f"{WORKED_OUT}   {line}"
        yield from (f"{WORKED_OUT} {value}" for value in self.new.set_by_place)

    def item(self, item: NewItem) -> Iterator[str]:
        yield f"  {WORKED_OUT} {item.requires}"
        yield f"  {WORKED_OUT} {item.figures}"
        yield f"  - clause: {item.clause}"
        if item.part:
            yield f"    part: {_quoted(item.part)}"
        if not self.new.kind.needs_every_test:
            yield "    # ground: one of"
            yield from (f"    #   {t.key}: {t.asks}" for t in self.new.kind.tests)
        for line in _asked(self.new.in_items, "    "):
            is_list = line.startswith("    evidence:")
            yield f"    evidence: []  # {self.new.evidence}" if is_list else line

    def ways_out(self) -> Iterator[str]:
        """Ask of each change that would avoid relief why it is not made."""
        if not self.new.ways_out:
            return
        yield from WHY_NOT.splitlines()
        yield "why_not:"
        for number, way in enumerate(self.new.ways_out, 1):
            words = "; ".join(f"{c.says.rstrip('.')}, {c.before} -> {c.after}" for c in way.changes)
            yield f"  {WORKED_OUT} {number}. {words}."
            yield f"  {_quoted(way.key)}:"


def _asked(asks: tuple[Ask, ...], indent: str) -> Iterator[str]:
    """Yield each field open, with its hint; those of one group under its name."""
    group = ""
    for ask in asks:
        head, _, leaf = ask.name.partition(".")
        if leaf and head != group:
            group = head
            yield f"{indent}{head}:"
        yield f"{indent}  {leaf}:  # {ask.hint}" if leaf else f"{indent}{head}:  # {ask.hint}"


def _local_comments(local: LocalSettings) -> Iterator[str]:
    if local.says:
        yield f"# {local.place}: {_one_line(local.says)}"
    if local.hardship_accepted is False:
        yield f"# {local.place} does not accept hardship as a reason."
    for clock in local.clocks:
        yield f"# clock: {clock.event}: {clock.days} {clock.counted_in}"
    if local.fees:
        yield f"# fees: {_one_line(local.fees)}"


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
