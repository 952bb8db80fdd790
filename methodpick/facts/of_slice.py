"""Facts of a slice: its place in the shaft, its water, its stresses and what the class tables say of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.curves import Curve, Curves, Ground
from methodpick.facts.penetration_tests import put_consistency_as_driven
from methodpick.facts.sheet import FactSheet, Frame, Station, by_table
from methodpick.facts.strata import Stratum
from methodpick.ground.site import Shaft
from methodpick.mechanics.emptied_hole import influence_radius, radial_inflow, rise_rate
from methodpick.records import record
from methodpick.terms import COHESIVE, GRANULAR, SHAKING_WAYS, TIGHT, CasingWay
from methodpick.vocabulary.values import FALSE, TRUE, Choice, Span, from_bool, likely_bool, ordered, point

PLACE_TABLES = ("softens", "cohesion", "behaviour", "stand_up", "seals", "penetration")


def of_place(frame: Frame, sheet: FactSheet, top_m: float, base_m: float) -> None:
    """Write where the slice lies in the shaft."""
    shaft, middle = frame.shaft, (top_m + base_m) / 2  # cuts are rounded, and those that crowd are one
    sheet.put("depth_m", Span(top_m, base_m, base_m), "logged", "cut of the shaft")
    socket = shaft.socket_top_m
    sheet.put("at_bed", from_bool(frame.site.setting == "water" and top_m < 1e-6), "logged", "cut of the shaft")
    sheet.put("in_socket", from_bool(socket is not None and middle >= socket), "logged", "shaft")
    sheet.put("in_bell", from_bool(shaft.bell is not None and middle >= bell_top(shaft, frame.limits)), "logged", "shaft")
    if shaft.bearing == "base":
        sheet.put("counts_side_resistance", FALSE, "logged", "shaft bears on its base")
    elif shaft.side_resistance_from_m is not None:
        sheet.put("counts_side_resistance", from_bool(middle >= shaft.side_resistance_from_m), "logged", "shaft")


def bell_top(shaft: Shaft, limits: Mapping[str, float]) -> float:
    """Return the depth of the top of a bell, its height taken by the rulebook where the drawing gives none; the tip without one."""
    bell = shaft.bell
    if bell is None:
        return shaft.tip_m
    return shaft.tip_m - (bell.height_m or (bell.diameter_m - shaft.diameter_m) * limits["bell_height_share"])


def wet_above(stratum: Stratum, limits: Mapping[str, float]) -> float:
    """Return the height above the water to which fine soil is full of water by suction: it flows there as below."""
    if stratum.likely == "silt":
        return limits["capillary_silt_m"]
    return limits["capillary_silty_sand_m"] if stratum.likely == "silty_sand" else 0.0


def of_water(sheet: FactSheet, aquifer: Aquifer, top_m: float, base_m: float, bearing: bool) -> None:
    """Write the position of the slice to its water and the water's own facts."""
    words, likely = aquifer.position((top_m + base_m) / 2)
    sheet.put("water_position", Choice(words, likely), "derived", aquifer.source)
    sheet.put("water_bearing", from_bool(bearing), "derived", "permeable ground or a strike")
    sheet.put("perched", from_bool(aquifer.kind == "perched"), "derived", aquifer.source)
    sheet.put("water_under_pressure", _pressed(aquifer), "derived", aquifer.source)
    level = aquifer.level_m
    above = None if level.likely is None else -level.likely
    sheet.put("head_above_ground_m", Span(-level.high, -level.low, above), "derived", aquifer.source)
    fact = sheet.facts["water_position"]
    if aquifer.assumed:
        sheet.facts["water_position"] = replace(fact, assumed=aquifer.assumed)


def _pressed(aquifer: Aquifer) -> Choice:
    """Return whether water that was struck or read under a lid rises above the top of its ground."""
    level, top = aquifer.level_m, aquifer.top_m
    if aquifer.kind not in {"strike", "confined", "artesian"} or level.low >= top:
        return FALSE
    return TRUE if level.high < top else likely_bool(level.likely is not None and level.likely < top)


