"""Where rule sets part, in words and as data."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import pairwise
from textwrap import wrap
from typing import Any

from deckclause.compare.knowledge import state_words, topic_states
from deckclause.compare.regions import DriverFinder, Region, Regions, pairs_parting
from deckclause.compare.rule_diff.clauses import rule_diff
from deckclause.evaluate.regions.asked import Asked
from deckclause.evaluate.regions.words import RegionWords
from deckclause.report.cautions import CAUTIONS
from deckclause.rulesets.names import rule_set_title, rule_set_titles
from deckclause.rulesets.vocabulary import Vocabulary


class RegionsText:
    """Writes the regions on which rule sets part."""

    def __init__(
        self,
        regions: Regions,
        finder: DriverFinder,
        vocabulary: Vocabulary,
        *,
        width: int = 100,
        si: bool = False,
    ) -> None:
        self.regions = regions
        self.finder = finder
        self.vocabulary = vocabulary
        self.width = max(width, 60)
        self.words = RegionWords(vocabulary, si=si)
        self.common = common_to(regions.parting)

    def lines(self) -> Iterator[str]:
        """Yield the report."""
        topic = self.vocabulary.topics[self.regions.topic]
        yield f"{topic.title}: where {rule_set_titles(list(self.regions.names))} part"
        yield ""
        parting = self.regions.parting
        if not parting:
            yield from self._wrapped(
                f"Nowhere: over all {len(self.regions.regions)} regions of the input space they ask "
                "the same."
            )
        else:
            yield from self._wrapped(
                f"They part on {len(parting)} of the {len(self.regions.regions)} regions the input "
                "space falls into. The list is complete; regions do not overlap."
            )
            if self.common:
                yield from self._wrapped(f"All of them: {self._common_words()}.")
        driver = ""
        for words, region in self._by_driver():
            if words != driver:
                driver = words
                yield ""
                yield from self._wrapped(f"Driven by {driver}:")
            yield from self._wrapped(self.sentence(region), "  ")
        yield ""
        for words in self.known():
            yield from self._wrapped(words)
        for caution in CAUTIONS:
            yield from self._wrapped(caution)

    def known(self) -> Iterator[str]:
        """Yield what is known of the topic under each rule set and the one before it."""
        sets = [e.ruleset for e in self.finder.evaluators]
        for one, two in pairwise(sets):
            diff = rule_diff(one, two, self.vocabulary)
            for entry in topic_states(diff, (self.regions.topic,)):
                names = f"{rule_set_title(one.name)} and {rule_set_title(two.name)}"
                yield f"What is known of {names} here: {state_words(entry)}."

    def sentence(self, region: Region) -> str:
        """Write one region: where it is, and what each rule set asks there."""
        where = self.words.space(region.space, skip=frozenset(self.common))
        asked = "; ".join(
            f"{rule_set_title(name)}: {self.words.asked(a)}"
            for name, a in zip(self.regions.names, region.answer.asked, strict=True)
        )
        return f"{where}. {asked}"

    def _common_words(self) -> str:
        first = self.regions.parting[0].space
        others = frozenset({*first.options, *first.ranges} - set(self.common))
        only = type(first)(first.options, first.ranges, ())
        return self.words.space(only, skip=others)

    def _by_driver(self) -> list[tuple[str, Region]]:
        found = [(self.driver_words(region), region) for region in self.regions.parting]
        order = {words: i for i, (words, _) in reversed(list(enumerate(found)))}
        return sorted(found, key=lambda pair: order[pair[0]])

    def driver_words(self, region: Region) -> str:
        """Write what drives the differences on a region."""
        parts = []
        for first, second in pairs_parting(region):
            drivers = self.finder.drivers(region, first, second)
            words = (
                ", or ".join(" with ".join(d.keys) for d in drivers) or "no single exchange found"
            )
            names = self.regions.names
            parts.append(
                words
                if len(names) == 2
                else f"{words} ({rule_set_title(names[first])} to {rule_set_title(names[second])})"
            )
        return "; ".join(dict.fromkeys(parts))

    def _wrapped(self, text: str, indent: str = "") -> Iterator[str]:
        yield from wrap(text, self.width, initial_indent=indent, subsequent_indent=indent + "  ")


def common_to(regions: tuple[Region, ...]) -> list[str]:
    """Return the quantities that are restricted alike in every region."""
    if len(regions) < 2:
        return []
    first = regions[0].space
    names = []
    for name in (*first.options, *first.ranges):
        mine = (first.options.get(name), first.ranges.get(name))
        if all((r.space.options.get(name), r.space.ranges.get(name)) == mine for r in regions):
            names.append(name)
    return names


def regions_json(text: RegionsText) -> str:
    """Write every region, agreeing or not, as JSON."""
    regions, words = text.regions, text.words

    def asked(one: Asked) -> str:
        return words.asked(one)

    data: dict[str, Any] = {
        "regions": 1,
        "topic": regions.topic,
        "rule_sets": list(regions.names),
        "inputs": list(regions.reads),
        "known": list(text.known()),
        "found": [
            {
                "where": words.space(r.space),
                "choices": {n: sorted(map(_plain, o)) for n, o in r.space.options.items()},
                "ranges": {
                    n: {
                        "low": None if v.low is None else str(v.low),
                        "low_open": v.low_open,
                        "high": None if v.high is None else str(v.high),
                        "high_open": v.high_open,
                    }
                    for n, v in r.space.ranges.items()
                },
                "together": [words.line(line) for line in r.space.lines],
                "asked": {n: asked(a) for n, a in zip(regions.names, r.answer.asked, strict=True)},
                "agree": r.answer.agree,
                "driven_by": None if r.answer.agree else text.driver_words(r),
            }
            for r in regions.regions
        ],
        "cautions": list(CAUTIONS),
    }
    return json.dumps(data, indent=1, ensure_ascii=False)


def _plain(option: str | bool) -> str:
    return option if isinstance(option, str) else "yes" if option else "no"
