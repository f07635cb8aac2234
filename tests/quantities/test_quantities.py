"""Quantities: exact, read as people type them, printed as a carpenter reads them."""

from __future__ import annotations

import copy
import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.quantities import (
    ANGLE,
    AREA,
    DENSITY,
    FORCE,
    INERTIA,
    LENGTH,
    LINE_LOAD,
    MOMENT,
    NUMBER,
    PRESSURE,
    VOLUME,
    Dimension,
    DimensionError,
    Quantity,
    QuantityError,
    length_text,
    parse_quantity,
    quantity_text,
)
from deckclause.quantities.parse import MAX_TEXT
from deckclause.quantities.present import decimal_text
from deckclause.quantities.units import UNITS

DIMENSIONS = (
    *(NUMBER, LENGTH, AREA, VOLUME, INERTIA, FORCE, MOMENT, LINE_LOAD, PRESSURE, DENSITY, ANGLE),
)
sixty_fourths = st.integers(-640_000, 640_000).map(lambda n: Fraction(n, 64))
hundredths = st.integers(-99_999_999, 99_999_999).map(lambda n: Fraction(n, 100))
rationals = st.fractions(-(10**6), 10**6, max_denominator=5000)


def inches(text: str) -> Fraction:
    return parse_quantity(text, LENGTH).value


# --- reading: forms people type ------------------------------------------------------------------
@pytest.mark.parametrize(
    "text",
    [
        *(
            "6-1/2 in",
            "6 1/2 in",
            '6 1/2"',
            '6-1/2"',
            "6-1/2in",
            "6-1/2 inches",
            "6.5 in",
            "6.50in",
        ),
        *(
            "6 - 1/2 in",
            "13/2 in",
            "6 ½ in",
            "6½ in",
            '6½"',
            "6-½ in",
            "6½ in.",
            "6-1/2 In.",
            "6.5 IN",
        ),
        *("6–1/2 in", "6‑1/2 in", "6 1⁄2 in", "6\u00a01/2\u00a0in", "  6-1/2 in  ", "6 1 / 2 in"),
        *("6 1/2″", "6 1/2”", "6 1/2''"),
    ],
)
def test_inches_are_read_in_every_form(text: str) -> None:
    assert inches(text) == Fraction(13, 2)


@pytest.mark.parametrize(
    "text",
    [
        *("11 ft 10 in", "11ft 10in", "11ft10in", "11' 10\"", "11'10\"", "11'-10\"", "11' - 10\""),
        *("11 ft-10 in", "11 ft, 10 in", "11 feet 10 inches", "11 foot 10 in.", "11 ft. 10 in."),
        *("11′ 10″", "11’ 10”", "11′-10″", "11' 10''", "142 in", "11 5/6 ft", "11⅚ ft"),
    ],
)
def test_feet_and_inches_stand_together(text: str) -> None:
    assert inches(text) == 142


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2'3\"", 27),
        ("5'2-1/2\"", Fraction(125, 2)),
        ("5'3 1/2\"", Fraction(127, 2)),
        ("5'½\"", Fraction(121, 2)),
        ("5ft3in", 63),
        ("5ft2-1/2in", Fraction(125, 2)),
        ("5ft3.5in", Fraction(127, 2)),
        ("0 ft 3 in", 3),
        ("5 ft 0-1/4 in", Fraction(241, 4)),
        ("-1 ft 3 in", -15),
        ("− 3 in", -3),
        ("-1-1/2 in", Fraction(-3, 2)),
        ("-½ in", Fraction(-1, 2)),
        ("0.019 in", Fraction(19, 1000)),
        (".5 in", Fraction(1, 2)),
        ("3. in", 3),
        ("1,500 in", 1500),
        ("1,234,567.5 in", Fraction(2469135, 2)),
        ("15/32 in", Fraction(15, 32)),
        ("1 yd", 36),
        ("140 mm", Fraction(140 * 5, 127)),
        ("2.54 cm", 1),
    ],
)
def test_lengths_are_exact(text: str, value: Fraction) -> None:
    assert inches(text) == value


def test_a_digit_after_a_foot_mark_is_not_an_exponent() -> None:
    # 2 and 3 close a unit such as ft2; they must not be swallowed from 5'2".
    for number in range(12):
        for joint in ("5'{}\"", "5ft{}in", "5'-{}\"", "5' {}\"", "5 ft {} in"):
            assert inches(joint.format(number)) == 60 + number


