"""Write a document as Word (Office Open XML), with headings, captions and words for drawings."""

from __future__ import annotations

import re
from importlib import import_module
from io import BytesIO
from typing import Any

from deckclause.answers.markup import INSERTED, STRUCK
from deckclause.report.document.model import (
    Block,
    Bullets,
    Cell,
    Details,
    Document,
    Drawing,
    Facts,
    Grid,
    Heading,
    Paragraph,
    Redline,
    Signature,
    Text,
    Unwritten,
    goes_with_drawing,
    is_head,
)
from deckclause.report.drawing.png import NoRendererError, png_of
from deckclause.rulesets.problems import InputError

HOW = "Word needs python-docx: pip install 'deckclause[documents]'"
LETTER = (8.5, 11.0)
MARGIN_IN, SHEET_MARGIN_IN = 0.8, 0.5
SMALL_PT, BODY_PT = 8, 10
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

    def bytes(self) -> bytes:
        self._prepare()
        self.out.add_heading(_clean(self.document.title), 0)
        self.out.add_paragraph(_clean(self.document.subtitle))
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
        properties.author = ""
        properties.language = "en-US"
        properties.comments = ""
        normal = self.out.styles["Normal"]
        normal.font.size = self.shared.Pt(BODY_PT)
        if self.document.one_page:
            normal.font.size = self.shared.Pt(SMALL_PT)
            normal.paragraph_format.space_after = self.shared.Pt(2)
        section = self.out.sections[0]
        self._page(section, LETTER)
        section.footer.paragraphs[0].text = _clean(self.document.foot)
        section.footer.paragraphs[0].runs[0].font.size = self.shared.Pt(SMALL_PT)
        self._page_number(section.footer.paragraphs[0])

    def _page_number(self, paragraph: Any) -> None:
        """Add a field that Word and its kin fill with the page's number."""
        run = paragraph.add_run("   page ")
        run.font.size = self.shared.Pt(SMALL_PT)
        oxml, namespaces = import_module("docx.oxml"), import_module("docx.oxml.ns")
        field = oxml.OxmlElement("w:fldSimple")
        field.set(namespaces.qn("w:instr"), "PAGE")
        paragraph._p.append(field)

    def _page(self, section: Any, size: tuple[float, float]) -> None:
        section.page_width, section.page_height = (self.shared.Inches(side) for side in size)
        for side in ("left_margin", "right_margin", "top_margin", "bottom_margin"):
            margin = SHEET_MARGIN_IN if self.document.one_page else MARGIN_IN
            setattr(section, side, self.shared.Inches(margin))

    def _turn(self, *, on_side: bool) -> None:
        """Begin a page on its side, or upright again."""
        if on_side == self.on_side:
            return
        orient = import_module("docx.enum.section").WD_ORIENT
        section = self.out.add_section()
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
        if isinstance(block, Heading):
            heading = self.out.add_heading(_clean(block.text), min(block.level, 6))
            heading.paragraph_format.page_break_before = block.fresh
        elif isinstance(block, Paragraph):
            self._paragraph(block)
        elif isinstance(block, Bullets):
            for item in block.items:
                self.out.add_paragraph(_clean(item), style="List Bullet")
        elif isinstance(block, Facts):
            rows = tuple((Cell(name), Cell(value)) for name, value in block.pairs)
            self._table(("", ""), rows, headed=False, shares=(35, 65))
        elif isinstance(block, Drawing):
            self._drawing(block)
        elif isinstance(block, Redline):
            self._redline(block)
        elif isinstance(block, Signature):
            self._signature(block)
        elif isinstance(block, Details):
            self._details(block)
        else:
            self._grid(block)

    def _details(self, block: Details) -> None:
        self.out.add_heading(_clean(block.summary), 3)
        for inner in block.blocks:
            self._block(inner)

    def _paragraph(self, block: Paragraph) -> None:
        paragraph = self.out.add_paragraph()
        if block.tone == "applicant":
            paragraph.add_run("Applicant: ").bold = True
        run = self._run(paragraph, block.text)
        if block.tone == "caution":
            run.bold = True
        elif block.tone == "note":
            run.italic = True

    def _redline(self, block: Redline) -> None:
        paragraph = self.out.add_paragraph()
        paragraph.paragraph_format.left_indent = self.shared.Inches(0.25)
        for how, words in block.parts:
            run = self._run(paragraph, words)
            run.font.strike = how == STRUCK
            run.bold = run.underline = how == INSERTED

    def _run(self, paragraph: Any, text: Text, size: int = 0) -> Any:
        first, *rest = re.split(FRACTION_HYPHEN, _clean(text))
        run = paragraph.add_run(first)
        for piece in rest:
            # 6-1/2 stays on one line; read back, the hyphen is a plain one
            run._r.append(import_module("docx.oxml").OxmlElement("w:noBreakHyphen"))
            run.add_text(piece)
        if isinstance(text, Unwritten):
            run.italic = True
            run.underline = True
        if size:
            run.font.size = self.shared.Pt(size)
        return run

    def _grid(self, grid: Grid) -> None:
        caption = self.out.add_paragraph()
        caption.add_run(_clean(grid.caption)).bold = True
        caption.paragraph_format.keep_with_next = True
        self._table(
            grid.headers, grid.rows, headed=True, groups=dict(grid.groups), shares=grid.shares
        )

    def _table(
        self,
        headers: tuple[str, ...],
        rows: tuple[tuple[Cell, ...], ...],
        *,
        headed: bool,
        groups: dict[int, str] | None = None,
        shares: tuple[int, ...] = (),
    ) -> None:
        table = self.out.add_table(rows=0, cols=len(headers))
        table.style = "Table Grid"
        if headed:
            head = table.add_row()
            for place, text in zip(head.cells, headers, strict=True):
                self._run(place.paragraphs[0], text, SMALL_PT).bold = True
            _repeat(head)
        for number, row in enumerate(rows):
            if groups and number in groups:
                line = table.add_row().cells
                merged = line[0].merge(line[-1])
                self._run(merged.paragraphs[0], groups[number], SMALL_PT).bold = True
            places = table.add_row().cells
            for index, (place, cell) in enumerate(zip(places, row, strict=True)):
                run = self._run(place.paragraphs[0], cell.text, SMALL_PT)
                run.bold = index == 0 or cell.status == "does not comply"
        if shares:
            self._widths(table, shares)
        _hold_together(table, headed=headed)
        # next to nothing, so that a table that fills its page leaves no empty one behind it
        after = self.out.add_paragraph().paragraph_format
        after.line_spacing, after.space_after = self.shared.Pt(2), self.shared.Pt(6)

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
            picture = png_of(block.svg)
        except NoRendererError:
            self.out.add_paragraph(_clean(f"{block.caption} Drawing not included."))
        else:
            side = LETTER[0] if block.upright else LETTER[1] - 0.2
            width = self.shared.Inches(side - 2 * MARGIN_IN)
            shape = self.out.add_picture(BytesIO(picture), width=width)
            highest = self.shared.Inches(block.upright)
            if 0 < highest < shape.height:
                shape.width, shape.height = int(shape.width * highest / shape.height), highest
            shape._inline.docPr.set("descr", _clean(block.description))
            shape._inline.docPr.set("title", _clean(block.caption))
        caption = self.out.add_paragraph()
        self._run(caption, f"{block.caption} {block.description}", SMALL_PT)

    def _signature(self, block: Signature) -> None:
        role = self.out.add_paragraph()
        role.add_run(_clean(block.role)).bold = True
        role.paragraph_format.keep_with_next = True
        rows = tuple((Cell(line), Cell("")) for line in block.lines)
        self._table(("", ""), rows, headed=False)


