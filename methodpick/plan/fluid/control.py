"""The control sheet of the fluid: its properties at introduction and before concreting, the tests and their times."""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.fluid.specification import density_limits, is_salt
from methodpick.plan.fluid.used import used
from methodpick.plan.result import Citation, ControlRow, LimitUsed, TestTime
from methodpick.unit_markup import mark

GRAVEL = frozenset({"silty_gravel", "clean_gravel", "cobbles"})
TESTS: Mapping[str, tuple[str, tuple[Citation, ...]]] = {
    "density": ("mud balance", (Citation("astm-d4380", "whole"), Citation("api-13b-1", "density"))),
    "Marsh time": ("Marsh funnel, quart", (Citation("astm-d6910", "whole"), Citation("api-13b-1", "viscosity"))),
    "pH": ("meter or paper", (Citation("api-13b-1", "pH"),)),
    "sand": ("sand content set", (Citation("astm-d4381", "whole"), Citation("api-13b-1", "sand"))),
}
"""How each property is tested: the standards are known from memory."""
Pair = tuple[LimitUsed | None, LimitUsed | None]
_NONE: Pair = (None, None)


def control_rows(place: Place, fluid: str) -> tuple[ControlRow, ...]:
    """Return the limits of every property of a fluid under the rulebook in force."""
    rows = {"mineral": _mineral, "polymer": _polymer, "water": _water}[fluid](place)
    return tuple(ControlRow(name, unit, *intro, *concrete, TESTS[name][0], TESTS[name][1]) for name, unit, intro, concrete in rows)


def _density(place: Place, fluid: str) -> Pair:
    low, high = density_limits(fluid, place.limits, salt=is_salt(place.gatherer, place.limits))
    return used(place.limits, low.name) if fluid == "mineral" else None, used(place.limits, high.name)


def _mineral(place: Place) -> list[tuple[str, str, Pair, Pair]]:
    limits, salt = place.limits, is_salt(place.gatherer, place.limits)
    density = _density(place, "mineral")
    fresh = None if salt else used(limits, "mineral_intro_density_max_kg_m3")
    gravel = any(one.slice.stratum.likely in GRAVEL for one in place.pieces())
    least, most = used(limits, "mineral_marsh_min_s"), used(limits, "mineral_marsh_max_s")
    soil = used(limits, "marsh_gravel_s" if gravel else "marsh_sand_s")
    thick = max((least, soil), key=lambda one: one.value)
    ph: Pair = used(limits, "mineral_ph_min"), used(limits, "fluid_ph_max")
    return [
        ("density", "kg/m3", (density[0], fresh), density),
        ("Marsh time", "s", (thick, most), (thick if gravel else least, most)),
        ("pH", "1", ph, ph),
        ("sand", "%", (None, used(limits, "mineral_intro_sand_max_percent")), (None, used(limits, "mineral_sand_max_percent"))),
    ]


def _polymer(place: Place) -> list[tuple[str, str, Pair, Pair]]:
    limits = place.limits
    marsh: Pair = used(limits, "polymer_marsh_min_s"), used(limits, "polymer_marsh_max_s")
    ph: Pair = used(limits, "polymer_ph_min"), used(limits, "polymer_ph_max")
    return [
        ("density", "kg/m3", _NONE, _density(place, "polymer")),
        ("Marsh time", "s", marsh, marsh),
        ("pH", "1", ph, ph),
        ("sand", "%", _NONE, (None, used(limits, "polymer_sand_max_percent"))),
    ]


def _water(place: Place) -> list[tuple[str, str, Pair, Pair]]:
    return [
        ("density", "kg/m3", _NONE, _density(place, "water")),
        ("sand", "%", _NONE, (None, used(place.limits, "water_sand_max_percent"))),
    ]


def test_times(place: Place, fluid: str) -> tuple[TestTime, ...]:
    """Return when and where the fluid is tested."""
    limits = place.limits
    above = used(limits, "sample_above_base_m")
    both = f"at mid-height and within {mark(above.value, 'm')} of the base"
    last = TestTime(f"After the last cleaning and just before concrete, {both}: the two must agree and meet the last column.", (above,))
    if fluid == "water":
        return (last,)
    first, then = used(limits, "fluid_tests_first_h"), used(limits, "fluid_tests_then_h")
    found = [
        TestTime(f"While drilling, every {_said(first)} {both} until two rounds agree, then every {_said(then)}.", (first, then, above)),
        last,
    ]
    if fluid == "mineral":
        ready, still = used(limits, "hydration_h"), used(limits, "exposure_unagitated_h")
        found.insert(
            0,
            TestTime(
                f"In the tank after about {_said(ready)} of hydration, or as the maker says, before any goes into the hole.", (ready,)
            ),
        )
        found.insert(2, TestTime(f"Again where it stood still for more than {_said(still)}, after stirring.", (still,)))
    else:
        found.insert(0, TestTime("In the tank before any goes into the hole, pH of the mixing water first.", ()))
    return tuple(found)


def _said(limit: LimitUsed) -> str:
    return mark(limit.value, limit.unit) + (f" (set by {limit.set_by})" if limit.set_by else "")