@pytest.mark.parametrize(
    ("sign", "value"),
    [
        *(("¼", "1/4"), ("½", "1/2"), ("¾", "3/4"), ("⅛", "1/8"), ("⅜", "3/8"), ("⅝", "5/8")),
        *(("⅞", "7/8"), ("⅓", "1/3"), ("⅔", "2/3"), ("⅕", "1/5"), ("⅘", "4/5"), ("⅙", "1/6")),
    ],
)
def test_vulgar_fractions(sign: str, value: str) -> None:
    part = Fraction(value)
    assert inches(f"{sign} in") == part
    assert inches(f'{sign}"') == part
    for whole in ("7{}", "7 {}", "7-{}"):
        assert inches(f"{whole.format(sign)} in") == 7 + part
    assert inches(f"2' 7{sign}\"") == 31 + part


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("100 sq ft", "14400 in2"),
        ("100sq ft", "100 ft2"),
        ("100 sq. ft.", "100 ft²"),
        ("100 square feet", "100 sqft"),
        ("100 Sq Ft", "100 sqft"),
        ("3 sq in", "3 in2"),
        ("3 square inches", "3 in²"),
        ("3 sq m", "3 m2"),
        ("3 sq mm", "3 mm2"),
        ("40 psf", "40 lb/ft2"),
        ("40 lb/sq ft", "40 lb/ft²"),
        ("40 lb / sq. ft.", "40 PSF"),
        ("12 plf", "1 pli"),
        ("12 lb/ft", "1 lb/in"),
        ("1,500 lb", "1.5 kip"),
        ("1500 pounds", "1500 lbs"),
        ("1500 lbs.", "1500 lbf"),
        ("1 ft-lb", "12 in-lb"),
        ("1 ft·lb", "12 lb-in"),
        ("1 lb⋅ft", "12 in·lb"),
        ("50%", ["0.5 percent", " it"][0].replace("0.5", "50")),
        ("45°", "45 deg"),
        ("1 kPa", "1000 Pa"),
        ("1 kN/m2", "1 kPa"),
    ],
)
def test_other_spellings(text: str, same: str) -> None:
    assert parse_quantity(text) == parse_quantity(same)


# --- reading: what is refused, and how -----------------------------------------------------------
NOT_A_QUANTITY = "is not a number with a unit, such as 6-1/2 in"
NO_UNIT_EACH = "has a number with no unit; write each with one, such as 11 ft 10 in"
COMMA = (
    "has a comma that does not group thousands; write thousands as 1,500 and decimals with a point"
)
JOINED = "joins parts that do not go together; only feet and inches do"
IMPROPER = "has a fraction of one or more after a whole number"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        *((text, NOT_A_QUANTITY) for text in ("", " ", "in", "about 6 in", "six in", "-", "-in")),
        *(
            (text, NOT_A_QUANTITY)
            for text in ("--5 in", "+5 in", "5- in", "6 in,", "6 in-", "6 in;")
        ),
        *((text, NOT_A_QUANTITY) for text in ("1/2/3 in", "1.5/2 in")),
        *((text, NOT_A_QUANTITY) for text in ("½5 in", "½½ in", "1/½ in", "٣ in", "６ in")),
        *((text, NOT_A_QUANTITY) for text in ("nan in", "inf in", "1_000 in", "$5 in", "(6 in)")),
        ("11 ft -3 in", NOT_A_QUANTITY),
        ("11 ft 10", NO_UNIT_EACH),
        ("1 1 in", NO_UNIT_EACH),
        ("6.5.2 in", NO_UNIT_EACH),
        ("0x10 in", "'x' is not a known unit"),
        ("1e3 in", "'e' is not a known unit"),
        ("6 in²3", "'in²3' is not a known unit. Did you mean in²?"),
        ("6-1/2-1/2 in", NO_UNIT_EACH),
        ("0,500 in", COMMA),
        ("1,5 in", COMMA),
        ("12,3456 in", COMMA),
        ("6-3/2 in", IMPROPER),
        ("6 4/4 in", IMPROPER),
        ("10 in 11 ft", JOINED),
        ("5 ft 3 ft", JOINED),
        ("5 in-3 in", JOINED),
        ("1 ft 2 in 3 in", JOINED),
        ("40 psf 3 in", JOINED),
        ("1 m 20 cm", JOINED),
        ("3 ft 5 psf", JOINED),
        ("1/0 in", "divides by zero"),
        ("5-1/0 in", "divides by zero"),
        ("9999999999999 in", "has more digits than a measure can have"),
        ("0.3333333333333 in", "has more digits than a measure can have"),
        ("6 kpa", "'kpa' is not a known unit. Did you mean kPa?"),
        ("6 mpa", "'mpa' is not a known unit. Did you mean MPa?"),
        ("6 inchs", "'inchs' is not a known unit. Did you mean inch"),
        (
            "6 furlong",
            "'furlong' is not a known unit. Known units include in, ft, mm, psf, lb, kPa.",
        ),
        ("16", "'16' has no unit; write it with one, such as 16 in"),
        (" 16 ", "'16' has no unit; write it with one, such as 16 in"),
        ("1" * (MAX_TEXT + 1), "is too long to be a quantity"),
    ],
)
def test_refusals_say_what_is_wrong(text: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text)
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("text", "dimension", "message"),
    [
        ("16", LENGTH, "'16' has no unit; write it with one, such as 16 in or 16 ft"),
        ("16", AREA, "'16' has no unit; write it with one, such as 16 sq ft"),
        ("16", VOLUME, "such as 16 ft3"),
        ("16", INERTIA, "such as 16 in4"),
        ("16", FORCE, "such as 16 lb"),
        ("16", MOMENT, "such as 16 ft-lb"),
        ("16", LINE_LOAD, "such as 16 plf"),
        ("16", PRESSURE, "such as 16 psf"),
        ("16", DENSITY, "such as 16 pcf"),
        ("16", ANGLE, "such as 16 deg"),
        ("40 psf", LENGTH, "'40 psf' is a load per area; a length is needed here"),
        ("6 in", PRESSURE, "'6 in' is a length; a load per area is needed here"),
        ("50 %", LENGTH, "'50 %' is a plain number; a length is needed here"),
        ("6 in", NUMBER, "'6 in' is a length; a plain number is needed here"),
    ],
)
def test_the_wrong_kind_is_refused(text: str, dimension: Dimension, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, dimension)
    assert message in str(caught.value)


