"""Adjusted design values of sawn lumber: duration, wet service, size, repetition, incising.

Source of the factors: NDS 2018 sections 2.3 and 4.3 and Supplement Tables 4A, 4B, 4D. Most are
from memory; size and wet-service factors were also seen restated in a public source.
"""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from deckclause.engineering.basis import Factor, Standing, product
from deckclause.engineering.members.sizes import Section
from deckclause.engineering.members.species import DesignValues

WET_BENDING_STEP_PSI = 1150.0
"""At or below this Fb x CF, wet service does not reduce bending (Supplement Table 4A)."""

WET_COMPRESSION_STEP_PSI = 750.0
"""At or below this Fc x CF, wet service does not reduce compression parallel to grain."""

NEAR_STEP = 0.03
"""Share of the step within which a result is flagged as standing near it."""


class LoadDuration(Enum):
    """The load of shortest duration; its factor CD is the value (NDS Table 2.3.2)."""

    DEAD = 0.9
    OCCUPANCY = 1.0
    SNOW = 1.15
    CONSTRUCTION = 1.25
    WIND_OR_SEISMIC = 1.6


_CF_BENDING: dict[bool, dict[int, float]] = {  # True: 4 in nominal thickness
    False: {4: 1.5, 6: 1.3, 8: 1.2, 10: 1.1, 12: 1.0, 14: 0.9},
    True: {4: 1.5, 6: 1.3, 8: 1.3, 10: 1.2, 12: 1.1, 14: 1.0},
}
_CF_COMPRESSION: dict[int, float] = {4: 1.15, 6: 1.1, 8: 1.05, 10: 1.0, 12: 1.0, 14: 0.9}


class Service(Struct, frozen=True):
    """The conditions a member works in. Nothing has a default: an unknown is not a pass."""

    wet: bool
    incised: bool
    repetitive: bool
    load_duration: LoadDuration


class AdjustedValues(Struct, frozen=True):
    """Adjusted design values, psi, with every factor; column stability is not in `fc_psi`."""

    reference: DesignValues
    fb_psi: float
    fv_psi: float
    fc_perp_psi: float
    fc_psi: float
    e_psi: float
    emin_psi: float
    bending_factors: tuple[Factor, ...]
    compression_factors: tuple[Factor, ...]
    shear_factors: tuple[Factor, ...]
    stiffness_factors: tuple[Factor, ...]
    near_step: bool


def bending_size_factor(section: Section, values: DesignValues) -> Factor:
    """Return CF for bending (Supplement Table 4A; in the values themselves for southern pine).

    Raises ValueError for a width with no factor.
    """
    if values.size_included:
        return _factor("CF", 1.0, "size is in the reference value", "NDS Supplement Table 4B")
    table = _CF_BENDING[section.nominal_thickness == 4]
    if section.nominal_depth not in table:
        raise ValueError(f"no size factor is held for {section.name}")
    return Factor(
        "CF",
        table[section.nominal_depth],
        f"size {section.name}",
        "NDS Supplement Table 4A",
        Standing.CONFIRMED,
    )


