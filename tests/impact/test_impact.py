"""Impact on an archive: totals against a plain count, drivers against hybrids, bad rows, resuming."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from deckclause.compare.comparison import WORKED_OUT, compare
from deckclause.compare.difference import differing_keys
from deckclause.compare.hybrid import HybridRunner
from deckclause.compare.outcome import Outcome
from deckclause.designs.invented.archive import write_archive
from deckclause.designs.read_design import read_design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.columns.columns import RawColumn
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.evaluate.together import holds_together
from deckclause.impact.chunk import ChunkRunner, ImpactJob, run_chunk, spoken_topics
from deckclause.impact.read import Archive
from deckclause.impact.rows import Read
from deckclause.impact.run import SAID, ImpactFolder, plan_of, prepare_folder, run_impact
from deckclause.impact.total import ImpactTotal
from deckclause.rulesets.problems import InputError

EXAMPLES = Path(__file__).parents[2] / "rules" / "examples"
ONE, TWO = "irc-2012", "irc-2018"
TOPICS = (
    "ledger_fastener_spacing",
    "ledger_assembly",
    "lateral_devices",
    "joist_span",
    "guard_height",
)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.fixture(scope="module")
def folder(catalogue: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("archive") / "permits"
    write_archive(path, 60, 5, catalogue.vocabulary)
    return path


def job(catalogue: Catalogue, topics: tuple[str, ...] = TOPICS, listed: str = "all") -> ImpactJob:
    return ImpactJob(
        catalogue.ruleset(ONE), catalogue.ruleset(TWO), catalogue.vocabulary, topics, listed
    )


def read_all(path: Path, catalogue: Catalogue, rows: int = 1000) -> list[Read]:
    return [c for c in Archive(path, catalogue.vocabulary, rows).chunks() if isinstance(c, Read)]


def test_every_flip_and_count_is_that_of_the_scalar_evaluator(
    catalogue: Catalogue, folder: Path
) -> None:
    topics = spoken_topics(catalogue.ruleset(ONE), catalogue.ruleset(TWO), catalogue.vocabulary)
    (read,) = read_all(folder, catalogue)
    result = ChunkRunner(job(catalogue, topics)).run(read)
    flips = {(row, topic): (a, b) for row, _, topic, a, b, _ in result["flips"]}
    counts: dict[str, Counter[tuple[int, int]]] = {t: Counter() for t in topics}
    for row, name in zip(read.rows.tolist(), read.names, strict=True):
        design = catalogue.design(folder / name)
        sides = [evaluate(design, catalogue.evaluator(e), catalogue.vocabulary) for e in (ONE, TWO)]
        for topic in topics:
            pair = (sides[0].outcome(topic).status, sides[1].outcome(topic).status)
            counts[topic][pair] += 1
            assert flips.pop((row, topic), (pair[0], pair[0])) == (
                pair if pair[0] != pair[1] else (pair[0], pair[0])
            )
    assert not flips
    for topic in topics:
        table = np.array(result["topics"][topic]["counts"])
        assert {(a, b): table[a, b] for a, b in zip(*np.nonzero(table), strict=True)} == counts[
            topic
        ]


def test_drivers_are_the_smallest_exchanges_that_turn_the_status(
    catalogue: Catalogue, folder: Path
) -> None:
    """Held against the one-design hybrid evaluator, which shares no code with the columns."""
    (read,) = read_all(folder, catalogue)
    result = ChunkRunner(job(catalogue)).run(read)
    one, two = catalogue.evaluator(ONE), catalogue.evaluator(TWO)
    checked = 0
    for row, name, topic, before, after, words in result["flips"]:
        if row % 3 == 0:
            continue
        design = catalogue.design(folder / name)
        runner = HybridRunner(one, two, design, catalogue.vocabulary, topic)
        named = {frozenset(w.split(" + ")) for w in words.split(" | ")}
        size = len(next(iter(named)))
        everything = frozenset(runner.keys)
        provided = {q for q, d in catalogue.vocabulary.quantities.items() if d.provided}

        def lacks_a_provider(outcome: Outcome, provided: set[str] = provided) -> bool:
            return any(n in provided for _, part in outcome.parts for _, n in part.lacks)

        def turns(
            keys: Iterable[str],
            runner: HybridRunner = runner,
            everything: frozenset[str] = everything,
            pair: tuple[int, int] = (before, after),
        ) -> bool:
            there = runner.outcome(frozenset(keys))
            back = runner.outcome(everything - frozenset(keys))
            sound = not (lacks_a_provider(there) or lacks_a_provider(back))
            return sound and (back.status, there.status) == pair

        turning = {frozenset(keys) for keys in combinations(runner.keys, size) if turns(keys)}
        smaller = [
            keys
            for less in range(1, size)
            for keys in combinations(runner.keys, less)
            if turns(keys)
        ]
        assert named == turning, (name, topic)
        assert not smaller, (name, topic)
        checked += 1
    assert checked > 30
    assert set(runner.keys) <= set(differing_keys(one.ruleset, two.ruleset))


def test_csv_parquet_and_folder_of_the_same_permits_agree(
    catalogue: Catalogue, folder: Path, tmp_path: Path
) -> None:
    results = []
    for name in ("a.csv", "a.parquet"):
        write_archive(tmp_path / name, 60, 5, catalogue.vocabulary)
        (read,) = read_all(tmp_path / name, catalogue)
        results.append(run_chunk(job(catalogue), read))
    (read,) = read_all(folder, catalogue)
    in_folder = json.loads(run_chunk(job(catalogue), read))
    assert results[0] == results[1]
    assert in_folder["topics"] == json.loads(results[0])["topics"]


def test_small_chunks_add_up_to_the_whole(catalogue: Catalogue, folder: Path) -> None:
    totals = []
    for rows in (1000, 7):
        total = ImpactTotal()
        for read in read_all(folder, catalogue, rows):
            total.add(json.loads(run_chunk(job(catalogue), read)))
        totals.append(total)
    assert totals[0] == totals[1]
    assert totals[0].designs == 60


def test_a_cell_not_understood_loses_its_fact_and_a_row_its_cells_do_not_fit_is_set_aside(
    catalogue: Catalogue, tmp_path: Path
) -> None:
    path = tmp_path / "permits.csv"
    path.write_text(
        "permit,ledger.size,joists.span [in],deck.attachment\n"
        "P1,2x10,120,ledger\n"
        "P2,2x9,120,ledger\n"
        "P3,2x10,10 m,ledger\n"
        "P4,2x10,-5,hanging\n"
        "P5,2x10\n"
        "P6,,?,\n"
        "Total,,,\n"
        " ,,,\n",
        encoding="utf-8",
    )
    (read,) = read_all(path, catalogue)
    assert read.names == ("P1", "P2", "P3", "P4", "P6")
    assert read.rows.tolist() == [1, 2, 3, 4, 6]
    reasons = {bad.row: bad.reason for bad in read.bad}
    assert reasons.keys() == {5, 7}
    assert reasons[5] == "has 2 cells where the header has 4"
    assert "states nothing of a deck" in reasons[7]
    lost = {(fact.name, fact.heading, fact.cell): fact.reason for fact in read.lost}
    assert lost.keys() == {
        ("P2", "ledger.size", "2x9"),
        ("P4", "joists.span [in]", "-5"),
        ("P4", "deck.attachment", "hanging"),
    }
    assert "Did you mean" in lost["P2", "ledger.size", "2x9"]
    assert "negative" in lost["P4", "joists.span [in]", "-5"]
    known = {name: column.codes.tolist() for name, column in read.chunk.columns.items()}
    assert known["ledger.size"] == [0, -1, 0, 0, -1]
    assert known["deck.attachment"] == [0, 0, 0, -1, -1]
    result = json.loads(run_chunk(job(catalogue), read))
    assert (result["read"], result["designs"], len(result["bad"])) == (7, 5, 2)
    assert len(result["lost"]) == 3


def test_values_that_cannot_stand_together_are_set_aside_as_in_a_design_file(
    catalogue: Catalogue, tmp_path: Path
) -> None:
    path = tmp_path / "permits.csv"
    path.write_text(
        "permit,ledger.size,fasteners.upper_row_below_ledger_top,"
        "fasteners.lower_row_below_ledger_top,joists.spacing,joists.size,joists.below_ledger_top\n"
        "P1,2x10,2 in,6-1/2 in,16 in,2x8,0 in\n"
        "P2,2x10,6 in,2 in,16 in,2x8,0 in\n"
        "P3,2x10,2 in,9-1/2 in,16 in,2x8,0 in\n"
        "P4,2x10,2 in,6-1/2 in,0 in,2x8,0 in\n"
        "P5,2x10,2 in,6-1/2 in,16 in,2x8,-8 in\n",
        encoding="utf-8",
    )
    (read,) = read_all(path, catalogue)
    result = json.loads(run_chunk(job(catalogue), read))
    assert result["designs"] == 1
    reasons = {row: reason for row, _, reason in result["bad"]}
    assert sorted(reasons) == [2, 3, 4, 5]
    assert "not above the lower row" in reasons[2]
    assert "not on a ledger" in reasons[3]
    assert "no length" in reasons[4]
    assert "wholly above the ledger" in reasons[5]


@pytest.mark.parametrize(
    ("header", "says"),
    [
        ("permit,ledger.siez", "Did you mean ledger.size"),
        ("ledger.size,ledger.size", "stands twice"),
        ("ledger.depth", "leave it out"),
        ("permit,address", "no column names a quantity"),
    ],
)
def test_a_header_that_cannot_be_read_says_why(
    catalogue: Catalogue, tmp_path: Path, header: str, says: str
) -> None:
    path = tmp_path / "permits.csv"
    path.write_text(header + "\n", encoding="utf-8")
    with pytest.raises(InputError, match=says):
        list(Archive(path, catalogue.vocabulary).chunks())


def test_a_stopped_run_goes_on_and_ends_the_same(catalogue: Catalogue, tmp_path: Path) -> None:
    path = tmp_path / "permits.csv"
    write_archive(path, 50, 9, catalogue.vocabulary)
    archive = Archive(path, catalogue.vocabulary, 10)
    asked = job(catalogue)
    whole = prepare_folder(tmp_path / "whole", plan_of(archive, asked), resume=False)
    run_impact(archive, asked, whole)

    stopped = prepare_folder(tmp_path / "stopped", plan_of(archive, asked), resume=False)

    class Stop(Exception):
        pass

    def stop(count: int) -> None:
        if len(stopped.done()) == 2:
            raise Stop

    with pytest.raises(Stop):
        run_impact(archive, asked, stopped, step=stop)
    assert stopped.done() == {0, 1}
    again = prepare_folder(tmp_path / "stopped", plan_of(archive, asked), resume=True)
    run_impact(archive, asked, again)
    assert [again.part(n).read_bytes() for n in sorted(again.done())] == [
        whole.part(n).read_bytes() for n in sorted(whole.done())
    ]


def test_a_folder_of_another_run_is_refused(catalogue: Catalogue, tmp_path: Path) -> None:
    path = tmp_path / "permits.csv"
    write_archive(path, 5, 9, catalogue.vocabulary)
    archive = Archive(path, catalogue.vocabulary, 10)
    plan = plan_of(archive, job(catalogue))
    prepare_folder(tmp_path / "out", plan, resume=False)
    with pytest.raises(InputError, match="--resume"):
        prepare_folder(tmp_path / "out", plan, resume=False)
    other = plan_of(archive, job(catalogue, topics=("joist_span",)))
    with pytest.raises(InputError, match="the topics asked are others; begin anew"):
        prepare_folder(tmp_path / "out", other, resume=True)
    with pytest.raises(InputError, match="no run to go on with"):
        prepare_folder(tmp_path / "nothing", plan, resume=True)


def test_an_archive_that_is_none_says_why(catalogue: Catalogue, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "a.ods").write_text("", encoding="utf-8")
    for name, says in (("empty", "no design files"), ("a.ods", "neither"), ("b.csv", "not there")):
        with pytest.raises(InputError, match=says):
            Archive(tmp_path / name, catalogue.vocabulary)
    (tmp_path / "a.xlsx").write_text("no workbook", encoding="utf-8")
    with pytest.raises(InputError, match="not a readable workbook"):
        list(Archive(tmp_path / "a.xlsx", catalogue.vocabulary).chunks())


def test_a_dask_cluster_of_two_workers_gives_the_same_bytes(
    catalogue: Catalogue, tmp_path: Path
) -> None:
    distributed = pytest.importorskip("dask.distributed")
    path = tmp_path / "permits.csv"
    write_archive(path, 60, 4, catalogue.vocabulary)
    archive = Archive(path, catalogue.vocabulary, 15)
    asked = job(catalogue)
    here = prepare_folder(tmp_path / "here", plan_of(archive, asked), resume=False)
    run_impact(archive, asked, here)
    there = prepare_folder(tmp_path / "there", plan_of(archive, asked), resume=False)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        run_impact(archive, asked, there, dask=cluster.scheduler_address)
    assert there.done() == here.done() == {0, 1, 2, 3}
    for number in here.done():
        assert there.part(number).read_bytes() == here.part(number).read_bytes()


def test_two_workers_give_the_same_bytes(catalogue: Catalogue, tmp_path: Path) -> None:
    path = tmp_path / "permits.csv"
    write_archive(path, 40, 4, catalogue.vocabulary)
    archive = Archive(path, catalogue.vocabulary, 8)
    asked = job(catalogue)
    here = prepare_folder(tmp_path / "here", plan_of(archive, asked), resume=False)
    run_impact(archive, asked, here)
    there = prepare_folder(tmp_path / "there", plan_of(archive, asked), resume=False)
    run_impact(archive, asked, there, workers=2)
    assert there.done() == here.done() == {0, 1, 2, 3, 4}
    for number in here.done():
        assert there.part(number).read_bytes() == here.part(number).read_bytes()


@pytest.mark.parametrize("part", ["from", "to", "vocabulary", "engine", "statuses", "archive"])
def test_a_run_begun_under_other_rules_or_another_engine_is_not_gone_on_with(
    catalogue: Catalogue, tmp_path: Path, part: str
) -> None:
    path = tmp_path / "permits.csv"
    write_archive(path, 3, 9, catalogue.vocabulary)
    plan = plan_of(Archive(path, catalogue.vocabulary), job(catalogue))
    prepare_folder(tmp_path / "out", {**plan, part: f"{plan[part]} before"}, resume=False)
    with pytest.raises(InputError, match="holds a run begun otherwise") as told:
        prepare_folder(tmp_path / "out", plan, resume=True)
    assert len(told.value.problems) == 1
    assert SAID[part] in str(told.value)


def test_folder_results_come_in_order(tmp_path: Path) -> None:
    folder = ImpactFolder(tmp_path)
    (tmp_path / "parts").mkdir()
    for number in (2, 0, 1):
        folder.keep(number, json.dumps({"number": number}).encode())
    assert [r["number"] for r in folder.results()] == [0, 1, 2]
    folder.clear()
    assert not (tmp_path / "parts").exists()


def test_a_result_damaged_after_the_run_is_told_and_never_left_out(tmp_path: Path) -> None:
    folder = ImpactFolder(tmp_path)
    (tmp_path / "parts").mkdir()
    for number in range(3):
        folder.keep(number, json.dumps({"number": number}).encode())
    folder.part(1).write_bytes(b"")
    with pytest.raises(InputError, match="was damaged"):
        list(folder.results())


def test_the_invented_folder_reads_as_designs(catalogue: Catalogue, folder: Path) -> None:
    for file in sorted(folder.glob("*.yaml"))[:10]:
        assert read_design(file, catalogue.vocabulary).parts


# -- permits, and topics worked out ---------------------------------------------------------------


def test_permits_are_counted_as_a_plain_count_of_every_design(
    catalogue: Catalogue, folder: Path
) -> None:
    topics = spoken_topics(catalogue.ruleset(ONE), catalogue.ruleset(TWO), catalogue.vocabulary)
    (read,) = read_all(folder, catalogue)
    for chosen in (topics, TOPICS):
        counted = ChunkRunner(job(catalogue, chosen)).run(read)["permits"]
        moves: Counter[tuple[int, int]] = Counter()
        newly: Counter[str] = Counter()
        decided: Counter[str] = Counter()
        on_decided: Counter[tuple[int, int]] = Counter()
        failing = 0
        for name in read.names:
            design = catalogue.design(folder / name)
            sides = []
            for edition in (ONE, TWO):
                found = evaluate(design, catalogue.evaluator(edition), catalogue.vocabulary)
                sides.append({t: found.outcome(t).status for t in chosen})
            moves[_stands(sides[0]), _stands(sides[1])] += 1
            fails = [
                t
                for t in chosen
                if sides[1][t] == DOES_NOT_COMPLY and sides[0][t] != DOES_NOT_COMPLY
            ]
            newly.update(fails)
            judged = [t for t in chosen if _judged(sides[0][t], sides[1][t])]
            decided.update(judged)
            if judged:
                stands = [_stands({t: side[t] for t in judged}) for side in sides]
                on_decided[stands[0], stands[1]] += 1
            failing += bool(fails)
        assert {
            (i, j): n for i, line in enumerate(counted["moves"]) for j, n in enumerate(line) if n
        } == moves
        assert counted["newly_failing_on"] == newly
        if chosen is TOPICS:  # all of them read something these permits state
            assert counted["decided_on"] == decided
            assert {
                (i, j): n
                for i, line in enumerate(counted["moves_on_decided"])
                for j, n in enumerate(line)
                if n
            } == on_decided
        assert counted["newly_failing"] == failing > 0


@pytest.mark.parametrize("narrowed", [False, True])
def test_no_permit_complies_whose_deck_is_not_known_to_hold_together(
    catalogue: Catalogue, folder: Path, tmp_path: Path, narrowed: bool
) -> None:
    """Held against the scalar evaluator, design by design, with three decks made to stand in."""
    whole = (EXAMPLES / "whole-deck-12x16.yaml").read_text(encoding="utf-8")
    for number, (said, instead) in enumerate(
        (
            ("", ""),  # sound
            ("at_ledger: hanger_fully_seated", "at_ledger: nails_only"),  # falls
            ("  length: 16 ft\n  position: dropped", "  position: dropped"),  # not known
        )
    ):
        assert said in whole
        text = whole.replace(said, instead) if said else whole
        (tmp_path / f"whole-{number}.yaml").write_text(text, encoding="utf-8")
    for file in sorted(folder.iterdir())[:20]:
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (read,) = read_all(tmp_path, catalogue)
    coherence = catalogue.coherence()
    assert coherence is not None
    asked = replace(job(catalogue), coherence=coherence.ruleset, narrowed=narrowed)
    result = ChunkRunner(asked).run(read)
    together: Counter[str] = Counter()
    moves: Counter[tuple[int, int]] = Counter()
    for name in read.names:
        design = catalogue.design(tmp_path / name)
        found = holds_together(catalogue, design)
        assert found is not None
        kind = {COMPLIES: "holds", DOES_NOT_COMPLY: "fails"}.get(found.status, "open")
        together[kind] += 1
        least = {"holds": 0, "open": 0 if narrowed else 1, "fails": 2}[kind]
        sides = []
        for edition in (ONE, TWO):
            outcome = evaluate(design, catalogue.evaluator(edition), catalogue.vocabulary)
            sides.append(max(least, _stands({t: outcome.outcome(t).status for t in TOPICS})))
        moves[sides[0], sides[1]] += 1
    told = result["together"]
    assert {k: told[k] for k in ("holds", "fails", "open")} == dict(together)
    assert min(together.values()) > 0
    counted = result["permits"]["moves"]
    assert {(i, j): n for i, line in enumerate(counted) for j, n in enumerate(line) if n} == moves
    alone = result["permits"]["moves_by_rules"]
    assert sum(map(sum, alone)) == sum(map(sum, counted)) == len(read.names)
    assert sum(counted[0]) <= sum(alone[0])


def _judged(before: int, after: int) -> bool:
    says = {COMPLIES, DOES_NOT_COMPLY, ENGINEERING_REQUIRED}
    return INFORMATION_MISSING not in (before, after) and bool(says & {before, after})


def _stands(statuses: dict[str, int]) -> int:
    if DOES_NOT_COMPLY in statuses.values():
        return 2
    return int(bool({INFORMATION_MISSING, ENGINEERING_REQUIRED} & set(statuses.values())))


def test_worked_out_topics_are_those_of_a_comparison(catalogue: Catalogue, folder: Path) -> None:
    (read,) = read_all(folder, catalogue)
    result = ChunkRunner(job(catalogue, WORKED_OUT)).run(read)
    flips = {(row, topic): (a, b) for row, _, topic, a, b, _ in result["flips"]}
    for row, name in list(zip(read.rows.tolist(), read.names, strict=True))[:20]:
        design = catalogue.design(folder / name)
        rows = compare(catalogue, design, [ONE, TWO], topics=WORKED_OUT, pairs=()).rows
        for found in rows:
            pair = tuple(outcome.status for outcome in found.outcomes)
            if pair[0] != pair[1]:
                assert flips[row, found.topic.name] == pair
            else:
                assert (row, found.topic.name) not in flips


def test_what_the_tool_lacks_is_told_from_what_a_permit_leaves_out(
    catalogue: Catalogue, folder: Path
) -> None:
    """A town at 60 psf has beam tables nobody has seen; a beam without a size lacks a fact too."""
    topic, asked = "beam_span", "beams.size"
    one, two = (catalogue.ruleset(name) for name in ("irc-2015", "Tarn Hollow@2025-03-01"))
    runner = ChunkRunner(ImpactJob(one, two, catalogue.vocabulary, (topic,)))
    (read,) = read_all(folder, catalogue)
    found = runner.run(read)
    lacking = found["permits"]["lacking_on"][topic]
    missing = sum(line[INFORMATION_MISSING] for line in found["topics"][topic]["counts"])
    assert 0 < lacking < missing
    column = read.chunk.columns[asked]
    unknown = RawColumn(np.full(read.chunk.count, -1, np.int32), column.values)
    chunk = replace(read.chunk, columns={**read.chunk.columns, asked: unknown})
    bare = runner.run(replace(read, chunk=chunk))
    assert bare["permits"]["lacking"] == 0
    assert sum(line[INFORMATION_MISSING] for line in bare["topics"][topic]["counts"]) >= missing
