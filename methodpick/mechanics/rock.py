"""Classes of rock by RQD and strength."""

from __future__ import annotations

from methodpick.mechanics.registry import positive

_RQD = ((25.0, "very_poor"), (50.0, "poor"), (75.0, "fair"), (90.0, "good"))
_STRENGTH = ((1000.0, "R0"), (5000.0, "R1"), (25000.0, "R2"), (50000.0, "R3"), (100000.0, "R4"), (250000.0, "R5"))


def rqd_class(rqd_percent: float) -> str:
    """Quality word of an RQD in percent (Deere 1964, from memory). ValueError outside 0 to 100.

    >>> rqd_class(55.0)
    'fair'
    """
    if not 0.0 <= rqd_percent <= 100.0:
        raise ValueError(f"rqd_percent is {rqd_percent}; 0 to 100 is expected")
    return next((word for limit, word in _RQD if rqd_percent < limit), "excellent")


def strength_class(ucs_kpa: float) -> str:
    """Strength grade R0 to R6 of intact rock by unconfined strength in kPa (ISRM 1978, from memory).

    >>> strength_class(30000.0)
    'R3'
    """
    value = positive("ucs_kpa", ucs_kpa)
    return next((word for limit, word in _STRENGTH if value < limit), "R6")


def core_to_fluid(rqd_percent: float) -> tuple[float, float]:
    """Rough range of mass permeability in m/s by RQD: the more broken, the more open (own value, weak).

    >>> core_to_fluid(80.0)
    (1e-09, 1e-06)
    """
    return {"very_poor": (1e-7, 1e-4), "poor": (1e-7, 1e-4), "fair": (1e-8, 1e-5), "good": (1e-9, 1e-6), "excellent": (1e-10, 1e-7)}[
        rqd_class(rqd_percent)
    ]
