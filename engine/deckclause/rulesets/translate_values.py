"""Turn the values and conditions of a rule file into the domain's, against the vocabulary."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from deckclause.quantities import NUMBER, Quantity, QuantityError, parse_quantity
from deckclause.rulesets.check import dotted
from deckclause.rulesets.clauses import (
    ALWAYS,
    NOT_PERMITTED,
    NOT_SEEN,
    AllOf,
    AnyOf,
    Arithmetic,
    ByChoice,
    Cases,
    Condition,
    Fixed,
    Lookup,
    Not,
    Reads,
    Scalar,
    Table,
    Test,
    Value,
)
from deckclause.rulesets.problems import Problem, suggestion
from deckclause.rulesets.vocabulary import NO, YES, QuantityDefinition, Vocabulary
from deckclause.rulesets.yaml_tree import Tree

Path = tuple[str | int, ...]
BOUNDS = {"at_least": False, "more_than": True, "at_most": False, "less_than": True}
_PLACEHOLDER = QuantityDefinition("?", "text", "", "")


class ValueTranslator:
    """Translates values and conditions of one file, gathering every problem."""

    def __init__(self, vocabulary: Vocabulary, tree: Tree) -> None:
        self.vocabulary = vocabulary
        self.tree = tree
        self.problems: list[Problem] = []
        self.tables: dict[str, Table] = {}

    def fault(self, path: Path, message: str) -> None:
        """Note a problem at a path."""
        place = dotted(path)
        text = message if message.startswith(place) else f"{place}: {message}"
        self.problems.append(Problem(self.tree.file, self.tree.line(path), text))

    def quantity(self, name: str, path: Path) -> QuantityDefinition:
        """Find a quantity by name, noting a problem where there is none."""
        found = self.vocabulary.quantities.get(name)
        if found is None:
            near = suggestion(name, self.vocabulary.quantities)
            self.fault(path, f"'{name}' is not a known quantity.{near}")
            return _PLACEHOLDER
        return found

    def scalar(self, text: Any, definition: QuantityDefinition, path: Path) -> Scalar:
        """Read a value of a quantity: a measure with its unit, a choice, or yes/no."""
        if not isinstance(text, str):
            self.fault(path, f"a value of {definition.name} is needed")
            return ""
        if definition.dimension is not None:
            return self.measure(text, definition, path)
        if definition.kind == "yes_no":
            if text in YES or text in NO:
                return text in YES
            self.fault(path, f"'{text}' is neither yes nor no")
            return False
        if definition.kind == "choice" and text not in definition.choices:
            near = _readings(text, definition.choices) or suggestion(text, definition.choices)
            self.fault(path, f"'{text}' is not a choice of {definition.name}.{near}")
        return text

    def measure(self, text: str, definition: QuantityDefinition, path: Path) -> Fraction:
        """Read a measure of a quantity's kind."""
        try:
            if definition.dimension == NUMBER:
                return _plain_number(text).value
            return parse_quantity(text, definition.dimension).value
        except QuantityError as fault:
            self.fault(path, f"{definition.name}: {fault}")
            return Fraction(0)

    # -- conditions ---------------------------------------------------------------------------

    def condition(self, data: Any, path: Path) -> Condition:
        """Read a condition: quantities and what each must be, joined by all, any, not."""
        if data is None:
            return ALWAYS
        if not isinstance(data, dict):
            self.fault(path, "a condition is needed: quantities and what each must be")
            return ALWAYS
        parts: list[Condition] = []
        for name, wanted in data.items():
            here = (*path, name)
            if name in ("all", "any"):
                inner = self._list(wanted, here)
                parts.append(AllOf(inner) if name == "all" else AnyOf(inner))
            elif name == "not":
                parts.append(Not(self.condition(wanted, here)))
            elif _several_tests(wanted):
                parts += [self._test(name, one, (*here, i)) for i, one in enumerate(wanted)]
            else:
                parts.append(self._test(name, wanted, here))
        return parts[0] if len(parts) == 1 else AllOf(tuple(parts))

    def _list(self, data: Any, path: Path) -> tuple[Condition, ...]:
        if not isinstance(data, list) or not data:
            self.fault(path, "a list of conditions is needed")
            return ()
        return tuple(self.condition(entry, (*path, i)) for i, entry in enumerate(data))

    def _test(self, name: str, wanted: Any, path: Path) -> Test:
        definition = self.quantity(name, path)
        if isinstance(wanted, dict):
            return self._bounds(definition, wanted, path)
        meant = _as_bounds(wanted) if definition.dimension is not None else ""
        if meant:
            self.fault(path, f"'{wanted}' is no figure; write {meant}")
            return Test(name)
        options = wanted if isinstance(wanted, list) else [wanted]
        values = [
            self.scalar(option, definition, (*path, i) if isinstance(wanted, list) else path)
            for i, option in enumerate(options)
        ]
        if definition.dimension is not None:
            if len(values) != 1:
                self.fault(path, "a measured quantity takes one value, or bounds such as at_most")
            exact = Fixed(values[0] if values else Fraction(0))
            return Test(name, low=exact, high=exact)
        return Test(name, options=tuple(v for v in values if isinstance(v, str | bool)))

    def _bounds(self, definition: QuantityDefinition, wanted: dict[str, Any], path: Path) -> Test:
        if definition.dimension is None and definition is not _PLACEHOLDER:
            self.fault(path, f"{definition.name} is not measured; give the choices it may be")
        low: Value | None = None
        high: Value | None = None
        low_open = high_open = False
        if split := next((w for w in wanted if re.match(r"\d{3}\b", w)), ""):
            self.fault(
                (*path, split),
                f"'{split}' stands alone: a comma inside braces parts entries; write the figure "
                "without its comma, as 3000 ft",
            )
            return Test(definition.name)
        for word, bound in wanted.items():
            if word not in BOUNDS:
                self.fault((*path, word), f"'{word}' is not a bound.{suggestion(word, BOUNDS)}")
                continue
            value = self.value(bound, definition, (*path, word))
            if word in ("at_least", "more_than"):
                low, low_open = value, BOUNDS[word]
            else:
                high, high_open = value, BOUNDS[word]
        if low is None and high is None:
            self.fault(path, "a bound is needed: at_least, more_than, at_most or less_than")
        return Test(definition.name, None, low, low_open, high, high_open)

    # -- values -------------------------------------------------------------------------------

    def value(self, data: Any, definition: QuantityDefinition, path: Path) -> Value:
        """Read a figure for `definition`: constant, by a choice, from a table, or computed."""
        if isinstance(data, str):
            return Fixed(self.scalar(data, definition, path))
        if not isinstance(data, dict):
            self.fault(path, "a figure is needed")
            return Fixed(Fraction(0))
        if "by" in data:
            return self._by_choice(data, definition, path)
        if "table" in data:
            return self._lookup(data, path)
        if "cases" in data:
            return self._cases(data, definition, path)
        if "share_of" in data:
            self.quantity(data["share_of"], (*path, "share_of"))
            share = self._ratio(data["share"], (*path, "share"))
            return Arithmetic("product", (Fixed(share), Reads(data["share_of"])))
        if "reads" in data:
            self.quantity(data["reads"], (*path, "reads"))
            return Reads(data["reads"])
        return self._arithmetic(data, definition, path)

    def _by_choice(self, data: Any, definition: QuantityDefinition, path: Path) -> Value:
        chooser = self.quantity(data["by"], (*path, "by"))
        cases = []
        for choice, entry in data["values"].items():
            here = (*path, "values", choice)
            if chooser.kind == "choice" and choice not in chooser.choices:
                near = suggestion(choice, chooser.choices)
                self.fault(here, f"'{choice}' is not a choice of {chooser.name}.{near}")
            cases.append((choice, self.value(entry, definition, here)))
        return ByChoice(chooser.name, tuple(cases))

    def _cases(self, data: Any, definition: QuantityDefinition, path: Path) -> Value:
        cases = []
        for i, case in enumerate(data["cases"]):
            here = (*path, "cases", i)
            when = self.condition(case["when"], (*here, "when"))
            cases.append((when, self.value(case["value"], definition, (*here, "value"))))
        return Cases(tuple(cases))

    def _lookup(self, data: Any, path: Path) -> Value:
        name = data["table"]
        table = self.tables.get(name)
        if table is None:
            near = suggestion(name, self.tables)
            self.fault((*path, "table"), f"there is no table '{name}'.{near}")
            return Fixed(Fraction(0))
        fixed: list[tuple[str, Fraction | str]] = []
        axes = {axis.quantity: axis for axis in table.axes}
        for quantity, key in data.get("fixed", {}).items():
            here = (*path, "fixed", quantity)
            if quantity not in axes:
                self.fault(
                    here, f"'{quantity}' does not lead into {name}.{suggestion(quantity, axes)}"
                )
                continue
            value = self.scalar(key, self.quantity(quantity, here), here)
            if value not in axes[quantity].keys:
                self.fault(here, f"'{key}' is not a key of {name}")
            fixed.append((quantity, value if isinstance(value, str) else Fraction(value)))
        return Lookup(table, tuple(fixed))

    def _ratio(self, text: str, path: Path) -> Fraction:
        try:
            return _plain_number(text).value
        except QuantityError as fault:
            self.fault(path, str(fault))
            return Fraction(0)

    def _arithmetic(self, data: Any, definition: QuantityDefinition, path: Path) -> Value:
        operation, parts = next((key, entry) for key, entry in data.items() if entry is not None)
        plain = QuantityDefinition(definition.name, "ratio", "", "")
        values = []
        for i, part in enumerate(parts):
            here = (*path, operation, i)
            bare = operation == "product" and isinstance(part, str) and is_number(part)
            values.append(self.value(part, plain if bare else definition, here))
        if operation == "minus":
            taken = (Arithmetic("product", (Fixed(Fraction(-1)), part)) for part in values[1:])
            return Arithmetic("sum", (values[0], *taken))
        return Arithmetic(operation, tuple(values))

    def figure(self, text: Any, definition: QuantityDefinition, path: Path) -> Fraction | str:
        """Read one cell of a table: a figure, `not permitted` or `not seen`."""
        if text in (NOT_PERMITTED, NOT_SEEN):
            return str(text)
        if definition.dimension is None:
            value = self.scalar(text, definition, path)
            return value if isinstance(value, str) else str(value)
        return self.measure(text, definition, path) if isinstance(text, str) else Fraction(0)


