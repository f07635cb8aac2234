"""One cell of a comparison's matrix: the status, short, what the design has, and what is asked."""

from __future__ import annotations

from collections.abc import Iterable

from deckclause.answers.compare.cell import INFORMS, SETS, STRUCK, CellAnswer, Ends
from deckclause.answers.compare.finding import FindingAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.reading.status import status_told

SHORT: dict[str, str] = {
    "complies": "ok",
    "does not comply": "FAILS",
    "engineering required": "ENGINEER",
    "information missing": "ASK",
    "not applicable": "n/a",
    "not regulated": "silent",
}
GIVES = "figures the rules give, nothing checked"
INFORMED = "for information, nothing checked"
LEGEND = (
    "ok complies | FAILS does not comply | ENGINEER engineering required | ASK not known, so asked "
    "| n/a not applicable | silent not regulated (never a pass) | as drawn, then the most (max) or "
    "the least (min) allowed | gives: a figure the rules give, nothing is checked; info: likewise | "
    "* from memory, unverified"
)
MARKED = " | ! otherwise at the higher load the design states, see the notes"
HIGHER = " !"
"""Marks an outcome that a load the design states, higher than the place's, would change."""
LONGEST_CHOICE = 12
"""A longer choice is left out of a cell; the steps of the finding show it."""


def legend(rows: Iterable[TopicRow]) -> str:
    """Return what the signs of a matrix of these rows mean."""
    marked = any(cell.at_stated for row in rows for cell in row.cells)
    return LEGEND + (MARKED if marked else "")


def cell_text(cell: CellAnswer, *, si: bool = False, drawn: bool = True) -> str:
    """Write one cell; `drawn` puts what the design has before what is asked.

    A topic that only gives a figure is no check: it says `gives`, never `ok`.
    """
    mark = HIGHER if cell.at_stated else ""
    return _cell_text(cell, si=si, drawn=drawn) + mark


def _cell_text(cell: CellAnswer, *, si: bool, drawn: bool) -> str:
    if cell.role == STRUCK:
        return "struck"
    if cell.role == INFORMS:
        return "info"
    status = SHORT[cell.status_words]
    if cell.deciding is None or status in ("n/a", "silent"):
        return status
    star = "*" if cell.on_memory else ""
    if cell.role == SETS and status == "ok":
        if isinstance(cell.deciding.value and cell.deciding.value.value, bool):
            return given_text(cell, si=si)
        status = "gives"
        told = given_text(cell, si=si)
        if told:  # the figure is all there is to say: never left out for its length
            return f"{status} {told}"
    return f"{status} {figure_text(cell, si=si, drawn=drawn)}".strip() + star


def given_text(cell: CellAnswer, *, si: bool = False) -> str:
    """Write the figure a topic gives, in full words however long; nothing where it gives none."""
    if cell.given is None:
        return ""
    return cell.given.text(si=si) + ("*" if cell.on_memory else "")


def alike_words(cell: CellAnswer, *, si: bool = False) -> tuple[str, str]:
    """Say what a topic alike everywhere comes to, with the figure where it only gives one."""
    if cell.role == INFORMS:
        return INFORMED, ""
    if cell.role == SETS and cell.status_words == "complies":
        return GIVES, given_text(cell, si=si)
    return status_told(cell.status_words), ""


def figure_text(cell: CellAnswer, *, si: bool = False, drawn: bool = True) -> str:
    """Write what the design has and the limit; where parts differ, from least to most."""
    limit = limit_text(cell, si=si)
    if not limit:
        return _bare_value(cell.deciding, si=si)
    has = _range(cell.drawn, si=si) if drawn else ""
    if has == limit.removeprefix("= ") and cell.status_words == "complies":
        return limit
    return f"{has}, {limit}" if has else limit


def limit_text(cell: CellAnswer, *, si: bool = False) -> str:
    """Write a limit as short as a column needs: `min 2 in`, `max 29 in`, `2 in to 5 in`."""
    one, least, most = cell.deciding, cell.least, cell.most
    if least and most:
        if len(least) == len(most) == 1:
            if least[0].value == most[0].value:
                return f"= {least[0].text(si=si)}"
            return f"{least[0].text(si=si)} to {most[0].text(si=si)}"
        if one is not None and one.least is not None and one.most is not None:
            return f"{one.least.text(si=si)} to {one.most.text(si=si)}"
    if least:
        return f"min {_range(least, si=si)}"
    return f"max {_range(most, si=si)}" if most else ""


def limit_in_words(cell: CellAnswer, *, si: bool = False) -> str:
    """Write what is asked, or the value where there is no limit, in words for a document."""
    text = limit_text(cell, si=si)
    if not text:
        return _bare_value(cell.deciding, si=si).removeprefix("(").removesuffix(")")
    for short, words in (("min ", "at least "), ("max ", "at most "), ("= ", "exactly ")):
        if text.startswith(short):
            return words + text.removeprefix(short)
    return text


def drawn_text(cell: CellAnswer, *, si: bool = False) -> str:
    """Write what the design has where a limit stands against it."""
    return _range(cell.drawn, si=si) if limit_text(cell, si=si) else ""


def _bare_value(finding: FindingAnswer | None, *, si: bool) -> str:
    """Write a value no limit stands against: a measure, or a short choice in brackets."""
    if finding is None or finding.value is None or finding.status_text != "complies":
        return ""
    value = finding.value.value
    if isinstance(value, bool):
        return ""
    words = finding.value.text(si=si)
    if isinstance(value, str):
        return f"({words})" if len(words) <= LONGEST_CHOICE else ""
    return words


def _range(ends: Ends, *, si: bool) -> str:
    return " to ".join(dict.fromkeys(end.text(si=si) for end in ends))
