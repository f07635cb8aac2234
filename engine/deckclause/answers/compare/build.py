"""Builds the answer of `compare` from what was evaluated."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from types import MappingProxyType

import deckclause
from deckclause.answers.compare.answer import CompareAnswer, DesignHead, Told, Unstated
from deckclause.answers.compare.attention import BEGUN, UNSTATED, attention
from deckclause.answers.compare.card import card
from deckclause.answers.compare.cell import cell_answer
from deckclause.answers.compare.change import change_answers
from deckclause.answers.compare.decisive import decisive
from deckclause.answers.compare.failures import failures
from deckclause.answers.compare.finding import FindingReader
from deckclause.answers.compare.known import known_of_pairs
from deckclause.answers.compare.questions import lacking, open_questions
from deckclause.answers.compare.row import TopicRow
from deckclause.answers.compare.table_cautions import table_cautions
from deckclause.answers.compare.to_do import to_do
from deckclause.answers.compare.together import together_answer
from deckclause.answers.compare.ways import ways_to_comply
from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.compare.words import ChangeWords
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.notices import THE_DESIGN, notices_by_name
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, NOT_REGULATED, status_told
from deckclause.evaluate.words import asked_limit, fact_text
from deckclause.rulesets.names import rule_set_title, short_titles
from deckclause.rulesets.vocabulary import Vocabulary


def compare_answer(
    comparison: Comparison,
    vocabulary: Vocabulary,
    *,
    si: bool = False,
    depth: bool = False,
    kept: Mapping[str, TopicRow] = MappingProxyType({}),
) -> CompareAnswer:
    """Return a comparison's answer, its words in SI units where `si`.

    `depth` adds every finding with its steps; without it the findings that need no one's
    attention are left out. `kept` are rows of an answer like this one, by topic, that would come
    out the same again (`kept.rows_kept`).
    """
    return _Builder(comparison, vocabulary, si=si, depth=depth, kept=kept).answer()


class _Builder:
    def __init__(
        self,
        comparison: Comparison,
        vocabulary: Vocabulary,
        *,
        si: bool,
        depth: bool,
        kept: Mapping[str, TopicRow],
    ) -> None:
        self.kept = kept
        self.comparison = comparison
        self.vocabulary = vocabulary
        self.si = si
        self.depth = depth
        self.words = ChangeWords(comparison, vocabulary, si=si)
        self.explainers = [Explainer(e, vocabulary, si=si) for e in comparison.evaluations]
        self.readers = [FindingReader(e, depth=depth) for e in self.explainers]
        self.attention = attention(comparison)

    def answer(self) -> CompareAnswer:
        comparison, design = self.comparison, self.comparison.design.design
        rows = tuple(map(self.row, comparison.rows))
        unstated = Counter(r.topic.part for r in rows if r.attention == UNSTATED)
        titles = [evaluation.ruleset.name for evaluation in comparison.evaluations]
        of_unstated = frozenset(r.topic.name for r in rows if r.attention == UNSTATED)
        lacks, books = lacking(comparison.rows, self.explainers)
        few = decisive(lacks, needs_book=books)
        quantities = self.vocabulary.quantities
        return CompareAnswer(
            design=DesignHead(design.name, design.says, design.file, design.digest),
            si=self.si,
            cards=tuple(
                card(e, rows, i, comparison.binding) for i, e in enumerate(comparison.evaluations)
            ),
            holds_together=together_answer(
                comparison.together,
                self.vocabulary,
                binding=comparison.binding is not None,
                si=self.si,
                depth=self.depth,
            ),
            rows=rows,
            known=known_of_pairs(comparison, rows),
            ways=ways_to_comply(comparison),
            unstated=tuple(
                Unstated(part, self.vocabulary.parts[part], count)
                for part, count in unstated.items()
            ),
            told=tuple(self.told()),
            to_do=to_do(comparison, rows, self.explainers, short_titles(titles)),
            failures=failures(rows),
            failures_where_they_differ=failures(r for r in rows if r.differs),
            questions=open_questions(comparison.rows, self.explainers, of_unstated, si=self.si),
            decisive=few,
            decisive_questions=tuple(quantities[name].ask for name in few.answers) if few else (),
            undecided_topics=len(lacks),
            table_cautions=table_cautions(comparison.rows),
            exit_status=comparison.exit_status,
            engine=deckclause.__version__,
            vocabulary=self.vocabulary.digest,
        )

    def row(self, row: ComparisonRow) -> TopicRow:
        kept = self.kept.get(row.topic.name)
        if kept is not None and kept.attention == self.attention[row.topic.name]:
            return kept
        numbers: dict[object, int] = {}
        for compared in row.compared:
            numbers.setdefault(compared, len(numbers))
        cells = tuple(
            cell_answer(outcome, numbers[compared], reader, self.at_stated(row, column))
            for column, (outcome, compared, reader) in enumerate(
                zip(row.outcomes, row.compared, self.readers, strict=True)
            )
        )
        eye = self.attention[row.topic.name]
        statuses = [cell.status for cell in cells]
        return TopicRow(
            topic=row.topic,
            part_title=self.vocabulary.parts[row.topic.part],
            cells=cells,
            changes=tuple(change_answers(row, self.words)),
            differs=row.differs,
            status=row.status,
            attention=eye,
            begins=statuses.count(NOT_REGULATED) if eye == BEGUN else 0,
        )

    def at_stated(self, row: ComparisonRow, column: int) -> str:
        """Say what a topic comes to at a load the design states higher than the place does."""
        outcome = self.comparison.at_stated(row, column)
        if outcome is None:
            return ""
        found = outcome.governing
        limit = ""
        if found is not None and outcome.status in (COMPLIES, DOES_NOT_COMPLY):
            limit = asked_limit(found, si=self.si)
        return f"{status_told(outcome.status_words)}{f' ({limit})' if limit else ''}"

    def higher_loads(self) -> Iterator[Told]:
        """Say of each place whose load the design exceeds what that would change."""
        for column, found in enumerate(self.comparison.heavier):
            if found is None:
                continue
            changed = [
                f"{row.topic.title}: {words}"
                for row in self.comparison.rows
                if (words := self.at_stated(row, column))
            ]
            if not changed:
                continue
            definition = self.vocabulary.quantities[found.quantity]
            stated, used = (
                fact_text(value, definition, si=self.si) for value in (found.stated, found.used)
            )
            says = (
                f"the design states a {definition.called} of {stated}, the place {used}; outcomes "
                f"are at {used}, those marked ! are otherwise at {stated}: "
                f"{'; '.join(changed)}"
            )
            yield Told(rule_set_title(found.evaluation.ruleset.name), (says,))

    def told(self) -> Iterator[Told]:
        yield from self.higher_loads()
        said = notices_by_name(self.comparison.evaluations, self.vocabulary, si=self.si)
        for name, says in said.items():
            of_design = name == THE_DESIGN
            title = name.capitalize() if of_design else rule_set_title(name)
            yield Told(title, says, of_design)
