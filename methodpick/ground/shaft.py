"""The shaft to be built."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import model_validator

from methodpick.ground.profile import Position
from methodpick.ground.quantity import Length, Model, Order, Size, key, need

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


class Shaft(Model):
    """A drilled shaft; depths run down from the ground at the shaft (over water: from the mudline)."""

    id: str = need("id", min_length=1)
    boring: str | None = key("boring")
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
    substructure: str | None = key("substructure")

    def is_casing_outside(self, limits: Mapping[str, float]) -> bool:
        """Return whether the diameter is that of the casing outside: so drawn, or nominal where the specification sizes casing so."""
        return self.diameter_is == "casing_outside" or (self.diameter_is == "nominal" and limits["nominal_is_outside"] > 0.5)

    @model_validator(mode="after")
    def _coherent(self) -> Shaft:
        for order in SHAFT_ORDERS:
            if order.broken(self.__dict__):
                raise ValueError(order.wrong)
        if self.bell is not None and self.bell.diameter_m <= self.diameter_m:
            raise ValueError(BELL_TOO_NARROW)
        return self
