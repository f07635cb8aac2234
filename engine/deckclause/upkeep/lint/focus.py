"""What the checks find that concerns some files or places, apart from everything else they find."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import Struct

from deckclause.rulesets.drafts import amendment_named
from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.register import alike
from deckclause.rulesets.yaml_tree import parse_tree
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Check, LintFinding
from deckclause.upkeep.lint.kept_surveys import KeptSurveys
from deckclause.upkeep.lint.run import run_checks


class Focus(Struct, frozen=True):
    """What is looked at: files by their names, and the rule sets they go into."""

    files: frozenset[str]
    subjects: frozenset[str]
    """Places: what the register is found to say of them concerns them."""
    sets: tuple[str, ...]
    bases: tuple[str, ...]
    """The editions beneath: what is found in them alone does not concern an amendment."""

    @classmethod
    def joined(cls, parts: Sequence[Focus]) -> Focus:
        """Join several into one."""
        return cls(
            frozenset().union(*(p.files for p in parts)),
            frozenset().union(*(p.subjects for p in parts)),
            tuple(dict.fromkeys(s for p in parts for s in p.sets)),
            tuple(dict.fromkeys(b for p in parts for b in p.bases)),
        )


def focus_on(library: RuleLibrary, named: Sequence[str], places: Sequence[str]) -> Focus:
    """Return what files, ids and places mean. Raises InputError for what is none of them."""
    return Focus.joined(
        [*(_named(library, n) for n in named), *(_place(library, p) for p in places)]
    )


def own_focus(library: RuleLibrary) -> Focus:
    """Return what a place's own folder holds, apart from the shipped rules beneath it.

    What cannot be read is looked at as well: the checks say why.
    """
    files = library.files
    named = frozenset(files.name(path) for path in sorted(files.root.rglob("*.yaml")))
    parts = [Focus(named, frozenset(), (), ())]
    for name, path in files.amendments.items():
        if files.is_own(path):
            parts.append(_tried(library, name))
    own = [n for n, paths in files.rulesets.items() if files.is_own(paths[0])]
    parts.append(Focus(frozenset(), frozenset(), tuple(own), ()))
    for place in _own_places(library):
        try:
            parts.append(_place(library, place))
        except InputError:
            parts.append(Focus(frozenset(), frozenset([place]), (), ()))
    return Focus.joined(parts)


def _tried(library: RuleLibrary, amendment: str) -> Focus:
    try:
        return _amendment(library, amendment)
    except InputError:
        return Focus(frozenset(), frozenset([amendment]), (amendment,), ())


def _own_places(library: RuleLibrary) -> list[str]:
    """Return the places the folder's own register names; none where it cannot be read."""
    files = library.files
    try:
        tree = parse_tree(files.content(files.register_path), files.name(files.register_path))
        places = tree.data["places"]
        return [str(name) for name in places]
    except (InputError, KeyError, TypeError):
        return []


def concerning(
    library: RuleLibrary,
    focus: Focus,
    checks: Sequence[Check],
    *,
    narrow: bool = True,
    kept: KeptSurveys | None = None,
    compiled: Callable[[str], object] | None = None,
) -> tuple[list[LintFinding], list[LintFinding]]:
    """Run checks; return what concerns the focus and what else was found on the way.

    A finding concerns it where it stands in one of its files, speaks of one of its places, or is
    not found where the editions beneath are read without it. `narrow` goes through its own files
    alone, not through every one of the folder. `kept` and `compiled` are those of LintContext.
    """
    files = focus.files if narrow else None
    context = LintContext(library, (*focus.bases, *focus.sets), files, kept=kept, compiled=compiled)
    found = run_checks(context, checks)
    own: list[LintFinding] = []
    elsewhere: list[LintFinding] = []
    for finding in found:
        here = finding.place.file in focus.files or finding.subject in focus.subjects
        (own if here else elsewhere).append(finding)
    if focus.bases:
        beneath = LintContext(library, focus.bases, files, like=context)
        told = {f.check for f in elsewhere}  # no other check has anything to be held against
        without = {_key(f) for f in run_checks(beneath, [c for c in checks if c.name in told])}
        own += [f for f in elsewhere if _key(f) not in without]
        elsewhere = [f for f in elsewhere if _key(f) in without]
    return sorted(own, key=lambda f: f.order), elsewhere


def _key(finding: LintFinding) -> tuple[object, ...]:
    return finding.check, finding.place, finding.message


def _named(library: RuleLibrary, text: str) -> Focus:
    files = library.files
    if amendment := amendment_named(files, text) if not _edition_file(library, text) else "":
        return _amendment(library, amendment)
    if name := _edition_file(library, text):
        path = Path(text)
        return Focus(frozenset([files.name(_own(library, name, path))]), frozenset(), (name,), ())
    if text in files.rulesets:
        names = frozenset(files.name(path) for path in files.ruleset_paths(text))
        return Focus(names, frozenset(), (text,), ())
    if "@" in text or any(alike(p) == alike(text) for p in library.register.places):
        return _place(library, text)
    known = [*files.rulesets, *files.amendments, *library.register.places]
    raise InputError.single(
        text, f"is no rule file, edition, amendment or place.{suggestion(text, known)}"
    )


def _edition_file(library: RuleLibrary, text: str) -> str:
    """Return the rule set a file belongs to, or nothing."""
    path = Path(text).resolve()
    for name, paths in library.files.rulesets.items():
        if any(p.resolve() == path for p in paths):
            return name
    return ""


def _own(library: RuleLibrary, name: str, path: Path) -> Path:
    return next(p for p in library.files.rulesets[name] if p.resolve() == path.resolve())


def _amendment(library: RuleLibrary, name: str) -> Focus:
    files = library.files
    edition = read_amendment_tree(files, name).data["edition"]
    sets = [
        f"{place.name}@{adoption.begins}"
        for place in library.register.places.values()
        for adoption in place.adoptions
        if name in adoption.amendments
    ]
    named = frozenset([files.name(files.amendment_path(name))])
    return Focus(named, frozenset([name]), tuple(sets or [name]), (edition,))


def _place(library: RuleLibrary, text: str) -> Focus:
    register, files = library.register, library.files
    place = register.place(text.partition("@")[0])
    days = [text.partition("@")[2]] if "@" in text else [a.begins for a in place.adoptions]
    parts = []
    for day in days:
        meaning = register.resolve(f"{place.name}@{day}")
        named = frozenset(files.name(files.amendment_path(a)) for a in meaning.amendments)
        parts.append(Focus(named, frozenset([place.name]), (meaning.label,), (meaning.edition,)))
    return Focus.joined(parts) if parts else Focus(frozenset(), frozenset([place.name]), (), ())
