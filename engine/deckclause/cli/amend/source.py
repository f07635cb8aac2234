"""What the figures of an amendment stand on: a source that is known, or the ordinance in hand."""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError, suggestion


def add_source_options(parser: argparse.ArgumentParser, default: str) -> None:
    """Add the options that name the source."""
    parser.add_argument("--source", default=default, help="a source of rules/sources.yaml")
    parser.add_argument(
        "--in-hand",
        action="store_true",
        help="the adopted ordinance is in your hands: it becomes a source, its figures confirmed",
    )


def figures_source(
    catalogue: Catalogue, options: argparse.Namespace, name: str, place: str
) -> tuple[Catalogue, str, dict[Path, str]]:
    """Return the source the figures name, the rules that know it, and what is written with it.

    With --in-hand it is the ordinance itself, made a source. Raises InputError.
    """
    if not options.in_hand:
        if options.source not in catalogue.vocabulary.sources:
            near = suggestion(options.source, catalogue.vocabulary.sources)
            raise InputError.single(
                "--source",
                f"there is no source '{options.source}'.{near} Add it with `deckclause sources add`, "
                "or give --in-hand where the adopted ordinance itself is in your hands",
            )
        return catalogue, options.source, {}
    if not (options.ordinance and options.adopted) or options.source not in ("", "memory"):
        raise InputError.single(
            "--in-hand", "needs --ordinance and --adopted, and takes the place of --source"
        )
    from deckclause.evaluate.cache import Cache
    from deckclause.rulesets.files import find_files
    from deckclause.upkeep.amending.new_source import ORDINANCE, NewSource, with_source

    source = NewSource(
        f"{name}-ordinance",
        f"{options.ordinance}, adopted {options.adopted}",
        ORDINANCE,
        "The figures of this ordinance, read in the ordinance itself.",
        "direct",
        publisher=place,
        year=options.adopted[:4],
    )
    beside = with_source(catalogue.files, source)
    files = find_files(catalogue.files.root)
    files.contents.update({path: text.encode() for path, text in beside.items()})
    return Catalogue(files, Cache(None)), source.name, beside


def states_it_directly(catalogue: Catalogue, source: str) -> bool:
    """Tell whether a source is the place's own adopted law, so that its figures are confirmed."""
    from deckclause.upkeep.amending.new_source import ORDINANCE

    found = catalogue.vocabulary.sources[source]
    return found.kind == ORDINANCE and found.reach == "direct"
