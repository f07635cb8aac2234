"""Change the engine's code in single places and see whether a test notices: a sample, by name.

    python tests/benchmarks/code_mutations.py --count 300 --seed 1 [--area placement] [--minutes 60]

Each mutant is one changed place of a copy of the engine; the tests of its area are run on it, those
nearest by name first. Killed: a test fails, or the tests do not end. A survivor is printed with its
place and change: it is either a test that is missing or a change that changes nothing, and only a
person can tell which. The figures are of the sample alone.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ENGINE = ROOT / "engine" / "deckclause"
AREAS: dict[str, tuple[str, ...]] = {
    "reading": ("reading", "evaluate"),
    "placement": ("placement",),
    "compare": ("compare", "report"),
    "variance": ("variance",),
}
"""By package of the engine: the folders of tests that answer for it."""
SECONDS = 600
"""After which tests that do not end count as having noticed."""

COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
    ast.BitOr: ast.BitAnd, ast.BitAnd: ast.BitOr,
}  # fmt: skip
CALLS = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """One changed place: the file, its line, what stood there and what stands there now."""

    file: Path
    line: int
    before: str
    after: str
    source: str


def changes_of(node: ast.AST) -> Iterator[Callable[[ast.AST], None]]:
    """Yield what could be done to a node, each as something that changes a copy of it in place."""
    if isinstance(node, ast.Compare) and type(node.ops[0]) in COMPARISONS:
        yield lambda n: n.ops.__setitem__(0, COMPARISONS[type(n.ops[0])]())  # type: ignore[attr-defined]
    if isinstance(node, ast.BinOp) and type(node.op) in ARITHMETIC and not _is_text(node):
        yield lambda n: setattr(n, "op", ARITHMETIC[type(n.op)]())  # type: ignore[attr-defined]
    if isinstance(node, ast.BoolOp):
        other = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield lambda n: setattr(n, "op", other())
    if isinstance(node, ast.If | ast.IfExp | ast.While):
        yield lambda n: setattr(n, "test", ast.UnaryOp(ast.Not(), n.test))  # type: ignore[attr-defined]
    if isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield lambda n: setattr(n, "value", not n.value)  # type: ignore[attr-defined]
    elif isinstance(node, ast.Constant) and isinstance(node.value, int):
        yield lambda n: setattr(n, "value", n.value + 1)  # type: ignore[attr-defined]
    if isinstance(node, ast.Name) and node.id in CALLS and isinstance(node.ctx, ast.Load):
        yield lambda n: setattr(n, "id", CALLS[n.id])  # type: ignore[attr-defined]
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield lambda n: setattr(n, "op", ast.UAdd())
    if isinstance(node, ast.Return) and node.value is not None and not _is_none(node.value):
        yield lambda n: setattr(n, "value", ast.Constant(None))


def _is_text(node: ast.BinOp) -> bool:
    sides = (node.left, node.right)
    return any(isinstance(s, ast.JoinedStr) for s in sides) or any(
        isinstance(s, ast.Constant) and isinstance(s.value, str) for s in sides
    )


def _is_none(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def places(tree: ast.AST) -> list[ast.AST]:
    """Return the nodes of a module that run: no annotation, decorator or default of one."""
    found: list[ast.AST] = []

    def walk(node: ast.AST) -> None:
        found.append(node)
        for name, value in ast.iter_fields(node):
            if name in ("annotation", "returns", "decorator_list", "type_comment"):
                continue
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    walk(child)

    walk(tree)
    return [node for node in found if hasattr(node, "lineno")]


def mutants(area: str, chance: random.Random) -> Iterator[Mutant]:
    """Yield changed places of an area's files, drawn at random, for ever."""
    files = sorted((ENGINE / area).rglob("*.py"))
    texts = {file: file.read_text(encoding="utf-8") for file in files}  # as they stand now
    choices = []
    for file, text in texts.items():
        for place, node in enumerate(places(ast.parse(text))):
            choices += [(file, place, number) for number, _ in enumerate(changes_of(node))]
    chance.shuffle(choices)
    for file, place, number in choices:
        yield _mutant(file, texts[file], place, number)


def _mutant(file: Path, text: str, place: int, number: int) -> Mutant:
    tree = ast.parse(text)
    node = places(tree)[place]
    before = ast.unparse(node).splitlines()[0]
    list(changes_of(node))[number](node)
    ast.fix_missing_locations(tree)
    line: int = node.lineno  # type: ignore[attr-defined]
    return Mutant(file, line, before, ast.unparse(node).splitlines()[0], ast.unparse(tree))


def answering(mutant: Mutant, area: str) -> list[str]:
    """Return the test files of an area, those whose names share words with the file's first."""
    words = set(mutant.file.stem.split("_"))

    def far(test: Path) -> tuple[int, int]:
        return -len(words & set(test.stem.split("_"))), test.stat().st_size

    found = [t for name in AREAS[area] for t in (ROOT / "tests" / name).rglob("test_*.py")]
    return [str(test.relative_to(ROOT)) for test in sorted(found, key=far)]


def noticed(mutant: Mutant, area: str, copied: Path) -> bool:
    """Run the area's tests on the mutant; tell whether one failed or they did not end."""
    target = copied / "deckclause" / mutant.file.relative_to(ENGINE)
    whole = target.read_text(encoding="utf-8")
    target.write_text(mutant.source, encoding="utf-8")
    cache = copied.parent / "cache"
    env = {**os.environ, "PYTHONPATH": str(copied), "DECKCLAUSE_CACHE": str(cache)}
    env["DECKCLAUSE_RULES"] = str(ROOT / "rules")
    words = [
        "-m",
        "pytest",
        "-x",
        "-q",
        "-n",
        "0",
        "-p",
        "no:cacheprovider",
        *answering(mutant, area),
    ]
    try:
        done = subprocess.run(
            [sys.executable, *words],
            cwd=ROOT,
            env=env,
            capture_output=True,
            timeout=SECONDS,
            check=False,
        )
        return done.returncode != 0
    except subprocess.TimeoutExpired:
        return True
    finally:
        target.write_text(whole, encoding="utf-8")


def main() -> None:
    """Draw mutants until there are enough or the time is up; print each and the figures."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--area", choices=AREAS, action="append")
    parser.add_argument("--minutes", type=float, default=24 * 60)
    asked = parser.parse_args()
    end = time.monotonic() + 60 * asked.minutes
    areas = asked.area or list(AREAS)
    drawn = {area: mutants(area, random.Random(f"{area} {asked.seed}")) for area in areas}
    told = {area: [0, 0] for area in areas}
    with tempfile.TemporaryDirectory() as folder:
        copied = Path(folder) / "engine"
        shutil.copytree(ROOT / "engine", copied, ignore=shutil.ignore_patterns("__pycache__"))
        for number in range(asked.count):
            if time.monotonic() > end:
                print(f"the time is up after {number} of {asked.count}")
                break
            area = areas[number % len(areas)]
            mutant = next(drawn[area])
            killed = noticed(mutant, area, copied)
            told[area][not killed] += 1
            where = f"{mutant.file.relative_to(ROOT)}:{mutant.line}"
            word = "noticed" if killed else "SURVIVED"
            print(f"{word} {where}: {mutant.before} -> {mutant.after}", flush=True)
    for area, (killed_ones, survived) in told.items():
        judged = killed_ones + survived
        if judged:
            share = 100 * killed_ones / judged
            print(f"{area}: {killed_ones} of {judged} noticed ({share:.0f} %)")


if __name__ == "__main__":
    main()
