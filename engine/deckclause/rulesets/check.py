"""Check the shape of a rule file with pydantic; say every fault with its line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from pydantic import BaseModel, ValidationError

from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.yaml_tree import Tree


def check_shape(tree: Tree, model: type[BaseModel]) -> None:
    """Raise InputError with every fault of shape in `tree` against `model`."""
    if not isinstance(tree.data, dict):
        found = "nothing" if tree.data is None else "no mapping"
        raise InputError.single(tree.file, f"holds {found}; `key: value` lines are needed")
    try:
        model.model_validate(tree.data)
    except ValidationError as fault:
        raise InputError(shape_problems(tree, model, fault)) from None


def entry_problems(
    tree: Tree, path: tuple[str | int, ...], data: Any, model: type[BaseModel]
) -> list[Problem]:
    """Return the faults of one entry of a file against `model`; none where it holds to it."""
    try:
        model.model_validate({} if data is None else data)
    except ValidationError as fault:
        names = sorted(_field_names(model))
        return [
            Problem(tree.file, tree.line(where), _message(error, where, names))
            for error in fault.errors(include_url=False)
            for where in [(*path, *data_path(data, error["loc"]))]
        ]
    return []


def shape_problems(tree: Tree, model: type[BaseModel], fault: ValidationError) -> Iterator[Problem]:
    """Turn pydantic's errors into problems with lines and suggestions."""
    names = sorted(_field_names(model))
    for error in fault.errors(include_url=False):
        path = data_path(tree.data, error["loc"])
        yield Problem(tree.file, tree.line(path), _message(error, path, names))


def data_path(data: Any, location: Iterable[Any]) -> tuple[str | int, ...]:
    """Keep the steps of a pydantic location that are steps in the data (drops union tags)."""
    path: list[str | int] = []
    here = data
    steps = list(location)
    for index, step in enumerate(steps):
        if isinstance(here, dict) and (step in here or index == len(steps) - 1):
            path.append(step)
            here = here.get(step)
        elif isinstance(here, list) and isinstance(step, int) and step < len(here):
            path.append(step)
            here = here[step]
    return tuple(path)


def _message(error: Any, path: tuple[str | int, ...], names: list[str]) -> str:
    where = dotted(path)
    kind = error["type"]
    if kind == "extra_forbidden":
        word = str(path[-1])
        near = suggestion(word, names)
        return f"{where}: '{word}' is not a known key.{near if 'mean' in near else ''}"
    if kind == "missing":
        return f"{where}: this is needed and is missing"
    if kind == "literal_error":
        expected = str(error.get("ctx", {}).get("expected", ""))
        options = [o.strip().strip("'") for o in expected.replace(" or ", ",").split(",")]
        return f"{where}: '{error['input']}' is not one of the choices.{suggestion(str(error['input']), options)}"
    if kind == "value_error" and where.endswith((".a clause", ".an exception")):
        where = where.rpartition(".")[0]
    if kind == "value_error":
        return f"{where}: {error['msg'].removeprefix('Value error, ')}"
    if kind == "string_pattern_mismatch" and r"\d{4}-\d{2}-\d{2}" in error["ctx"]["pattern"]:
        draft = ", or draft" if "draft" in error["ctx"]["pattern"] else ""
        return f"{where}: '{error['input']}' is not a date; write it as 2024-05-01{draft}"
    if kind == "list_type":
        return f"{where}: a list is needed; write it as [{error['input']}], or one entry a line"
    if kind == "string_pattern_mismatch" and error["ctx"]["pattern"].startswith("^[a-z"):
        return (
            f"{where}: '{error['input']}' is not a name; small letters, digits and _ (of an id: "
            f"hyphens), as {_as_name(str(error['input']), error['ctx']['pattern'])}"
        )
    if kind == "string_pattern_mismatch":
        return f"{where}: '{error['input']}' is not of the form needed ({error['ctx']['pattern']})"
    return f"{where}: {error['msg'][0].lower()}{error['msg'][1:]}"


def _as_name(text: str, pattern: str) -> str:
    """Return a text as the kind of name a pattern asks for, as far as can be."""
    import re

    between = "-" if "0-9-]" in pattern else "_"
    return re.sub(r"[^a-z0-9.]+", between, text.casefold()).strip(between) or f"a{between}name"


def dotted(path: Iterable[str | int]) -> str:
    """Write a path as a person would: `clauses[3].at_most`.

    >>> dotted(("clauses", 3, "at_most"))
    'clauses[3].at_most'
    """
    words = ""
    for step in path:
        if isinstance(step, int):
            words += f"[{step}]"
        else:
            words += f".{step}" if words else step
    return words or "the file"


def _field_names(model: type[BaseModel]) -> set[str]:
    names: set[str] = set()
    schema = model.model_json_schema()
    for definition in (schema, *schema.get("$defs", {}).values()):
        names.update(definition.get("properties", {}))
    return names