def _hold_together(table: Any, *, headed: bool) -> None:
    """Split no row between pages, and leave neither a first nor a last row alone on one."""
    oxml, namespaces = import_module("docx.oxml"), import_module("docx.oxml.ns")
    rows = list(table.rows)
    for number, row in enumerate(rows):
        mark = oxml.OxmlElement("w:cantSplit")
        mark.set(namespaces.qn("w:val"), "true")
        row._tr.get_or_add_trPr().append(mark)
        alone = number in (0, len(rows) - 2) or (headed and number == 1)
        if (alone or len(rows) <= 6) and number < len(rows) - 1:
            for paragraph in row.cells[0].paragraphs:
                paragraph.paragraph_format.keep_with_next = True


def _repeat(row: Any) -> None:
    """Repeat a heading row on every page."""
    oxml, namespaces = import_module("docx.oxml"), import_module("docx.oxml.ns")
    mark = oxml.OxmlElement("w:tblHeader")
    mark.set(namespaces.qn("w:val"), "true")
    row._tr.get_or_add_trPr().append(mark)


def _clean(text: Text) -> str:
    """Drop what a Word file cannot hold."""
    plain = text.text if isinstance(text, Unwritten) else text
    return "".join(c if c in "\t\n" or c >= " " else "\ufffd" for c in plain)
