"""Random systems of distances, small enough to check by other means."""

from __future__ import annotations

import random
from fractions import Fraction as F

from hypothesis import strategies as st

from deckclause.placement.constraints import Distance


def random_system(rng: random.Random, datums: int = 6, count: int = 10) -> list[Distance]:
    """Distances about hidden positions, some shifted so that part of the systems conflict."""
    names = [f"d{i}" for i in range(datums)]
    hidden = {n: F(rng.randint(0, 96), 8) for n in names}
    slack = rng.choice([0, 2, 8, 24])
    found = []
    for index in range(count):
        start, end = rng.sample(names, 2)
        apart = hidden[end] - hidden[start]
        miss = F(rng.randint(-slack, 3), 8) if slack else F(0)
        least = apart + miss if rng.random() < 0.6 else None
        most = apart + F(rng.randint(0, 16), rng.choice([8, 16])) if rng.random() < 0.6 else None
        if least is None and most is None:
            least = apart
        kind = "boards" if rng.random() < 0.3 else "clause"
        if kind == "boards":
            least = most = apart
        found.append(Distance(start, end, least, most, f"limit {index}", kind=kind))
    return found


def distances(names: str = "abcde", most_count: int = 8) -> st.SearchStrategy[list[Distance]]:
    """Strategy for systems with rational bounds; many conflict, many are open on a side."""
    bound = st.fractions(min_value=-6, max_value=6, max_denominator=8)

    @st.composite
    def one(draw: st.DrawFn) -> Distance:
        start = draw(st.sampled_from(names))
        end = draw(st.sampled_from([n for n in names if n != start]))
        least = draw(st.none() | bound)
        most = draw(bound if least is None else st.none() | bound)
        kind = draw(st.sampled_from(["clause", "clause", "boards"]))
        return Distance(start, end, least, most, f"{start} to {end}", kind=kind)

    return st.lists(one(), min_size=1, max_size=most_count)
