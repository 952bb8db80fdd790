"""What the ground may be otherwise: its water, and the tests and permeability of a layer."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.gather import Gatherer
from methodpick.facts.strata import Stratum, blow_counts
from methodpick.ground.profile import Profile, Spt, WaterReading
from methodpick.ground.quantity import Band
from methodpick.ground.site import Site
from methodpick.terms import GRANULAR
from methodpick.unit_markup import mark
from methodpick.vocabulary.values import Span
from methodpick.why.input_change import CredibleRange, InputChange, change_boring, change_layer

# ---- What the water may be otherwise: the main level, the head of each struck or confined aquifer, the depth of open water


LEVEL_STEP_M = 0.05
_MAIN_READINGS = {"while_drilling", "end_of_drilling", "settled", "piezometer"}


def water_changes(gatherer: Gatherer, depth_m: float) -> Iterator[InputChange]:
    """Return the changes of the water to try: each reading, and the next covered aquifer below a depth that has none."""
    frame = gatherer.frame
    above_m = frame.limits["flip_head_above_ground_m"]
    changes: list[InputChange | None] = []
    if frame.site.setting == "water" and frame.site.water_depth_m is not None:
        changes.append(_open_water(gatherer, frame.site.water_depth_m))
    else:
        changes.append(_main_level(gatherer))
    for index, reading in enumerate(frame.profile.water):
        if reading.reading == "confined" and reading.rises_to_m is not None:
            changes.append(_struck_level(gatherer, index, above_m))
    unread = _covered_unread(gatherer, depth_m)
    changes.append(_unread_level(frame.profile, unread, above_m) if unread is not None else None)
    for change in changes:
        if change is not None and change.credible.has_steps:
            yield change


def _covered_unread(gatherer: Gatherer, depth_m: float) -> Aquifer | None:
    """Return the shallowest aquifer below a depth that tight ground covers and no reading speaks of, None without one."""
    for aquifer in gatherer.aquifers:
        if aquifer.kind == "unread" and aquifer.top_m > depth_m and gatherer.curves.lids(aquifer.top_m - 0.01):
            return aquifer
    return None


def _unread_level(profile: Profile, aquifer: Aquifer, above_m: float) -> InputChange:
    """Return the level to which water would rise if it were struck in covered ground of which no reading speaks."""

    def struck(readings: tuple[WaterReading, ...], value: float) -> tuple[WaterReading, ...]:
        return (*readings, WaterReading(reading="confined", struck_m=aquifer.top_m, rises_to_m=value))

    return InputChange(
        "deep_water",
        f"the level to which water rises from {mark(aquifer.top_m, 'm')}",
        CredibleRange(-above_m, aquifer.top_m, step=LEVEL_STEP_M, unit="m", now=None),
        _with_readings(profile.id, struck),
    )


def _main_level(gatherer: Gatherer) -> InputChange | None:
    """Return the main water level: its readings moved together, or a settled reading where the log has none."""
    frame, main = gatherer.frame, gatherer.aquifers[0]
    likely = main.level_m.likely if main.read else None
    if main.read and likely is None:
        return None
    moving = [reading for reading in frame.profile.water if reading.reading in _MAIN_READINGS and reading.level_m is not None]

    def replaced(readings: tuple[WaterReading, ...], value: float) -> tuple[WaterReading, ...]:
        kept = (reading for reading in readings if reading.reading != "none_met")
        return (*kept, WaterReading(reading="settled", depth_m=value, after_h=24.0))

    def shifted(readings: tuple[WaterReading, ...], value: float) -> tuple[WaterReading, ...]:
        by_m = value - (likely or 0.0)
        return tuple(_shifted(reading, by_m) if reading in moving else reading for reading in readings)

    return InputChange(
        "water_level",
        "the water level",
        CredibleRange(0.0, max(frame.shaft.tip_m, likely or 0.0), step=LEVEL_STEP_M, unit="m", now=likely),
        _with_readings(frame.profile.id, replaced if not moving or main.none_met else shifted),
    )


def _shifted(reading: WaterReading, by_m: float) -> WaterReading:
    """Return a reading with its level moved; where water was struck stays."""
    update = {name: value + by_m for name in ("depth_m", "rises_to_m") if (value := getattr(reading, name)) is not None}
    return reading.model_copy(update=update)


def _struck_level(gatherer: Gatherer, index: int, above_m: float) -> InputChange:
    """Return the level to which struck water rises, for the reading at a place of the boring's list."""
    profile = gatherer.frame.profile
    reading = profile.water[index]
    now = reading.rises_to_m or 0.0
    met = reading.met_m if reading.met_m is not None else gatherer.frame.shaft.tip_m

    def risen(readings: tuple[WaterReading, ...], value: float) -> tuple[WaterReading, ...]:
        changed = list(readings)
        changed[index] = reading.model_copy(update={"rises_to_m": value})
        return tuple(changed)

    return InputChange(
        "struck_water",
        f"the level to which the water struck at {mark(met, 'm')} rises",
        CredibleRange(min(now, 0.0) - above_m, max(met, now), step=LEVEL_STEP_M, unit="m", now=now),
        _with_readings(profile.id, risen),
    )


def _with_readings(
    boring: str, readings_at: Callable[[tuple[WaterReading, ...], float], tuple[WaterReading, ...]]
) -> Callable[[Site, float], Site]:
    """Return the change that gives a boring new water readings, from those it has and the value tried."""

    def change(site: Site, value: float) -> Site:
        return change_boring(site, boring, lambda profile: profile.model_copy(update={"water": readings_at(profile.water, value)}))

    return change


def _open_water(gatherer: Gatherer, depth_m: float) -> InputChange:
    """Return the level of the open water: depth, low and high level moved together."""

    def change(site: Site, value: float) -> Site:
        by_m = value - depth_m
        level = site.site.water_level
        if level is not None:
            level = level.model_copy(update={name: end + by_m for name in ("low_m", "high_m") if (end := getattr(level, name)) is not None})
        conditions = site.site.model_copy(update={"water_depth_m": value, "water_level": level})
        return site.model_copy(update={"site": conditions})

    limits = gatherer.frame.limits
    low, high = limits["flip_open_water_least_m"], depth_m + limits["flip_open_water_deeper_m"]
    return InputChange(
        "open_water",
        "the depth of open water above the mudline",
        CredibleRange(low, high, step=LEVEL_STEP_M, unit="m", now=depth_m),
        change,
    )


# ---- What the ground of a layer may be otherwise: blow count, strength, fines, permeability


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
