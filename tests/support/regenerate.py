"""Write again whatever is generated and out of date, and nothing else. `python tests/support/regenerate.py`

Schemas, boundary designs, the concordance, the counts behind expectations, the validation page, the
guide's drawings and the output shown in README and docs each follow from some of the files here. What
they followed from is kept by content in the user's cache folder: a part whose inputs and outputs are as
they were when it was last written is passed over. `--all` passes over nothing; names of parts (`--list`)
write these alone.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

if __name__ == "__main__":
    sys.path.insert(0, str(ROOT / "tests"))

HOW = "run python tests/support/regenerate.py"
"""What a test says that finds a generated file out of date."""

RULES = ("rules/*.yaml", "rules/editions/**/*.yaml", "rules/guides/**/*.yaml")
LOCAL = ("rules/amendments/*.yaml", "rules/relief.yaml", "rules/examples/*.yaml")
ENGINE = ("engine/deckclause/**/*.py", "engine/deckclause/**/*.html", "engine/deckclause/**/*.css")


@dataclass(frozen=True, slots=True)
class Part:
    """One thing that is generated: what it follows from, what is written, and how."""

    name: str
    inputs: tuple[str, ...]
    """Patterns of files, from the root of the checkout."""
    outputs: tuple[str, ...]
    write: Callable[[], None]


def _schemas() -> None:
    _command("rules", "schema", "--write")


def _boundary_designs() -> None:
    _command("rules", "boundary-designs", "--write")


def _concordance() -> None:
    from support.write_concordance import PAGE, concordance

    PAGE.write_text(concordance(), encoding="utf-8")


def _expectation_counts() -> None:
    from deckclause.evaluate.expectations.neighbours import FILE, counts_text
    from published.shipped_tables import counts

    FILE.write_text(counts_text(counts()), encoding="utf-8")


def _validation() -> None:
    from published.write_validation import PAGE, page

    PAGE.write_text(page(), encoding="utf-8")


def _drawings() -> None:
    from support.write_exception_drawings import DOCS, drawings

    for file, svg in drawings().items():
        (DOCS / f"{file}.svg").write_text(svg, encoding="utf-8")


def _shown_output() -> None:
    from support.shown_output import pages, rewrite

    for page in pages():
        rewrite(page)


def _command(*words: str) -> None:
    from deckclause.cli.main import run

    if run(list(words)) != 0:
        raise SystemExit(f"deckclause {' '.join(words)} failed")


PARTS: tuple[Part, ...] = (
    Part("schemas", (*RULES, *ENGINE), ("rules/schema/1/*.json",), _schemas),
    Part(
        "boundary designs",
        (*RULES, *LOCAL, *ENGINE),
        ("rules/examples/boundary/*.yaml",),
        _boundary_designs,
    ),
    Part(
        "concordance",
        (*RULES, "engine/deckclause/rulesets/*.py", "tests/support/write_concordance.py"),
        ("docs/concordance.md",),
        _concordance,
    ),
    Part(
        "expectation counts",
        (*RULES, "engine/deckclause/engineering/**/*.py", "engine/deckclause/evaluate/**/*.py",
         "engine/deckclause/rulesets/*.py"),
        ("engine/deckclause/evaluate/expectations/counts.json",),
        _expectation_counts,
    ),
    Part(
        "validation page",
        (*RULES, "engine/deckclause/engineering/**/*.py", "engine/deckclause/evaluate/**/*.py",
         "engine/deckclause/rulesets/*.py", "tests/published/**/*.py", "tests/published/by_name.json"),
        ("docs/validation.md",),
        _validation,
    ),
    Part(
        "drawings",
        (*RULES, *LOCAL, *ENGINE, "tests/support/*.py"),
        ("docs/exception-*.svg",),
        _drawings,
    ),
    Part(
        "shown output",
        (*RULES, *LOCAL, *ENGINE, "rules/schema/1/*.json", "rules/examples/boundary/*.yaml",
         "tests/support/shown_output.py"),
        ("README.md", "docs/**/*.md"),
        _shown_output,
    ),
)  # fmt: skip
"""In the order they are written: output is shown of what stands above it."""


def state_of(part: Part, root: Path = ROOT) -> str:
    """Return a digest of all a part follows from and all that was written of it."""
    total = sha256()
    for path in _files((*part.inputs, *part.outputs), root):
        content = path.read_bytes()
        total.update(f"{path.relative_to(root)} {len(content)}\n".encode())
        total.update(content)
    return total.hexdigest()


def _files(patterns: tuple[str, ...], root: Path) -> Iterator[Path]:
    found = {path for pattern in patterns for path in root.glob(pattern) if path.is_file()}
    yield from sorted(found)


class Written:
    """The state in which each part was last written, in a file of the user's cache folder."""

    def __init__(self, file: Path | None) -> None:
        self.file = file
        self.states: dict[str, str] = {}
        if file is not None and file.is_file():
            self.states = json.loads(file.read_text(encoding="utf-8"))

    def is_current(self, part: Part) -> bool:
        """Tell whether a part is as it was when it was last written, and so is what it follows from."""
        return self.states.get(part.name) == state_of(part)

    def note(self, part: Part) -> None:
        """Note that a part was just written."""
        self.states[part.name] = state_of(part)
        if self.file is not None:
            self.file.write_text(json.dumps(self.states, indent=1), encoding="utf-8")


def regenerate(parts: tuple[Part, ...], written: Written, *, every: bool = False) -> list[str]:
    """Write the parts that are out of date, in order; return the names of those written."""
    done = []
    for part in parts:
        if not every and written.is_current(part):
            print(f"{part.name}: current")
            continue
        begun = time.monotonic()
        part.write()
        written.note(part)
        done.append(part.name)
        print(f"{part.name}: written in {time.monotonic() - begun:.0f} s")
    return done


def main() -> None:
    """Run from the command line."""
    from deckclause.evaluate.cache import cache_folder

    parser = argparse.ArgumentParser(description=(__doc__ or "").split(".")[0])
    parser.add_argument("parts", nargs="*", help="only these parts")
    parser.add_argument("--all", action="store_true", help="also what is current")
    parser.add_argument("--list", action="store_true", help="name the parts and write nothing")
    options = parser.parse_args()
    if options.list:
        print("\n".join(part.name for part in PARTS))
        return
    unknown = set(options.parts) - {part.name for part in PARTS}
    if unknown:
        parser.error(f"no such part: {', '.join(sorted(unknown))}; --list names them")
    asked = tuple(p for p in PARTS if not options.parts or p.name in options.parts)
    folder = cache_folder()
    mark = sha256(str(ROOT).encode()).hexdigest()[:12]
    file = folder / f"regenerated-{mark}.json" if folder else None
    regenerate(asked, Written(file), every=options.all)


if __name__ == "__main__":
    main()
