"""The files a reader may take away: the comparison in every format, and the design itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import PurePath

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

    return (comparison_json(bench.catalogue, comparison) + "\n").encode()


def _csv(bench: Bench, comparison: Comparison) -> bytes:
    from deckclause.report.comparison.csv import comparison_csv

    return (comparison_csv(comparison, bench.catalogue.vocabulary) + "\n").encode()


def _markdown(bench: Bench, comparison: Comparison) -> bytes:
    from deckclause.report.comparison.markdown import comparison_markdown

    return (comparison_markdown(comparison, bench.catalogue.vocabulary) + "\n").encode()


def _report(file_format: str, *, annex: bool = False) -> Callable[[Bench, Comparison], bytes]:
    def write(bench: Bench, comparison: Comparison) -> bytes:
        from deckclause.report.comparison.html import comparison_file

        return comparison_file(bench.catalogue, comparison, file_format, annex=annex)

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
