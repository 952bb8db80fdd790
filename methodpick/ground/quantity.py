"""Which kind of quantity a number of the site file is, so that it is converted once, when the file is read.

Inside the tool every number is SI with its unit in the name; a model field says by its :class:`QuantityKind` what a bare
number in the user's file means under ``units: us`` and under ``units: si``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, model_validator


@dataclass(frozen=True, slots=True)
class QuantityKind:
    """A kind of quantity: the unit of a bare number under ``us`` and under ``si``, and the unit kept inside."""

    name: str
    us: str
    si: str
    inside: str


LENGTH = QuantityKind("length", "ft", "m", "m")
SIZE = QuantityKind("size", "in", "mm", "m")
GRAIN = QuantityKind("grain size", "mm", "mm", "mm")
STRESS = QuantityKind("stress", "psf", "kPa", "kPa")
STRENGTH = QuantityKind("rock strength", "psi", "MPa", "kPa")
UNIT_WEIGHT = QuantityKind("unit weight", "pcf", "kN/m3", "kN/m3")
PERCENT = QuantityKind("percentage", "%", "%", "%")
HOURS = QuantityKind("time", "h", "h", "h")
ANGLE = QuantityKind("angle", "deg", "deg", "deg")
PERMEABILITY = QuantityKind("permeability", "cm/s", "m/s", "m/s")
VELOCITY = QuantityKind("velocity", "ft/s", "m/s", "m/s")
CONCENTRATION = QuantityKind("concentration", "mg/L", "mg/L", "mg/L")
NUMBER = QuantityKind("number", "1", "1", "1")
SPEED = QuantityKind("speed of work", "ft/h", "m/h", "m/h")
POUR_SPEED = QuantityKind("speed of pouring", "yd3/h", "m3/h", "m3/h")
VOLUME = QuantityKind("volume", "yd3", "m3", "m3")
PER_LENGTH = QuantityKind("price of a length", "/ft", "/m", "/m")
PER_VOLUME = QuantityKind("price of a volume", "/yd3", "/m3", "/m3")
PER_MASS = QuantityKind("price of a mass", "/lb", "/kg", "/kg")
PER_HOUR = QuantityKind("price of an hour", "/h", "/h", "/h")

Length = Annotated[float, LENGTH]
Size = Annotated[float, SIZE]
Percent = Annotated[float, PERCENT]


class Model(BaseModel):
    """A frozen model that refuses unknown keys, NaN and infinity."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", allow_inf_nan=False, validate_by_name=True, validate_by_alias=True, ser_json_inf_nan="null"
    )


class Band(Model):
    """A value as an engineer knows it: one number, a range, or low, likely and high, all in one unit.

    In a site file ``1800``, ``[1500, 2200]`` and ``{low: 1500, likely: 1800, high: 2200}`` are all valid.

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
        if self.low > self.high:
            raise ValueError(f"the low value {self.low:g} is above the high value {self.high:g}")
        if self.likely is not None and not self.low <= self.likely <= self.high:
            raise ValueError(f"the likely value {self.likely:g} is not between {self.low:g} and {self.high:g}")
        return self


def key(name: str, default: Any = None, **more: Any) -> Any:
    """Return the field of a site-file key: ``name`` is the word in the file, the attribute carries the unit."""
    return Field(default, alias=name, **more)


def need(name: str, **more: Any) -> Any:
    """Return the field of a site-file key that must be there."""
    return Field(alias=name, **more)
