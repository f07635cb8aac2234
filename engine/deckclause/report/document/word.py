"""Write a document as Word (Office Open XML): styles, contents, page numbers, words for drawings."""

from __future__ import annotations

import re
from collections.abc import Callable
from importlib import import_module
from io import BytesIO
from typing import Any

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
from deckclause.report.document.word_parts import (
    BAND,
    add_bookmark,
    add_field,
    add_link,
    drop_thumbnail,
    element,
    hold_together,
    make_styles,
    repeat_on_each_page,
    rule_lines,
    shade,
)
from deckclause.report.drawing.rendered import NoRendererError, png_of
from deckclause.report.drawing.svg import size_of
from deckclause.rulesets.problems import InputError

HOW = "Word needs python-docx: pip install 'deckclause[documents]'"
LETTER = (8.5, 11.0)
MARGIN_IN, SHEET_MARGIN_IN = 0.8, 0.5
SIDE_MARGIN_IN = 0.6
"""Over and under a page on its side, which a drawing at true scale needs the height of."""
SIGNING_IN = 0.32
"""What a hand needs to sign on a line."""
MOST_WIDE_IN, MOST_HIGH_IN = LETTER[1] - 2 * MARGIN_IN - 0.2, 5.9
"""Room for a drawing on a page on its side, under its heading and over its caption."""
FRACTION_HYPHEN = re.compile(r"(?<=\d)-(?=\d+/\d)")


def document_word(document: Document) -> bytes:
    """Return the document as the bytes of a .docx file. Raises InputError without a writer."""
    try:
        docx: Any = import_module("docx")
    except ImportError:
        raise InputError.single("--format docx", HOW) from None
    return _Word(document, docx).bytes()


