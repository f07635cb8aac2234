"""Cells of CSV files as a spreadsheet may safely open them."""

from __future__ import annotations

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def plain_cell(text: str) -> str:
    """Keep a text that a spreadsheet would take for a formula from being one.

    >>> plain_cell("=1+1"), plain_cell("2x10")
    ("'=1+1", '2x10')
    """
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text
