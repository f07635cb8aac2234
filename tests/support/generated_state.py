"""A generated state: counties and towns, each town with two adoptions and amendments of its own.

The shipped rules folder is copied and the invented places are added to it; none is a real place.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from deckclause.rulesets.files import default_root

TOWNS_OF_COUNTY = 20
STATE = "Generated State"
FIRST, SECOND = "irc-2018", "irc-2021"
SNOWS, FROSTS = (20, 25, 30, 40, 50, 60), (12, 24, 30, 36, 42, 48)


def write_state(root: Path, towns: int) -> Path:
    """Write a rules folder of so many towns, with their counties; return it."""
    shutil.copytree(default_root(), root)
    lines = [_place(STATE, "", 0, "2019-01-01", "2022-01-01")]
    for county in range((towns + TOWNS_OF_COUNTY - 1) // TOWNS_OF_COUNTY):
        name = county_name(county)
        lines.append(_place(name, STATE, county, "2019-07-01", "2022-07-01"))
        for kind in (FIRST, SECOND):
            _amendment(root, name, kind, county)
    for town in range(towns):
        name = town_name(town)
        lines.append(_place(name, county_name(town // TOWNS_OF_COUNTY), town))
        for kind in (FIRST, SECOND):
            _amendment(root, name, kind, town)
    for kind in (FIRST, SECOND):
        _amendment(root, STATE, kind, 0)
    with open(root / "register.yaml", "a", encoding="utf-8") as register:
        register.writelines(lines)
    return root


def county_name(number: int) -> str:
    """Return the name of a county, from 0."""
    return f"Generated County {number:03d}"


def town_name(number: int) -> str:
    """Return the name of a town, from 0."""
    return f"Generated Town {number:04d}"


def _id(place: str, edition: str) -> str:
    return f"{place.lower().replace(' ', '-')}-{edition[-4:]}"


def _place(
    name: str, within: str, number: int, begins: str = "2020-01-01", changes: str = "2023-01-01"
) -> str:
    inside = f"    within: {within}\n" if within else ""
    return (
        f"  {name}:\n{inside}    invented: true\n    says: Generated, for timing.\n    adoptions:\n"
        f"      - {{edition: {FIRST}, amendments: [{_id(name, FIRST)}], ordinance: No. {number}-1, "
        f"from: {begins}, until: {changes}}}\n"
        f"      - {{edition: {SECOND}, amendments: [{_id(name, SECOND)}], ordinance: No. {number}-2, "
        f"from: {changes}}}\n"
    )


def _amendment(root: Path, place: str, edition: str, number: int) -> None:
    """Write what a place sets: a county the snow, a town the frost; the state one, not to differ."""
    depth, snow = FROSTS[number % len(FROSTS)], SNOWS[number % len(SNOWS)]
    value = (
        f"site.frost_depth: {depth} in" if "Town" in place else f"site.ground_snow_load: {snow} psf"
    )
    name = _id(place, edition)
    (root / "amendments" / f"{name}.yaml").write_text(
        "# yaml-language-server: $schema=../schema/1/amendment.json\n"
        f"amendment: {name}\nkind: amendment\ntitle: {place} amendments\nplace: {place}\n"
        f"edition: {edition}\nordinance: Ordinance {name}\nadopted: 2019-12-01\n"
        "says: Generated, for timing.\nstanding: confirmed\nsources: [invented]\nchanges:\n"
        f"  - section: Sec. 1\n    says: A value of the ground.\n    set: {{{value}}}\n"
        "    cites: Table R301.2\n",
        encoding="utf-8",
    )
