"""A request to be begun, decided: which relief, which items, which questions; nothing laid out yet."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.place_values import place_values
from deckclause.answers.relief.answer import ChangeMade, ChoiceFound
from deckclause.answers.relief.choices import change_made, choices_found
from deckclause.answers.requirement_words import requirement_sentence
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import asked_limit, fact_text, scalar_text
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.relief import Form, LocalSettings, ReliefKind
from deckclause.variance.case import ReliefCase
from deckclause.variance.options import MOST_SHOWN, option_keys
from deckclause.variance.relief import Choice, ReliefReport
from deckclause.variance.request.check import HARDSHIP, wanted_fields
from deckclause.variance.request.fields import ITEMS, fields
from deckclause.variance.request.hints import CONSENT, EVIDENCE, TRUTH, hint
from deckclause.variance.request.model import ATTACHMENT_KINDS


class NewItem(Struct, frozen=True):
    """One provision asked to give way: its clause, and in words what it requires and the deck has."""

    clause: str
    part: str
    requires: str
    figures: str


class Ask(Struct, frozen=True):
    """One field to be answered: its dotted name (within the item, for an item's), and its hint."""

    name: str
    hint: str


class WayOut(Struct, frozen=True):
    """A change of the design that would avoid relief, under the key its answer goes by."""

    key: str
    changes: tuple[ChangeMade, ...]


class NewRequest(Struct, frozen=True):
    """A request for one relief, with every question of its form.

    `with_changes` are the measures the deck asked for has otherwise than the design file, as text;
    `set_by_place` the values places set; `others` the reliefs that would do too. `whole` is asked
    once, `in_items` of each item; `evidence`, `consent` and `truth` are the hints beside those.
    """

    kind: ReliefKind
    form: Form
    local: LocalSettings | None
    under: str
    design: str
    design_digest: str
    rule_set_digest: str
    choice: ChoiceFound
    others: tuple[ChoiceFound, ...]
    set_by_place: tuple[str, ...]
    with_changes: tuple[tuple[str, str], ...]
    whole: tuple[Ask, ...]
    in_items: tuple[Ask, ...]
    evidence: str
    consent: str
    truth: str
    attachment_kinds: tuple[str, ...]
    items: tuple[NewItem, ...]
    ways_out: tuple[WayOut, ...]


def must_choose(report: ReliefReport, design_path: str) -> None:
    """Raise InputError where there is nothing to ask for, or no relief that would do."""
    case = report.case
    if not case.failing:
        raise InputError.single(
            design_path, f"fails nothing under {case.evaluator.ruleset.name}: ask for nothing"
        )
    if report.relief.rows_alone and not report.relief.others:
        raise InputError.single(
            design_path,
            "needs no relief on the section: moving the rows is enough (deckclause relief)",
        )
    if not report.choices:
        guarded = "; ".join(
            f"{f.key}: {kept}" for f in case.failing if (kept := case.never_relax(f.clause))
        )
        if guarded:
            raise InputError.single(design_path, f"no request is drafted: {guarded}")
        why = "; ".join(n.reason for n in report.not_offered)
        told = f" ({why})" if why else ""
        raise InputError.single(
            design_path, f"no relief makes this design stand{told}; change the design"
        )


def new_request(
    report: ReliefReport,
    kind: ReliefKind,
    form: Form,
    local: LocalSettings | None,
    design_path: str,
    choice: Choice,
) -> NewRequest:
    """Return a new request for one relief. Raises InputError where none is drafted."""
    case, quantities = report.case, report.case.vocabulary.quantities
    offered = choices_found(report)
    whole, in_items = _asks(kind, form, local)
    return NewRequest(
        kind=kind,
        form=form,
        local=local,
        under=case.evaluator.ruleset.name,
        design=design_path,
        design_digest=case.design.design.digest,
        rule_set_digest=case.evaluator.ruleset.digest,
        choice=next(c for c in offered if c.number == choice.number),
        others=tuple(c for c in offered if c.number != choice.number),
        set_by_place=tuple(v.told for v in place_values(case.evaluation, case.vocabulary)),
        with_changes=tuple((n, fact_text(v, quantities[n])) for n, v in choice.moved),
        whole=whole,
        in_items=in_items,
        evidence=EVIDENCE,
        consent=CONSENT,
        truth=TRUTH,
        attachment_kinds=ATTACHMENT_KINDS,
        items=tuple(map(_item, _failing(case, choice, design_path))),
        ways_out=_ways_out(report),
    )


def _failing(case: ReliefCase, choice: Choice, design_path: str) -> tuple[Finding, ...]:
    """Return what still fails with the relief's changes made, and may be asked relief from."""
    after = ReliefCase(case.catalogue, case.rules, case.evaluator, choice.evaluation)
    kept = tuple(f for f in after.failing if not case.never_relax(f.clause))
    if not kept:
        reasons = "; ".join(f"{f.key}: {case.never_relax(f.clause)}" for f in after.failing)
        raise InputError.single(design_path, f"no request is drafted: {reasons}")
    return kept


def _item(finding: Finding) -> NewItem:
    value = scalar_text(finding.value, finding.kind, finding.unit)
    return NewItem(
        finding.key,
        finding.part,
        f"{finding.cites}: {requirement_sentence(finding)}",
        f"required {asked_limit(finding) or 'as said'}; asked for, {value}",
    )


def _asks(
    kind: ReliefKind, form: Form, local: LocalSettings | None
) -> tuple[tuple[Ask, ...], tuple[Ask, ...]]:
    """Return the questions asked once, and those asked of each item; what is not accepted is not asked."""
    wanted = wanted_fields(kind, form, local)
    no_hardship = local is not None and local.hardship_accepted is False
    whole: list[Ask] = []
    in_items: list[Ask] = []
    for field in fields().values():
        if field.name.startswith(("attachments", "declarations")):
            continue
        if field.name == HARDSHIP and no_hardship:
            continue
        ask = Ask(field.name.removeprefix(ITEMS), hint(field, wanted=field.name in wanted))
        (in_items if field.in_item else whole).append(ask)
    return tuple(whole), tuple(in_items)


def _ways_out(report: ReliefReport) -> tuple[WayOut, ...]:
    """Return the changes that would avoid relief, of each of which it is asked why it is not made."""
    options = report.changes.options[:MOST_SHOWN]
    vocabulary = report.case.vocabulary
    keys = option_keys(options, vocabulary.quantities)
    return tuple(
        WayOut(key, tuple(change_made(c, vocabulary) for c in option.changes))
        for option, key in zip(options, keys, strict=True)
    )
