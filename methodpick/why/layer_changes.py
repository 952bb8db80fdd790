"""What the ground of a layer may be otherwise: blow count, strength, fines, permeability."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from methodpick.facts.gather import Gatherer
from methodpick.facts.strata import Stratum, blow_counts
from methodpick.ground.profile import Profile, Spt
from methodpick.ground.quantity import Band
from methodpick.ground.site import Site
from methodpick.terms import GRANULAR
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span
from methodpick.why.input_change import CredibleRange, InputChange, change_boring, change_layer

STRENGTH_STEP = 1.02
PERMEABILITY_STEP = 10**0.1
"""Ratios of one value tried to the next."""


def layer_changes(gatherer: Gatherer, stratum: Stratum) -> Iterator[InputChange]:
    """Return the changes of a logged layer to try."""
    for change in (
        _blow_count(gatherer, stratum),
        _strength(gatherer, stratum),
        _fines(gatherer, stratum),
        _permeability(gatherer, stratum),
    ):
        if change is not None and change.credible.has_steps:
            yield change


def _depths(stratum: Stratum) -> str:
    return f"from {mark(stratum.top_m, 'm')} to {mark(stratum.base_m, 'm')}"


def _blow_count(gatherer: Gatherer, stratum: Stratum) -> InputChange | None:
    """Return the blow count of a layer: all its tests moved by the same number, refusals left alone."""
    counts = [test.n for test in stratum.spt if test.n is not None and test.penetration_m is None] + list(stratum.layer.n)
    if not counts or len(counts) < len(blow_counts(stratum)):
        return None
    boring, limits = gatherer.frame.profile.id, gatherer.frame.limits
    now = sum(counts) / len(counts)

    def change(site: Site, value: float) -> Site:
        shift = round(value - now)

        def moved(test: Spt) -> Spt:
            inside = stratum.top_m <= test.depth_m < stratum.base_m and test.n is not None
            return test.model_copy(update={"n": max(0, (test.n or 0) + shift)}) if inside else test

        def with_tests(profile: Profile) -> Profile:
            return profile.model_copy(update={"spt": tuple(moved(test) for test in profile.spt)})

        site = change_boring(site, boring, with_tests)
        if not stratum.layer.n:
            return site
        return change_layer(site, boring, stratum.layer, n=tuple(max(0, n + shift) for n in stratum.layer.n))

    low = max(now - min(counts), now / limits["flip_n_less_factor"])
    high = max(now + limits["flip_n_more"], limits["flip_n_more_factor"] * now)
    return InputChange("n", f"the blow count N {_depths(stratum)}", CredibleRange(low, high, step=1.0, unit="1", now=now), change)


def _strength(gatherer: Gatherer, stratum: Stratum) -> InputChange | None:
    strength = _known_number(gatherer, stratum, "su_kpa")
    if strength is None:
        return None
    credible = _by_factor(strength, gatherer.frame.limits["flip_su_factor"], STRENGTH_STEP, "kPa")
    return InputChange(
        "su", f"the undrained strength {_depths(stratum)}", credible, _scaled(gatherer.frame.profile.id, stratum, "su_kpa", strength)
    )


def _permeability(gatherer: Gatherer, stratum: Stratum) -> InputChange | None:
    permeability = _known_number(gatherer, stratum, "permeability_m_s")
    if permeability is None:
        return None
    credible = _by_factor(permeability, gatherer.frame.limits["flip_permeability_factor"], PERMEABILITY_STEP, "m/s")
    change = _scaled(gatherer.frame.profile.id, stratum, "permeability_m_s", permeability)
    return InputChange("permeability", f"the permeability {_depths(stratum)}", credible, change)


def _by_factor(number: Span, factor: float, step: float, unit: str) -> CredibleRange:
    """Return the credible range of a number: what is known of it, and at least a factor either way of its likely value."""
    likely = number.likely or 0.0
    return CredibleRange(min(number.low, likely / factor), max(number.high, likely * factor), step=step, unit=unit, now=likely, ratio=True)


def _fines(gatherer: Gatherer, stratum: Stratum) -> InputChange | None:
    fines = _known_number(gatherer, stratum, "fines_percent")
    if fines is None or not stratum.soils & GRANULAR:
        return None
    likely, boring = fines.likely or 0.0, gatherer.frame.profile.id

    def change(site: Site, value: float) -> Site:
        shift = value - likely
        low, high = (min(100.0, max(0.0, end + shift)) for end in (fines.low, fines.high))
        return change_layer(site, boring, stratum.layer, fines_percent=Band(low=low, high=high, likely=min(max(value, low), high)))

    credible = CredibleRange(0.0, gatherer.frame.limits["flip_fines_most_percent"], step=1.0, unit="%", now=likely)
    return InputChange("fines", f"the fines content {_depths(stratum)}", credible, change)


def _known_number(gatherer: Gatherer, stratum: Stratum, name: str) -> Span | None:
    """Return what is known of a number of the layer, None where nothing says a likely value above zero."""
    fact = gatherer.sheets[stratum.index].facts.get(name) or gatherer.placed(stratum.index).facts.get(name)
    value = fact.value if fact is not None else None
    return value if isinstance(value, Span) and value.likely else None


def _scaled(boring: str, stratum: Stratum, field: str, number: Span) -> Callable[[Site, float], Site]:
    """Return the change that scales what is known of a number, its spread included."""
    likely = number.likely or 1.0

    def change(site: Site, value: float) -> Site:
        ratio = value / likely
        low, high = number.low * ratio, number.high * ratio
        band = Band(low=low, high=high, likely=min(max(value, low), high))
        return change_layer(site, boring, stratum.layer, **{field: band})

    return change
