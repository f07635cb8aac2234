"""The sampler of code mutations changes code in one place, and what it makes compiles."""

from __future__ import annotations

import ast
import random

from benchmarks.code_mutations import AREAS, ROOT, answering, mutants


def test_each_mutant_is_one_changed_place_that_compiles() -> None:
    for area in AREAS:
        drawn = mutants(area, random.Random(1))
        for _ in range(15):
            mutant = next(drawn)
            whole = ast.unparse(ast.parse(mutant.file.read_text(encoding="utf-8")))
            compile(mutant.source, str(mutant.file), "exec")
            changed = [
                (one, two)
                for one, two in zip(whole.splitlines(), mutant.source.splitlines(), strict=True)
                if one != two
            ]
            assert len(changed) == 1, (mutant.before, mutant.after)


def test_every_area_has_tests_to_answer_for_it() -> None:
    for area in AREAS:
        mutant = next(mutants(area, random.Random(2)))
        files = answering(mutant, area)
        assert len(files) > 3
        assert all((ROOT / file).is_file() for file in files)
