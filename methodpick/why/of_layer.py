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
from methodpick.why.lever import Lever, lever, with_layer, with_profile


def layer_levers(gatherer: Gatherer, stratum: Stratum) -> Iterator[Lever]:
    """Return the levers of a logged layer."""
    where = f"from {mark(stratum.top_m, 'm')} to {mark(stratum.base_m, 'm')}"
    boring = gatherer.frame.profile.id
    made = (
        _count(boring, stratum, where),
        _strength(gatherer, stratum, where),
        _fines(gatherer, stratum, where),
        _permeability(gatherer, stratum, where),
    )
    yield from (one for one in made if one is not None)


def _count(boring: str, stratum: Stratum, where: str) -> Lever | None:
    """Return the blow count of a layer: all its tests moved alike, refusals left alone."""
    counts = [test.n for test in stratum.spt if test.n is not None and test.penetration_m is None] + list(stratum.layer.n)
    if not counts or len(counts) < len(blow_counts(stratum)):
        return None
    now = sum(counts) / len(counts)

    def change(site: Site, value: float) -> Site:
        shift = round(value - now)

        def moved(test: Spt) -> Spt:
            inside = stratum.top_m <= test.depth_m < stratum.base_m and test.n is not None
            return test.model_copy(update={"n": max(0, (test.n or 0) + shift)}) if inside else test

        def tests(profile: Profile) -> Profile:
            return profile.model_copy(update={"spt": tuple(moved(test) for test in profile.spt)})

        site = with_profile(site, boring, tests)
        if not stratum.layer.n:
            return site
        return with_layer(site, boring, stratum.layer, n=tuple(max(0, n + shift) for n in stratum.layer.n))

    return lever("n", f"the blow count N {where}", "1", (max(now - min(counts), now / 3), max(now + 10, 2.5 * now)), 1.0, change, now=now)


def _strength(gatherer: Gatherer, stratum: Stratum, where: str) -> Lever | None:
    known = _known(gatherer, stratum, "su_kpa")
    if known is None:
        return None
    likely = known.likely or 0.0
    return lever(
        "su",
        f"the undrained strength {where}",
        "kPa",
        (min(known.low, likely / 2.5), max(known.high, 2.5 * likely)),
        1.02,
        _scaled(gatherer.frame.profile.id, stratum, "su_kpa", known),
        now=likely,
        ratio=True,
    )


def _permeability(gatherer: Gatherer, stratum: Stratum, where: str) -> Lever | None:
    known = _known(gatherer, stratum, "permeability_m_s")
    if known is None:
        return None
    likely = known.likely or 0.0
    return lever(
        "permeability",
        f"the permeability {where}",
        "m/s",
        (min(known.low, likely / 10), max(known.high, likely * 10)),
        10**0.1,
        _scaled(gatherer.frame.profile.id, stratum, "permeability_m_s", known),
        now=likely,
        ratio=True,
    )


def _fines(gatherer: Gatherer, stratum: Stratum, where: str) -> Lever | None:
    known = _known(gatherer, stratum, "fines_percent")
    if known is None or not stratum.soils & GRANULAR:
        return None
    likely, boring = known.likely or 0.0, gatherer.frame.profile.id

    def change(site: Site, value: float) -> Site:
        shift = value - likely
        low, high = (min(100.0, max(0.0, end + shift)) for end in (known.low, known.high))
        return with_layer(site, boring, stratum.layer, fines_percent=Band(low=low, high=high, likely=min(max(value, low), high)))

    return lever("fines", f"the fines content {where}", "%", (0.0, 50.0), 1.0, change, now=likely)


def _known(gatherer: Gatherer, stratum: Stratum, fact: str) -> Span | None:
    """Return what is known of a number of the layer, None where nothing says a likely value above zero."""
    found = gatherer.sheets[stratum.index].facts.get(fact)
    placed = found or gatherer.placed(stratum.index).facts.get(fact)
    value = placed.value if placed is not None else None
    return value if isinstance(value, Span) and value.likely else None


def _scaled(boring: str, stratum: Stratum, field: str, known: Span) -> Callable[[Site, float], Site]:
    """Return the change that scales what is known of a number, its spread included."""
    likely = known.likely or 1.0

    def change(site: Site, value: float) -> Site:
        ratio = value / likely
        low, high = known.low * ratio, known.high * ratio
        band = Band(low=low, high=high, likely=min(max(value, low), high))
        return with_layer(site, boring, stratum.layer, **{field: band})

    return change
