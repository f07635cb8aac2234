"""The reduction term Rd that brings a yield load to an allowable one (NDS Table 12.3.1B)."""

from __future__ import annotations

from msgspec import Struct

SMALLEST_BOLT_IN = 0.25


class ReductionTerms(Struct, frozen=True):
    """Rd by mode family, with the diameter term or the angle term they came from."""

    bearing: float
    """Modes Im and Is."""
    rotation: float
    """Mode II."""
    bending: float
    """Modes IIIm, IIIs and IV."""
    k_theta: float
    reason: str

    def for_mode(self, mode: str) -> float:
        """Return Rd for a mode named Im, Is, II, IIIm, IIIs or IV."""
        return {"Im": self.bearing, "Is": self.bearing, "II": self.rotation}.get(mode, self.bending)


def small_diameter_term(diameter_in: float) -> float:
    """Return KD: 2.2 up to 0.17 in, 10D + 0.5 up to 1/4 in.

    >>> small_diameter_term(0.17), round(small_diameter_term(0.227), 2)
    (2.2, 2.77)
    """
    return 2.2 if diameter_in <= 0.17 else 10 * diameter_in + 0.5


def reduction_terms(
    *, nominal_in: float, yield_diameter_in: float, greatest_angle_deg: float
) -> ReductionTerms:
    """Return Rd for a fastener.

    `yield_diameter_in` is the body diameter of a bolt or the root diameter of a lag screw;
    `greatest_angle_deg` is the largest angle of load to grain in either member, so that one
    member loaded across its grain lowers the whole connection (K-theta = 1.25).

    >>> terms = reduction_terms(nominal_in=0.5, yield_diameter_in=0.5, greatest_angle_deg=90)
    >>> terms.bearing, terms.rotation, terms.bending
    (5.0, 4.5, 4.0)
    """
    k_theta = 1 + 0.25 * greatest_angle_deg / 90
    if yield_diameter_in >= SMALLEST_BOLT_IN:
        reason = f"4, 3.6, 3.2 times K-theta = {k_theta:.3g}"
        return ReductionTerms(4 * k_theta, 3.6 * k_theta, 3.2 * k_theta, k_theta, reason)
    term = small_diameter_term(yield_diameter_in)
    if nominal_in >= SMALLEST_BOLT_IN:
        reason = f"threaded, root under 1/4 in: KD = {term:.3g} times K-theta = {k_theta:.3g}"
        term *= k_theta
    else:
        reason = f"under 1/4 in: KD = {term:.3g}"
    return ReductionTerms(term, term, term, k_theta, reason)
