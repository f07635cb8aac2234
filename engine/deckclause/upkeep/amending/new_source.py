"""Add a source to sources.yaml, and keep the editor's list of sources beside it current."""

from __future__ import annotations

import re
from pathlib import Path

from msgspec import Struct

from deckclause.rulesets.files import RuleFiles, find_files
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.read_vocabulary import read_vocabulary
from deckclause.rulesets.schema import VERSION, file_schemas, schema_text
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.upkeep.amending.own_words import quoted

KINDS = ("ordinance", "state code", "municipal handout", "guide", "standard", "commentary",
         "trade article", "forum", "other")  # fmt: skip
REACHES = {
    "direct": "it states the edition's or the place's own figure",
    "mirror": "it reprints the figure for another document, or without naming the edition",
    "draft": "it is a proposal, or was put to a hearing, and is not the text adopted",
    "secondary": "it tells of the figure: an article, a forum, a trade page",
}
STATES = ("adopted", "draft", "repealed")
ORDINANCE = "ordinance"
EMPTY = """\
# yaml-language-server: $schema=schema/1/sources.json
# Published sources of this place's figures, by a short id; those shipped may be named as well.
sources: {}
"""
"""The sources of a place that has none yet."""
_ID = re.compile(r"^[a-z0-9][a-z0-9-]*$")


class NewSource(Struct, frozen=True):
    """A source as a person describes it."""

    name: str
    title: str
    kind: str
    seen: str
    reach: str
    state: str = "adopted"
    publisher: str = ""
    year: str = ""
    address: str = ""


def with_source(files: RuleFiles, source: NewSource) -> dict[Path, str]:
    """Return the files as they are with a source added: sources.yaml, and the list editors read.

    Raises InputError where the id is taken or unfit, or what is said of it does not agree.
    """
    path = files.vocabulary_paths()[2]
    text = files.content(path).decode("utf-8") if path.is_file() else EMPTY
    _check(source, read_vocabulary(files), str(path))
    if text.rstrip().endswith("sources: {}"):
        text = text.rstrip().removesuffix(" {}")
    fresh = text.rstrip("\n") + "\n" + "\n".join(_lines(source)) + "\n"
    trial = find_files(files.root)
    trial.contents[path] = fresh.encode()
    vocabulary = read_vocabulary(trial)  # refuses what would not be read
    published = files.root / "schema" / VERSION / "vocabulary.json"
    if not published.is_file():
        return {path: fresh}
    return {path: fresh, published: schema_text(file_schemas(vocabulary)["vocabulary"])}


def _check(source: NewSource, vocabulary: Vocabulary, file: str) -> None:
    if not _ID.match(source.name):
        raise InputError.single(
            file, f"'{source.name}' is no id for a source: small letters, digits and hyphens"
        )
    if source.name in vocabulary.sources:
        there = vocabulary.sources[source.name].title
        raise InputError.single(file, f"there is a source '{source.name}' already: {there}")
    if not source.seen.strip():
        raise InputError.single("--seen", "say what it was seen to show, in your own words")
    if (source.state == "draft") != (source.reach == "draft"):
        raise InputError.single(
            "--state", "a draft reaches as a draft: give both --state draft and --reach draft"
        )


def _lines(source: NewSource) -> list[str]:
    seen = source.seen.strip()
    if source.state == "repealed":
        seen += " Repealed: of use for its time only."
    entries = [
        ("title", source.title), ("publisher", source.publisher), ("year", source.year),
        ("address", source.address), ("kind", source.kind), ("seen", seen),
        ("reach", source.reach),
    ]  # fmt: skip
    plain = ("year", "kind", "reach")
    return [
        f"  {source.name}:",
        *(
            f"    {key}: {value if key in plain else quoted(value)}"
            for key, value in entries
            if value
        ),
    ]