def _several_tests(wanted: Any) -> bool:
    """Tell a list of bounds, each of which must hold, from a list of choices, one of which must."""
    return isinstance(wanted, list) and bool(wanted) and all(isinstance(w, dict) for w in wanted)


def is_number(text: str) -> bool:
    """Tell whether a text is a number without a unit, as 0.66 or 1/4."""
    try:
        _plain_number(text)
    except QuantityError:
        return False
    return True


def _plain_number(text: str) -> Quantity:
    """Read a count or a share. Raises QuantityError that says what one looks like."""
    try:
        return parse_quantity(text, NUMBER)
    except QuantityError as fault:
        if re.search(r"\d", text):
            raise
        raise QuantityError(f"'{text}' is not a number; write 2, 1/4 or 0.66") from fault


_SIGNS = {"<=": "at_most", "≤": "at_most", ">=": "at_least", "≥": "at_least", "<": "less_than",
          ">": "more_than"}  # fmt: skip


def _as_bounds(text: Any) -> str:
    """Write as bounds what a person wrote with a sign or as a range; "" for anything else.

    >>> _as_bounds("< 12 ft"), _as_bounds("10 ft to 12 ft"), _as_bounds("12 ft")
    ('{less_than: 12 ft}', '{at_least: 10 ft, at_most: 12 ft}', '')
    """
    if not isinstance(text, str):
        return ""
    if signed := re.match(r"\s*(<=|>=|<|>|≤|≥)\s*(.+)", text):
        return f"{{{_SIGNS[signed[1]]}: {signed[2].strip()}}}"
    if ranged := re.fullmatch(r"\s*(.+?)\s+to\s+(.+?)\s*", text):
        return f"{{at_least: {ranged[1]}, at_most: {ranged[2]}}}"
    return ""


def _readings(text: str, choices: Sequence[str]) -> str:
    """Name the choices a word may stand for, where several hold it; empty where fewer do.

    >>> _readings("hangers", ["hanger_fully_seated", "hanger_not_fully_seated", "ledger_strip"])
    ' It may mean hanger_fully_seated or hanger_not_fully_seated.'
    """
    words = {word.rstrip("s") for word in re.split(r"[\s_-]+", text.lower())}
    meant = [c for c in choices if words <= {word.rstrip("s") for word in c.split("_")}]
    return f" It may mean {' or '.join(meant)}." if len(meant) > 1 else ""