@pytest.mark.parametrize("unit", [u for u in UNITS if UNITS[u].dimension != NUMBER])
def test_the_unit_suggested_for_a_bare_number_is_right(unit: str) -> None:
    dimension = UNITS[unit].dimension
    with pytest.raises(QuantityError) as caught:
        parse_quantity("16", dimension)
    suggested = str(caught.value).rsplit("such as ", 1)[1].split(" or ")[0]
    assert parse_quantity(suggested, dimension).dimension == dimension


@pytest.mark.parametrize(
    "value", [16, 6.5, True, None, b"6 in", ["6 in"], {"in": 6}, Fraction(1, 2)]
)
def test_only_text_is_read(value: object) -> None:
    with pytest.raises(QuantityError, match="is not text with a number and a unit"):
        parse_quantity(value)  # type: ignore[arg-type]


def test_a_huge_value_does_not_make_a_huge_message() -> None:
    for value in ("9" * 10**6, [1] * 10**6):
        with pytest.raises(QuantityError) as caught:
            parse_quantity(value)  # type: ignore[arg-type]
        assert len(str(caught.value)) < 200


def test_messages_carry_no_control_characters() -> None:
    for text in ("\x1b[31m6", "6\nin\rx", "6 \x00", "6 \u202e in", "\x1b" * 100):
        with pytest.raises(QuantityError) as caught:
            parse_quantity(text)
        assert str(caught.value).isprintable()


def test_plain_numbers_where_wanted() -> None:
    assert parse_quantity("4", NUMBER) == Quantity(4, NUMBER)
    assert parse_quantity("1-1/2", NUMBER) == Quantity(Fraction(3, 2), NUMBER)
    assert (
        parse_quantity("50 %", NUMBER) == parse_quantity("50%") == Quantity(Fraction(1, 2), NUMBER)
    )


@given(st.text(max_size=MAX_TEXT + 5))
def test_any_text_gives_a_quantity_or_a_clear_error(text: str) -> None:
    message = "read"
    try:
        parse_quantity(text)
    except QuantityError as error:  # any other error fails the test
        message = str(error)
    assert message
    assert message.isprintable()


@given(st.text(alphabet="0123456789 ./-,'\"½¼infts²q23lb%°−", max_size=24))
def test_near_quantities_give_a_quantity_or_a_clear_error(text: str) -> None:
    try:
        quantity = parse_quantity(text, LENGTH)
    except QuantityError:
        return
    # Whatever was read prints and reads back as the same length, where it prints exactly.
    printed = length_text(quantity.value)
    if not printed.startswith(("about", "less")):
        assert inches(printed) == quantity.value


