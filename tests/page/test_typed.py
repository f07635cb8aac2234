"""From the file to the form and back: nothing lost, faults beside their fields, comments kept."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.page.merge import merged
from deckclause.page.opened import open_text
from deckclause.page.typed import TypedDesign, TypedPart
from deckclause.page.typed_text import document_text, read_typed, scalar
from deckclause.rulesets.yaml_tree import parse_tree
from oracle.random_designs import facts_to_design_document, random_facts
from page.pages import example
from support.designs import EXAMPLES

CATALOGUE = Catalogue.open()
VOCABULARY = CATALOGUE.vocabulary


def _opened(text: str) -> TypedDesign:
    found = open_text(text.encode(), "deck.yaml", VOCABULARY)
    assert found.left_out == ()
    return found.typed


def test_every_example_goes_through_the_form_unchanged() -> None:
    for path in sorted(EXAMPLES.glob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        typed = _opened(text)
        assert merged(typed, text, VOCABULARY).text == text
        shown = read_typed(typed, path.name, VOCABULARY)
        direct = CATALOGUE.design(path).design
        assert shown.faults == ()
        assert shown.design is not None
        assert (shown.design.facts, shown.design.parts) == (direct.facts, direct.parts)


def test_random_designs_read_the_same_through_the_form() -> None:
    for seed in range(300):
        document = facts_to_design_document(random_facts(seed))
        facts = {
            f"{g}.{k}": str(v) for g, e in document.items() if g != "joists" for k, v in e.items()
        }
        joists = {k: str(v) for k, v in document.get("joists", {}).items()}
        parts = {"joists": [TypedPart(facts=joists)]} if "joists" in document else {}
        typed = TypedDesign(name="x", facts=facts, parts=parts)
        assert read_typed(typed, "x", VOCABULARY).faults == ()
        again = _opened(document_text(typed))
        assert (again.facts, again.says) == (facts, "")
        assert [p.facts for p in again.parts.get("joists", [])] == [
            p.facts for p in parts.get("joists", [])
        ]


@given(st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]), max_size=40))
def test_any_text_comes_back_as_it_was_typed(text: str) -> None:
    text = text.strip()
    assert parse_tree(f"a: {scalar(text)}\n".encode(), "x").data["a"] == text
    assert parse_tree(f"- n: {scalar(text)}\n".encode(), "x").data == [{"n": text}]


@given(
    st.dictionaries(
        st.sampled_from(sorted(VOCABULARY.quantities)), st.text(max_size=30), max_size=8
    )
)
def test_whatever_is_typed_a_design_comes_of_it_or_faults_do(facts: dict[str, str]) -> None:
    plain = {n: t for n, t in facts.items() if not VOCABULARY.groups[n.split(".")[0]].many}
    read = read_typed(TypedDesign(name="x", facts=plain), "x", VOCABULARY)
    assert read.design is not None or read.faults
    for fault in read.faults:
        assert fault.field == "" or fault.field in plain


def test_a_fault_stands_beside_its_field_with_what_would_be_right() -> None:
    typed = _opened(example())
    facts = {
        **typed.facts,
        "ledger.size": "2x9",
        "ledger.below_band_joist": "3",
        "fasteners.spacing": "16 furlongs",
        "ledger.flashed": "perhaps",
    }
    joists = typed.parts["joists"][0].model_copy(update={"facts": {"span": "eleven feet"}})
    read = read_typed(
        typed.model_copy(update={"facts": facts, "parts": {"joists": [joists]}}), "x", VOCABULARY
    )
    said = {fault.field: fault.message for fault in read.faults}
    assert set(said) == {
        *("ledger.size", "ledger.below_band_joist", "fasteners.spacing", "ledger.flashed"),
        "joists[0].span",
    }
    assert "Did you mean 2x8?" in said["ledger.size"] or "One of" in said["ledger.size"]
    assert "3 in" in said["ledger.below_band_joist"]
    assert read.design is not None
    for name in ("ledger.size", "ledger.below_band_joist", "fasteners.spacing", "ledger.flashed"):
        assert name not in read.design.facts
    assert read.design.facts["band_joist.size"] == "2x10"


def test_no_part_is_left_out_for_want_of_a_name() -> None:
    parts = {"beams": [TypedPart(name="a"), TypedPart(name="a"), TypedPart(facts={"size": "2x99"})]}
    read = read_typed(TypedDesign(name="x", parts=parts), "x", VOCABULARY)
    assert {fault.field for fault in read.faults} == {"beams[1]", "beams[2]", "beams[2].size"}
    assert read.design is not None
    assert len(read.design.parts["beams"]) == 3


COMMENTED = """\
# My porch, as measured on Sunday
design: 1
name: Porch   # working title
says: >-
  A small porch
  behind the kitchen.
