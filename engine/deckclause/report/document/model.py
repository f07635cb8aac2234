"""The blocks a document is made of. Every text is plain text: nothing in it is markup."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from deckclause.answers.markup import Part

Tone = Literal["plain", "note", "caution", "applicant"]


class Unwritten(Struct, frozen=True):
    """A place the applicant has left empty; it stays visibly empty in every format."""

    asks: str

    @property
    def text(self) -> str:
        """What stands in the empty place.

        >>> Unwritten("Why?").text
        '[not written: Why?]'
        """
        return f"[not written: {self.asks}]"


Text = str | Unwritten


class Heading(Struct, frozen=True):
    """A heading; level 1 is the largest under the title. `anchor` lets others point to it.

    `wide` keeps it with what follows on a page on its side; `fresh` begins a page.
    """

    level: int
    text: str
    anchor: str = ""
    wide: bool = False
    fresh: bool = False


class Paragraph(Struct, frozen=True):
    """A paragraph. `applicant` marks words the applicant wrote, `caution` what must not be missed."""

    text: Text
    tone: Tone = "plain"
    mark: str = ""
    """What an applicant's paragraph begins with, so that others may point to it; "Applicant:" if none."""


class Bullets(Struct, frozen=True):
    """A list."""

    items: tuple[str, ...]


class Facts(Struct, frozen=True):
    """Names with their values."""

    pairs: tuple[tuple[str, Text], ...]


class Cell(Struct, frozen=True):
    """One cell of a grid: its text, where it points to, and the status it tells, in words."""

    text: Text
    target: str = ""
    status: str = ""


class Grid(Struct, frozen=True):
    """A table with a caption; the first cell of each row names the row.

    `wide` asks for a page on its side, `groups` puts a line of its own above a row's number,
    `shares` are the columns' widths in hundredths on paper (alike where not given). `prose` says
    that the groups' lines are sentences, not names; without `named` the first cell names nothing.
    """

    caption: str
    headers: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    wide: bool = False
    groups: tuple[tuple[int, str], ...] = ()
    shares: tuple[int, ...] = ()
    prose: bool = False
    named: bool = True


class Drawing(Struct, frozen=True):
    """A drawing as SVG, with a caption and a description for those who cannot see it.

    `upright` keeps it on the page it stands on, at most that many inches high; 0 gives it a page on
    its side.
    `width_in` is the width in inches at which it is to scale on paper; 0 fits it to the page.
    """

    svg: str
    caption: str
    description: str
    upright: float = 0
    width_in: float = 0


class Redline(Struct, frozen=True):
    """A text with what is struck from it and what is inserted."""

    parts: tuple[Part, ...]


class Picture(Struct, frozen=True):
    """A picture bound in from a file (PNG or JPEG), with its caption."""

    content: bytes
    media: str
    caption: str


class BoundPages(Struct, frozen=True):
    """The pages of a PDF file: a PDF document ends with them, any other says where they are."""

    content: bytes
    pages: int
    caption: str
    file: str

    def where(self, *, bound: bool) -> str:
        """Say how many pages there are and where they stand.

        >>> BoundPages(b"", 2, "A3. The plan", "plan.pdf").where(bound=False)
        'A3. The plan. 2 pages, in the file plan.pdf, handed in beside this one.'
        """
        count = f"{self.pages} page{'s' * (self.pages != 1)}"
        there = (
            "bound in behind the last page of this paper"
            if bound
            else f"in the file {self.file}, handed in beside this one"
        )
        return f"{self.caption.rstrip('.')}. {count}, {there}."


class PageBreak(Struct, frozen=True):
    """What follows begins a new page on paper; nothing on a screen."""


class Contents(Struct, frozen=True):
    """The table of contents stands here on paper; on a screen it stands at the top."""


class Signature(Struct, frozen=True):
    """A block left empty for a hand: who signs, and the lines to fill."""

    role: str
    lines: tuple[str, ...] = ("Name", "Signature", "Date")


class Details(Struct, frozen=True):
    """Blocks that belong together under a heading of their own, which others may point to."""

    summary: str
    blocks: tuple[Block, ...]
    anchor: str = ""


Block = (
    Heading | Paragraph | Bullets | Facts | Grid | Drawing | Redline | Picture | BoundPages | Signature
    | Details | PageBreak | Contents
)  # fmt: skip


def goes_with_drawing(blocks: Sequence[Block], index: int) -> bool:
    """Tell whether a block is the head of a drawing: a heading, or a note under it, right before one.

    It goes on the drawing's own page; alone on the page before it would say nothing.
    """
    for block in blocks[index:]:
        if isinstance(block, Drawing):
            return not block.upright
        if not is_head(block):
            return False
    return False


def is_head(block: Block) -> bool:
    """Tell whether a block only leads to what follows: a heading or a note."""
    return isinstance(block, Heading) or (isinstance(block, Paragraph) and block.tone == "note")


class Document(Struct, frozen=True):
    """A whole document. `foot` stands at the foot of every page, `head` at the top of all but the first.

    `contents_on_paper` prints the table of contents before all else; without it the first page is
    the document's, and a `Contents` block may put the table elsewhere. `author` is who signs for it.
    """

    title: str
    subtitle: str
    blocks: tuple[Block, ...]
    foot: str
    contents: bool = True
    contents_on_paper: bool = True
    one_page: bool = False
    """Whether it is a sheet to hand out: set tight."""
    head: str = ""
    author: str = ""

    @property
    def headings(self) -> tuple[Heading, ...]:
        """The headings that can be pointed to, for a table of contents."""
        return tuple(b for b in self.blocks if isinstance(b, Heading) and b.anchor)
