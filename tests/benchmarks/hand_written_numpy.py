"""The sixteen clauses written by hand in numpy, tuned: what the generated columns are held to.

Chunked to stay in cache; codes as bytes; whole ticks as 32-bit numbers; the table read without a
binary search; every array it works in is allocated once; masks that several clauses need are
worked out once a chunk. Unknown facts end as `information missing`, by the same three-valued
rules as the clauses.
"""

# ruff: noqa: PLR0917 - long and straight, as code tuned by hand is

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

COMPLIES, NOT_APPLICABLE, MISSING, ENGINEERING, FAILS = range(5)
CHUNK = 32_768
TICKS = 8128
SPANS = [12 * TICKS * feet for feet in (6, 8, 10, 12, 14, 16, 18)]
CELLS = np.array(
    [
        *(30, 23, 18, 15, 13, 11, 10),
        *(36, 36, 34, 29, 24, 21, 19),
        *(36, 36, 29, 24, 21, 18, 16),
    ],
    np.int32,
) * TICKS  # fmt: skip


@dataclass
class Codes:
    """Where each choice stands in its column; `unknown` is one past the last."""

    place: dict[str, dict[Any, int]]

    def of(self, column: str, *options: Any) -> list[int]:
        return [self.place[column][option] for option in options]

    def unknown(self, column: str) -> int:
        return len(self.place[column])


