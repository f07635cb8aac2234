"""The files a reader may take away: the comparison in every format, and the design itself."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

from msgspec import Struct

from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import Comparison
from deckclause.page.bench import Bench
from deckclause.page.of_one import DRAWINGS, drawing_file, tick_sheet
from deckclause.page.tools import buying_file, layouts, strictest_view
from deckclause.page.typed import ToDownload
from deckclause.rulesets.problems import InputError, suggestion


class Made(Struct, frozen=True):
    """A file made for the reader."""

    name: str
    content: bytes
    media_type: str


class Kind(Struct, frozen=True):
    """A kind of file: what it is called, its ending, its media type.

    `suffix` follows the design's name; `of_one` tells that it shows one rule set.
    """

    title: str
    ending: str
    media_type: str
    suffix: str = "-compared"
    of_one: bool = False


PICTURES = {".svg": "image/svg+xml", ".png": "image/png", ".pdf": "application/pdf"}
KINDS: dict[str, Kind] = {
    "html": Kind("A report to read or print (HTML)", ".html", "text/html"),
    "pdf": Kind("A report (PDF)", ".pdf", "application/pdf"),
    "docx": Kind(
        "A report to edit (Word)",
        ".docx",
        "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
    ),
    "html_full": Kind(
        "One file to share: the report with every finding, to open anywhere (HTML)",
        ".html",
        "text/html",
        "-compared-in-full",
    ),
    "pdf_full": Kind(
        "The report with every finding (PDF)", ".pdf", "application/pdf", "-compared-in-full"
    ),
    "json": Kind("JSON, every finding with its steps", ".json", "application/json"),
    "csv": Kind("CSV, a line for each topic and rule set", ".csv", "text/csv"),
    "markdown": Kind("Markdown", ".md", "text/markdown"),
    "design": Kind("The design itself (YAML)", ".yaml", "application/yaml", ""),
    "buying": Kind("What to cut and buy, for the sizes chosen (CSV)", ".csv", "text/csv", "-buy"),
    "strictest": Kind("One deck for all (PDF)", ".pdf", "application/pdf", "-for-all"),
    "layout": Kind("Each fastener's place (CSV)", ".csv", "text/csv", "-fasteners"),
    **{
        f"{name}_{ending[1:]}": Kind(
            f"{title} ({ending[1:].upper()})", ending, media_type, f"-{name}", of_one=of_one
        )
        for name, (title, of_one, _) in DRAWINGS.items()
        for ending, media_type in PICTURES.items()
    },
    "sheet": Kind(
        "A sheet to look the figures up in the book (PDF)",
        ".pdf",
        "application/pdf",
        "-tick-sheet",
        of_one=True,
    ),
}


Writer = Callable[[Bench, Comparison, bool], bytes]


def download(bench: Bench, asked: ToDownload) -> Made:
    """Write a file. Raises InputError where a value of the design cannot be read, or for no kind."""
    if asked.kind not in KINDS:
        near = suggestion(asked.kind, KINDS)
        raise InputError.single(asked.kind, f"is not a kind of file written here.{near}")
    kind = KINDS[asked.kind]
    if asked.kind == "design":
        content = bench.file_design(asked)[0].encode()
    elif asked.kind in _OF_DECK:
        content = _OF_DECK[asked.kind](bench, asked)
    else:
        content = _WRITERS[asked.kind](bench, bench.compared(asked, asked.under), asked.si)
    name = PurePath(asked.file).stem or "design"
    return Made(f"{name}{kind.suffix}{kind.ending}", content, kind.media_type)


def _json(bench: Bench, comparison: Comparison, si: bool) -> bytes:
    from deckclause.report.comparison.json import comparison_json

    answer = compare_answer(comparison, bench.catalogue.vocabulary, si=si, depth=True)
    return (comparison_json(answer) + "\n").encode()


def _csv(bench: Bench, comparison: Comparison, si: bool) -> bytes:
    from deckclause.report.comparison.csv import comparison_csv

    answer = compare_answer(comparison, bench.catalogue.vocabulary, si=si)
    return (comparison_csv(answer) + "\n").encode()


def _markdown(bench: Bench, comparison: Comparison, si: bool) -> bytes:
    from deckclause.report.comparison.markdown import comparison_markdown

    answer = compare_answer(comparison, bench.catalogue.vocabulary, si=si)
    return (comparison_markdown(answer) + "\n").encode()


def _report(file_format: str, *, annex: bool = False) -> Writer:
    def write(bench: Bench, comparison: Comparison, si: bool) -> bytes:
        from deckclause.answers.compare.drawn import drawn_answer
        from deckclause.report.comparison.html import comparison_file
        from deckclause.report.drawing.comparison_drawings import comparison_drawings

        vocabulary = bench.catalogue.vocabulary
        answer = compare_answer(comparison, vocabulary, si=si, depth=annex)
        drawings = tuple(comparison_drawings(drawn_answer(comparison, vocabulary)))
        return comparison_file(answer, vocabulary.sources, drawings, file_format, annex=annex)

    return write


_WRITERS: dict[str, Writer] = {
    "html": _report("html"),
    "pdf": _report("pdf"),
    "docx": _report("docx"),
    "html_full": _report("html", annex=True),
    "pdf_full": _report("pdf", annex=True),
    "json": _json,
    "csv": _csv,
    "markdown": _markdown,
}


def _strictest(bench: Bench, asked: ToDownload) -> bytes:
    from deckclause.report.comparison.strictest_document import strictest_file

    return strictest_file(strictest_view(bench, asked), "pdf")


def _layout(bench: Bench, asked: ToDownload) -> bytes:
    from deckclause.report.placing.layout_data import layouts_csv

    return layouts_csv(layouts(bench, asked)).encode()


_OF_DECK: dict[str, Callable[[Bench, ToDownload], bytes]] = {
    "buying": buying_file,
    "strictest": _strictest,
    "layout": _layout,
    **{
        f"{name}_{ending[1:]}": drawing_file(name, ending)
        for name in DRAWINGS
        for ending in PICTURES
    },
    "sheet": tick_sheet,
}
