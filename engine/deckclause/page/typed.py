"""A design as it was typed into the form, and what a browser may ask with it."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

MAX_TEXT = 400
MAX_WORDS = 4000
MAX_PARTS = 200
MAX_ANSWER = 8000
MAX_ITEMS = 60
MOST_RULE_SETS = 8


def plain_text(text: str) -> str:
    """Return text without what cannot be printed; lines stay lines."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(c if c.isprintable() or c == "\n" else " " for c in text).strip()


def one_line(text: str) -> str:
    """Return text on one line, without what cannot be printed.

    >>> one_line(" 2x10\\n")
    '2x10'
    """
    return plain_text(text).replace("\n", " ")


Line = Annotated[str, Field(max_length=MAX_TEXT), AfterValidator(one_line)]
Words = Annotated[str, Field(max_length=MAX_WORDS), AfterValidator(plain_text)]
Answer = Annotated[str, Field(max_length=MAX_ANSWER), AfterValidator(plain_text)]
Name = Annotated[str, Field(max_length=80)]
Facts = Annotated[dict[Name, Line], Field(max_length=400)]


class Asked(BaseModel):
    """Shared settings: nothing beyond what is named here."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class TypedPart(Asked):
    """One of several like parts; `origin` is its place in the file opened, None for a new one."""

    name: Line = ""
    origin: int | None = Field(default=None, ge=0, lt=MAX_PARTS)
    facts: Facts = Field(default_factory=dict)


class TypedDesign(Asked):
    """What stands in the form. `facts` by quantity; `parts` by group, an empty list for none."""

    name: Line = ""
    says: Words = ""
    facts: Facts = Field(default_factory=dict)
    parts: dict[Name, Annotated[list[TypedPart], Field(max_length=MAX_PARTS)]] = Field(
        default_factory=dict, max_length=60
    )


RuleSets = Annotated[list[Line], Field(min_length=1, max_length=MOST_RULE_SETS)]


class ToOpen(Asked):
    """A design to open: from the folder, from the examples, or the text of a file dropped in.

    A design of the folder opens as it was last worked on, unless `as_saved`.
    """

    source: str = Field(pattern="^(folder|example|text|new)$")
    as_saved: bool = False
    name: Line = ""
    text: str = Field(default="", max_length=1_000_000)


class ToEvaluate(Asked):
    """A design and the rule sets to hold it against.

    `matrix` asks for every topic beside the cards, `why` for what drives each change, `section`
    for the board's drawing, `view` for which of them.
    """

    design: TypedDesign
    under: RuleSets
    matrix: bool = False
    why: bool = False
    section: bool = True
    view: str = Field(default="section", pattern="^(section|elevation|plan|stairs)$")
    si: bool = False


class ToPlace(Asked):
    """A place and day, or another rule set, by name."""

    name: Line


class ToExplain(Asked):
    """A design, rule sets and the topic to tell everything about; `first` is told before others."""

    design: TypedDesign
    under: RuleSets
    topic: Name
    first: Line = ""
    si: bool = False


class ToHoldTwo(Asked):
    """Two designs to hold against the same rule sets: one before, one after."""

    before: TypedDesign
    after: TypedDesign
    under: RuleSets
    si: bool = False
    brief: bool = False


class WithFile(Asked):
    """A design with the text it was opened from and the name it goes by, as it was typed."""

    design: TypedDesign
    base: str = Field(default="", max_length=1_000_000)
    file: str = Field(default="design.yaml", max_length=MAX_TEXT)


class ToSave(WithFile):
    """A design to save; `replacing` is the digest of the file it may replace.

    `was` is the name it went by until now, `draft` the digest of the draft this very tab kept under
    it: that one goes with the saving, nobody else's does.
    """

    was: str = Field(default="", max_length=MAX_TEXT)
    draft: str = Field(default="", pattern="^([0-9a-f]{64})?$")
    replacing: str = Field(default="", pattern="^([0-9a-f]{64})?$")


class ToKeep(WithFile):
    """A design as it stands in the form, to be kept beside its file until it is saved.

    `digest` is that of the file it was opened from or saved to, "" for none; `unsaved` tells that
    the form says something else. `steps` is the browser's own record of what can be undone, given
    back as it came. `replacing` is the digest of the draft it was last kept as.
    """

    under: Annotated[list[Line], Field(max_length=MOST_RULE_SETS)] = Field(default_factory=list)
    digest: str = Field(default="", pattern="^([0-9a-f]{64})?$")
    unsaved: bool = True
    steps: str = Field(default="", max_length=400_000)
    replacing: str = Field(default="", pattern="^([0-9a-f]{64})?$")


class ToUse(WithFile):
    """A design and the rule sets it is to satisfy; `keep` names what is left as drawn.

    `prices` is the text of the reader's own price list.
    """

    under: RuleSets
    keep: Annotated[list[Line], Field(max_length=MAX_ITEMS)] = Field(default_factory=list)
    prices: str = Field(default="", max_length=200_000)
    si: bool = False


class ToDownload(ToUse):
    """A file to write; `one` is the rule set of what shows one only, the last where none is named."""

    kind: Name
    one: Line = ""


class ToRelieve(WithFile):
    """A design and the one rule set relief is sought under."""

    under: Line


class ToListClauses(Asked):
    """An edition whose clauses are asked for."""

    edition: Line


class ToAmend(WithFile):
    """One change of an edition, as the command takes it, tried on a design; `write` saves the draft.

    A `quantity` is fixed at `figure`; or else `clause` has `figure` for its `bound`. `struck` are
    the numbers of its exceptions that go; `keep` lets the others stay though they permit less.
    """

    edition: Line
    place: Line = ""
    clause: Line = ""
    bound: str = Field(default="at_most", pattern="^(at_least|at_most|exactly)$")
    quantity: Line = ""
    figure: Line = ""
    struck: Annotated[list[int], Field(max_length=MAX_ITEMS)] = Field(default_factory=list)
    keep: bool = False
    write: bool = False
    si: bool = False


class TypedItem(Asked):
    """The answers to one item of a request, by field; `evidence` names attachments."""

    clause: Line
    part: Line = ""
    words: dict[Name, Answer] = Field(default_factory=dict, max_length=60)
    evidence: Annotated[list[Line], Field(max_length=MAX_PARTS)] = Field(default_factory=list)


class TypedPaper(Asked):
    """One paper that goes with a request."""

    id: Line
    title: Line
    kind: Line = ""


class Answers(Asked):
    """What an applicant answered in the form of a request."""

    words: dict[Line, Answer] = Field(default_factory=dict, max_length=60)
    items: Annotated[list[TypedItem], Field(max_length=MAX_ITEMS)] = Field(default_factory=list)
    attachments: Annotated[list[TypedPaper], Field(max_length=MAX_PARTS)] = Field(
        default_factory=list
    )


class ToRequest(WithFile):
    """A request for relief under one rule set: a new one, or one begun before as `filled`.

    `answers` are written into it; without them it stays as it is. `relief` is the number of the
    relief a new one asks for, 0 for the first that engineering does not advise against.
    """

    under: Line
    kind: Name = ""
    form: Name = ""
    relief: int = Field(default=0, ge=0, le=999)
    filled: str = Field(default="", max_length=500_000)
    answers: Answers | None = None
    format: str = Field(default="yaml", pattern="^(yaml|html|pdf|docx)$")
