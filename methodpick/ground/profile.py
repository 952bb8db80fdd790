"""A boring and what it met: layers, seams, penetration tests, cores, remarks."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, log10
from statistics import median
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from methodpick.ground.descriptions.main_soil import MainSoil, read_main_soil
from methodpick.ground.descriptions.reader import Description, read_description
from methodpick.ground.descriptions.remark_words import Tag, pieces_in, tags_of
from methodpick.ground.descriptions.weathering import read_with_grade
from methodpick.ground.position import Position
from methodpick.ground.quantity import (
    ANGLE,
    CONE,
    GRAIN,
    HOURS,
    LENGTH,
    PERCENT,
    PERMEABILITY,
    PORE,
    SIZE,
    STRENGTH,
    STRESS,
    UNIT_WEIGHT,
    Band,
    Length,
    Model,
    Percent,
    Size,
    UserText,
    key,
    need,
)

# ---- cone tests: readings with depth, and how the ground behaves by them; a cone brings up no ground, and makes no layer


MOST_READINGS = 5000
_ATMOSPHERE_KPA = 100.0
SANDS_BELOW, CLAYS_FROM = 2.05, 2.95
"""Borders of the behaviour index: sands lie below the first, clays from the second on, mixtures and silts between (Robertson 2010)."""
DRAINED_BELOW = 2.60
"""Below this index ground drains as the cone passes, and the cone says nothing of an undrained strength (Robertson and Wride 1998)."""
FEWEST = 5
"""Readings in a layer from which their index is held against its words (own value)."""


class ConeReading(Model):
    """A reading of a cone: resistance at the tip, friction on the sleeve, pore pressure behind the tip (u2)."""

    depth_m: Length = need("depth", ge=0)
    resistance_kpa: Annotated[float, CONE] = need("resistance", ge=0)
    friction_kpa: Annotated[float, STRESS] | None = key("friction", ge=0)
    pore_kpa: Annotated[float, PORE] | None = key("pore_pressure")

    @property
    def behaviour_index(self) -> float | None:
        """Return the behaviour index, None without friction.

        It is the radius of the chart of resistance over atmosphere and friction over resistance in percent, without stresses (Robertson
        2010, soil behaviour type from the CPT: an update; from memory).

        >>> ConeReading(depth_m=5, resistance_kpa=1000, friction_kpa=40).behaviour_index
        3.069...
        """
        if not self.friction_kpa or not self.resistance_kpa:
            return None
        percent = 100.0 * self.friction_kpa / self.resistance_kpa
        return hypot(3.47 - log10(self.resistance_kpa / _ATMOSPHERE_KPA), log10(percent) + 1.22)


def usual_index(readings: Sequence[ConeReading]) -> float | None:
    """Return the median behaviour index of readings, None where too few have one.

    >>> usual_index([ConeReading(depth_m=5, resistance_kpa=20000, friction_kpa=100)] * 5)
    1.486...
    """
    found = [index for reading in readings if (index := reading.behaviour_index) is not None]
    return median(found) if len(found) >= FEWEST else None


# ---- the boring


ReadingKind = Literal["while_drilling", "end_of_drilling", "settled", "none_met", "confined", "piezometer", "perched", "drilling_fluid"]


DAYS_APART = " to "
"""What stands between the first and the last day of drilling."""


def day_of(date: str) -> str:
    """Return a date without the time of the day that stands behind it; one in words as it stands.

    >>> day_of("2026-03-16T08:30:00"), day_of("16 March"), day_of("Tuesday")
    ('2026-03-16', '16 March', 'Tuesday')
    """
    return date.partition("T")[0] if date[:1].isdigit() else date


MOST_LEVELS = 500
"""Levels of one standpipe or strike that are kept."""


class TimedLevel(Model):
    """One of several levels that were read of the same water: its depth, and when after the strike or on which date."""

    depth_m: Length = need("depth")
    after_h: Annotated[float, HOURS] | None = key("after", ge=0)
    date: str | None = key("date")


class WaterReading(Model):
    """One reading. ``depth_m`` is negative above the ground; over water depth 0 is the mudline.

    ``while_drilling``: first met at ``depth_m``. ``settled``: standing level after ``after_h``. ``none_met``: the log
    says that no water was met down to ``hole_depth_m`` - an absent list of readings says nothing. ``confined``:
    struck at ``struck_m``, risen to ``rises_to_m``. ``piezometer``: level of the response zone
    ``response_zone_m``. ``perched``: water held above the main level in ``zone``. ``drilling_fluid``: the level of the
    fluid in the hole, which says nothing of groundwater. ``casing_depth_m`` is how deep the hole was cased at the time:
    what lies above it was shut off. ``history`` holds all levels where several were read of this water, in order of time.
    """

    reading: ReadingKind = need("reading")
    depth_m: Length | None = key("depth")
    struck_m: Length | None = key("struck")
    rises_to_m: Length | None = key("rises_to")
    after_h: Annotated[float, HOURS] | None = key("after", ge=0)
    hole_depth_m: Length | None = key("hole_depth")
    casing_depth_m: Length | None = key("casing_depth")
    zone: UserText | None = key("zone")
    response_zone_m: Annotated[tuple[float, float], LENGTH] | None = key("response_zone")
    date: UserText | None = key("date")
    remark: UserText | None = key("remark")
    history: Annotated[tuple[TimedLevel, ...], Field(max_length=MOST_LEVELS)] = key("history", ())

    @property
    def level_m(self) -> float | None:
        """Return the depth to which the water stood or rose, None where the reading names no level."""
        return self.rises_to_m if self.rises_to_m is not None else self.depth_m

    @property
    def day(self) -> str:
        """Return when it was read, without the time of the day; empty where nobody says."""
        return day_of(self.date or "")

    @property
    def met_m(self) -> float | None:
        """Return the depth at which the water was met, None where the reading does not say."""
        return self.struck_m if self.struck_m is not None else self.depth_m


Origin = Literal[
    "fill", "alluvial", "residual", "saprolite", "loess", "till", "marine", "colluvial", "glaciofluvial", "lacustrine", "unknown"
]
Feature = Literal[
    "fissured",
    "slickensided",
    "sensitive",
    "cemented",
    "slaking",
    "vuggy",
    "cavities",
    "jointed",
    "crushed",
    "massive",
    "laminated",
    "cobbles",
    "boulders",
    "obstructions",
    "organic",
    "gas",
    "contaminated",
    "swelling",
    "collapsible",
    "open",
    "frozen",
    "slide",
    "karst",
    "coal",
    "mined",
]
Technique = Literal[
    "hollow_stem_auger",
    "solid_auger",
    "auger",
    "mud_rotary",
    "wash",
    "core",
    "cable_percussion",
    "sonic",
    "rotary",
    "air_rotary",
    "window_sampler",
    "unknown",
]
MOST_LAYERS = 400


class Seam(Model):
    """Thin beds of another material inside a layer, described and not cut out of the tiling."""

    material: UserText = need("material")
    thickness_m: Annotated[float, SIZE] | None = key("thickness", gt=0)
    spacing_m: Annotated[float, LENGTH] | None = key("spacing", gt=0)
    wet: bool | None = key("wet")


class Layer(Model):
    """A stratum from ``top_m`` to ``base_m`` below the ground at the boring; almost everything may be missing."""

    top_m: Length = need("top", ge=0)
    base_m: Length = need("base", gt=0)
    description: UserText = key("description", "")
    symbol: UserText | None = key("symbol")
    origin: Origin = key("origin", "unknown")
    n: Annotated[tuple[int, ...], Field(max_length=200)] = key("n", ())
    su_kpa: Annotated[Band, STRESS] | None = key("su")
    phi_deg: Annotated[Band, ANGLE] | None = key("phi")
    cohesion_kpa: Annotated[Band, STRESS] | None = key("cohesion")
    unit_weight_kn_m3: Annotated[Band, UNIT_WEIGHT] | None = key("unit_weight")
    fines_percent: Annotated[Band, PERCENT] | None = key("fines")
    pi_percent: Annotated[Band, PERCENT] | None = key("pi")
    d10_mm: Annotated[Band, GRAIN] | None = key("d10")
    permeability_m_s: Annotated[Band, PERMEABILITY] | None = key("permeability")
    rqd_percent: Annotated[Band, PERCENT] | None = key("rqd")
    recovery_percent: Annotated[Band, PERCENT] | None = key("recovery")
    ucs_kpa: Annotated[Band, STRENGTH] | None = key("ucs")
    weathering: UserText | None = key("weathering")
    features: tuple[Feature, ...] = key("features", ())
    absent: tuple[Feature, ...] = key("absent", ())
    seams: tuple[Seam, ...] = key("seams", ())

    @model_validator(mode="before")
    @classmethod
    def _one_count_is_a_list(cls, value: Any) -> Any:
        if isinstance(value, dict) and isinstance(value.get("n"), int):
            value = {**value, "n": (value["n"],)}
        return value

    @property
    def thickness_m(self) -> float:
        """Return the thickness in metres."""
        return self.base_m - self.top_m

    @property
    def described(self) -> Description:
        """Return what description, symbol, origin and the grade of weathering allow the layer to be."""
        if self.weathering is not None:
            return read_with_grade(self.description, self.symbol, self.origin, self.weathering)
        return read_description(self.description, self.symbol, self.origin)

    @property
    def as_logged(self) -> str:
        """Return the words of the layer, with the grade of weathering that the log gives beside them.

        >>> Layer(top_m=0, base_m=4, description="Grey SANDSTONE", weathering="highly").as_logged
        'Grey SANDSTONE (weathering graded: highly)'
        """
        return self.description if self.weathering is None else f"{self.description} (weathering graded: {self.weathering})".strip()

    @property
    def main_soil(self) -> MainSoil:
        """Return what description, symbol and origin say of the main soil alone."""
        return read_main_soil(self.description, self.symbol, self.origin)


class Spt(Model):
    """A standard penetration test: blows counted over a penetration, never scaled.

    ``n`` is the count over 300 mm, or the blows reached at refusal over ``penetration_m``. ``weight_of_hammer`` means
    that the rods sank without a blow.
    """

    depth_m: Length = need("depth", ge=0)
    n: int | None = key("n", ge=0, le=1000)
    penetration_m: Annotated[float, SIZE] | None = key("penetration", gt=0, le=0.6)
    weight_of_hammer: bool = key("weight_of_hammer", default=False)
    blows: tuple[int, ...] = key("blows", ())
    text: UserText = key("text", "")

    @property
    def refusal(self) -> bool:
        """Return whether the tool stopped short of 300 mm after 50 blows or more."""
        return self.penetration_m is not None and self.penetration_m < 0.295 and (self.n or 0) >= 50


class CoreRun(Model):
    """A length of core with its recovery, solid recovery and RQD."""

    top_m: Length = need("top", ge=0)
    base_m: Length = need("base", gt=0)
    recovery_percent: Percent | None = key("recovery", ge=0, le=110)
    solid_percent: Percent | None = key("solid", ge=0, le=110)
    rqd_percent: Percent | None = key("rqd", ge=0, le=110)


class Remark(Model):
    """Sentences of the log at a depth, quoted; ``tag`` is what they are evidence of, when that is clear."""

    depth_m: Length | None = key("depth")
    text: UserText = need("text")
    tag: Tag | None = key("tag")

    @property
    def tags(self) -> frozenset[Tag]:
        """Return all that the remark is evidence of: its tag and its own words, nothing where the tag is "none"."""
        if self.tag == "none":
            return frozenset()
        return tags_of(self.text) | ({self.tag} if self.tag is not None else frozenset())

    @property
    def pieces(self) -> frozenset[str]:
        """Return the large pieces that the remark points to; what was tagged an obstruction against its words is man-made."""
        if "obstruction" not in self.tags:
            return frozenset()
        return pieces_in(self.text) if "obstruction" in tags_of(self.text) else frozenset({"obstructions"})


class CasingLength(Model):
    """A casing of the boring: how deep it reached, and its diameter."""

    depth_m: Length = need("depth", ge=0)
    diameter_m: Size | None = key("diameter", gt=0)


class DrilledLength(Model):
    """A length of the boring that was drilled in one way, with one diameter; what the log does not say of it is left out."""

    top_m: Length = need("top", ge=0)
    base_m: Length = need("base", gt=0)
    technique: Technique | None = key("technique")
    diameter_m: Size | None = key("diameter", gt=0)


class Profile(Model):
    """A boring as logged. Depths run down from the ground at the boring (over water: from the mudline)."""

    id: UserText = need("id", min_length=1)
    ground_elevation_m: Annotated[float, LENGTH] | None = key("ground_elevation")
    position: Position | None = key("position")
    substructure: UserText | None = key("substructure")
    date: UserText | None = key("date")
    technique: Technique = key("technique", "unknown")
    hammer_efficiency_percent: Annotated[float, PERCENT] | None = key("hammer_efficiency", ge=20, le=110)
    diameter_m: Size | None = key("diameter", gt=0)
    depth_m: Length | None = key("depth", gt=0)
    water: tuple[WaterReading, ...] = key("water", ())
    cave_in_depth_m: Length | None = key("cave_in_depth", ge=0)
    casing_depth_m: Length | None = key("casing_depth", ge=0)
    casings: Annotated[tuple[CasingLength, ...], Field(max_length=200)] = key("casings", ())
    drilling: Annotated[tuple[DrilledLength, ...], Field(max_length=200)] = key("drilling", ())
    remarks: tuple[Remark, ...] = key("remarks", ())
    layers: Annotated[tuple[Layer, ...], Field(max_length=MOST_LAYERS)] = key("layers", ())
    spt: Annotated[tuple[Spt, ...], Field(max_length=2000)] = key("spt", ())
    cores: Annotated[tuple[CoreRun, ...], Field(max_length=2000)] = key("cores", ())
    cone: Annotated[tuple[ConeReading, ...], Field(max_length=MOST_READINGS)] = key("cone", ())
    cone_area_ratio: float | None = key("cone_area_ratio", ge=0.3, le=1)

    def technique_at(self, depth_m: float) -> Technique:
        """Return how the boring was drilled at a depth: as ``drilling`` says it there, else its technique as a whole."""
        ways = (length.technique for length in self.drilling if length.top_m <= depth_m < length.base_m and length.technique)
        return next(ways, self.technique)

    @property
    def end_m(self) -> float:
        """Return the depth of the boring: as stated, else the deepest thing logged."""
        if self.depth_m is not None:
            return self.depth_m
        return max((layer.base_m for layer in self.layers), default=0.0)
