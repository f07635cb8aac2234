"""The ledger table (Wisconsin CR 15-043 Table 6, same series as the IRC's) read backwards."""

from __future__ import annotations

import pytest

from published.engineering_checks import ledger_table as checks


def test_irc_rows_21_of_21_with_one_capacity_each():
    group = checks.printed_rows(rim=False)
    assert (group.met, group.total) == (21, 21)
    assert group.basis == "implied by a table"


def test_rim_rows():
    assert checks.printed_rows(rim=True).misses == ()


def test_only_rounding_down_explains_all_five_rows():
    found = checks.intervals()
    assert all(least < under for least, under in (row["DOWN"] for row in found.values()))
    least, under = found["rim_1_1_8_in"]["NEAREST"]
    assert least >= under


def test_60_psf_live_rows_were_not_used_to_choose_the_capacities():
    assert (checks.live_60().met, checks.live_60().total) == (20, 21)
    assert checks.live_60_as_snow().misses == ()


@pytest.mark.parametrize("load", [50, 60, 70])
def test_snow_rows_as_recorded(load):
    group = checks.snow_rows(load)
    assert (group.met, group.total) == (21, 21)
    assert group.printed_standing == "21 memory"


def test_ratio_to_nds_values():
    assert checks.nds_ratios().misses == ()
