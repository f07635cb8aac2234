"""Parts of a Word file that python-docx has no call for: fields, bookmarks, rules, borders, styles."""

from __future__ import annotations

from importlib import import_module
from typing import Any

SMALL_PT, BODY_PT = 8, 10
FONT = "Arial"
LINE, BAND, OWN = "A9B2BB", "EEF2F6", "F6F1E4"
"""Colours of table lines, of table heads, and of the ground under the applicant's own words."""


def element(name: str, /, **values: str) -> Any:
    """Return an element of the word processing namespace with its attributes."""
    made = import_module("docx.oxml").OxmlElement(f"w:{name}")
    qn = import_module("docx.oxml.ns").qn
    for key, value in values.items():
        made.set(qn(f"w:{key}"), value)
    return made


def add_field(paragraph: Any, instruction: str, shown: str = "1") -> None:
    """Add a field such as PAGE; it is marked to be worked out when the file is opened."""
    for kind, text in (
        ("begin", ""),
        ("", instruction),
        ("separate", ""),
        (None, shown),
        ("end", ""),
    ):
        run = paragraph.add_run()
        if kind:
            run._r.append(
                element(
                    "fldChar", fldCharType=kind, **({"dirty": "true"} if kind == "begin" else {})
                )
            )
        elif kind is None:
            run.text = text
        else:
            code = element("instrText")
            code.text = f" {text} "
            run._r.append(code)


def add_bookmark(paragraph: Any, name: str, number: int) -> None:
    """Put a bookmark round a paragraph's text."""
    start = element("bookmarkStart", id=str(number), name=name)
    first = paragraph._p.pPr
    if first is None:
        paragraph._p.insert(0, start)
    else:
        first.addnext(start)
    paragraph._p.append(element("bookmarkEnd", id=str(number)))


def add_link(paragraph: Any, text: str, name: str) -> None:
    """Add text that leads to a bookmark."""
    run = paragraph.add_run(text)
    link = element("hyperlink", anchor=name, history="1")
    paragraph._p.append(link)
    link.append(run._r)


def repeat_on_each_page(row: Any) -> None:
    """Repeat a heading row on every page."""
    row._tr.get_or_add_trPr().append(element("tblHeader", val="true"))


def hold_together(table: Any, *, headed: bool) -> None:
    """Split no row between pages, and leave neither a first nor a last row alone on one."""
    rows = list(table.rows)
    for number, row in enumerate(rows):
        row._tr.get_or_add_trPr().append(element("cantSplit", val="true"))
        alone = number in (0, len(rows) - 2) or (headed and number == 1)
        if (alone or len(rows) <= 6) and number < len(rows) - 1:
            for paragraph in row.cells[0].paragraphs:
                paragraph.paragraph_format.keep_with_next = True


def rule_lines(table: Any, *, boxed: bool) -> None:
    """Give a table thin grey lines: all of them where it is boxed, else those under its rows."""
    borders = element("tblBorders")
    drawn = (
        ("top", "left", "bottom", "right", "insideH", "insideV") if boxed else ("insideH", "bottom")
    )
    for side in ("top", "left", "bottom", "right", "insideH", "insideV"):
        kind = "single" if side in drawn else "nil"
        borders.append(element(side, val=kind, sz="4", space="0", color=LINE))
    properties = table._tbl.tblPr
    after = ("w:shd", "w:tblLayout", "w:tblCellMar", "w:tblLook")
    properties.insert_element_before(borders, *after)
    margins = element("tblCellMar")
    for side in ("top", "left", "bottom", "right"):
        wide = "70" if side in ("left", "right") else "25"
        margins.append(element(side, w=wide, type="dxa"))
    properties.insert_element_before(margins, "w:tblLook")


def shade(properties: Any, colour: str) -> None:
    """Lay a ground of one colour under a cell or a paragraph, by its properties.

    To be called before an indent is set: the file's schema wants the ground first.
    """
    properties.append(element("shd", val="clear", color="auto", fill=colour))


def make_styles(document: Any, *, tight: bool = False) -> None:
    """Set the styles a paper needs: body, headings, contents, and what is the applicant's, or a note.

    `tight` sets the body as small as print may be, for a sheet to hand out.
    """
    shared: Any = import_module("docx.shared")
    kinds: Any = import_module("docx.enum.style").WD_STYLE_TYPE
    styles = document.styles
    for name, size in (("Normal", BODY_PT), ("Title", 18), ("Heading 1", 14), ("Heading 2", 11.5),
                       ("Heading 3", 10.5), ("Caption", 9)):  # fmt: skip
        style = styles[name]
        style.font.size, style.font.name = shared.Pt(size), FONT
        style.font.color.rgb = shared.RGBColor(0x17, 0x21, 0x2B)
        fonts = style.element.get_or_add_rPr().get_or_add_rFonts()
        for theme in ("asciiTheme", "hAnsiTheme", "eastAsiaTheme", "cstheme"):
            fonts.attrib.pop(import_module("docx.oxml.ns").qn(f"w:{theme}"), None)
    body = styles["Normal"].paragraph_format
    body.space_after, body.line_spacing = shared.Pt(4), 1.08
    if tight:
        styles["Normal"].font.size, body.space_after = shared.Pt(SMALL_PT), shared.Pt(2)
    for name, before in (("Heading 1", 12), ("Heading 2", 8), ("Heading 3", 6)):
        style = styles[name].paragraph_format
        style.space_before, style.space_after = shared.Pt(before), shared.Pt(3)
        style.keep_with_next = True
    for name in ("Applicant", "Note", "Caution", "Table text", "Contents line"):
        made = styles.add_style(name, kinds.PARAGRAPH)
        made.base_style = styles["Normal"]
    applicant = styles["Applicant"]
    shade(applicant.element.get_or_add_pPr(), OWN)
    applicant.paragraph_format.left_indent = shared.Inches(0.15)
    styles["Note"].font.color.rgb = shared.RGBColor(0x46, 0x50, 0x5A)
    styles["Caution"].font.bold = True
    text = styles["Table text"]
    text.font.size = shared.Pt(SMALL_PT)
    text.paragraph_format.space_after, text.paragraph_format.line_spacing = shared.Pt(0), 1.0
    styles["Contents line"].paragraph_format.space_after = shared.Pt(1)


def drop_thumbnail(document: Any) -> None:
    """Take out the picture of another document that the writer's template carries."""
    relations = document.part.package.rels
    for name in [n for n, r in relations.items() if r.reltype.endswith("/thumbnail")]:
        del relations[name]