ledger:
  # measured twice
  size: 2x10      # dressed 9-1/4
  below_band_joist: 3 in
site: {ground_snow_load: 25 psf}   # from the town
posts:
  - name: left   # by the lilac
    size: 6x6
  - name: right
    size: 4x4
"""


def test_saving_keeps_comments_and_order_and_changes_only_what_was_changed() -> None:
    typed = _opened(COMMENTED)
    facts = {**typed.facts, "ledger.below_band_joist": "2-1/2 in", "deck.attachment": "ledger"}
    posts = [
        typed.parts["posts"][0].model_copy(update={"facts": {"size": "4x4"}}),
        typed.parts["posts"][1],
    ]
    changed = typed.model_copy(update={"facts": facts, "parts": {"posts": posts}})
    result = merged(changed, COMMENTED, VOCABULARY)
    assert result.kept
    expected = COMMENTED.replace("3 in", "2-1/2 in").replace("    size: 6x6", "    size: 4x4")
    assert result.text == expected + "deck:\n  attachment: ledger\n"


def test_parts_come_and_go() -> None:
    typed = _opened(COMMENTED)
    left, right = typed.parts["posts"]
    for posts in (
        [right],
        [right, left],
        [left, right, TypedPart(name="third", facts={"size": "6x6"})],
        [],
    ):
        changed = typed.model_copy(update={"parts": {"posts": posts}})
        result = merged(changed, COMMENTED, VOCABULARY)
        assert result.kept
        again = _opened(result.text).parts["posts"]
        assert [(p.name, p.facts) for p in again] == [(p.name, p.facts) for p in posts]
        assert "# measured twice" in result.text
    gone = merged(typed.model_copy(update={"parts": {}}), COMMENTED, VOCABULARY)
    assert "posts" not in _opened(gone.text).parts


@given(st.integers(0, 10_000), st.integers(0, 10_000))
def test_one_design_typed_over_another_reads_as_typed(before: int, after: int) -> None:
    base = document_text(_of(before))
    result = merged(_of(after), base, VOCABULARY)
    direct = design_of(document_text(_of(after)).encode(), "x", VOCABULARY)
    saved = design_of(result.text.encode(), "x", VOCABULARY)
    assert result.kept
    assert (saved.facts, saved.parts) == (direct.facts, direct.parts)


def _of(seed: int) -> TypedDesign:
    document = facts_to_design_document(random_facts(seed))
    joists = {k: str(v) for k, v in document.pop("joists", {}).items()}
    facts = {f"{g}.{k}": str(v) for g, e in document.items() for k, v in e.items()}
    return TypedDesign(name="x", facts=facts, parts={"joists": [TypedPart(facts=joists)]})


def test_what_the_form_cannot_hold_is_said_and_kept() -> None:
    text = COMMENTED + "ledgre: {size: 2x8}\nbeams: {siez: 2-2x10}\nband_joist: {depth: [9 in]}\n"
    found = open_text(text.encode(), "deck.yaml", VOCABULARY)
    said = " ".join(found.left_out)
    assert "Did you mean ledger?" in said
    assert "Did you mean size?" in said
    assert "band_joist.depth" in said
    assert "ledgre" in merged(found.typed, text, VOCABULARY).text
