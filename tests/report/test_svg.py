"""The SVG builder makes drawings and nothing else."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.report.drawing.svg import SvgError, document, element, number_text, render


@given(st.text())
def test_any_text_stays_text(words: str) -> None:
    read = ET.fromstring(render(element("text", words, x=0, aria_label=words)))
    assert len(read) == 0
    assert set(read.attrib) == {"x", "aria-label"}


@given(st.text(st.characters(exclude_categories=["Cc", "Cs", "Cn"])))
def test_printable_text_comes_back_whole(words: str) -> None:
    assert (ET.fromstring(render(element("text", words))).text or "") == words


def test_text_comes_back_as_written() -> None:
    words = "2x10 <script>alert('no')</script> & \"so\""
    read = ET.fromstring(render(element("text", words, aria_label=words)))
    assert read.text == words
    assert read.get("aria-label") == words


def test_a_name_may_hold_the_letters_of_a_reference() -> None:
    read = ET.fromstring(render(element("text", "Burl deck", aria_label="Burl deck, url(x)")))
    assert read.get("aria-label") == "Burl deck, url(x)"


@pytest.mark.parametrize("tag", ["script", "a", "image", "foreignObject", "use", "style", "TEXT"])
def test_other_elements_are_refused(tag: str) -> None:
    with pytest.raises(SvgError, match="not an element"):
        element(tag)


@pytest.mark.parametrize("name", ["onload", "href", "xlink_href", "style", "class_"])
def test_other_attributes_are_refused(name: str) -> None:
    with pytest.raises(SvgError, match="not an attribute"):
        element("rect", **{name: "x"})


@pytest.mark.parametrize("value", ["url(http://example.com/x)", "URL(#a)", "url(#a) url(#b)"])
def test_nothing_outside_the_drawing_is_referred_to(value: str) -> None:
    with pytest.raises(SvgError, match="outside the drawing"):
        element("rect", fill=value)


def test_names_of_parts_are_plain() -> None:
    with pytest.raises(SvgError, match="cannot name a part"):
        element("pattern", id="a b")


def test_numbers_print_alike_everywhere() -> None:
    assert [number_text(x) for x in (F(2, 3), 1.005, 3, -0.0, F(-1, 4), 1e6)] == [
        "0.67",
        "1",
        "3",
        "0",
        "-0.25",
        "1000000",
    ]
    for bad in (float("nan"), float("inf")):
        with pytest.raises(SvgError, match="not a place"):
            number_text(bad)


def test_a_document_says_itself_in_words() -> None:
    read = ET.fromstring(render(document(10, 20, "title", "summary", element("g"))))
    space = "{http://www.w3.org/2000/svg}"
    assert read.find(f"{space}title").text == "title"  # type: ignore[union-attr]
    assert read.find(f"{space}desc").text == "summary"  # type: ignore[union-attr]
    assert read.get("viewBox") == "0 0 10 20"


def test_text_and_elements_may_stand_side_by_side() -> None:
    read = ET.fromstring(render(element("text", "a", element("tspan", "b"))))
    assert "".join(read.itertext()).split() == ["a", "b"]
