"""Write a document as one HTML file: works offline, by keyboard, aloud, in the dark, on paper.

No script, no link to anything outside. Every text is escaped: script in a name shows as text.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator

from deckclause.answers.markup import INSERTED, STRUCK
from deckclause.report.document.model import (
    Block,
    BoundPages,
    Bullets,
    Cell,
    Contents,
    Details,
    Document,
    Drawing,
    Facts,
    Grid,
    Heading,
    PageBreak,
    Paragraph,
    Picture,
    Redline,
    Signature,
    Text,
    Unwritten,
    goes_with_drawing,
    is_head,
)
from deckclause.report.document.style import (
    PAPER_STYLE,
    PRINT_STYLE,
    SHEET_STYLE,
    STATUS_CLASS,
    STYLE,
)
from deckclause.report.drawing.svg import escape

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def document_html(document: Document, *, for_paper: bool = False) -> str:
    """Return the document as HTML text; `for_paper` uses the style of a printed page."""
    return _Html(document, for_paper).text()


class _Html:
    def __init__(self, document: Document, for_paper: bool) -> None:
        self.document = document
        self.for_paper = for_paper
        self.drawings = 0
        self.grids = 0

    def text(self) -> str:
        return "\n".join(self._lines()) + "\n"

    def _lines(self) -> Iterator[str]:
        document = self.document
        style = STYLE + (PAPER_STYLE if self.for_paper else PRINT_STYLE)
        if document.one_page:
            style += SHEET_STYLE
        yield "<!DOCTYPE html>"
        yield '<html lang="en">'
        yield '<head><meta charset="utf-8">'
        if not self.for_paper:
            yield f'<meta http-equiv="Content-Security-Policy" content="{escape(POLICY)}">'
        yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
        yield f"<title>{escape(document.title)}</title>"
        if document.author:
            yield f'<meta name="author" content="{escape(document.author)}">'
        yield f"<style>{style}</style></head>"
        yield "<body>"
        yield '<a class="skip" href="#content">Skip to the content</a>'
        if self.for_paper:
            yield f'<div class="foot">{escape(document.foot)}</div>'
            yield f'<div class="head">{escape(document.head)}</div>'
        yield f"<header><h1>{escape(document.title)}</h1>"
        yield f"<p>{escape(document.subtitle)}</p></header>"
        if document.contents and (document.contents_on_paper or not self.for_paper):
            yield from self._contents(screen=not document.contents_on_paper)
        yield '<main id="content">'
        for index, block in enumerate(document.blocks):
            if is_head(block) and goes_with_drawing(document.blocks, index):
                yield '<div class="wide">'
                yield from self._block(block)
                yield "</div>"
                continue
            yield from self._block(block)
        yield "</main>"
        if not self.for_paper:
            yield f"<footer><p>{escape(document.foot)}</p></footer>"
        yield "</body></html>"

    def _contents(self, *, screen: bool = False) -> Iterator[str]:
        kind = ' class="screen"' if screen else ""
        yield f'<nav aria-label="Contents"{kind}>'
        if self.for_paper:
            yield "<h2>Contents</h2>"
        yield "<ul>"
        for heading in self.document.headings:
            yield f'<li><a href="#{escape(heading.anchor)}">{escape(heading.text)}</a></li>'
        yield "</ul></nav>"

    def _block(self, block: Block) -> Iterator[str]:
        if isinstance(block, Heading):
            level = min(block.level + 1, 6)
            name = f' id="{escape(block.anchor)}"' if block.anchor else ""
            wide = ' class="wide"' if block.wide else ' class="fresh"' if block.fresh else ""
            yield f"<h{level}{name}{wide}>{escape(block.text)}</h{level}>"
        elif isinstance(block, Paragraph):
            tone = f' class="{block.tone}"' if block.tone != "plain" else ""
            tone += f' data-mark="{escape(block.mark)}"' if block.mark else ""
            yield f"<p{tone}>{_text(block.text)}</p>"
        elif isinstance(block, Bullets):
            yield "<ul>"
            yield from (f"<li>{escape(item)}</li>" for item in block.items)
            yield "</ul>"
        elif isinstance(block, Facts):
            yield "<dl>"
            yield from (f"<dt>{escape(n)}</dt><dd>{_text(v)}</dd>" for n, v in block.pairs)
            yield "</dl>"
        elif isinstance(block, Grid):
            yield from self._grid(block)
        elif isinstance(block, Drawing):
            yield from self._drawing(block)
        elif isinstance(block, Redline):
            yield f'<p class="redline">{"".join(map(_marked, block.parts))}</p>'
        elif isinstance(block, Signature):
            lines = "".join(f"<span>{escape(line)}</span>" for line in block.lines)
            small = " small" if len(block.lines) < 5 else ""
            yield f'<div class="signature{small}"><strong>{escape(block.role)}</strong>{lines}</div>'
        elif isinstance(block, Picture | BoundPages):
            yield from self._bound_in(block)
        elif isinstance(block, PageBreak):
            yield '<div class="page-break"></div>'
        elif isinstance(block, Contents):
            yield from self._contents() if self.for_paper else ()
        else:
            yield from self._details(block)

    def _details(self, block: Details) -> Iterator[str]:
        name = f' id="{escape(block.anchor)}"' if block.anchor else ""
        yield f"<section{name}><h3>{escape(block.summary)}</h3>"
        for inner in block.blocks:
            yield from self._block(inner)
        yield "</section>"

    def _grid(self, grid: Grid) -> Iterator[str]:
        self.grids += 1
        wide = " wide" if grid.wide else ""
        label = escape(f"Table: {grid.caption}")
        yield f'<div class="scroll{wide}" role="region" tabindex="0" aria-label="{label}">'
        yield f"<table><caption>{escape(grid.caption)}</caption>"
        if grid.shares and self.for_paper:
            yield "".join(f'<col style="width: {share}%">' for share in grid.shares)
        heads = "".join(f'<th scope="col">{escape(h)}</th>' for h in grid.headers)
        yield f"<thead><tr>{heads}</tr></thead><tbody>"
        groups = dict(grid.groups)
        for number, row in enumerate(grid.rows):
            if number in groups:
                span = len(grid.headers)
                kind = "group prose" if grid.prose else "group"
                yield (
                    f'<tr class="{kind}"><th scope="colgroup" colspan="{span}">'
                    f"{escape(groups[number])}</th></tr>"
                )
            first, *rest = row
            cells = "".join(_cell(cell) for cell in rest)
            head = f'<th scope="row">{_linked(first)}</th>' if grid.named else _cell(first)
            yield f"<tr>{head}{cells}</tr>"
        yield "</tbody></table></div>"

    def _drawing(self, block: Drawing) -> Iterator[str]:
        self.drawings += 1
        svg = _own_names(block.svg, f"d{self.drawings}")
        how = 'class="wide"'
        if block.width_in:
            how = f'class="wide scaled" style="--width: {block.width_in:.4f}in"'
        elif block.upright:
            how = f'class="upright" style="--most: {block.upright}in"'
        words = " ".join(w for w in (block.caption, block.description) if w)
        yield f"<figure {how}>{svg}<figcaption>{escape(words)}</figcaption></figure>"

    def _bound_in(self, block: Picture | BoundPages) -> Iterator[str]:
        if isinstance(block, BoundPages):
            yield f"<p>{escape(block.where(bound=self.for_paper))}</p>"
            return
        data = b64encode(block.content).decode()
        yield f'<figure class="bound"><img src="data:{block.media};base64,{data}" alt="{escape(block.caption)}">'
        yield f"<figcaption>{escape(block.caption)}</figcaption></figure>"


def _text(text: Text) -> str:
    if isinstance(text, Unwritten):
        return f'<span class="unwritten">{escape(text.text)}</span>'
    return escape(text)


def _marked(part: tuple[str, str]) -> str:
    how, words = part
    tag = {STRUCK: "del", INSERTED: "ins"}.get(how)
    return f"<{tag}>{escape(words)}</{tag}>" if tag else escape(words)


def _cell(cell: Cell) -> str:
    kind = f' class="{STATUS_CLASS.get(cell.status, "ok")}"' if cell.status else ""
    return f"<td{kind}>{_linked(cell)}</td>"


def _linked(cell: Cell) -> str:
    if cell.target:
        return f'<a href="#{escape(cell.target)}">{_text(cell.text)}</a>'
    return _text(cell.text)


def _own_names(svg: str, prefix: str) -> str:
    """Give the parts of a drawing names of their own, so that two may stand in one file."""
    renamed = re.sub(r'\bid="([A-Za-z][A-Za-z0-9-]*)"', rf'id="{prefix}-\1"', svg)
    return re.sub(r"url\(#([A-Za-z][A-Za-z0-9-]*)\)", rf"url(#{prefix}-\1)", renamed)