# --- printing, and reading what was printed ------------------------------------------------------
@given(sixty_fourths, st.sampled_from(["in", "ft"]))
def test_lengths_read_back_as_printed(value: Fraction, style: str) -> None:
    assert inches(length_text(value, style)) == value


@given(st.integers(-9999, 9999).map(lambda n: Fraction(n, 10000)))
def test_short_decimals_below_an_inch_read_back(value: Fraction) -> None:
    assert inches(length_text(value)) == value


@given(rationals, st.sampled_from(["in", "ft"]))
def test_no_length_prints_far_from_itself(value: Fraction, style: str) -> None:
    printed = length_text(value, style)
    if printed.startswith("less than"):
        assert 0 < abs(value) < Fraction(1, 10000)
        return
    read = inches(printed.removeprefix("about "))
    assert abs(read - value) <= Fraction(1, 32)
    assert printed.startswith("about ") == (read != value) or (value * 64).denominator != 1
    assert bool(read) == bool(value)


@given(hundredths, st.sampled_from(["psf", "lb", "plf", "sq ft", "deg", "kPa", "kN", "mm", "pcf"]))
def test_quantities_read_back_as_printed(value: Fraction, unit: str) -> None:
    known = UNITS[unit.replace(" ", "")]
    quantity = Quantity(value * known.factor, known.dimension)
    assert parse_quantity(quantity_text(quantity, unit)) == quantity


@given(hundredths, st.sampled_from(DIMENSIONS))
def test_the_default_unit_reads_back(value: Fraction, dimension: Dimension) -> None:
    printed = quantity_text(Quantity(value, dimension))
    read = parse_quantity(printed.removeprefix("about "), dimension)
    assert read.dimension == dimension
    assert abs(read.value - value) <= max(abs(value) / 50, Fraction(20))


@pytest.mark.parametrize(
    ("value", "style", "printed"),
    [
        (0, "in", "0 in"),
        (Fraction(1, 64), "in", "1/64 in"),
        (Fraction(15, 32), "in", "15/32 in"),
        (Fraction(13, 2), "in", "6-1/2 in"),
        (Fraction(-3, 2), "in", "-1-1/2 in"),
        (142, "in", "142 in"),
        (142, "ft", "11 ft 10 in"),
        (144, "ft", "12 ft"),
        (11, "ft", "11 in"),
        (-15, "ft", "-1 ft 3 in"),
        (Fraction(2305, 16), "ft", "12 ft 1/16 in"),
        (Fraction(19, 1000), "in", "0.019 in"),
        (Fraction(-131, 1000), "in", "-0.131 in"),
        (Fraction(1, 300), "in", "about 0.0033 in"),
        (Fraction(1, 10**6), "in", "less than 0.0001 in"),
        (Fraction(700, 127), "in", "about 5-1/2 in"),
        (Fraction(-700, 127), "in", "about -5-1/2 in"),
        (Fraction(11999, 1000), "ft", "about 1 ft"),
    ],
)
def test_lengths_print_as_a_carpenter_reads(value: Fraction, style: str, printed: str) -> None:
    assert length_text(value, style) == printed


def test_a_length_prints_in_inches_or_feet_only() -> None:
    with pytest.raises(ValueError, match="style in or ft, not mm"):
        length_text(1, "mm")


@pytest.mark.parametrize(
    ("text", "unit", "si", "printed"),
    [
        ("40 psf", None, False, "40 psf"),
        ("40 psf", None, True, "1.92 kPa"),
        ("1500 lb", None, False, "1,500 lb"),
        ("1500 lb", None, True, "6.67 kN"),
        ("300 plf", None, True, "4.38 kN/m"),
        ("100 sq ft", None, False, "100 sq ft"),
        ("100 sq ft", None, True, "9.29 m²"),
        ("6-1/2 in", None, True, "165 mm"),
        ("142 in", "ft", False, "11 ft 10 in"),
        ("140 mm", "mm", False, "140 mm"),
        ("50%", "%", False, "50%"),
        ("12 in-lb", None, False, "1 ft-lb"),
        ("1728 in3", None, False, "1 ft3"),
        ("22.5°", None, False, "22.5 deg"),
        ("35 pcf", None, False, "35 pcf"),
    ],
)
def test_quantities_print(text: str, unit: str | None, si: bool, printed: str) -> None:
    assert quantity_text(parse_quantity(text), unit, si=si) == printed