class _Word:
    def __init__(self, document: Document, docx: Any) -> None:
        self.document = document
        self.docx = docx
        self.shared = import_module("docx.shared")
        self.out = docx.Document()
        self.on_side = False
        self.marks = 0
        self.breaks = False

    def bytes(self) -> bytes:
        self._prepare()
        self.out.add_paragraph(_clean(self.document.title), style="Title")
        self.out.add_paragraph(_clean(self.document.subtitle))
        if self.document.contents and self.document.contents_on_paper:
            self._contents()
        blocks = self.document.blocks
        for index, block in enumerate(blocks):
            if is_head(block) and goes_with_drawing(blocks, index):
                self._turn(on_side=True)
                self._placed(block)
            else:
                self._block(block)
            if is_head(block) and index and isinstance(blocks[index - 1], Heading):
                self.out.paragraphs[-1].paragraph_format.keep_with_next = True
        stream = BytesIO()
        self.out.save(stream)
        return stream.getvalue()

    def _prepare(self) -> None:
        properties = self.out.core_properties
        properties.title = _clean(self.document.title)[:250]
        properties.subject = _clean(self.document.subtitle)[:250]
        properties.author = _clean(self.document.author)[:250]
        properties.language = "en-US"
        properties.comments = ""
        drop_thumbnail(self.out)
        make_styles(self.out, tight=self.document.one_page)
        section = self.out.sections[0]
        self._page(section, LETTER)
        section.different_first_page_header_footer = True
        for foot in (section.footer, section.first_page_footer):
            self._foot(foot)
        head = section.header.paragraphs[0]
        head.style = self.out.styles["Table text"]
        head.text = _clean(self.document.head)

    def _foot(self, foot: Any) -> None:
        """Write what stands at the foot of a page: the document's line, and the page of how many."""
        paragraph = foot.paragraphs[0]
        paragraph.style = self.out.styles["Table text"]
        paragraph.add_run(_clean(self.document.foot) + " Page ")
        add_field(paragraph, "PAGE")
        paragraph.add_run(" of ")
        add_field(paragraph, "NUMPAGES")

    def _page(self, section: Any, size: tuple[float, float]) -> None:
        section.page_width, section.page_height = (self.shared.Inches(side) for side in size)
        for side in ("left_margin", "right_margin", "top_margin", "bottom_margin"):
            margin = SHEET_MARGIN_IN if self.document.one_page else MARGIN_IN
            setattr(section, side, self.shared.Inches(margin))
        if size != LETTER:
            section.top_margin = section.bottom_margin = self.shared.Inches(SIDE_MARGIN_IN)
        section.header_distance = section.footer_distance = self.shared.Inches(0.4)

    def _turn(self, *, on_side: bool) -> None:
        """Begin a page on its side, or upright again."""
        if on_side == self.on_side:
            return
        orient = import_module("docx.enum.section").WD_ORIENT
        section = self.out.add_section()
        section.different_first_page_header_footer = False
        section.orientation = orient.LANDSCAPE if on_side else orient.PORTRAIT
        self._page(section, (LETTER[1], LETTER[0]) if on_side else LETTER)
        self.on_side = on_side

    def _block(self, block: Block) -> None:
        if isinstance(block, Grid):
            self._turn(on_side=block.wide)
            self._grid(block)
            return
        self._turn(on_side=isinstance(block, Drawing) and not block.upright)
        self._placed(block)

    def _placed(self, block: Block) -> None:
        """Write a block on the page as it lies."""
        writers: dict[type, Callable[[Any], None]] = {
            Heading: self._heading,
            Paragraph: self._paragraph,
            Bullets: self._bullets,
            Facts: self._facts,
            Grid: self._grid,
            Drawing: self._drawing,
            Picture: self._picture,
            BoundPages: lambda b: self._run(self.out.add_paragraph(), b.where(bound=False)),
            Redline: self._redline,
            Signature: self._signature,
            Details: self._details,
            Contents: lambda _: self._contents(),
            PageBreak: lambda _: self._break(),
        }
        writers[type(block)](block)

    def _bullets(self, block: Bullets) -> None:
        for item in block.items:
            self._run(self.out.add_paragraph(style="List Bullet"), item)

    def _facts(self, block: Facts) -> None:
        rows = tuple((Cell(name), Cell(value)) for name, value in block.pairs)
        self._table(("", ""), rows, headed=False, shares=(28, 72))

    def _break(self) -> None:
        """Let the next heading begin a page, unless a turned page begins one anyway."""
        self.breaks = not self.on_side

    def _heading(self, block: Heading) -> None:
        paragraph = self.out.add_heading(_clean(block.text), min(block.level, 6))
        paragraph.paragraph_format.page_break_before = self.breaks or block.fresh or None
        self.breaks = False
        if block.anchor:
            self.marks += 1
            add_bookmark(paragraph, _mark(block.anchor), self.marks)

    def _contents(self) -> None:
        """Write the table of contents: each heading, and a field that finds its page."""
        right = self.shared.Inches(LETTER[0] - 2 * MARGIN_IN)
        tabs = import_module("docx.enum.text")
        head = self.out.add_paragraph("Contents", style="Heading 1")
        head.paragraph_format.page_break_before = self.breaks or None
        self.breaks = False
        for heading in self.document.headings:
            line = self.out.add_paragraph(style="Contents line")
            stops = line.paragraph_format.tab_stops
            stops.add_tab_stop(right, tabs.WD_TAB_ALIGNMENT.RIGHT, tabs.WD_TAB_LEADER.DOTS)
            add_link(line, _clean(heading.text), _mark(heading.anchor))
            line.add_run("\t")
            add_field(line, f"PAGEREF {_mark(heading.anchor)} \\h", " ")

    def _details(self, block: Details) -> None:
        self.out.add_heading(_clean(block.summary), 3)
        for inner in block.blocks:
            self._block(inner)

    def _paragraph(self, block: Paragraph) -> None:
        styles = {"applicant": "Applicant", "note": "Note", "caution": "Caution"}
        paragraph = self.out.add_paragraph(style=styles.get(block.tone, "Normal"))
        if block.tone == "applicant":
            paragraph.add_run(f"{_clean(block.mark) or 'Applicant:'} ").bold = True
        self._run(paragraph, block.text)

    def _redline(self, block: Redline) -> None:
        paragraph = self.out.add_paragraph()
        paragraph.paragraph_format.left_indent = self.shared.Inches(0.25)
        for how, words in block.parts:
            run = self._run(paragraph, words)
            run.font.strike = how == STRUCK
            run.bold = run.underline = how == INSERTED

    def _run(self, paragraph: Any, text: Text) -> Any:
        first, *rest = re.split(FRACTION_HYPHEN, _clean(text))
        run = paragraph.add_run(first)
        for piece in rest:
            # 6-1/2 stays on one line; read back, the hyphen is a plain one
            run._r.append(element("noBreakHyphen"))
            run.add_text(piece)
        if isinstance(text, Unwritten):
            run.italic = True
            run.underline = True
        return run

    def _grid(self, grid: Grid) -> None:
        caption = self.out.add_paragraph(_clean(grid.caption), style="Caption")
        caption.paragraph_format.keep_with_next = True
        self._table(
            grid.headers, grid.rows, headed=True, groups=dict(grid.groups), shares=grid.shares,
            named=grid.named,
        )  # fmt: skip

    def _table(
        self,
        headers: tuple[str, ...],
        rows: tuple[tuple[Cell, ...], ...],
        *,
        headed: bool,
        groups: dict[int, str] | None = None,
        shares: tuple[int, ...] = (),
        signed: bool = False,
        named: bool = True,
    ) -> None:
        table = self.out.add_table(rows=0, cols=len(headers))
        rule_lines(table, boxed=headed or signed)
        if headed:
            head = table.add_row()
            for place, text in zip(head.cells, headers, strict=True):
                self._cell(place, text).bold = True
                shade(place._tc.get_or_add_tcPr(), BAND)
            repeat_on_each_page(head)
        for number, row in enumerate(rows):
            if groups and number in groups:
                line = table.add_row().cells
                merged = line[0].merge(line[-1])
                self._cell(merged, groups[number]).bold = True
                shade(merged._tc.get_or_add_tcPr(), BAND)
                merged.paragraphs[0].paragraph_format.keep_with_next = True
            places = table.add_row().cells
            for index, (place, cell) in enumerate(zip(places, row, strict=True)):
                run = self._cell(place, cell.text)
                run.bold = (headed and named and index == 0) or cell.status == "does not comply"
        if signed:
            for place in table.rows:
                place.height = self.shared.Inches(SIGNING_IN)
        if shares:
            self._widths(table, shares)
        hold_together(table, headed=headed)
        # next to nothing, so that a table that fills its page leaves no empty one behind it
        after = self.out.add_paragraph().paragraph_format
        after.line_spacing, after.space_after = self.shared.Pt(2), self.shared.Pt(4)

    def _cell(self, place: Any, text: Text) -> Any:
        place.paragraphs[0].style = self.out.styles["Table text"]
        return self._run(place.paragraphs[0], text)

    def _widths(self, table: Any, shares: tuple[int, ...]) -> None:
        room = LETTER[1 if self.on_side else 0] - 2 * MARGIN_IN
        table.autofit = False
        widths = [self.shared.Inches(room * share / sum(shares)) for share in shares]
        for column, width in zip(table.columns, widths, strict=True):
            column.width = width
        for row in table._tbl.tr_lst:
            if len(row.tc_lst) == len(widths):
                for place, width in zip(row.tc_lst, widths, strict=True):
                    place.width = width

    def _drawing(self, block: Drawing) -> None:
        try:
            picture = png_of(block.svg, scale=3.0)
        except NoRendererError:
            self.out.add_paragraph(_clean(f"{block.caption} Drawing not included."))
        else:
            width, height = size_of(block.svg) or (1.0, 1.0)
            room = LETTER[0] - 2 * MARGIN_IN if block.upright else MOST_WIDE_IN
            high = block.upright or MOST_HIGH_IN
            wide = block.width_in or min(room, high * width / height)
            shape = self.out.add_picture(BytesIO(picture), width=self.shared.Inches(wide))
            shape._inline.docPr.set("descr", _clean(block.description or block.caption))
            shape._inline.docPr.set("title", _clean(block.caption))
        words = " ".join(w for w in (block.caption, block.description) if w)
        self._run(self.out.add_paragraph(style="Caption"), words)

    def _picture(self, block: Picture) -> None:
        """Bind a picture in, as large as the page takes it."""
        room = LETTER[1 if self.on_side else 0] - 2 * MARGIN_IN
        shape = self.out.add_picture(BytesIO(block.content))
        most = min(
            self.shared.Inches(room) / shape.width, self.shared.Inches(6) / shape.height, 1.0
        )
        shape.width, shape.height = int(shape.width * most), int(shape.height * most)
        shape._inline.docPr.set("descr", _clean(block.caption))
        self.out.paragraphs[-1].paragraph_format.keep_with_next = True
        self._run(self.out.add_paragraph(style="Caption"), block.caption)

    def _signature(self, block: Signature) -> None:
        role = self.out.add_paragraph()
        role.add_run(_clean(block.role)).bold = True
        role.paragraph_format.keep_with_next = True
        rows = tuple((Cell(line), Cell("")) for line in block.lines)
        self._table(("", ""), rows, headed=False, shares=(35, 65), signed=True)


def _mark(anchor: str) -> str:
    """Return a heading's anchor as Word names bookmarks: letters, figures, low lines, 40 at most."""
    return "h_" + re.sub(r"\W", "_", anchor)[:38]


def _clean(text: Text) -> str:
    """Drop what a Word file cannot hold."""
    plain = text.text if isinstance(text, Unwritten) else text
    return "".join(c if c in "\t\n" or c >= " " else "\ufffd" for c in plain)
