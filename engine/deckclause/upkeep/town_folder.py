"""Lay out a place's own rules folder: its register, sources and amendments, over the shipped rules."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from deckclause.rulesets.files import find_files, shipped_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.register import alike
from deckclause.rulesets.schema import VERSION, file_schemas, schema_text
from deckclause.upkeep.amending.adopt import EMPTY as EMPTY_REGISTER
from deckclause.upkeep.amending.new_source import EMPTY as EMPTY_SOURCES
from deckclause.upkeep.amending.own_words import quoted

CHECK = "check.yml"
ASKED = "Tarn Hollow@2026-01-31"
"""What the shipped workflow compares designs under, to be put in each place's own terms."""
README = """\
# The deck rules of {place}

What {place} itself has adopted stands here; everything else is read from the rules deckclause
comes with, so that an update of deckclause brings the editions up to date and changes nothing here.

```
rules/register.yaml      which edition with which amendments is in force here, from which day
rules/sources.yaml       the published sources of the figures: your ordinances
rules/amendments/        one file an ordinance
rules/schema/            what an editor completes from; deckclause writes it
designs/, expected/      decks whose answers are known: deckclause compare ... -o expected/NAME.json
.github/workflows/       the check that runs on every change
```

Every command reads this folder with `--rules rules`, or with `DECKCLAUSE_RULES=rules` set.

```sh
export DECKCLAUSE_RULES=rules
deckclause amend new --place "{place}" --edition {edition} --set 'site.frost_depth=42 in' --write
deckclause amend register {id} --ordinance "Ordinance 1" --adopted 2026-01-05 --from 2026-02-01 --write
deckclause amend papers {id} -o papers
deckclause rules lint --strict
deckclause compare designs/DECK.yaml --under "{place}@2026-02-01"
```

The ordinance in your hands makes its figures confirmed: `amend new --in-hand`. Any other source:
`deckclause sources add`. After an update of deckclause: `deckclause rules schema --write`, then
`deckclause rules lint`; an amendment whose clause has moved is named there and refused until
somebody has read it again (`deckclause rules affirm`).

The check needs the engine you have checked: put its wheel in `tools/` (`pip wheel --no-deps
--wheel-dir tools deckclause`, or a file you were given), and set the day in the workflow.

Not an engineered design and not an approval: the adopted code and ordinances govern.
"""


class NewFolder(Struct, frozen=True):
    """What a folder is laid out for."""

    place: str
    edition: str
    within: str = ""


def town_files(folder: Path, wish: NewFolder) -> dict[Path, str]:
    """Return every file of a new folder by its path.

    Raises InputError where the edition or the larger place is not one there is.
    """
    shipped = RuleLibrary(find_files(shipped_root()))
    editions = shipped.files.of_kind("editions")
    if wish.edition not in editions:
        raise InputError.single(
            "--edition",
            f"there is no edition '{wish.edition}'.{suggestion(wish.edition, editions)}",
        )
    known = shipped.register.places
    if wish.within and not any(alike(name) == alike(wish.within) for name in known):
        raise InputError.single(
            "--within", f"'{wish.within}' is not in the register.{suggestion(wish.within, known)}"
        )
    rules = folder / "rules"
    name = f"{'-'.join(alike(wish.place).split())}-{wish.edition.rpartition('-')[2]}"
    readme = README.format(place=wish.place, edition=wish.edition, id=name)
    schemas = {
        rules / "schema" / VERSION / f"{kind}.json": schema_text(schema)
        for kind, schema in file_schemas(shipped.vocabulary).items()
    }
    return {
        folder / "README.md": readme,
        rules / "register.yaml": _register(wish),
        rules / "sources.yaml": EMPTY_SOURCES,
        rules / "amendments" / ".gitkeep": "",
        folder / "designs" / ".gitkeep": "",
        folder / "expected" / ".gitkeep": "",
        folder / ".github" / "workflows" / CHECK: _workflow(wish),
        **schemas,
    }


def _register(wish: NewFolder) -> str:
    within = f"    within: {quoted(wish.within)}\n" if wish.within else ""
    hint = (
        f"      # as: - {{edition: {wish.edition}, amendments: [ID], ordinance: NAME, "
        "from: 2026-02-01}\n"
    )
    entry = f"  {quoted(wish.place)}:\n{within}    invented: false\n{hint}    adoptions: []\n"
    return EMPTY_REGISTER.replace("places: {}\n", f"places:\n{entry}")


def _workflow(wish: NewFolder) -> str:
    text = read_bytes(_template() / CHECK).decode("utf-8")
    return text.replace(ASKED, f"{wish.place}@2026-02-01")


def _template() -> Path:
    """Find the folder of templates: the wheel's own, or the checkout's."""
    package = Path(__file__).resolve().parents[1]
    here = package / "town-folder"
    return here if here.is_dir() else package.parents[1] / "docs" / "town-folder"