def test_no_number_stands_bare_for_want_of_a_unit() -> None:
    assert quantity_text(Quantity(3, Dimension(length=-4, force=1))) == "3 lb in^-4"
    assert quantity_text(Quantity(3, INERTIA)) == "3 in4"
    assert quantity_text(Quantity(3, NUMBER)) == "3"


def test_a_unit_of_another_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="psf is not a unit of a length"):
        quantity_text(Quantity(3, LENGTH), "psf")
    with pytest.raises(KeyError):
        quantity_text(Quantity(3, LENGTH), "furlong")


@given(rationals, st.integers(0, 6))
def test_decimals_are_the_nearest(value: Fraction, places: int) -> None:
    text = decimal_text(value, places)
    assert abs(Fraction(text.replace(",", "")) - value) <= Fraction(1, 2 * 10**places)
    assert not ("." in text and text.endswith(("0", ".")))
    assert text != "-0"


# --- arithmetic ----------------------------------------------------------------------------------
@given(rationals, rationals, st.sampled_from(DIMENSIONS))
def test_sums_and_order_are_those_of_the_numbers(
    a: Fraction, b: Fraction, dimension: Dimension
) -> None:
    left, right = Quantity(a, dimension), Quantity(b, dimension)
    assert (left + right).value == a + b
    assert (left - right).value == a - b
    assert left + right == right + left
    assert (left < right, left <= right, left > right, left >= right) == (
        *(a < b, a <= b, a > b, a >= b),
    )
    assert (left == right) == (a == b)
    assert (-left).value == -a
    assert abs(left).value == abs(a)
    assert bool(left) == bool(a)


@given(
    rationals,
    rationals.filter(bool),
    st.sampled_from(DIMENSIONS),
    st.sampled_from(DIMENSIONS),
)
def test_products_and_quotients_undo_each_other(
    a: Fraction, b: Fraction, first: Dimension, second: Dimension
) -> None:
    left, right = Quantity(a, first), Quantity(b, second)
    assert left * right / right == left
    assert left * right == right * left
    assert (left * b).value == (b * left).value == a * b
    assert left * b / b == left


def test_dimensions_combine() -> None:
    load = parse_quantity("300 plf") * parse_quantity("1.25 ft")
    # SEAINT list, April 2006: 300 plf over 1.25 ft is 375 lb on a lag screw.
    assert load == parse_quantity("375 lb")
    assert parse_quantity("50 psf") * parse_quantity("6 ft") == parse_quantity("300 plf")
    assert (parse_quantity("2 in") / parse_quantity("4 in")).dimension == NUMBER


@pytest.mark.parametrize(
    "operation", ["__add__", "__sub__", "__lt__", "__le__", "__gt__", "__ge__"]
)
@pytest.mark.parametrize(
    "other", [Quantity(1, PRESSURE), Quantity(1, NUMBER), 1, Fraction(1), None]
)
def test_different_kinds_do_not_mix(operation: str, other: object) -> None:
    with pytest.raises(DimensionError, match="a length cannot be"):
        getattr(Quantity(1, LENGTH), operation)(other)


def test_equality_needs_the_same_kind() -> None:
    assert Quantity(1, LENGTH) != Quantity(1, FORCE)
    assert Quantity(1, NUMBER) != 1
    assert len({Quantity(1, LENGTH), Quantity(1, FORCE), Quantity(Fraction(2, 2), LENGTH)}) == 2


@pytest.mark.parametrize("value", [0.5, "1", None, True, 1j])
def test_floats_never_get_in(value: object) -> None:
    with pytest.raises(TypeError, match="a quantity is exact"):
        Quantity(value, LENGTH)  # type: ignore[arg-type]
    for operation in ("__mul__", "__truediv__"):
        with pytest.raises(TypeError, match="a quantity is exact"):
            getattr(Quantity(1, LENGTH), operation)(value)


def test_quantities_do_not_change() -> None:
    quantity = Quantity(1, LENGTH)
    with pytest.raises(AttributeError, match="not changed in place"):
        quantity.value = Fraction(2)
    with pytest.raises(AttributeError, match="not changed in place"):
        del quantity.dimension
    for copied in (
        copy.copy(quantity),
        copy.deepcopy(quantity),
        pickle.loads(pickle.dumps(quantity)),
    ):
        assert copied == quantity


def test_need_names_what_was_wanted() -> None:
    assert Quantity(3, LENGTH).need(LENGTH, "joist span") == 3
    with pytest.raises(DimensionError, match="joist span: a length is needed, not a force"):
        Quantity(3, FORCE).need(LENGTH, "joist span")
