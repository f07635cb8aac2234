"""The options that describe changes: each --clause, --section or --set begins one."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.upkeep.amending.describe import Change

BEGIN = ("clause", "section", "set")
BOUNDS = ("at_least", "at_most", "exactly")


class _Step(argparse.Action):
    """Keep an option in the order it was given."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: str | Sequence[Any] | None,
        option_string: str | None = None,
    ) -> None:
        del parser, option_string
        steps = list(getattr(namespace, "steps", ()))
        steps.append((self.dest, True if self.nargs == 0 or values is None else values))
        namespace.steps = steps


def add_change_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that describe one change or more."""
    group = parser.add_argument_group(
        "changes",
        "Each --clause, --section or --set begins a change; the options after it belong to it.",
    )

    def option(name: str, metavar: str | None, says: str, kind: Any = None) -> None:
        more: dict[str, Any] = {"nargs": 0} if metavar is None else {"metavar": metavar}
        if name == "--strike":
            more = {"nargs": "?", "metavar": metavar}
        if kind:
            more["type"] = kind
        group.add_argument(name, action=_Step, default=argparse.SUPPRESS, help=says, **more)

    option("--clause", "KEY", "the clause, by its key")
    option("--section", "SECTION", "or by the section it stands in")
    option("--at-least", "FIGURE", "the clause now asks at least this")
    option("--at-most", "FIGURE", "the clause now asks at most this")
    option("--exactly", "FIGURE", "the clause now asks exactly this")
    option(
        "--where",
        "QUANTITY=VALUE",
        "the bound holds there alone: a value, `a, b`, or `more_than 9 ft`; repeat",
    )
    option("--strike", "KEY", "the clause is struck; with a key, a change of its own")
    option("--strike-exception", "N", "this exception of it is struck; repeat for more", int)
    option("--keep-exceptions", None, "its other exceptions stay, though they permit less")
    option("--set", "QUANTITY=VALUE", "a value the place fixes")
    option("--says", "WORDS", "the change in a line of your own words (else: made of its figure)")
    option("--ordinance-section", "SECTION", "where in the ordinance it stands")


def described_changes(options: argparse.Namespace) -> list[Change]:
    """Return the changes described, in order. Raises InputError for options that do not fit."""
    groups: list[dict[str, Any]] = []
    ahead: dict[str, Any] = {}
    for name, value in getattr(options, "steps", ()):
        if name == "strike" and isinstance(value, str):
            groups.append({"clause": value, "strike": True, **(ahead if not groups else {})})
            continue
        if name in BEGIN:
            groups.append({name: value, **(ahead if not groups else {})})
            continue
        here = groups[-1] if groups else ahead
        if name in ("strike_exception", "where"):
            here[name] = (*here.get(name, ()), value)
        elif name in here:
            raise InputError.single(
                f"--{name.replace('_', '-')}",
                "is given twice for one change; begin the next with --clause, --section or --set",
            )
        else:
            here[name] = value
    if ahead and not groups:
        raise InputError.single(
            "amend",
            "says no change: name the clause with --clause or --section, or a value with --set",
        )
    return [_change(group) for group in groups]


def _change(group: dict[str, Any]) -> Change:
    from deckclause.upkeep.amending.describe import Change

    bounds = {word: group[word] for word in BOUNDS if group.get(word)}
    strikes = group.get("strike") or group.get("strike_exception")
    if "set" in group and (bounds or strikes):
        raise InputError.single(
            "--set", "fixes a value; a bound or --strike needs a --clause of its own before it"
        )
    if group.get("where") and not bounds:
        raise InputError.single(
            "--where", "says where a bound holds; give the bound, as --at-least"
        )
    if group.get("strike") and bounds:
        raise InputError.single("--strike", "a clause is struck or given a bound, not both")
    return Change(
        clause=group.get("clause", ""),
        section=group.get("section", ""),
        says=group.get("says", ""),
        ordinance_section=group.get("ordinance_section", ""),
        strike=bool(group.get("strike")),
        bounds=bounds,
        settings=dict([_setting(group["set"])]) if "set" in group else {},
        struck_exceptions=tuple(group.get("strike_exception", ())),
        keep_exceptions=bool(group.get("keep_exceptions")),
        where=dict(map(_condition, group.get("where", ()))),
    )


BOUND_WORDS = ("at_least", "more_than", "at_most", "less_than")


def _condition(text: str) -> tuple[str, Any]:
    """Read where a bound holds: a value, several choices, or a bound of its own."""
    name, wanted = _setting(text, "--where")
    first, _, rest = wanted.partition(" ")
    if first in BOUND_WORDS and rest:
        return name, {first: rest.strip()}
    choices = [part.strip() for part in wanted.split(",")]
    return name, choices if len(choices) > 1 else wanted


def _setting(text: str, option: str = "--set") -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not value.strip():
        raise InputError.single(option, f"'{text}' is not QUANTITY=VALUE")
    return name.strip(), value.strip()
