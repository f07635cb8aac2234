"""Coverage by the shipped examples and boundary designs; which boundary files are out of date."""

from __future__ import annotations

from pathlib import Path

from deckclause.compare.coverage.boundary import BoundaryBuilder, NotBuilt
from deckclause.compare.coverage.boundary_file import FOLDER, file_name, file_text, shipped_cases
from deckclause.compare.coverage.coverage import Coverage, add_designs, start_coverage
from deckclause.compare.lint.context import LintContext
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.regions.sample import design_at


def shipped_coverage(catalogue: Catalogue, names: tuple[str, ...] = ()) -> list[Coverage]:
    """Return the coverage of each rule set, or of those named, by the shipped designs."""
    vocabulary = catalogue.vocabulary
    root = catalogue.files.root
    examples = [catalogue.design(path) for path in sorted((root / "examples").glob("*.yaml"))]
    boundary = {
        name: [catalogue.prepare(design_at(case.facts, vocabulary.quantities)) for case in cases]
        for _, name, cases in shipped_cases(root, vocabulary)
    }
    found = []
    for name in names or (*catalogue.files.rulesets, *(n for n in boundary if "@" in n)):
        evaluator = catalogue.evaluator(name)
        coverage = start_coverage(evaluator.ruleset)
        add_designs(coverage, evaluator, [*examples, *boundary.get(name, [])], vocabulary)
        found.append(coverage)
    return found


def boundary_texts(
    catalogue: Catalogue, names: tuple[str, ...] = (), *, cells: bool = False
) -> tuple[dict[Path, str], list[NotBuilt]]:
    """Return the right text of every boundary file, by path, and what could not be built."""
    context = LintContext(catalogue.library, names)
    builder = BoundaryBuilder(context, cells=cells)
    texts: dict[Path, str] = {}
    for read in context.sets:
        name = read.ruleset.name
        cases = builder.cases(read, catalogue.evaluator(name))
        if cases:
            path = catalogue.files.root / FOLDER / file_name(name)
            texts[path] = file_text(name, cases, catalogue.vocabulary)
    return texts, builder.not_built
