"""Try an amendment that is not saved yet: layer it in memory, compare, run designs under it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from deckclause.compare.rule_diff.clauses import RuleDiff, rule_diff
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.status import STATUS_TOLD
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.layering import layer_amendment
from deckclause.rulesets.ruleset import LoadedRuleSet, RuleSet


class Flip(Struct, frozen=True):
    """A design and a topic whose outcome the amendment changes."""

    design: str
    topic: str
    before: str
    after: str


class Trial(Struct, frozen=True):
    """What an unsaved amendment does."""

    base: RuleSet
    amended: RuleSet
    difference: RuleDiff


def try_out(catalogue: Catalogue, name: str, text: str, base: LoadedRuleSet) -> Trial:
    """Layer an amendment's text on what it changes. Raises InputError with every fault of it."""
    files = catalogue.files
    path = amendment_path(files, name)
    with_it = replace(
        files,
        amendments={**files.amendments, name: path},
        contents={**files.contents, path: text.encode()},
        digests={},
    )
    label = f"{base.ruleset.name} with {name}"
    loaded = layer_amendment(with_it, catalogue.vocabulary, base, name, label)
    amended = replace(loaded.ruleset, kind="place")
    difference = rule_diff(base.ruleset, amended, catalogue.vocabulary)
    return Trial(base.ruleset, amended, difference)


def amendment_path(files: RuleFiles, name: str) -> Path:
    """Return where an amendment of this name stands, or would."""
    return files.amendments.get(name) or files.root / "amendments" / f"{name}.yaml"


def flips(catalogue: Catalogue, trial: Trial, designs: Sequence[PreparedDesign]) -> Iterator[Flip]:
    """Yield every topic whose outcome the amendment changes, design by design."""
    vocabulary = catalogue.vocabulary
    quantities = vocabulary.quantities
    after = make_ready(compile_ruleset(trial.amended, quantities), quantities)
    if trial.base.name in catalogue.files.rulesets:
        before = catalogue.evaluator(trial.base.name)
    else:
        before = make_ready(compile_ruleset(trial.base, quantities), quantities)
    for design in designs:
        one, two = (evaluate(design, e, vocabulary) for e in (before, after))
        for topic in vocabulary.topics:
            a, b = one.outcome(topic).status, two.outcome(topic).status
            if a != b:
                yield Flip(design.design.name, topic, STATUS_TOLD[a], STATUS_TOLD[b])
