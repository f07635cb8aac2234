"""Bolt, lag, group action and placement values; the source of each is in its group."""

from __future__ import annotations

import pytest

from published.engineering_checks import nds_connections as checks


@pytest.mark.parametrize(
    ("group", "total"),
    [
        (checks.bolts, 36),
        (checks.lags, 16),
        (checks.group_action, 11),
        (checks.placement, 5),
        (checks.short_numbers, 9),
    ],
)
def test_every_value_is_met(group, total):
    found = group()
    assert found.total == total
    assert found.misses == ()
