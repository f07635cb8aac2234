"""Find the figures in a text: lengths, loads, forces, lumber sizes and section numbers.

Reads what an applicant writes, in the ways carpenters and engineers write it (`5-1/2 in`, `5 1/2"`,
`1'-6"`, `40 psf`, `2x8`, `R507.2.1`). A bare number is no figure: nothing is claimed of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

NUMBER = r"\d+(?:,\d{3})*(?:\.\d+)?"
MIXED = rf"(?:\d+[ -]\d+/\d+|\d+/\d+|{NUMBER})"
INCH = r"(?:in\b\.?|inch(?:es)?\b|\"|”|″)"
FOOT = r"(?:ft\b\.?|foot\b|feet\b|'|’|′)"
LENGTHS = re.compile(
    rf"(?<![\w./-])(?P<feet>{MIXED})[ -]?{FOOT}(?:[ -]*(?P<and>{MIXED})[ -]?{INCH})?"
    rf"|(?<![\w./-])(?P<inches>{MIXED})[ -]?{INCH}",
    re.IGNORECASE,
)
LOADS = re.compile(
    rf"(?<![\w./-])(?P<n>{NUMBER})[ -]?(?P<u>psf|psi|plf|pcf|lbs?\b|pounds?\b|kips?\b)",
    re.IGNORECASE,
)
SIZES = re.compile(
    r"(?<![\w./-])(?P<plies>[1-4][ -])?(?P<b>[1-9]\d?)\s?[x×]\s?(?P<d>[1-9]\d?)(?![\w/])",
    re.IGNORECASE,
)
SECTIONS = re.compile(
    r"\b(?P<word>Table|Figure|Section|Sec\.)?\s?(?P<no>[RN]\d{3}(?:\.\d+)*(?:\(\d+\))?)(?:\s+note\s+(?P<note>[a-z])\b)?"
)
GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
UNITS = {"lbs": "lb", "pound": "lb", "pounds": "lb", "kips": "kip"}


class Mention(Struct, frozen=True):
    """One figure in a text: its kind, its exact value, how it is written and where.

    Kinds: `length` (inches), `psf`, `psi`, `plf`, `pcf`, `lb`, `kip`, `size`, `section`.
    """

    kind: str
    value: Fraction | str
    text: str
    start: int
    end: int

    @property
    def key(self) -> tuple[str, Fraction | str]:
        """What two mentions of the same figure share."""
        return self.kind, self.value


def plain(text: str) -> str:
    """Return a text with fraction glyphs and long dashes written out.

    >>> plain("5½ in")
    '5-1/2 in'
    """
    for glyph, words in GLYPHS.items():
        text = re.sub(rf"(?<=\d){glyph}", f"-{words}", text).replace(glyph, words)
    return text.replace("‑", "-").replace("–", "-").replace("\u00a0", " ")


def mentions(text: str) -> tuple[Mention, ...]:
    """Return every figure of a text in order.

    >>> [(m.kind, str(m.value)) for m in mentions("the 2x8 ledger, 5-1/2 in (R507.2.1), 40 psf, 1'-6\\"")]
    [('size', '2x8'), ('length', '11/2'), ('section', 'R507.2.1'), ('psf', '40'), ('length', '18')]
    """
    written = plain(text)
    found = [*_lengths(written), *_loads(written), *_sizes(written), *_sections(written)]
    return tuple(sorted(found, key=lambda m: m.start))


def _lengths(text: str) -> Iterator[Mention]:
    for match in LENGTHS.finditer(text):
        inches = Fraction(0)
        if match["feet"]:
            inches = 12 * _number(match["feet"])
            inches += _number(match["and"]) if match["and"] else 0
        else:
            inches = _number(match["inches"])
        yield Mention("length", inches, match[0].strip(), match.start(), match.end())


def _loads(text: str) -> Iterator[Mention]:
    for match in LOADS.finditer(text):
        unit = match["u"].lower()
        yield Mention(
            UNITS.get(unit, unit), _number(match["n"]), match[0], match.start(), match.end()
        )


def _sizes(text: str) -> Iterator[Mention]:
    for match in SIZES.finditer(text):
        plies = f"{match['plies'][0]}-" if match["plies"] else ""
        name = f"{plies}{match['b']}x{match['d']}"
        yield Mention("size", name, match[0], match.start(), match.end())


def _sections(text: str) -> Iterator[Mention]:
    for match in SECTIONS.finditer(text):
        note = f" note {match['note']}" if match["note"] else ""
        yield Mention(
            "section", f"{match['no']}{note}", match[0].strip(), match.start(), match.end()
        )


def _number(text: str) -> Fraction:
    text = text.replace(",", "")
    whole, dash, part = (
        re.split(r"([ -])", text, maxsplit=1) if re.search(r"\d[ -]\d", text) else (text, "", "")
    )
    return Fraction(whole) + (Fraction(part) if dash else 0)
