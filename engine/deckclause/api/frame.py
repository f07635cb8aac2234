"""Results as a table of polars or pandas, whichever is installed, and as HTML for a notebook."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from html import escape
from importlib import import_module
from typing import Any, Literal

Library = Literal["polars", "pandas"]
LIBRARIES: tuple[Library, ...] = ("polars", "pandas")


def frame_of(kind: type, rows: Iterable[Any], library: Library | None = None) -> Any:
    """Return rows of one record as a DataFrame, a column for each of its fields.

    `library` names which; without it polars where it is installed, else pandas. Raises
    ModuleNotFoundError, with what to install, where there is none.
    """
    names = [field.name for field in fields(kind)]
    held = list(rows)
    columns = {name: [getattr(row, name) for row in held] for name in names}
    for wanted in [library] if library else LIBRARIES:
        try:
            module = import_module(wanted)
        except ModuleNotFoundError:
            continue
        if wanted == "polars":
            return module.DataFrame(columns, schema=_schema(module, kind))
        return module.DataFrame(columns, columns=names)
    raise ModuleNotFoundError(
        f"a table needs {library or 'polars or pandas'}; run: pip install {library or 'polars'}",
        name=library or "polars",
    )


def _schema(polars: Any, kind: type) -> dict[str, Any]:
    """Return polars' types for a record of texts and truths, so that an empty table has them too."""
    types: Mapping[object, Any] = {"bool": polars.Boolean}
    return {field.name: types.get(field.type, polars.String) for field in fields(kind)}


def html_table(
    title: str, head: Sequence[str], body: Iterable[Sequence[str]], notes: Iterable[str]
) -> str:
    """Return a table with a caption and notes beneath, every text escaped."""
    lines = [
        '<div class="deckclause">',
        f"<table><caption>{escape(title)}</caption>",
        f"<thead><tr>{_cells('th', head)}</tr></thead><tbody>",
        *(f"<tr>{_cells('td', row)}</tr>" for row in body),
        "</tbody></table>",
        *(f"<p>{escape(note)}</p>" for note in notes),
        "</div>",
    ]
    return "\n".join(lines)


def _cells(tag: str, texts: Iterable[str]) -> str:
    return "".join(f"<{tag}>{escape(text)}</{tag}>" for text in texts)
