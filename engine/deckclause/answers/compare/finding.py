"""One clause's finding as an answer: every word and figure a printer may want of it."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.compare.expected import ExpectedAnswer, expected_answers
from deckclause.answers.figure import Figure, figure
from deckclause.compare.words import origin_text
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.local_values import act_text, local_settings, local_values
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.rulesets.clauses import Origin

MEMORY = "memory"


class FindingAnswer(Struct, frozen=True):
    """A clause applied to the design.

    `decides` is the last step, which says how the outcome came about; `steps` and `values_read`
    are told only in an answer built in depth.
    """

    rule_set: str
    clause: str
    topic: str
    cites: str
    says: str
    part: str
    status: int
    value: Figure | None
    least: Figure | None
    most: Figure | None
    margin: Figure | None
    standing: str
    sources: tuple[str, ...]
    note: str
    origin: Origin
    acts: tuple[str, ...]
    """The ordinances the finding rests on: the clause's own, then those that set a value it reads."""
    local: tuple[str, ...]
    """The place's own values the finding rests on, in words."""
    decides: str
    missing: tuple[tuple[str, str], ...]
    expected: tuple[ExpectedAnswer, ...] = ()
    """Where print was not seen: what a method gives, or why none does. Never a pass."""
    steps: tuple[str, ...] = ()
    values_read: tuple[tuple[str, str], ...] = ()

    @property
    def status_text(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    @property
    def on_memory(self) -> bool:
        """Whether the figure it rests on has not been seen in print."""
        return self.standing == MEMORY


class FindingReader:
    """Turns the findings of one evaluation into answers."""

    def __init__(self, explainer: Explainer, *, depth: bool) -> None:
        self.explainer = explainer
        self.depth = depth

    def read(self, finding: Finding) -> FindingAnswer:
        """Return a finding's answer."""
        explainer = self.explainer
        evaluation = explainer.evaluation
        kind, unit = finding.kind, finding.unit
        origin = finding.setting.origin if finding.setting else finding.clause.origin
        settings = local_settings(finding, evaluation)
        acts = [origin_text(origin), *(act_text(setting) for setting in settings)]
        steps = explainer.steps(finding) if self.depth else (explainer.decides(finding),)
        return FindingAnswer(
            rule_set=finding.ruleset,
            clause=finding.key,
            topic=finding.topic,
            cites=finding.cites,
            says=finding.says,
            part=finding.part,
            status=finding.status,
            value=figure(finding.value, kind, unit),
            least=figure(finding.least, kind, unit),
            most=figure(finding.most, kind, unit),
            margin=figure(finding.margin, kind, unit),
            standing=explainer.standing(finding),
            sources=explainer.sources(finding),
            note=finding.clause.note,
            origin=origin,
            acts=tuple(dict.fromkeys(act for act in acts if act)),
            local=local_values(finding, evaluation, explainer.vocabulary, si=explainer.si),
            decides=steps[-1],
            missing=explainer.questions(finding),
            expected=expected_answers(finding, explainer),
            steps=steps if self.depth else (),
            values_read=explainer.values_read(finding) if self.depth else (),
        )