def adjust(values: DesignValues, section: Section, service: Service) -> AdjustedValues:
    """Return adjusted values for a section in service (NDS Table 4.3.1, allowable stress).

    CD never touches E, Emin or compression perpendicular to grain (NDS 2.3.2). Beam stability
    CL is 1.0: decking or blocking holds the compression edge (NDS 4.4.1).

    >>> from deckclause.engineering.members.sizes import dressed_section
    >>> from deckclause.engineering.members.species import design_values
    >>> board = dressed_section("2x6")
    >>> deck = Service(wet=True, incised=True, repetitive=True, load_duration=LoadDuration.OCCUPANCY)
    >>> round(adjust(design_values("douglas fir-larch", "No.2", board), board, deck).fb_psi, 1)
    914.9
    """
    timber = section.is_timber
    duration = _duration(service)
    size_bending = bending_size_factor(section, values)
    size_compression = _compression_size_factor(section, values)
    bending_step = values.fb_psi * size_bending.value
    compression_step = values.fc_psi * size_compression.value
    wet_bending = _wet_bending(service.wet, bending_step, timber)
    bending = (duration, wet_bending, size_bending, *_strength(service), *_repetitive(service))
    compression = (
        duration,
        _wet_compression(service.wet, compression_step, timber, values),
        size_compression,
        *_strength(service),
    )
    shear = (duration, _wet("CM shear", 0.97, service.wet and not timber), *_strength(service))
    stiffness = (_wet("CM E", 0.9, service.wet and not timber), *_stiffness(service))
    bearing_wet = 0.67 if service.wet and not _already_wet(values, timber) else 1.0
    return AdjustedValues(
        reference=values,
        fb_psi=values.fb_psi * product(bending),
        fv_psi=values.fv_psi * product(shear),
        fc_perp_psi=values.fc_perp_psi * bearing_wet,
        fc_psi=values.fc_psi * product(compression),
        e_psi=values.e_psi * product(stiffness),
        emin_psi=values.emin_psi * product(stiffness),
        bending_factors=bending,
        compression_factors=compression,
        shear_factors=shear,
        stiffness_factors=stiffness,
        near_step=service.wet and abs(bending_step / WET_BENDING_STEP_PSI - 1) <= NEAR_STEP,
    )


def _already_wet(values: DesignValues, timber: bool) -> bool:
    return timber and values.species.startswith("southern pine")


def _factor(symbol: str, value: float, reason: str, source: str) -> Factor:
    return Factor(symbol, value, reason, source, Standing.MEMORY)


def _duration(service: Service) -> Factor:
    name = service.load_duration.name.lower().replace("_", " ")
    return _factor("CD", service.load_duration.value, f"{name} load", "NDS Table 2.3.2")


def _wet(symbol: str, value: float, applies: bool) -> Factor:
    if not applies:
        return _factor(symbol, 1.0, "no reduction for wetness", "NDS Supplement Table 4A")
    return Factor(symbol, value, "wet service", "NDS Supplement Table 4A", Standing.CONFIRMED)


def _wet_bending(wet: bool, bending_step: float, timber: bool) -> Factor:
    if wet and not timber and bending_step > WET_BENDING_STEP_PSI:
        return _wet(f"CM (Fb x CF = {bending_step:.0f} psi, over 1150)", 0.85, True)
    return _wet("CM", 1.0, False)


def _wet_compression(
    wet: bool, compression_step: float, timber: bool, values: DesignValues
) -> Factor:
    if not wet or _already_wet(values, timber):
        return _wet("CM", 1.0, False)
    if timber:
        return _factor("CM", 0.91, "wet service, 5x5 or larger", "NDS Supplement Table 4D")
    if compression_step <= WET_COMPRESSION_STEP_PSI:
        return _wet("CM", 1.0, False)
    return _wet("CM", 0.8, True)


def _compression_size_factor(section: Section, values: DesignValues) -> Factor:
    if values.size_included:
        return _factor("CF", 1.0, "size is in the reference value", "NDS Supplement Table 4B")
    if section.nominal_depth not in _CF_COMPRESSION:
        raise ValueError(f"no size factor is held for {section.name}")
    return Factor(
        "CF",
        _CF_COMPRESSION[section.nominal_depth],
        f"size {section.name}",
        "NDS Supplement Table 4A",
        Standing.CONFIRMED,
    )


def _strength(service: Service) -> tuple[Factor, ...]:
    if not service.incised:
        return ()
    return (_factor("Ci", 0.80, "incised for treatment", "NDS Table 4.3.8"),)


def _stiffness(service: Service) -> tuple[Factor, ...]:
    if not service.incised:
        return ()
    return (_factor("Ci E", 0.95, "incised for treatment", "NDS Table 4.3.8"),)


def _repetitive(service: Service) -> tuple[Factor, ...]:
    if not service.repetitive:
        return ()
    return (_factor("Cr", 1.15, "three or more members within 24 in share the load", "NDS 4.3.9"),)
