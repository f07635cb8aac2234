"""Say what going from one rule set to another does to an archive of designs, and what drives it."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.file_format import format_for
from deckclause.cli.progress import needing_extra, progress, require_extra
from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width
from deckclause.cli.topics import wanted_topics
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.write_file import refuse_existing

if TYPE_CHECKING:
    from deckclause.impact.chunk import ImpactJob
    from deckclause.impact.column_map import SheetMap
    from deckclause.impact.read import Archive
    from deckclause.impact.run import ImpactFolder
    from deckclause.report.impact.files import ImpactReport

MOST_WORKERS = 256
PAGES = {".html": "html", ".htm": "html", ".pdf": "pdf", ".docx": "docx"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "archive", metavar="ARCHIVE", type=Path, help="designs: .csv, .xlsx, .parquet, or a folder"
    )
    parser.add_argument(
        "--map",
        type=Path,
        metavar="MAP",
        help="which column says which fact (ARCHIVE.columns.yaml)",
    )
    parser.add_argument(
        "--from",
        dest="one",
        required=True,
        metavar="A",
        help="an edition by id, Place@date, or a draft amendment by id",
    )
    parser.add_argument(
        "--to",
        dest="two",
        required=True,
        metavar="B",
        help="an edition by id, Place@date, or a draft amendment by id",
    )
    parser.add_argument(
        "--out", type=Path, metavar="FOLDER", help="where results go (impact-A-to-B)"
    )
    parser.add_argument(
        "-o",
        "--output",
        type=Path,
        metavar="FILE",
        help="also write a page for the council: .html, .pdf or .docx",
    )
    parser.add_argument("--topic", action="append", default=[], help="only this topic; repeat")
    parser.add_argument("--part", action="append", default=[], help="only this part of the deck")
    parser.add_argument(
        "--list",
        dest="listed",
        choices=["failing", "all", "none"],
        default="failing",
        help="flips to list design by design: to or from 'does not comply' (default), all, none",
    )
    parser.add_argument(
        "--format",
        choices=["csv", "parquet"],
        default="csv",
        help="of the lists of flips and bad rows",
    )
    parser.add_argument("--chart", action="store_true", help="also draw chart.svg")
    parser.add_argument("--resume", action="store_true", help="go on with a run that was stopped")
    parser.add_argument(
        "--workers", type=_workers, default=1, metavar="N", help="processes of this machine to use"
    )
    parser.add_argument("--dask", default="", metavar="ADDRESS", help="a dask scheduler to work on")
    parser.add_argument("--json", action="store_true", help="print the summary as JSON")
    parser.add_argument("--quiet", action="store_true", help="show no progress")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return 1 where a design newly fails, 3 where rows or cells were not read, else 0."""
    format_for(None, options.output, endings=PAGES)
    refuse_existing(options.output)
    if options.chart:
        require_extra("charts", "matplotlib")
    if options.dask and options.workers > 1:
        raise InputError.single("--workers", "and --dask cannot be had together; leave one out")
    if options.dask:
        require_extra("cluster", "distributed")
    catalogue = open_catalogue(options)
    with needing_extra("archive"):
        try:
            report = _impact(catalogue, options)
        except KeyboardInterrupt:
            print("deckclause: what was worked out is kept; --resume goes on", file=sys.stderr)
            raise
    if options.json:
        import json

        from deckclause.report.impact.files import summary

        print(json.dumps(summary(report), indent=1, ensure_ascii=False))
    else:
        from deckclause.report.impact.text import impact_lines

        print("\n".join(impact_lines(report, width=terminal_width())))
    if any(topic.newly_failing for topic in report.total.topics.values()):
        return 1
    return 3 if report.total.set_aside or report.total.lost else 0


def _impact(catalogue: Catalogue, options: argparse.Namespace) -> ImpactReport:
    from deckclause.impact.chunk import ImpactJob, spoken_topics
    from deckclause.impact.read import Archive
    from deckclause.impact.run import plan_of, prepare_folder

    vocabulary = catalogue.vocabulary
    one, two = catalogue.ruleset(options.one), catalogue.ruleset(options.two)
    topics = tuple(wanted_topics(catalogue, options.topic, options.part))
    coherence = catalogue.coherence()
    job = ImpactJob(
        one,
        two,
        vocabulary,
        topics or spoken_topics(one, two, vocabulary),
        options.listed,
        coherence.ruleset if coherence is not None else None,
        narrowed=bool(topics),
    )
    archive = Archive(options.archive, vocabulary, map=_map(options, vocabulary))
    out = options.out or Path(f"impact-{_plain(one.name)}-to-{_plain(two.name)}")
    folder = prepare_folder(out, plan_of(archive, job), resume=options.resume)
    return _run(archive, job, folder, options)


def _map(options: argparse.Namespace, vocabulary: Vocabulary) -> SheetMap | None:
    """Return the map named, or the one beside the archive; None where there is none."""
    from deckclause.impact.column_map import map_beside, read_map

    beside = map_beside(options.archive)
    if options.map is None and not beside.is_file():
        return None
    return read_map(options.map or beside, vocabulary)


def _workers(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 0 < int(text) <= MOST_WORKERS):
        raise argparse.ArgumentTypeError(f"a number from 1 to {MOST_WORKERS} is needed")
    return int(text)


def _run(
    archive: Archive, job: ImpactJob, folder: ImpactFolder, options: argparse.Namespace
) -> ImpactReport:
    from deckclause.impact.run import run_impact
    from deckclause.impact.total import ImpactTotal
    from deckclause.report.impact.files import ImpactReport, write_files

    with progress(archive.count(), "designs", quiet=options.quiet) as step:
        run_impact(archive, job, folder, dask=options.dask, workers=options.workers, step=step)
    total = ImpactTotal()
    for result in folder.results():
        total.add(result)
    if not total.read:
        raise InputError.single(str(archive.path), "holds no designs")
    report = ImpactReport(
        job.one, job.two, job.vocabulary, archive.path.name, total, archive.labels, _open(archive)
    )
    write_files(report, folder, options.format)
    if options.chart:
        from deckclause.report.impact.chart import write_chart

        write_chart(report, folder.path / "chart.svg")
    if options.output is not None:
        _write_page(report, folder, options)
    folder.clear()
    if not options.quiet:
        print(f"results in {folder.path}", file=sys.stderr)
    return report


def _write_page(report: ImpactReport, folder: ImpactFolder, options: argparse.Namespace) -> None:
    from deckclause.evaluate.status import DOES_NOT_COMPLY, STATUS_WORDS
    from deckclause.report.document.write import document_bytes
    from deckclause.report.impact.council import MOST_PERMITS, council_document
    from deckclause.report.impact.files import flip_lines
    from deckclause.rulesets.write_file import write_new

    fails = STATUS_WORDS[DOES_NOT_COMPLY]
    failing, count = [], 0
    for flip in flip_lines(report, folder):
        if flip[-2] == fails:
            count += 1
            if count <= MOST_PERMITS:
                failing.append(flip)
    document = council_document(report, failing, count)
    file_format = format_for(None, options.output, endings=PAGES)
    write_new(options.output, document_bytes(document, file_format))


def _open(archive: Archive) -> tuple[str, ...]:
    """Return the headings the archive's map leaves open: they are not read."""
    return archive.map.open if archive.map else ()


def _plain(name: str) -> str:
    return "".join(c if c.isalnum() or c in "-." else "-" for c in name)
