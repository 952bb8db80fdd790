"""The site and the shaft to be built: where the rig stands, what the specification leaves open, the plant, the surroundings."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any, Literal, NamedTuple

from pydantic import Field, model_validator

from methodpick.ground.late_model import LateModel
from methodpick.ground.pay import Pay
from methodpick.ground.position import Position, apart_m
from methodpick.ground.profile import Profile
from methodpick.ground.quantity import CONCENTRATION, HOURS, LENGTH, SIZE, STRESS, VELOCITY, Length, Model, Order, Size, UserText, key, need
from methodpick.patterns import pattern_of
from methodpick.terms import EITHER_TURNS, METHODS, Fluid, Method, TurningPlant, UnitSystem

if TYPE_CHECKING:
    from methodpick.ground.rates import Rates

    GivenRates = Rates | None
else:
    GivenRates = Annotated[Any, LateModel("methodpick.ground.rates:Rates")]

# ---- The shaft to be built


SHAFT_ORDERS = (
    Order("cutoff", "tip", "the tip is not below the cut-off"),
    Order("socket_top", "tip", "the socket top is not above the tip"),
    Order("cage_diameter", "diameter", "the cage is as wide as the shaft or wider"),
    Order("socket_diameter", "diameter", "the socket is wider than the shaft", may_be_equal=True),
)
BELL_TOO_NARROW = "the bell is not wider than the shaft"


class Bell(Model):
    """An enlarged base: its diameter is a size across the shaft (bare: in or mm), its height a length along it (ft or m)."""

    diameter_m: Size = need("diameter", gt=0)
    height_m: Length | None = key("height", gt=0, le=6.0)


NOT_BUILT = {"id", "boring", "count", "position", "substructure", "ground_elevation_m"}
"""Fields of a shaft that do not tell how it is built in given ground."""


class Shaft(Model):
    """A drilled shaft; depths run down from the ground at the shaft (over water: from the mudline)."""

    id: UserText = need("id", min_length=1)
    boring: UserText | None = key("boring")
    diameter_m: Size = need("diameter", ge=0.25, le=6.0)
    diameter_is: Literal["nominal", "minimum", "casing_inside", "casing_outside"] = key("diameter_is", "nominal")
    cutoff_m: Length = key("cutoff", 0.0)
    tip_m: Length = need("tip", ge=0.3, le=200.0)
    socket_top_m: Length | None = key("socket_top", ge=0)
    socket_diameter_m: Size | None = key("socket_diameter", ge=0.25, le=6.0)
    cage_diameter_m: Size | None = key("cage_diameter", gt=0)
    cover_m: Size | None = key("cover", ge=0)
    count: int = key("count", 1, ge=1, le=10000)
    bearing: Literal["side", "base", "both"] = key("bearing", "both")
    side_resistance_from_m: Length | None = key("side_resistance_from")
    bell: Bell | None = key("bell")
    position: Position | None = key("position")
    ground_elevation_m: Length | None = key("ground_elevation")
    substructure: UserText | None = key("substructure")

    @model_validator(mode="after")
    def _coherent(self) -> Shaft:
        for order in SHAFT_ORDERS:
            if order.broken(self.__dict__):
                raise ValueError(order.wrong)
        if self.bell is not None and self.bell.diameter_m <= self.diameter_m:
            raise ValueError(BELL_TOO_NARROW)
        return self

    def away_m(self, boring: Profile) -> float | None:
        """Return how far a boring stands from the shaft, None where a position is not known."""
        return apart_m(self.position, boring.position)


# ---- The site: where the rig stands, what the specification leaves open, the plant, the surroundings


_RAILWAY = pattern_of(r"\b(rails?|railways?|railroads?|tracks?)\b", re.IGNORECASE)
BoringsBy = Literal["explicit", "nearest", "substructure", "envelope"]


class DrillingGrade(Model):
    """The surface that the rig works from: a height above the ground (over water: above the mudline) or a level."""

    above_ground_m: Length | None = key("above_ground")
    elevation_m: Length | None = key("elevation")


class OpenWater(Model):
    """River, lake or sea: depth below the mudline is negative depth, so levels here are heights above the mudline."""

    low_m: Length | None = key("low")
    high_m: Length | None = key("high")
    tide_m: Length | None = key("tide")
    flow_velocity_m_s: Annotated[float, VELOCITY] | None = key("flow_velocity", ge=0)


class Chemistry(Model):
    """Ground and mixing water."""

    hardness_mg_l: Annotated[float, CONCENTRATION] | None = key("hardness", ge=0)
    chloride_mg_l: Annotated[float, CONCENTRATION] | None = key("chloride", ge=0)
    ph: float | None = key("ph", ge=0, le=14)


class Neighbour(Model):
    """A structure, line or service near the shafts.

    ``vibration_mm_s`` is the velocity that its owner allows; ``approved`` says that the owner has agreed to the work in writing.
    """

    what: UserText = need("what")
    distance_m: Length | None = key("distance", ge=0)
    vibration_mm_s: float | None = key("vibration_mm_s", gt=0, le=100)
    approved: bool = key("approved", False)

    @property
    def is_railway(self) -> bool:
        """Return whether this is a railway, by its words.

        >>> Neighbour(what="live railroad track").is_railway, Neighbour(what="brick house on a trackless heath").is_railway
        (True, False)
        """
        return _RAILWAY.search(self.what) is not None


class Equipment(Model):
    """The plant at hand; what the file does not say is an assumption and a question.

    Pull and crowd are forces along the casing, up and down; ``rig_casing_m`` and the like are the widest casing that a machine takes,
    ``kelly_m`` the depth that the kelly reaches. ``pick_capacity_t`` is what the chart of the crane gives at ``pick_radius_m``, in metric
    tonnes.
    """

    vibratory: bool | None = key("vibratory")
    oscillator: bool | None = key("oscillator")
    rotator: bool | None = key("rotator")
    kelly_twist: bool | None = key("kelly_twist")
    impact_hammer: bool | None = key("impact_hammer")
    max_casing_m: Size | None = key("max_casing", gt=0)
    desander: bool | None = key("desander")
    core_barrel: bool | None = key("core_barrel")
    rig_pull_kn: float | None = key("rig_pull_kn", gt=0, le=5000)
    rig_weight_kn: float | None = key("rig_weight_kn", gt=0, le=5000)
    rig_torque_knm: float | None = key("rig_torque_knm", gt=0, le=2000)
    rig_crowd_kn: float | None = key("rig_crowd_kn", gt=0, le=2000)
    kelly_m: Length | None = key("kelly", gt=0)
    rig_casing_m: Size | None = key("rig_casing", gt=0)
    oscillator_pull_kn: float | None = key("oscillator_pull_kn", gt=0, le=20000)
    oscillator_torque_knm: float | None = key("oscillator_torque_knm", gt=0, le=20000)
    oscillator_casing_m: Size | None = key("oscillator_casing", gt=0)
    vibrator_pull_kn: float | None = key("vibrator_pull_kn", gt=0, le=10000)
    vibrator_casing_m: Size | None = key("vibrator_casing", gt=0)
    pick_radius_m: Length | None = key("pick_radius", gt=0)
    pick_capacity_t: float | None = key("pick_capacity_t", gt=0, le=5000)

    @property
    def turning_plant(self) -> TurningPlant:
        """Return what turns segmental casing: the one that is named, else the one that is not denied, else either.

        >>> Equipment(oscillator=True).turning_plant, Equipment(oscillator=False).turning_plant, Equipment().turning_plant
        ('oscillator', 'rotator', 'oscillator or rotator')
        """
        if self.oscillator == self.rotator:
            return EITHER_TURNS
        return "oscillator" if self.oscillator or self.rotator is False else "rotator"


START_WRONG = "this is no date"
"""What is wrong with a start that is not written year, month, day."""


class Schedule(Model):
    """Working time, and who works: rigs, and crews that set cages, pour and pull (as many as rigs where they are not given).

    ``shafts_a_day`` is the most that are begun in a day, whatever the hours say; ``start`` is the date of the first working day.
    """

    shift_hours: Annotated[float, HOURS] | None = key("shift_hours", ge=1, le=24)
    overnight_allowed: bool | None = key("overnight_allowed")
    concrete_wait_h: Annotated[float, HOURS] | None = key("concrete_wait_h", ge=0)
    shafts_a_day: float | None = key("shafts_a_day", ge=0.05, le=100)
    rigs: int | None = key("rigs", ge=1, le=20)
    crews: int | None = key("crews", ge=1, le=20)
    days_a_week: int | None = key("days_a_week", ge=1, le=7)
    start: str | None = key("start")

    @model_validator(mode="after")
    def _coherent(self) -> Schedule:
        if self.start is not None and not is_date(self.start):
            raise ValueError(START_WRONG)
        return self


def is_date(text: str) -> bool:
    """Return whether a text is a date, written year, month, day.

    >>> is_date("2026-04-13"), is_date("2026-02-30"), is_date("13.4.2026")
    (True, False, False)
    """
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


class UserAssumption(Model):
    """A fact that the user narrows, with the reason; the key ``set`` of the site file is ``narrowed_to`` here."""

    fact: UserText = need("fact")
    narrowed_to: Any = need("set")
    where: Any = key("where", "site")
    why: UserText = key("why", "")


class StockCasing(Model):
    """Casing in the yard."""

    outside_diameter_m: Annotated[float, SIZE] = need("outside_diameter", gt=0)
    wall_m: Annotated[float, SIZE] = need("wall", gt=0)
    length_m: Annotated[float, LENGTH] = need("length", gt=0)
    count: int = key("count", 1, ge=1)


class Need(NamedTuple):
    """A length that must be given where another key has a certain value, by their keys in the file."""

    key: str
    value: str
    needed: str
    meaning: str

    @property
    def wrong(self) -> str:
        """Return what is wrong where it is missing."""
        return f"'{self.key}: {self.value}' needs '{self.needed}'"


NEEDS = (
    Need("setting", "water", "water_depth", "the depth of water above the mudline"),
    Need("borings_by", "envelope", "radius", "how far around a shaft borings count"),
)


class SiteConditions(Model):
    """All of the key ``site`` of a site file.

    ``lid_adhesion_agreed`` says that the engineer has agreed in writing to count the side of a clay lid against uplift.
    """

    name: UserText = key("name", "")
    units: UnitSystem = key("units", "us")
    setting: Literal["land", "water"] = key("setting", "land")
    water_depth_m: Length | None = key("water_depth", gt=0)
    mudline_low_m: Length | None = key("mudline_low")
    mudline_high_m: Length | None = key("mudline_high")
    drilling_grade: DrillingGrade | None = key("drilling_grade")
    allowed: Annotated[tuple[Method, ...], Field(min_length=1)] = key("allowed", METHODS)
    fluids_allowed: tuple[Fluid, ...] | None = key("fluids_allowed")
    agency: UserText = key("agency", "fhwa")
    water_level: OpenWater | None = key("water_level")
    groundwater_velocity_m_s: Annotated[float, VELOCITY] | None = key("groundwater_velocity", ge=0)
    water_chemistry: Chemistry | None = key("water_chemistry")
    recharge: tuple[str, ...] | None = key("recharge")
    surcharge_kpa: Annotated[float, STRESS] | None = key("surcharge", ge=0)
    headroom_m: Length | None = key("headroom", gt=0)
    neighbours: tuple[Neighbour, ...] | None = key("neighbours")
    contamination: UserText = key("contamination", "unknown")
    equipment: Equipment = key("equipment", Equipment.model_construct())
    schedule: Schedule = key("schedule", Schedule.model_construct())
    starter_casing: bool | None = key("starter_casing")
    lid_adhesion_agreed: bool = key("lid_adhesion_agreed", False)
    borings_by: BoringsBy | None = key("borings_by")
    radius_m: Length | None = key("radius", gt=0)

    @model_validator(mode="after")
    def _coherent(self) -> SiteConditions:
        for need_of in NEEDS:
            if getattr(self, need_of.key) == need_of.value and getattr(self, f"{need_of.needed}_m") is None:
                raise ValueError(f"{need_of.wrong}: {need_of.meaning}")
        return self


class Site(Model):
    """A whole site file: conditions, borings, shafts, the user's assumptions, stock, rates and who pays."""

    site: SiteConditions = key("site", SiteConditions.model_construct())
    borings: Annotated[tuple[Profile, ...], Field(min_length=1)] = need("borings")
    shafts: tuple[Shaft, ...] = key("shafts", ())
    assume: tuple[UserAssumption, ...] = key("assume", ())
    stock: tuple[StockCasing, ...] = key("stock", ())
    rates: GivenRates = key("rates")
    pay: Pay = key("pay", Pay.model_construct())

    def boring(self, name: str) -> Profile:
        """Return the boring of that id. Raises KeyError when there is none."""
        for boring in self.borings:
            if boring.id == name:
                return boring
        raise KeyError(name)
