"""Coverage by the shipped examples and boundary designs; which boundary files are out of date."""

from __future__ import annotations

from pathlib import Path

from deckclause.evaluate.catalogue import Catalogue
from deckclause.reading.lower import Lowered
from deckclause.upkeep.coverage.boundary import BoundaryBuilder, NotBuilt
from deckclause.upkeep.coverage.boundary_file import FOLDER, file_name, file_text, shipped_cases
from deckclause.upkeep.coverage.coverage import Coverage, add_cases, add_designs, start_coverage
from deckclause.upkeep.coverage.kept import KeptBuilds
from deckclause.upkeep.coverage.outcome import ClauseRunner, Reading
from deckclause.upkeep.coverage.reach import sides_out_of_reach
from deckclause.upkeep.lint.context import LintContext, ReadSet


def shipped_coverage(catalogue: Catalogue, names: tuple[str, ...] = ()) -> list[Coverage]:
    """Return the coverage of each rule set, or of those named, by the shipped designs."""
    vocabulary = catalogue.vocabulary
    root = catalogue.files.root
    examples = [catalogue.design(path) for path in sorted((root / "examples").glob("*.yaml"))]
    boundary = {name: cases for _, name, cases in shipped_cases(root, vocabulary)}
    found = []
    for name in names or (*catalogue.files.rulesets, *(n for n in boundary if "@" in n)):
        evaluator = catalogue.evaluator(name)
        coverage = start_coverage(evaluator.ruleset)
        add_designs(coverage, evaluator, examples, vocabulary)
        runner = ClauseRunner(evaluator, vocabulary.quantities, alone=True)
        add_cases(coverage, runner, boundary.get(name, []), vocabulary)
        read = ReadSet(evaluator.ruleset, evaluator.plan, Lowered(vocabulary.quantities))
        reading = Reading(read, vocabulary.quantities)
        for entry in coverage.clauses.values():
            if entry.sides_left:
                entry.out_of_reach = sides_out_of_reach(reading, entry.clause)
        found.append(coverage)
    return found


def boundary_texts(
    catalogue: Catalogue, names: tuple[str, ...] = ()
) -> tuple[dict[Path, str], list[NotBuilt]]:
    """Return the right text of every boundary file, by path, and what could not be built."""
    context = LintContext(catalogue.library, names or None)
    builder = BoundaryBuilder(context, KeptBuilds(catalogue.cache))
    texts: dict[Path, str] = {}
    for read in context.sets:
        name = read.ruleset.name
        cases = builder.cases(read, catalogue.evaluator(name))
        if cases:
            path = catalogue.files.root / FOLDER / file_name(name)
            texts[path] = file_text(name, cases, catalogue.vocabulary)
    return texts, builder.not_built
