"""What is asked on a region: a status, the limits that go with it, and what is given."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.view import View
from deckclause.evaluate.status import DOES_NOT_COMPLY, worst
from deckclause.reading.special import Special

CONFLICT = -1
"""Two exceptions of one clause fire together: the rule set is at fault here."""

Figure = Form | str | bool | Special | None
"""A linear form, a choice, yes/no, no figure for a reason, or unknown."""


class Bound(Struct, frozen=True):
    """The least and most that comply for one subject, or the choices that do."""

    subject: str
    least: Form | None = None
    most: Form | None = None
    one_of: frozenset[str] | None = None
    decided: bool = False
    """The subject is given by clauses or a place, and was found inside: nothing is left open."""


class Asked(Struct, frozen=True):
    """What is asked: the status without the limits, the limits, and what is provided.

    A status of `complies` with a bound means: complies inside the bound, not outside.
    """

    status: int
    bounds: tuple[Bound, ...] = ()
    provided: tuple[Figure, ...] = ()


def together(view: View, asked: Sequence[Asked]) -> Asked:
    """Join what several ask: all of it must be met; the worst status counts.

    Raises Undecided where which of two limits is the tighter differs over the region.
    """
    if len(asked) == 1:
        return asked[0]
    if any(a.status == CONFLICT for a in asked):
        return Asked(CONFLICT)
    status = worst([a.status for a in asked])
    if status >= DOES_NOT_COMPLY:
        return Asked(status)
    bounds: dict[str, Bound] = {}
    for bound in (b for a in asked for b in a.bounds):
        before = bounds.get(bound.subject)
        bounds[bound.subject] = bound if before is None else _tighter(view, before, bound)
    provided = tuple(dict.fromkeys(p for a in asked for p in a.provided))
    return Asked(status, tuple(bounds[s] for s in sorted(bounds)), provided)


def _tighter(view: View, one: Bound, two: Bound) -> Bound:
    least, most = one.least or two.least, one.most or two.most
    if one.least is not None and two.least is not None:
        least = two.least if view.at_most(one.least, two.least) else one.least
    if one.most is not None and two.most is not None:
        most = one.most if view.at_most(one.most, two.most) else two.most
    options = one.one_of if two.one_of is None else two.one_of
    if one.one_of is not None and two.one_of is not None:
        options = one.one_of & two.one_of
    return Bound(one.subject, least, most, options, one.decided and two.decided)
