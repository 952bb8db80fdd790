"""Which kind of quantity a number of the site file is, so that it is converted once, when the file is read.

Inside the tool every number is SI with its unit in the name; a model field says by its :class:`QuantityKind` what a bare
number in the user's file means under ``units: us`` and under ``units: si``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, NamedTuple, get_args

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator
from pydantic.fields import FieldInfo

from methodpick.records import record
from methodpick.unit_markup import without_marks


@record
class QuantityKind:
    """A kind of quantity: the unit of a bare number under ``us`` and under ``si``, and the unit kept inside.

    ``least`` and ``most`` are the ends of what can be true at all, in the unit kept inside: own values, wide, to catch slips of
    unit and typing.
    """

    name: str
    us: str
    si: str
    inside: str
    least: float
    most: float


LENGTH = QuantityKind("length", "ft", "m", "m", -1000.0, 9000.0)
SIZE = QuantityKind("size", "in", "mm", "m", 0.0, 100.0)
GRAIN = QuantityKind("grain size", "mm", "mm", "mm", 0.0, 5000.0)
STRESS = QuantityKind("stress", "psf", "kPa", "kPa", 0.0, 100_000.0)
STRENGTH = QuantityKind("rock strength", "psi", "MPa", "kPa", 0.0, 1_000_000.0)
UNIT_WEIGHT = QuantityKind("unit weight", "pcf", "kN/m3", "kN/m3", 5.0, 40.0)
PERCENT = QuantityKind("percentage", "%", "%", "%", 0.0, 110.0)
HOURS = QuantityKind("time", "h", "h", "h", 0.0, 100_000.0)
ANGLE = QuantityKind("angle", "deg", "deg", "deg", 0.0, 89.0)
CONE = QuantityKind("cone resistance", "tsf", "MPa", "kPa", 0.0, 150_000.0)
PORE = QuantityKind("pore pressure", "psf", "kPa", "kPa", -200.0, 20_000.0)
LATITUDE = QuantityKind("latitude", "deg", "deg", "deg", -90.0, 90.0)
LONGITUDE = QuantityKind("longitude", "deg", "deg", "deg", -180.0, 360.0)
PERMEABILITY = QuantityKind("permeability", "cm/s", "m/s", "m/s", 0.0, 100.0)
VELOCITY = QuantityKind("velocity", "ft/s", "m/s", "m/s", 0.0, 30.0)
CONCENTRATION = QuantityKind("concentration", "mg/L", "mg/L", "mg/L", 0.0, 1_000_000.0)
NUMBER = QuantityKind("number", "1", "1", "1", 0.0, 1e9)
SPEED = QuantityKind("speed of work", "ft/h", "m/h", "m/h", 0.0, 500.0)
POUR_SPEED = QuantityKind("speed of pouring", "yd3/h", "m3/h", "m3/h", 0.0, 1000.0)
VOLUME = QuantityKind("volume", "yd3", "m3", "m3", 0.0, 1000.0)
PER_LENGTH = QuantityKind("price of a length", "/ft", "/m", "/m", 0.0, 1e9)
PER_VOLUME = QuantityKind("price of a volume", "/yd3", "/m3", "/m3", 0.0, 1e9)
PER_MASS = QuantityKind("price of a mass", "/lb", "/kg", "/kg", 0.0, 1e9)
PER_HOUR = QuantityKind("price of an hour", "/h", "/h", "/h", 0.0, 1e9)

Length = Annotated[float, LENGTH]
Size = Annotated[float, SIZE]
Percent = Annotated[float, PERCENT]


class Model(BaseModel):
    """A frozen model that refuses unknown keys, NaN and infinity; what validates it is built at its first use."""

    model_config = ConfigDict(
        defer_build=True,
        frozen=True,
        extra="forbid",
        allow_inf_nan=False,
        validate_by_name=True,
        validate_by_alias=True,
        ser_json_inf_nan="null",
    )


UserText = Annotated[str, AfterValidator(without_marks)]
"""A text of the user's file, which may stand in a sentence of the plan: it holds no mark of a number."""


class Band(Model):
    """A value as an engineer knows it: one number, a range, or low, likely and high, all in one unit.

    In a site file ``1800``, ``[1500, 2200]`` and ``{low: 1500, likely: 1800, high: 2200}`` are all valid; of what was measured of
    the ground the middle of a range is taken as likely.

    >>> Band.model_validate([1500, 2200]).high
    2200.0
    """

    low: float
    high: float
    likely: float | None = None

    @model_validator(mode="before")
    @classmethod
    def _spell_out(cls, value: Any) -> Any:
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            return {"low": value, "high": value, "likely": value}
        if isinstance(value, (list, tuple)):
            if len(value) != 2:  # a range has two ends
                raise ValueError("a range is written [low, high]")
            return {"low": value[0], "high": value[1]}
        return value

    @model_validator(mode="after")
    def _in_order(self) -> Band:
        values = {name: value for name, value in self.__dict__.items() if value is not None}
        if wrong := band_disorder(values, {name: f"{value:g}" for name, value in values.items()}):
            raise ValueError(wrong)
        return self


def band_disorder(values: Mapping[str, float], written: Mapping[str, str]) -> str:
    """Return what is wrong with the order of low, likely and high; empty where they are in order.

    ``written`` holds them as the user wrote them.

    >>> band_disorder({"low": 3, "high": 2}, {"low": "3 ft", "high": "2 ft"})
    'the low value 3 ft is above the high value 2 ft'
    """
    low, high, likely = values["low"], values["high"], values.get("likely")
    if low > high:
        return f"the low value {written['low']} is above the high value {written['high']}"
    if likely is not None and not low <= likely <= high:
        return f"the likely value {written['likely']} is not between {written['low']} and {written['high']}"
    return ""


class Order(NamedTuple):
    """Two lengths of a map, by their keys in the file, of which the first must be less; ``wrong`` says what is wrong where it is not."""

    lesser: str
    greater: str
    wrong: str
    may_be_equal: bool = False

    def broken(self, values: Mapping[str, Any]) -> bool:
        """Return whether the values of a model, by attribute, are out of this order; not where one is missing."""
        lesser_m, greater_m = values.get(f"{self.lesser}_m"), values.get(f"{self.greater}_m")
        if lesser_m is None or greater_m is None:
            return False
        return bool(lesser_m > greater_m or (lesser_m == greater_m and not self.may_be_equal))


def key(name: str, default: Any = None, **more: Any) -> Any:
    """Return the field of a site-file key: ``name`` is the word in the file, the attribute carries the unit."""
    return Field(default, alias=name, **more)


def quantity_of(info: FieldInfo) -> QuantityKind | None:
    """Return the kind of quantity of a field, in its metadata or inside an optional or a list; None where it has none."""
    stack: list[Any] = [*info.metadata, info.annotation]
    while stack:
        part = stack.pop()
        if isinstance(part, QuantityKind):
            return part
        stack += [*getattr(part, "__metadata__", ()), *get_args(part)]
    return None


def need(name: str, **more: Any) -> Any:
    """Return the field of a site-file key that must be there."""
    return Field(alias=name, **more)
