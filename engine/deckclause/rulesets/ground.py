"""Values of the ground outlive editions: frost, snow and soil belong to the place, not to its code.

Where a code in force sets none of its own, the values an earlier code of the place or a larger
place's amendment set stay, whichever edition those amend, under their own ordinances and dates.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.layering import layered_tree, read_amendment_tree
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.yaml_tree import Tree

GROUND = "ground"
"""The kind of the layer that holds such values."""
Staying = tuple[str, tuple[str, ...]]
"""An amendment and the quantities of it that stay."""


def ground_quantities(vocabulary: Vocabulary) -> frozenset[str]:
    """Return the quantities that belong to the place itself: what it may fix of its site."""
    return frozenset(
        name for name, q in vocabulary.quantities.items() if q.fixed_by_place and _of_site(name)
    )


def _of_site(name: str) -> bool:
    return name.startswith("site.")


def staying(
    files: RuleFiles,
    vocabulary: Vocabulary,
    amendments: tuple[str, ...],
    ground: tuple[str, ...],
    lets_fall: tuple[str, ...] = (),
) -> tuple[Staying, ...]:
    """Return which values of which earlier or larger amendments stay, the nearest first.

    `amendments` are in force and go before; `ground` may stay, nearest first; quantities in
    `lets_fall` were given up. Raises InputError where one of them cannot be read.
    """
    known = ground_quantities(vocabulary)
    settled = set(lets_fall)
    for name in amendments:
        settled |= _settled(read_amendment_tree(files, name).data["changes"])
    found: list[Staying] = []
    for name in ground:
        own = _settled(read_amendment_tree(files, name).data["changes"]) & known
        if stays := tuple(sorted(own - settled)):
            found.append((name, stays))
        settled |= own
    return tuple(found)


def layer_ground(
    files: RuleFiles, vocabulary: Vocabulary, base: LoadedRuleSet, stays: Staying, label: str
) -> LoadedRuleSet:
    """Return `base` with the values of the ground an amendment of another code set.

    Raises InputError with every fault.
    """
    name, quantities = stays
    tree = read_amendment_tree(files, name)
    changes = [_only(change, set(quantities)) for change in tree.data["changes"]]
    data = {**tree.data, "edition": base.ruleset.edition, "changes": changes}
    only = Tree(tree.file, data, tree.lines)
    content = files.digest_of(files.amendment_path(name))
    return layered_tree(vocabulary, base, only, label, content, GROUND)


def _settled(changes: list[dict[str, Any]]) -> set[str]:
    return {quantity for change in changes for quantity in _fixes(change)}


def _fixes(change: dict[str, Any]) -> Iterator[str]:
    """Yield the quantities a change gives a value."""
    yield from change.get("set") or {}
    for word in ("add", "to"):
        given = (change.get(word) or {}).get("provides")
        if given:
            yield given


def _only(change: dict[str, Any], quantities: set[str]) -> dict[str, Any]:
    """Keep of a change what fixes some quantities; an empty change keeps the others' places."""
    kept = {k: v for k, v in change.items() if k in ("section", "says", "cites")}
    if change.get("set"):
        values = {k: v for k, v in change["set"].items() if k in quantities}
        return {**kept, "set": values} if values else {}
    if change.get("add") and change["add"].get("provides") in quantities:
        return dict(change)
    return {}
