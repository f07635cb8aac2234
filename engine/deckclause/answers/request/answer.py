"""What a request's papers say, part by part, before any of it is laid out."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.elevations import ElevationsAnswer
from deckclause.answers.sections import SectionsAnswer
from deckclause.answers.sheet import PaperSheet
from deckclause.engineering.ledger_joint.joint import CalculationSheet


class Answered(Struct, frozen=True):
    """One field with the applicant's words, empty where none were written.

    `where` names the place that prints the words already (a paragraph of the letter, a part): they
    are not said again. `mark` is the number of the letter's own paragraph. `instead` is said in
    place of words nobody needs; an empty field with neither is shown as not written.
    """

    field: str
    title: str
    asks: str
    words: str = ""
    where: str = ""
    mark: str = ""
    instead: str = ""


class AskedItem(Struct, frozen=True):
    """One provision from which relief is asked; lengths and loads as text, worked out afresh.

    `short` is how much the value misses its limit by. `asked` is the letter's sentence, `allowed`
    the proposed decision's. `steps`, `context` and `basis` are the finding's working and the
    engineering beside it.
    """

    number: int
    heading: str
    section: str
    requirement: str
    required: str
    value: str
    short: str
    standing: str
    asked: str
    allowed: str
    steps: tuple[str, ...]
    basis: str
    context: tuple[str, ...]
    cautions: tuple[str, ...]


class ItemAnswers(Struct, frozen=True):
    """The answers of one item in one part; no heading where there is but one item."""

    heading: str
    answers: tuple[Answered, ...]


class Part(Struct, frozen=True):
    """One part of the form: what the applicant answered, and which computed blocks stand in it.

    Number 0 is what no part of the form asks for and was written, or is wanted, all the same.
    """

    number: int
    title: str
    asks: str
    whole: tuple[Answered, ...]
    in_items: tuple[ItemAnswers, ...]
    attachments: bool
    computed: tuple[str, ...]


class LegalTests(Struct, frozen=True):
    """The tests of the kind of relief, each with its answer; `says` tells how many must be met."""

    says: str
    items: tuple[ItemAnswers, ...]


class Letter(Struct, frozen=True):
    """The letter that decides: who asks what of whom, why, and what is offered.

    `follows` says which whole published rule the deck follows as asked for; nothing where none.
    `said` are headings with the applicant's numbered paragraphs under each. `decisions` are the
    office's own on the same clauses, of whatever figures: no rules, and no permits of what is asked.
    """

    head: tuple[Answered, ...]
    asked: tuple[str, ...]
    set_so: str
    summary: Answered | None
    said: tuple[tuple[str, tuple[Answered, ...]], ...]
    engineering: tuple[str, ...]
    follows: str
    permits: tuple[str, ...]
    decisions: tuple[str, ...]
    conditions: tuple[str, ...]
    allowed: tuple[str, ...]
    ends: str


class Permit(Struct, frozen=True):
    """A published rule that permits what is asked: its limit, standing, and numbers of its sources."""

    title: str
    published: str
    section: str
    limit: str
    standing: str
    sources: tuple[str, ...]


class ItemPermits(Struct, frozen=True):
    """Who permits one item; `none` says what the others make of it where nobody does."""

    heading: str
    permits: tuple[Permit, ...]
    none: str
    silent: str


class Alternative(Struct, frozen=True):
    """A change of the design that would avoid relief, judged, with the applicant's word on it."""

    number: int
    change: str
    judged: str
    step_down: str
    why_not: str


class SourceRow(Struct, frozen=True):
    """A source by its number on the list."""

    number: str
    title: str
    publisher: str
    seen: str
    reach: str
    used_as: str


class Paper(Struct, frozen=True):
    """An attachment: what it is, the items it bears out, and what its file holds where one is bound in.

    `pages` of a PDF, 0 for a picture; `file` as the request names it.
    """

    id: str
    title: str
    kind: str
    items: str
    media: str = ""
    content: bytes = b""
    caption: str = ""
    pages: int = 0
    file: str = ""


class RequestAnswer(Struct, frozen=True):
    """A request with everything decided.

    `complete` tells that nothing is missing: such a paper carries no note to its drafter. `draft`
    is the state of the file. `papered` are the sections' sheets, one each; `hands` who drew
    and checked all of them, and when.
    `calculation` is None where nothing asked is on a sheet; `no_calculation` says why one on it
    could not be worked out. `notes` and `empty` are for the drafter alone.
    """

    title: str
    subtitle: str
    decided_by: str
    draft: bool
    complete: bool
    author: str
    place: str
    date: str
    head: tuple[str, ...]
    code: tuple[tuple[str, str], ...]
    place_values: tuple[str, ...]
    design: tuple[tuple[str, str], ...]
    items: tuple[AskedItem, ...]
    letter: Letter
    parts: tuple[Part, ...]
    tests: LegalTests
    papers: tuple[Paper, ...]
    clocks: tuple[tuple[str, str], ...]
    alternatives: tuple[Alternative, ...]
    permits: tuple[ItemPermits, ...]
    sources: tuple[SourceRow, ...]
    stated: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    sections: SectionsAnswer
    papered: tuple[PaperSheet, ...]
    hands: PaperSheet
    elevations: ElevationsAnswer
    calculation: CalculationSheet | None
    no_calculation: str
    sums: tuple[str, ...]
    cautions: tuple[str, ...]
    receipt: tuple[tuple[str, str, str], ...]
    form: str
    notes: tuple[str, ...]
    empty: tuple[str, ...]
