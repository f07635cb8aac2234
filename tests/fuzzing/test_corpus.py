"""Inputs that once broke something, or were hard to come by, stay answered or refused in words.

The many are tried by name: pytest tests/benchmarks/test_fuzz.py
"""

from __future__ import annotations

from pathlib import Path

import pytest

from fuzzing.targets import KINDS, target

CORPUS = Path(__file__).parent / "corpus"


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_what_was_kept_is_answered_or_refused(kind: str, tmp_path: Path) -> None:
    """Each kind takes its whole inputs as well, so that none refuses everything."""
    made = target(kind, tmp_path)
    assert any(made.take(seed) for seed in made.seeds)
    for path in sorted(CORPUS.glob(f"{kind}-*")):
        made.take(path.read_bytes())