class HandWritten:
    """Evaluates sixteen clauses; `columns` are codes or ticks, `unknown` masks of the ticks."""

    def __init__(self, codes: Codes, load_ticks: int) -> None:
        self.codes = codes
        self.snow = 40 * load_ticks // 144
        self.m = [np.empty(CHUNK, bool) for _ in range(40)]
        self.b = [np.empty(CHUNK, np.uint8) for _ in range(4)]
        self.i = [np.empty(CHUNK, np.int32) for _ in range(3)]
        self.p = np.empty(CHUNK, np.intp)
        self.row_result = np.empty(CHUNK, np.uint8)
        self.full_byte = np.empty(CHUNK, np.uint8)
        self.rows_byte = np.empty(CHUNK, np.uint8)
        self.other_byte = np.empty(CHUNK, np.uint8)

    def run(self, columns: dict[str, Any], unknown: dict[str, Any], out: Any) -> None:
        count = out.shape[1]
        for start in range(0, count, CHUNK):
            stop = min(start + CHUNK, count)
            x = {name: column[start:stop] for name, column in columns.items()}
            u = {name: mask[start:stop] for name, mask in unknown.items()}
            self._chunk(x, u, out[:, start:stop], stop - start)

    def _among(
        self, x: dict[str, Any], name: str, options: tuple[Any, ...], sure: Any, may: Any
    ) -> None:
        """Write where a choice surely is, and where it may be, one of some options."""
        column = x[name]
        first, *rest = self.codes.of(name, *options)
        np.equal(column, first, out=sure)
        for code in rest:
            np.equal(column, code, out=may)
            np.logical_or(sure, may, out=sure)
        np.equal(column, self.codes.unknown(name), out=may)
        np.logical_or(sure, may, out=may)

    def _status(self, out: Any, na: Any, sure: Any, may: Any, b: Any) -> None:
        """Write: not applicable; else complies, missing or fails by a requirement's two masks.

        `na` is 1 where not applicable, 2 where that is unknown, else 0.
        """
        # requirement: complies 0, missing 2, fails 4
        np.subtract(2, sure.view(np.uint8), out=b)
        np.subtract(b, may.view(np.uint8), out=b)
        np.left_shift(b, 1, out=b)
        np.bitwise_and(b, self.full, out=b)
        np.bitwise_or(b, na, out=out)

    def _chunk(self, x: dict[str, Any], u: dict[str, Any], out: Any, n: int) -> None:
        m = [mask[:n] for mask in self.m]
        b = [byte[:n] for byte in self.b]
        (applies, maybe, bolted, may_bolted, na, s, t, lag, bolt, sawn, lvl, band, may_band) = m[
            :13
        ]
        na8 = b[0]
        among, status = self._among, self._status
        among(x, "deck.attachment", ("ledger",), applies, maybe)
        self.full = self.full_byte[:n]  # every bit set where the deck hangs on a ledger
        np.negative(applies.view(np.uint8), out=self.full)
        # 1 where surely not applicable, 2 where unknown, 0 where it applies
        np.add(applies.view(np.uint8), maybe.view(np.uint8), out=na8)
        np.subtract(2, na8, out=na8)  # 0 applies, 1 unknown, 2 not
        np.equal(na8, 1, out=na)
        np.right_shift(na8, 1, out=na8)
        np.left_shift(na.view(np.uint8), 1, out=b[2])
        np.bitwise_or(na8, b[2], out=na8)
        # 0 positive anchorage: not nails
        among(x, "fasteners.kind", ("toenail", "nail"), s, t)
        np.logical_not(s, out=s)
        np.logical_not(t, out=t)
        status(out[0], na8, t, s, b[1])
        for row, name, options in (
            (1, "deck.connection_can_be_inspected", (True,)),
            (2, "wall.veneer", ("none",)),
            (3, "ledger.carries_beam", (False,)),
            (4, "ledger.size", ("2x8", "2x10", "2x12")),
            (5, "ledger.grade", ("select_structural", "no_1", "no_2")),
            (11, "fasteners.staggered", (True,)),
        ):
            among(x, name, options, s, t)
            status(out[row], na8, s, t, b[1])
        # 6 fastener kind: a scope only
        np.equal(x["fasteners.kind"], self.codes.of("fasteners.kind", "lag_screw")[0], out=lag)
        np.equal(x["fasteners.kind"], self.codes.of("fasteners.kind", "through_bolt")[0], out=bolt)
        np.logical_or(lag, bolt, out=bolted)
        kind_unknown = m[13]
        np.equal(x["fasteners.kind"], self.codes.unknown("fasteners.kind"), out=kind_unknown)
        np.logical_or(bolted, kind_unknown, out=may_bolted)
        status(out[6], na8, bolted, may_bolted, b[1])
        np.subtract(out[6], np.equal(out[6], FAILS, out=s).view(np.uint8), out=out[6])
        # applies and bolted
        both, may_both = m[14], m[15]
        np.logical_and(applies, bolted, out=both)
        np.logical_and(maybe, may_bolted, out=may_both)
        na_both = b[2]
        self._not_applicable(both, may_both, na_both, s)
        # 7 diameter: outside the scope is engineering
        half, half_unknown = m[16], u["fasteners.diameter"]
        np.equal(x["fasteners.diameter"], TICKS // 2, out=half)
        np.greater(half, half_unknown, out=half)
        np.logical_or(half, half_unknown, out=t)
        self._scoped(out[7], na_both, both, half, t, b[1], s)
        # 8 band joist covered by the table: beyond it is engineering
        np.equal(x["band_joist.kind"], self.codes.of("band_joist.kind", "sawn_lumber")[0], out=sawn)
        np.equal(
            x["band_joist.kind"],
            self.codes.of("band_joist.kind", "laminated_veneer_lumber")[0],
            out=lvl,
        )
        np.logical_or(sawn, lvl, out=band)
        band_unknown = m[17]
        np.equal(x["band_joist.kind"], self.codes.unknown("band_joist.kind"), out=band_unknown)
        np.logical_or(band, band_unknown, out=may_band)
        cover, may_cover = m[18], m[19]
        self._cover(x, u, sawn, lvl, band_unknown, cover, may_cover, m)
        np.logical_and(applies, band, out=s)
        np.logical_and(maybe, may_band, out=m[20])
        na_band = b[3]
        self._not_applicable(s, m[20], na_band, t)
        self._scoped(out[8], na_band, s, cover, may_cover, b[1], t)
        covered, covered_open, covered_beyond = m[21], m[22], m[23]
        np.equal(out[8], COMPLIES, out=covered)
        np.equal(out[8], ENGINEERING, out=covered_beyond)
        np.logical_or(covered, covered_beyond, out=covered_open)
        np.logical_not(covered_open, out=covered_open)
        # 9 assembly
        row_of, ok, unsure = self._assembly(x, u, lag, bolt, kind_unknown, m, b)
        np.logical_or(ok, unsure, out=t)
        self._scoped(out[9], na_both, both, ok, t, b[1], s)
        self._spacing(
            x,
            u,
            out,
            na_both,
            both,
            half,
            half_unknown,
            band,
            may_band,
            covered,
            covered_open,
            covered_beyond,
            row_of,
            m,
            b,
        )
        self._placement(x, u, out, na8, applies, sawn, band_unknown, lag, kind_unknown, m, b)

    def _not_applicable(self, sure: Any, may: Any, out: Any, spare: Any) -> None:
        np.add(sure.view(np.uint8), may.view(np.uint8), out=out)
        np.subtract(2, out, out=out)
        np.equal(out, 1, out=spare)
        np.right_shift(out, 1, out=out)
        np.bitwise_or(out, np.left_shift(spare.view(np.uint8), 1), out=out)

    def _scoped(
        self, out: Any, na: Any, applies: Any, sure: Any, may: Any, b: Any, spare: Any
    ) -> None:
        """Write: complies, missing or engineering where it applies."""
        np.subtract(2, sure.view(np.uint8), out=b)
        np.subtract(b, may.view(np.uint8), out=b)  # 0 complies, 1 missing, 2 engineering
        np.greater(b, 0, out=spare)
        np.add(b, spare.view(np.uint8), out=b)
        full = self.other_byte[: len(b)]
        np.negative(applies.view(np.uint8), out=full)
        np.bitwise_and(b, full, out=b)
        np.bitwise_or(b, na, out=out)

    def _cover(
        self,
        x: dict[str, Any],
        u: dict[str, Any],
        sawn: Any,
        lvl: Any,
        unknown: Any,
        sure: Any,
        may: Any,
        m: list[Any],
    ) -> None:
        s, t, w, v = m[24], m[25], m[26], m[27]
        thin = u["band_joist.thickness"]
        self._among(
            x,
            "band_joist.species",
            ("spruce_pine_fir", "hem_fir", "douglas_fir_larch", "southern_pine", "douglas_fir"),
            s,
            t,
        )
        np.greater_equal(x["band_joist.thickness"], 3 * TICKS // 2, out=w)
        np.logical_or(w, thin, out=v)
        np.greater(w, thin, out=w)
        np.logical_and(s, w, out=s)
        np.logical_and(t, v, out=t)
        np.logical_and(s, sawn, out=sure)
        np.logical_or(sawn, unknown, out=w)
        np.logical_and(t, w, out=may)  # the sawn case may hold
        # laminated veneer lumber
        deep = u["band_joist.depth"]
        np.greater_equal(x["band_joist.thickness"], TICKS, out=w)
        np.logical_or(w, thin, out=v)
        np.greater(w, thin, out=w)
        np.greater_equal(x["band_joist.depth"], 19 * TICKS // 2, out=s)
        np.logical_or(s, deep, out=t)
        np.greater(s, deep, out=s)
        np.logical_and(w, s, out=w)
        np.logical_and(v, t, out=v)
        np.logical_and(w, lvl, out=w)
        np.logical_or(lvl, unknown, out=s)
        np.logical_and(v, s, out=v)
        # a case that may hold hides the later ones
        np.greater(w, may, out=w)
        np.logical_or(sure, w, out=sure)
        np.logical_or(may, v, out=may)

    def _assembly(
        self,
        x: dict[str, Any],
        u: dict[str, Any],
        lag: Any,
        bolt: Any,
        unknown: Any,
        m: list[Any],
        b: list[Any],
    ) -> tuple[Any, Any, Any]:
        """Return the table row by design, where there is one, and where that is unsure."""
        n = len(lag)
        wood, may_wood, thin, may_thin, any_unknown = m[24], m[25], m[26], m[27], m[28]
        self._among(
            x, "wall.sheathing_kind", ("none", "wood_structural_panel", "lumber"), wood, may_wood
        )
        total = self.i[0][:n]
        np.add(x["wall.sheathing_thickness"], x["wall.drainage_washer_stack"], out=total)
        np.logical_or(
            u["wall.sheathing_thickness"], u["wall.drainage_washer_stack"], out=any_unknown
        )
        np.less_equal(total, TICKS // 2, out=thin)
        np.logical_or(thin, any_unknown, out=may_thin)
        np.greater(thin, any_unknown, out=thin)
        first, may_first = m[29], m[30]
        np.logical_and(wood, thin, out=first)
        np.logical_and(may_wood, may_thin, out=may_first)
        # thick: stack to 1/2 in, together to 1 in, no stack or wood
        s, t, w = m[31], m[32], m[33]
        stack_unknown = u["wall.drainage_washer_stack"]
        np.equal(x["wall.drainage_washer_stack"], 0, out=s)
        np.greater(s, stack_unknown, out=s)
        np.logical_or(s, stack_unknown, out=t)
        np.logical_or(s, wood, out=s)
        np.logical_or(t, may_wood, out=t)
        np.less_equal(x["wall.drainage_washer_stack"], TICKS // 2, out=w)
        np.logical_or(w, stack_unknown, out=m[34])
        np.greater(w, stack_unknown, out=w)
        np.logical_and(s, w, out=s)
        np.logical_and(t, m[34], out=t)
        np.less_equal(total, TICKS, out=w)
        np.logical_or(w, any_unknown, out=m[34])
        np.greater(w, any_unknown, out=w)
        np.logical_and(s, w, out=s)
        np.logical_and(t, m[34], out=t)
        may_bolt = m[35]
        np.logical_or(bolt, unknown, out=may_bolt)
        may_lag = m[36]
        np.logical_or(lag, unknown, out=may_lag)
        one, two, three = m[37], m[38], m[39]
        np.logical_and(lag, first, out=one)
        np.logical_and(bolt, first, out=two)
        np.logical_and(bolt, s, out=three)
        np.greater(three, may_first, out=three)
        # what may hold: the first case that may
        np.logical_and(may_lag, may_first, out=w)
        np.logical_and(may_bolt, may_first, out=may_thin)
        np.logical_or(w, may_thin, out=w)
        np.logical_and(may_bolt, t, out=t)
        np.logical_or(w, t, out=w)
        row_of = b[1]
        np.left_shift(three.view(np.uint8), 1, out=row_of)
        np.bitwise_or(row_of, two.view(np.uint8), out=row_of)
        ok = one
        np.logical_or(one, two, out=ok)
        np.logical_or(ok, three, out=ok)
        np.greater(w, ok, out=w)
        rows = self.rows_byte[:n]
        np.copyto(rows, row_of)
        return rows, ok, w

    def _spacing(
        self,
        x: dict[str, Any],
        u: dict[str, Any],
        out: Any,
        na: Any,
        both: Any,
        half: Any,
        half_unknown: Any,
        band: Any,
        may_band: Any,
        covered: Any,
        covered_open: Any,
        covered_beyond: Any,
        row_of: Any,
        m: list[Any],
        b: list[Any],
    ) -> None:
        """Scope: diameter, kind of band joist, covered, snow; read in that order, then the table."""
        n = len(both)
        s, t, early, w, v = m[24], m[25], m[26], m[27], m[28]
        np.logical_or(half, half_unknown, out=t)
        np.logical_and(half, band, out=s)
        np.logical_and(t, may_band, out=t)
        np.logical_and(t, covered_beyond, out=early)  # a reading that ends the clause
        np.logical_and(s, covered, out=s)
        np.logical_or(covered, covered_open, out=w)
        np.logical_and(t, w, out=t)
        np.less_equal(x["site.ground_snow_load"], self.snow, out=w)
        np.logical_or(w, u["site.ground_snow_load"], out=v)
        np.greater(w, u["site.ground_snow_load"], out=w)
        np.logical_and(s, w, out=s)
        np.logical_and(t, v, out=t)
        # within the scope: the assembly's row, the span's column
        span = x["joists.span"]
        column = b[1]
        np.greater(span, SPANS[0], out=w)
        np.copyto(column, w.view(np.uint8))
        for key in SPANS[1:-1]:
            np.greater(span, key, out=w)
            np.add(column, w.view(np.uint8), out=column)
        np.multiply(row_of, 7, out=row_of)
        np.add(row_of, column, out=row_of)
        place = self.p[:n]
        np.copyto(place, row_of)
        figure = self.i[0][:n]
        np.take(CELLS, place, out=figure, mode="clip")
        np.less_equal(x["fasteners.spacing"], figure, out=w)
        result = self.result(out, x, u, w, span, b)
        # put together: scope first
        np.subtract(2, s.view(np.uint8), out=b[1])
        np.subtract(b[1], t.view(np.uint8), out=b[1])
        np.greater(b[1], 0, out=v)
        np.add(b[1], v.view(np.uint8), out=b[1])
        np.copyto(b[1], result, where=s)
        np.copyto(b[1], ENGINEERING, where=early)
        full = self.other_byte[:n]
        np.negative(both.view(np.uint8), out=full)
        np.bitwise_and(b[1], full, out=b[1])
        np.bitwise_or(b[1], na, out=out[10])

    def result(
        self, out: Any, x: dict[str, Any], u: dict[str, Any], holds: Any, span: Any, b: list[Any]
    ) -> Any:
        """Within the scope: unknown assembly or span, beyond the table, unknown spacing, the limit."""
        n = len(holds)
        v = self.m[29][:n]
        found = self.row_result[:n]
        np.logical_not(holds, out=v)
        np.left_shift(v.view(np.uint8), 2, out=found)
        np.copyto(found, MISSING, where=u["fasteners.spacing"])
        np.greater(span, SPANS[-1], out=v)
        np.copyto(found, ENGINEERING, where=v)
        np.copyto(found, MISSING, where=u["joists.span"])
        np.equal(out[9], ENGINEERING, out=v)
        np.copyto(found, ENGINEERING, where=v)
        np.equal(out[9], MISSING, out=v)
        np.copyto(found, MISSING, where=v)
        np.equal(out[9], ENGINEERING, out=v)
        np.copyto(found, ENGINEERING, where=v)
        return found

    def _placement(
        self,
        x: dict[str, Any],
        u: dict[str, Any],
        out: Any,
        na: Any,
        applies: Any,
        sawn: Any,
        band_unknown: Any,
        lag: Any,
        kind_unknown: Any,
        m: list[Any],
        b: list[Any],
    ) -> None:
        s, t, w, v = m[24], m[25], m[26], m[27]

        def least(row: int, name: str, ticks: int) -> None:
            np.greater_equal(x[name], ticks, out=s)
            np.logical_or(s, u[name], out=t)
            np.greater(s, u[name], out=s)
            self._status(out[row], na, s, t, b[1])

        least(12, "upper", 2 * TICKS)
        least(13, "bottom", 3 * TICKS // 4)
        np.greater_equal(x["rows"], 13 * TICKS // 8, out=s)
        np.less_equal(x["rows"], 5 * TICKS, out=t)
        np.logical_and(s, t, out=s)
        np.logical_or(s, u["rows"], out=t)
        np.greater(s, u["rows"], out=s)
        self._status(out[15], na, s, t, b[1])
        # 14 lower row by size; a 2x6 has no figure; lag screws on 2x8 boards have a lesser one
        lower, lower_unknown, size = x["lower"], u["lower"], x["ledger.size"]
        small, big, bigger = self.codes.of("ledger.size", "2x8", "2x10", "2x12")
        size_unknown = self.codes.unknown("ledger.size")
        is_small = m[28]
        np.equal(size, small, out=is_small)
        holds = m[29]
        listed = m[30]
        np.greater_equal(lower, 11 * TICKS // 2, out=holds)
        np.logical_and(holds, is_small, out=holds)
        np.copyto(listed, is_small)
        for code, ticks in ((big, 13 * TICKS // 2), (bigger, 15 * TICKS // 2)):
            np.equal(size, code, out=s)
            np.logical_or(listed, s, out=listed)
            np.greater_equal(lower, ticks, out=t)
            np.logical_and(s, t, out=s)
            np.logical_or(holds, s, out=holds)
        base = b[1]
        np.logical_not(holds, out=holds)
        np.left_shift(holds.view(np.uint8), 2, out=base)
        np.copyto(base, MISSING, where=lower_unknown)
        np.logical_not(listed, out=listed)
        np.copyto(base, ENGINEERING, where=listed)
        np.equal(size, size_unknown, out=v)
        np.copyto(base, MISSING, where=v)
        # the exception
        np.equal(x["band_joist.size"], self.codes.of("band_joist.size", "2x8")[0], out=s)
        np.equal(x["band_joist.size"], self.codes.unknown("band_joist.size"), out=t)
        np.logical_or(s, t, out=t)
        np.logical_and(s, is_small, out=s)
        np.logical_and(s, sawn, out=s)
        np.logical_and(s, lag, out=s)
        np.logical_or(is_small, v, out=w)
        np.logical_and(t, w, out=t)
        np.logical_or(sawn, band_unknown, out=w)
        np.logical_and(t, w, out=t)
        np.logical_or(lag, kind_unknown, out=w)
        np.logical_and(t, w, out=t)
        lesser = self.row_result[: len(s)]
        np.less(lower, 9 * TICKS // 2, out=w)
        np.left_shift(w.view(np.uint8), 2, out=lesser)
        np.copyto(lesser, MISSING, where=lower_unknown)
        np.not_equal(base, lesser, out=w)
        np.greater(t, s, out=t)
        np.logical_and(t, w, out=t)
        np.copyto(base, MISSING, where=t)
        np.copyto(base, lesser, where=s)
        np.bitwise_and(base, self.full, out=base)
        np.bitwise_or(base, na, out=out[14])
