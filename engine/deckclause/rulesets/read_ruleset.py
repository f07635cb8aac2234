"""Read an edition or guide from its file, or from the files of its folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from deckclause.rulesets.check import check_shape
from deckclause.rulesets.files import RuleFiles, digest
from deckclause.rulesets.gather import Gathering
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.ruleset import Layer, LoadedRuleSet, RuleSet
from deckclause.rulesets.translate_values import Path
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.written import lines
from deckclause.rulesets.yaml_tree import Tree, parse_tree

Load = Callable[[str], LoadedRuleSet]


def read_ruleset(files: RuleFiles, vocabulary: Vocabulary, name: str, load: Load) -> LoadedRuleSet:
    """Read a rule set by name; `load` gives the rule sets it carries from.

    Raises InputError with every fault of its files.
    """
    trees = read_trees(files, name)
    head = trees[0].data
    gathering = Gathering(vocabulary, name, load_bases(files, trees, load))
    for tree in trees:
        gathering.read_tables(tree)
    for tree in trees:
        gathering.read_clauses(tree)
    if gathering.problems:
        raise InputError(gathering.problems)
    content = files.digest_of(*files.ruleset_paths(name))
    if carried := gathering.carried_text():
        content = digest(content, carried)
    ruleset = RuleSet(
        name=name,
        title=head["title"],
        kind=head["kind"],
        edition=name,
        published=int(head["in_force"]["published"]),
        layers=(Layer(name, head["kind"], head["title"], content),),
        clauses=tuple(gathering.clauses),
        settings=(),
        struck=(),
        tables=tuple(gathering.tables.values()),
        says=head.get("says") or "",
        digest=digest(vocabulary.digest, content),
        practice=tuple((head.get("practice") or {}).items()),
        warns=" ".join(str(head.get("warns") or "").split()),
    )
    return LoadedRuleSet(ruleset, gathering.raw_clauses, gathering.raw_tables)


def read_trees(files: RuleFiles, name: str) -> list[Tree]:
    """Read the files of a rule set, its head first, and check their shape.

    Raises InputError with every fault of the first file that has one.
    """
    from deckclause.rulesets.ruleset_models import RuleSetFile, RuleSetPart

    trees: list[Tree] = []
    for index, path in enumerate(files.ruleset_paths(name)):
        tree = parse_tree(files.content(path), files.name(path))
        check_shape(tree, RuleSetPart if index else RuleSetFile)
        word = "part_of" if index else "ruleset"
        if tree.data[word] != name:
            where = f"the folder of {name}" if index else f"a file named for '{name}'"
            words = f"{word}: '{tree.data[word]}' stands in {where}"
            raise InputError.single(tree.file, words, tree.line((word,)))
        trees.append(tree)
    return trees


def load_bases(files: RuleFiles, trees: list[Tree], load: Load) -> dict[str, LoadedRuleSet]:
    """Load the rule sets that carried lines name, by name.

    Raises InputError where one is not there, is not an earlier one of the same kind (so none can
    carry in a circle), or cannot be read itself.
    """
    head = trees[0].data
    found_by_text = files.carried_from(head["ruleset"])
    bases: dict[str, LoadedRuleSet] = {}
    problems: list[Problem] = []
    for tree, path, name in _carried_names(trees):
        if name in bases:
            continue
        place = tree.file, tree.line(path)
        if name not in files.rulesets:
            words = f"carried: there is no edition or guide '{name}'."
            problems.append(Problem(*place, words + suggestion(name, files.rulesets)))
        elif not _precedes(files, name, head):
            words = f"carried: {name} is no earlier {head['kind']}; name the one before this"
            problems.append(Problem(*place, words))
        elif name not in found_by_text:
            problems.append(Problem(*place, f"carried: write `carried: {name}` on one line"))
        else:
            bases[name] = load(name)
    if problems:
        raise InputError(problems)
    return bases


def _carried_names(trees: list[Tree]) -> Iterator[tuple[Tree, Path, str]]:
    for tree in trees:
        for name, table in (tree.data.get("tables") or {}).items():
            if table.get("carried"):
                yield tree, ("tables", name, "carried"), table["carried"]
        for line in lines(tree.data):
            if line.carried:
                yield tree, (*line.path, "carried"), line.carried


def _precedes(files: RuleFiles, name: str, head: dict[str, object]) -> bool:
    """Tell whether a rule set is of the head's kind and was published in an earlier year."""
    path = files.ruleset_paths(name)[0]
    data = parse_tree(files.content(path), files.name(path)).data
    try:
        return bool(data["kind"] == head["kind"] and _year(data) < _year(head))
    except (KeyError, TypeError, ValueError):
        return False


def _year(head: object) -> int:
    assert isinstance(head, dict)
    return int(head["in_force"]["published"])
