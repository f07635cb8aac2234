"""A small builder of SVG that cannot be talked into anything but a drawing.

Only the elements and attributes listed here can be made; every text and value is escaped; there
are no links, scripts, styles or references to anything outside the drawing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from msgspec import Struct

Number = int | float | Fraction
Value = str | Number

ELEMENTS = frozenset(
    {
        "svg", "g", "defs", "pattern", "rect", "line", "path", "circle", "polygon", "polyline",
        "text", "tspan", "title", "desc",
    }
)  # fmt: skip
ATTRIBUTES = frozenset(
    {
        "xmlns", "version", "viewBox", "width", "height", "x", "y", "x1", "y1", "x2", "y2", "cx",
        "cy", "r", "d", "points", "id", "fill", "stroke", "opacity", "transform", "role", "rx",
        "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "patternUnits",
        "patternTransform", "font-family", "font-size", "font-weight", "font-style",
        "text-anchor", "aria-label",
    }
)  # fmt: skip
_LOCAL_URL = re.compile(r"url\(#[A-Za-z][A-Za-z0-9-]*\)")
_IDENTIFIER = re.compile(r"[A-Za-z][A-Za-z0-9-]*")
_NOT_XML = re.compile(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class SvgError(ValueError):
    """An element, attribute or value the builder does not make."""


class Node(Struct, frozen=True):
    """One element with its attributes in order and its children: nodes or text."""

    tag: str
    attributes: tuple[tuple[str, str], ...]
    children: tuple[Node | str, ...] = ()


def element(tag: str, *children: Node | str, **attributes: Value | None) -> Node:
    """Return an element; `stroke_width` becomes `stroke-width`, None leaves an attribute out.

    Raises SvgError for an element or attribute not on the list, or a reference to anything
    outside the drawing.

    >>> render(element("text", "2x10 <treated>", x=1, font_size=Fraction(21, 2)))
    '<text x="1" font-size="10.5">2x10 &lt;treated&gt;</text>\\n'
    """
    if tag not in ELEMENTS:
        raise SvgError(f"<{tag}> is not an element of our drawings")
    kept: list[tuple[str, str]] = []
    for name, value in attributes.items():
        spelled = name.rstrip("_").replace("_", "-")
        if spelled not in ATTRIBUTES:
            raise SvgError(f"'{spelled}' is not an attribute of our drawings")
        if value is not None:
            kept.append((spelled, _checked(spelled, value)))
    return Node(tag, tuple(kept), children)


def _checked(name: str, value: Value) -> str:
    text = value if isinstance(value, str) else number_text(value)
    words = name.startswith("aria-")  # read aloud, never followed
    if not words and "url" in text.lower() and not _LOCAL_URL.fullmatch(text):
        raise SvgError(f"{name}: {text!r} refers outside the drawing")
    if name == "id" and not _IDENTIFIER.fullmatch(text):
        raise SvgError(f"{text!r} cannot name a part of a drawing")
    return text


def number_text(value: Number) -> str:
    """Print a coordinate to a hundredth, trailing zeros cut; the same on every machine.

    Raises SvgError for a number that is not finite.

    >>> number_text(Fraction(1, 3)), number_text(2.5), number_text(-0.001)
    ('0.33', '2.5', '0')
    """
    exact = Fraction(value) if _finite(value) else None
    if exact is None:
        raise SvgError(f"{value} is not a place on a drawing")
    rounded = (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(
        Decimal("0.01"), ROUND_HALF_EVEN
    )
    text = f"{rounded:f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _finite(value: Number) -> bool:
    return not isinstance(value, float) or value - value == 0


def escape(text: str) -> str:
    """Return text safe inside an element or a double-quoted attribute.

    >>> escape('a < b & "c"')
    'a &lt; b &amp; &quot;c&quot;'
    """
    clean = _NOT_XML.sub("\ufffd", text)
    for sign, name in (("&", "amp"), ("<", "lt"), (">", "gt"), ('"', "quot"), ("'", "#39")):
        clean = clean.replace(sign, f"&{name};")
    return clean


def render(node: Node) -> str:
    """Return the drawing as text, one element a line, ending in a line break."""
    return "\n".join(_lines(node, 0)) + "\n"


def _lines(node: Node, depth: int) -> Iterator[str]:
    pad = "  " * depth
    attributes = "".join(f' {name}="{escape(value)}"' for name, value in node.attributes)
    if not node.children:
        yield f"{pad}<{node.tag}{attributes}/>"
    elif all(isinstance(child, str) for child in node.children):
        text = "".join(escape(str(child)) for child in node.children)
        yield f"{pad}<{node.tag}{attributes}>{text}</{node.tag}>"
    else:
        yield f"{pad}<{node.tag}{attributes}>"
        for child in node.children:
            if isinstance(child, str):
                yield f"{pad}  {escape(child)}"
            else:
                yield from _lines(child, depth + 1)
        yield f"{pad}</{node.tag}>"


def document(width: Number, height: Number, title: str, summary: str, *children: Node) -> Node:
    """Return a whole drawing with a title and a summary for those who cannot see it."""
    return element(
        "svg",
        element("title", title),
        element("desc", summary),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        version="1.1",
        width=width,
        height=height,
        viewBox=f"0 0 {number_text(width)} {number_text(height)}",
        role="img",
    )


def size_of(svg: str) -> tuple[float, float] | None:
    """Return a drawing's width and height in its own units; None where it does not say.

    >>> size_of(render(document(200, 100, "A deck", "Nothing is drawn.")))
    (200.0, 100.0)
    """
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    return (float(found[1]), float(found[2])) if found else None
