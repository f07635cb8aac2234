"""Regions, limits and outcomes in words."""

from __future__ import annotations

from fractions import Fraction

from deckclause.evaluate.regions.asked import CONFLICT, Asked, Bound
from deckclause.evaluate.regions.linear import Form, Inequality
from deckclause.evaluate.regions.space import Range, Space
from deckclause.evaluate.runtime import Special
from deckclause.evaluate.status import COMPLIES, STATUS_WORDS
from deckclause.evaluate.words import called, fact_text
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

_DISTANCE = QuantityDefinition("", "length", "", "")


class RegionWords:
    """Writes regions against the vocabulary."""

    def __init__(self, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.vocabulary = vocabulary
        self.si = si

    def space(self, space: Space, *, skip: frozenset[str] = frozenset()) -> str:
        """Write a region: `joists span over 12 ft to 14 ft; fasteners kind lag screw`."""
        parts = [
            self._options(name, options)
            for name, options in space.options.items()
            if name not in skip
        ]
        parts += [
            self.range(name, limits)
            for name, limits in space.ranges.items()
            if name not in skip and not self.is_open(name, limits)
        ]
        parts += [self._line_within(line, space) for line in space.lines]
        return "; ".join(parts) or "everywhere"

    def is_open(self, name: str, limits: Range) -> bool:
        """Tell whether a range says nothing: any measure from 0 on, or any at all."""
        low = None if self.vocabulary.quantities[name].signed else Fraction(0)
        return limits.high is None and (limits.low in (None, low)) and not limits.low_open

    def _options(self, name: str, options: frozenset[str | bool]) -> str:
        definition = self.vocabulary.quantities[name]
        order = definition.choices or (True, False)
        inside = [o for o in order if o in options]
        outside = [o for o in order if o not in options]
        if not outside:
            return f"any {called(name, self.vocabulary)}"
        if definition.choices and len(inside) > 3 and len(outside) < len(inside):
            words = " or ".join(fact_text(o, definition) for o in outside)
            return f"{called(name, self.vocabulary)} not {words}"
        return f"{called(name, self.vocabulary)} {' or '.join(fact_text(o, definition) for o in inside)}"

    def range(self, name: str, limits: Range) -> str:
        """Write a range of a measure: `joists span over 12 ft to 14 ft`."""
        return f"{called(name, self.vocabulary)} {self.range_figures(name, limits)}"

    def range_figures(self, name: str, limits: Range) -> str:
        """Write a range's ends alone: `over 12 ft to 14 ft`."""
        definition = self.vocabulary.quantities[name]

        def text(value: Fraction | None) -> str:
            return fact_text(value, definition, si=self.si)

        floor = Fraction(0) if not definition.signed else None
        low = None if limits.low == floor and not limits.low_open else limits.low
        if low is None and limits.high is None:
            return "any"
        if low is None and limits.high == floor:
            return text(limits.high)
        if low is None:
            return f"{'under' if limits.high_open else 'up to'} {text(limits.high)}"
        start = f"over {text(low)}" if limits.low_open else text(low)
        if limits.high is None:
            return start if limits.low_open else f"{start} or more"
        if limits.low == limits.high:
            return text(low)
        return f"{start} {'to under' if limits.high_open else 'to'} {text(limits.high)}"

    def _line_within(self, line: Inequality, space: Space) -> str:
        """Write an inequality, with the quantities that have one value here filled in."""
        form = Form((), line.form.constant)
        for name, share in line.form.terms:
            limits = space.ranges.get(name, Range())
            if limits.low is not None and limits.low == limits.high:
                form = form.plus(Form.fixed(limits.low * share))
            else:
                form = form.plus(Form.of(name).times(share))
        if len(form.terms) != 1:
            return self.line(line)
        name, share = form.terms[0]
        edge = -form.constant / share
        if share > 0:
            return self.range(name, Range(high=edge, high_open=line.strict))
        return self.range(name, Range(low=edge, low_open=line.strict))

    def line(self, line: Inequality) -> str:
        """Write an inequality between quantities."""
        names = [name for name, _ in line.form.terms]
        definition = self.vocabulary.quantities[names[0]]
        left = Form(tuple(t for t in line.form.terms if t[1] > 0))
        right = Form(tuple((n, -s) for n, s in line.form.terms if s < 0), -line.form.constant)
        if right.terms and right.constant < 0:
            left = Form(left.terms, -right.constant)
            right = Form(right.terms)
        words = "less than" if line.strict else "at most"
        return f"{self.form(left, definition)} {words} {self.form(right, definition)}"

    def form(self, form: Form, definition: QuantityDefinition) -> str:
        """Write a linear form: `1/4 of joists span`, `1/2 in`."""
        words = []
        for name, share in form.terms:
            words.append(
                called(name, self.vocabulary)
                if share == 1
                else f"{share} of {called(name, self.vocabulary)}"
            )
        if form.constant or not words:
            words.append(fact_text(form.constant, definition, si=self.si))
        return " plus ".join(words)

    # -- what is asked ------------------------------------------------------------------------

    def asked(self, asked: Asked) -> str:
        """Write what is asked: limits, or the status where there is none."""
        if asked.status == CONFLICT:
            return "two exceptions hold at once"
        parts = [self.bound(bound) for bound in asked.bounds]
        for figure in asked.provided:
            parts.append(self.figure(figure))
        if asked.status == COMPLIES and parts:
            return " and ".join(parts)
        status = STATUS_WORDS[asked.status]
        return f"{status} ({' and '.join(parts)})" if parts else status

    def figure(self, figure: object, definition: QuantityDefinition = _DISTANCE) -> str:
        """Write a figure, whatever it is."""
        if isinstance(figure, Form):
            return self.form(figure, definition)
        if isinstance(figure, Special) or figure is None:
            return "no figure"
        if isinstance(figure, bool):
            return "yes" if figure else "no"
        return str(figure).replace("_", " ")

    def bound(self, bound: Bound) -> str:
        """Write a limit: `at most 13 in`."""
        definition = self.vocabulary.quantities.get(bound.subject, _DISTANCE)
        words = []
        if bound.one_of is not None:
            order = definition.choices or tuple(sorted(bound.one_of))
            words.append(
                "one of " + ", ".join(fact_text(o, definition) for o in order if o in bound.one_of)
            )
        if bound.least is not None and bound.least == bound.most:
            words.append(f"exactly {self.form(bound.least, definition)}")
        else:
            if bound.least is not None:
                words.append(f"at least {self.form(bound.least, definition)}")
            if bound.most is not None:
                words.append(f"at most {self.form(bound.most, definition)}")
        return " and ".join(words)
