"""Write an archive of invented permits: CSV, Parquet, or a folder of design files."""

from __future__ import annotations

import csv
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

from deckclause.designs.invented.columns import InventedColumn
from deckclause.designs.invented.permits import IDENTITY, invented_batches
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.write_file import refuse_existing, writing, writing_folder, writing_text

Batch = dict[str, InventedColumn]
Step = Callable[[int], None]
MOST_FILES = 100_000


def write_archive(
    path: Path, designs: int, seed: int, vocabulary: Vocabulary, step: Step = lambda count: None
) -> None:
    """Write `designs` invented permits to `path`; its suffix, or none for a folder, says how.

    Raises InputError where the path is taken or its suffix is not known.
    """
    refuse_existing(path)
    batches = invented_batches(designs, seed, tuple(vocabulary.quantities))
    if path.suffix == ".csv":
        _write_csv(path, batches, step)
    elif path.suffix == ".parquet":
        _write_parquet(path, batches, step)
    elif path.suffix:
        raise InputError.single(str(path), "ends in neither .csv nor .parquet; a folder has no dot")
    elif designs > MOST_FILES:
        raise InputError.single(
            str(path), f"a folder takes at most {MOST_FILES} designs; use .parquet"
        )
    else:
        _write_folder(path, batches, vocabulary, step)


def write_plans(
    path: Path, designs: int, seed: int, vocabulary: Vocabulary, step: Step = lambda count: None
) -> None:
    """Write a folder of invented permits, each with its whole plan.

    Raises InputError where the path is taken, is no folder's, or takes so many.
    """
    import numpy as np

    from deckclause.designs.invented.plans import plan_of, plan_text

    refuse_existing(path)
    if path.suffix or designs > MOST_FILES:
        raise InputError.single(
            str(path), f"plans are written to a folder, at most {MOST_FILES}; a folder has no dot"
        )
    with writing_folder(path) as folder:
        for number in range(1, designs + 1):
            name = f"INV-{number:07d}"
            plan = plan_of(np.random.default_rng([seed, number]), vocabulary.groups)
            (folder / f"{name}.yaml").write_text(plan_text(name, plan), encoding="utf-8")
            step(1)


def _write_csv(path: Path, batches: Any, step: Step) -> None:
    with writing_text(path) as stream:
        writer = csv.writer(stream, lineterminator="\n")
        for number, batch in enumerate(batches):
            if not number:
                writer.writerow(batch)
            writer.writerows(zip(*(column.cells() for column in batch.values()), strict=True))
            step(len(batch[IDENTITY].codes))


def _write_parquet(path: Path, batches: Any, step: Step) -> None:
    pa: Any = import_module("pyarrow")
    parquet: Any = import_module("pyarrow.parquet")
    writer: Any = None
    with writing(path) as stream:
        for batch in batches:
            table = pa.table({name: _arrow(pa, column) for name, column in batch.items()})
            if writer is None:
                writer = parquet.ParquetWriter(stream, table.schema)
            writer.write_table(table)
            step(table.num_rows)
        writer.close()


def _arrow(pa: Any, column: InventedColumn) -> Any:
    """Turn a column into text; an unknown fact is null."""
    texts = pa.array([text or None for text in column.texts], pa.string())
    return texts.take(pa.array(column.codes))


def _write_folder(path: Path, batches: Any, vocabulary: Vocabulary, step: Step) -> None:
    with writing_folder(path) as folder:
        for batch in batches:
            cells = {name: column.cells() for name, column in batch.items()}
            for row, name in enumerate(cells[IDENTITY]):
                stated = {q: texts[row] for q, texts in cells.items() if q != IDENTITY}
                facts = {quantity: text for quantity, text in stated.items() if text}
                (folder / f"{name}.yaml").write_text(
                    design_text(name, facts, vocabulary), encoding="utf-8"
                )
            step(len(cells[IDENTITY]))


def design_text(name: str, facts: dict[str, str], vocabulary: Vocabulary) -> str:
    """Write a design file of one part a group."""
    lines = ["design: 1", f"name: {name}", "invented: yes"]
    groups: dict[str, list[str]] = {}
    for quantity, text in facts.items():
        group, _, key = quantity.partition(".")
        groups.setdefault(group, []).append(f"  {key}: {text}")
    for group in vocabulary.groups:
        if group in groups:
            lines += [f"{group}:", *groups[group]]
    return "\n".join(lines) + "\n"