def of_tables(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write what the class tables say once the water position and the assumptions are known."""
    sheet.put("cohesive", _cohesive(sheet, stratum, frame.limits), "derived", "soil class", ("soil",))
    known = sheet.facts.get("permeability_m_s")
    if known is None or (known.basis == "derived" and sheet.span("permeability_m_s").likely is None):
        by_table(sheet, frame.tables["permeability"])
    put_consistency_as_driven(frame, sheet, stratum)
    for name in PLACE_TABLES:
        by_table(sheet, frame.tables[name])
    sheet.put(
        "advance_possible",
        _advance(sheet, shaken_too_near(sheet, frame.limits)),
        "derived",
        "penetration and plant",
        tuple(f"penetrable_{way}" for way in WAY_PLANT),
    )


def _cohesive(sheet: FactSheet, stratum: Stratum, limits: Mapping[str, float]) -> Choice:
    soils = stratum.soils
    plastic = sheet.facts.get("pi_percent")
    silt_acts_as_clay = plastic is not None and isinstance(plastic.value, Span) and plastic.value.low > limits["silt_plastic_pi_percent"]
    silt_acts_as_clay = silt_acts_as_clay or (soils <= COHESIVE | {"silt"} and sheet.choice("plastic_fines").values == {"yes"})
    acting = COHESIVE | {"silt"} if silt_acts_as_clay else COHESIVE
    if soils <= acting:
        return TRUE
    return likely_bool(stratum.likely in acting) if soils & acting else FALSE


WAY_PLANT: Mapping[CasingWay, tuple[str, ...]] = {
    "twisted": ("plant_twist",),
    "vibrated": ("plant_vibratory",),
    "driven": ("plant_impact",),
    "oscillated": ("plant_oscillator", "plant_rotator"),
}
"""The facts of the plant that each way of advancing casing needs; any one of them does."""


def shaken_too_near(sheet: FactSheet, limits: Mapping[str, float]) -> bool:
    """Return whether a neighbour certainly stands too near for casing to be vibrated or driven."""
    return sheet.span("neighbour_distance_m").high < limits["neighbour_near_m"]


def _advance(sheet: FactSheet, near: bool) -> Choice:
    """Return whether some plant at hand advances casing here: the best of all ways; none that shakes a near neighbour."""
    certain = likely = False
    possible = False
    for way, plants in WAY_PLANT.items():
        if near and way in SHAKING_WAYS:
            continue
        ground = sheet.choice(f"penetrable_{way}")
        hands = [sheet.choice(plant) for plant in plants]
        certain = certain or (ground.values == {"yes"} and any(hand.values == {"yes"} for hand in hands))
        likely = likely or (ground.likely_yes and any(hand.likely_yes for hand in hands))
        possible = possible or ("yes" in ground.values and any("yes" in hand.values for hand in hands))
    if certain:
        return TRUE
    return likely_bool(likely) if possible else FALSE


@record(guarded=False)
class SliceInputs:
    """What the facts of a slice are worked out from: its sheet, the curves of the shaft, the stations at its ends, stratum and depths."""

    frame: Frame
    sheet: FactSheet
    curves: Curves
    stations: tuple[Station, Station]
    stratum: Stratum
    ends: tuple[float, float]

    @property
    def ground(self) -> Ground:
        """Return the ground of the slice."""
        return self.stations[0].ground

    def put(self, name: str, curve: Callable[[Station], Curve | None], source: str, inputs: tuple[str, ...], *formulas: str) -> None:
        """Write a fact that runs with depth over the slice."""
        first, last = self.stations
        self.sheet.put(name, hull(curve(first), curve(last), WORSE.get(name)), "derived", source, inputs, formulas)


def of_depth(place: SliceInputs) -> None:
    """Write stresses, margins, inflow, closure and bulging over the slice."""
    _stresses(place)
    if place.stratum.soils & GRANULAR:
        _granular_wall(place)
    if place.stratum.soils & (COHESIVE | {"silt"}):
        limit = place.curves.collapse
        place.put("collapse_limit", lambda at: limit(at.depth_m), "round clay wall", ("diameter_m",), "collapse_limit")
        place.put("closure_percent", _curve("closure_percent"), "cavity contraction", ("su_kpa", "total_stress_kpa"), "closure_percent")
        source = "(concrete - horizontal stress) / strength"
        place.put("bulging_ratio", _curve("bulging_ratio"), source, ("su_kpa", "total_stress_kpa"), "bulging_ratio")
    _inflow(place)


def _curve(fact: str) -> Callable[[Station], Curve | None]:
    """Return how a fact that is the same in all states is read at a station."""
    return lambda station: station.curve(fact, None)


def _stresses(place: SliceInputs) -> None:
    curves, ground = place.curves, place.ground
    water = ground.aquifer.source
    place.put("total_stress_kpa", lambda at: curves.total(at.depth_m), "weights above", ("unit_weight_kn_m3",), "total_stress")
    place.put("pore_kpa", lambda at: curves.pore(ground, at.depth_m), water, ("water_position",), "hydrostatic")
    place.put("head_m", lambda at: curves.head(ground, at.depth_m), water, ("water_position",))
    place.put(
        "effective_stress_kpa",
        lambda at: curves.effective(ground, at.depth_m),
        "total stress - pore pressure",
        ("total_stress_kpa", "pore_kpa"),
        "effective_stress",
    )


def _granular_wall(place: SliceInputs) -> None:
    """Write the cohesion that a granular wall needs to stand dry, and the two tiers of fluid pressure that hold it."""
    curves, ground, loading = place.curves, place.ground, place.curves.loading
    place.put(
        "cohesion_needed_kpa",
        lambda at: curves.cohesion_needed(ground, at.depth_m),
        "round granular wall",
        ("phi_deg", "unit_weight_kn_m3", "diameter_m"),
        "cohesion_needed",
    )
    place.put("cohesion_margin_kpa", _curve("cohesion_margin_kpa"), "available - needed", ("cohesion_available_kpa", "cohesion_needed_kpa"))
    for name, margin, factor, hoop in (
        ("support_needed_kpa", "support_margin_kpa", loading.wall_factor_least, "1"),
        ("support_wanted_kpa", "support_wanted_margin_kpa", loading.wall_factor_recommended, "K0"),
    ):
        place.put(
            name,
            partial(Station.needed, fact=margin),
            f"pore pressure + {factor:g} x active pressure, hoop factor {hoop}",
            ("pore_kpa", "effective_stress_kpa", "phi_deg"),
            "granular_needed_pressure",
            "cylinder_pressure",
        )


def _inflow(place: SliceInputs) -> None:
    """Write the rise in the emptied hole from this slice alone, and from all of its layer that the shaft opens in this water."""
    if "permeability_m_s" not in place.sheet.facts:
        return
    aquifer, stratum = place.ground.aquifer, place.stratum
    bottom = min(stratum.base_m, place.frame.shaft.tip_m, stratum.base_m if aquifer.kind == "main" else aquifer.base_m)
    layer = max(stratum.top_m, aquifer.top_m), bottom
    inputs = "permeability_m_s", "head_m", "diameter_m"
    for fact, ends in (("seepage_rise_m_h", place.ends), ("layer_rise_m_h", layer)):
        place.sheet.put(fact, _rise(place, ends), "derived", "radial flow", inputs, ("rise_rate", "radial_inflow"))


def _rise(place: SliceInputs, ends: tuple[float, float]) -> Span:
    """Return the rise in the emptied hole from a length, by radial flow with the head at its middle."""
    permeability = place.sheet.span("permeability_m_s")
    level, diameter = place.ground.aquifer.level_m, place.frame.shaft.diameter_m
    middle, thickness, least = (ends[0] + ends[1]) / 2, ends[1] - ends[0], place.frame.limits["influence_least_m"]

    def rise(k: float, depth_of_level: float) -> float:
        drawdown = middle - depth_of_level
        wet = min(thickness, max(0.0, ends[1] - depth_of_level))
        if drawdown <= 0 and wet <= 0:
            return 0.0
        drawdown = max(drawdown, wet / 2)
        reach = max(influence_radius(drawdown, k, least), diameter)
        return rise_rate(radial_inflow(k, max(wet, 0.001), drawdown, diameter, reach), diameter)

    low, high = rise(permeability.low, level.high), rise(permeability.high, level.low)
    likely = None if permeability.likely is None or level.likely is None else rise(permeability.likely, level.likely)
    return ordered(low, likely, high)


def ground_of(sheet: FactSheet, stratum: Stratum, aquifer: Aquifer, limits: Mapping[str, float]) -> Ground:
    """Return what curves need of a stratum from its sheet."""

    def span(name: str) -> Span | None:
        fact = sheet.facts.get(name)
        return fact.value if fact is not None and isinstance(fact.value, Span) else None

    low, likely, high = (limits[f"unit_weight_unknown_{end}_kn_m3"] for end in ("low", "likely", "high"))
    weight = span("unit_weight_kn_m3") or ordered(low, likely, high)
    cohesive = bool(stratum.soils & (COHESIVE | {"silt"}))
    granular = bool(stratum.soils & GRANULAR)
    return Ground(
        top_m=stratum.top_m,
        base_m=stratum.base_m,
        weight=weight,
        su=span("su_kpa") if cohesive else None,
        phi=span("phi_deg") if granular else None,
        cohesion=span("cohesion_available_kpa") or point(0.0) if granular else None,
        aquifer=aquifer,
        whole=stratum.likely in COHESIVE and sheet.choice("fissured").values == {"no"} and not stratum.layer.seams,
        tight=stratum.logged and (stratum.likely in TIGHT or (stratum.likely == "" and bool(stratum.soils & TIGHT))),
    )


# ---- from a curve at both ends of a slice to a range


WORSE: Mapping[str, Callable[[float, float], float]] = {
    "overload_ratio": max,
    "overload_share": max,
    "uplift_factor": min,
    "support_margin_kpa": min,
    "support_wanted_margin_kpa": min,
    "cohesion_margin_kpa": min,
    "fluid_head_m": min,
    "bulging_ratio": max,
    "closure_percent": max,
}
"""Which end of a slice is the worse one for a fact; the base for all others."""


def hull(first: Curve | None, second: Curve | None, worse: Callable[[float, float], float] | None = None) -> Span | None:
    """Return the span of a curve over a slice from its values at top and base; the likely one at its worse end.

    >>> hull((1, 2, 3), (2, 3, 5), max)
    Span(low=1, high=5, likely=3)
    """
    if first is None or second is None:
        return None
    (low, usual, high), (low_there, usual_there, high_there) = first, second
    low, high = min(low, low_there), max(high, high_there)
    if usual is None or usual_there is None:
        return Span(low, high)
    likely = usual_there if worse is None else worse(usual, usual_there)
    return Span(low, high, min(max(likely, low), high))
