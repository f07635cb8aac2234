"""The files a reader may take away: the comparison in every format, and the design itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import PurePath

from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import Comparison
from deckclause.page.bench import Bench
from deckclause.page.typed import ToDownload
from deckclause.rulesets.problems import InputError, suggestion


@dataclass(frozen=True, slots=True)
class Made:
    """A file made for the reader."""

    name: str
    content: bytes
    media_type: str


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file: what it is called, its ending, its media type."""

    title: str
    ending: str
    media_type: str


KINDS: dict[str, Kind] = {
    "html": Kind("A report to read or print (HTML)", ".html", "text/html"),
    "pdf": Kind("A report (PDF)", ".pdf", "application/pdf"),
    "docx": Kind(
        "A report to edit (Word)",
        ".docx",
        "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
    ),
    "html_full": Kind("The report with every finding (HTML)", ".html", "text/html"),
    "pdf_full": Kind("The report with every finding (PDF)", ".pdf", "application/pdf"),
    "json": Kind("JSON, every finding with its steps", ".json", "application/json"),
    "csv": Kind("CSV, a line for each topic and rule set", ".csv", "text/csv"),
    "markdown": Kind("Markdown", ".md", "text/markdown"),
    "design": Kind("The design itself (YAML)", ".yaml", "application/yaml"),
}


def download(bench: Bench, asked: ToDownload) -> Made:
    """Write a file. Raises InputError where a value of the design cannot be read, or for no kind."""
    if asked.kind not in KINDS:
        near = suggestion(asked.kind, KINDS)
        raise InputError.single(asked.kind, f"is not a kind of file written here.{near}")
    kind = KINDS[asked.kind]
    if asked.kind == "design":
        content = bench.file_design(asked)[0].encode()
    else:
        comparison = bench.compared(asked, asked.under)
        content = _WRITERS[asked.kind](bench, comparison)
    name = PurePath(asked.file).stem or "design"
    suffix = "" if asked.kind == "design" else "-compared"
    suffix += "-in-full" if asked.kind.endswith("_full") else ""
    return Made(f"{name}{suffix}{kind.ending}", content, kind.media_type)


def _json(bench: Bench, comparison: Comparison) -> bytes:
    from deckclause.report.comparison.json import comparison_json

    answer = compare_answer(comparison, bench.catalogue.vocabulary, depth=True)
    return (comparison_json(answer) + "\n").encode()


def _csv(bench: Bench, comparison: Comparison) -> bytes:
    from deckclause.report.comparison.csv import comparison_csv

    answer = compare_answer(comparison, bench.catalogue.vocabulary)
    return (comparison_csv(answer) + "\n").encode()


def _markdown(bench: Bench, comparison: Comparison) -> bytes:
    from deckclause.report.comparison.markdown import comparison_markdown

    answer = compare_answer(comparison, bench.catalogue.vocabulary)
    return (comparison_markdown(answer) + "\n").encode()


def _report(file_format: str, *, annex: bool = False) -> Callable[[Bench, Comparison], bytes]:
    def write(bench: Bench, comparison: Comparison) -> bytes:
        from deckclause.report.comparison.html import comparison_file
        from deckclause.report.drawing.comparison_drawings import comparison_drawings

        vocabulary = bench.catalogue.vocabulary
        answer = compare_answer(comparison, vocabulary, depth=annex)
        drawings = tuple(comparison_drawings(bench.catalogue, comparison))
        return comparison_file(answer, vocabulary.sources, drawings, file_format, annex=annex)

    return write


_WRITERS: dict[str, Callable[[Bench, Comparison], bytes]] = {
    "html": _report("html"),
    "pdf": _report("pdf"),
    "docx": _report("docx"),
    "html_full": _report("html", annex=True),
    "pdf_full": _report("pdf", annex=True),
    "json": _json,
    "csv": _csv,
    "markdown": _markdown,
}
