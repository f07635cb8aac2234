"""Checks of carried lines: written for words that have moved, from which edition, on what ground."""

from __future__ import annotations

from deckclause.rulesets.problems import InputError
from deckclause.rulesets.stale import stale_carried
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.finding import Found, Place


def stale_line(context: LintContext) -> Found:
    """Find carried lines whose recorded fingerprints are not those of what they carry."""
    for name in context.files.rulesets if context.vocabulary is not None else ():
        if context.narrowed and not context.looked_at.intersection(context.files.rulesets[name]):
            continue
        try:
            stale = stale_carried(context.library, name)
        except InputError:
            continue  # reported as unreadable
        for line in stale:
            message = (
                f"{line.target}: recorded {line.recorded or 'none'}, now {line.now}; "
                f"`deckclause rules affirm {name}`"
            )
            yield Place(line.file, line.line), line.target, message


def carried_past(context: LintContext) -> Found:
    """Find lines carried from another rule set than the one just before."""
    for read in context.books:
        before = _before(context, read)
        for clause in read.ruleset.clauses:
            carried = clause.origin.carried
            if carried is not None and carried.ruleset != before:
                message = f"is carried from {carried.ruleset}, past {before}"
                yield Place(clause.origin.file, clause.origin.line), clause.key, message


def _before(context: LintContext, read: ReadSet) -> str:
    """Return the rule set of the same kind that was published last before this one."""
    earlier = [
        (other.ruleset.published, other.ruleset.name)
        for other in context.books
        if other.ruleset.kind == read.ruleset.kind
        and other.ruleset.published < read.ruleset.published
    ]
    return max(earlier, default=(0, ""))[1]


def carried_unread(context: LintContext) -> Found:
    """Count, for each book, the carried clauses of which nobody has read that they are the same."""
    for read in context.books:
        carried = [c for c in read.ruleset.clauses if c.origin.carried]
        unread = [c for c in carried if c.only_carried]
        if unread:
            message = (
                f"{len(unread)} of {len(carried)} carried clauses (of {len(read.ruleset.clauses)}) "
                "stand on no reading of this text: that they are unchanged is not known"
            )
            yield Place(unread[0].origin.file), read.ruleset.name, message
