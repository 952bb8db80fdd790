"""Water as it was read: every reading belongs to a zone, a time and a way of drilling."""

from __future__ import annotations

from typing import Annotated, Literal

from methodpick.ground.quantity import HOURS, LENGTH, Length, Model, key, need

Reading = Literal["while_drilling", "end_of_drilling", "settled", "none_met", "confined", "piezometer", "perched", "drilling_fluid"]


class WaterReading(Model):
    """One reading. ``depth_m`` is negative above the ground; over water depth 0 is the mudline.

    ``while_drilling``: first met at ``depth_m``. ``settled``: standing level after ``after_h``. ``none_met``: the log
    says that no water was met down to ``hole_depth_m`` - an absent list of readings says nothing. ``confined``:
    struck at ``struck_m``, risen to ``rises_to_m``. ``piezometer``: level of the response zone
    ``response_zone_m``. ``perched``: water held above the main level in ``zone``. ``drilling_fluid``: the level of the
    fluid in the hole, which says nothing of groundwater. ``casing_depth_m`` is how deep the hole was cased at the time:
    what lies above it was shut off.
    """

    reading: Reading = need("reading")
    depth_m: Length | None = key("depth")
    struck_m: Length | None = key("struck")
    rises_to_m: Length | None = key("rises_to")
    after_h: Annotated[float, HOURS] | None = key("after", ge=0)
    hole_depth_m: Length | None = key("hole_depth")
    casing_depth_m: Length | None = key("casing_depth")
    zone: str | None = key("zone")
    response_zone_m: Annotated[tuple[float, float], LENGTH] | None = key("response_zone")
    date: str | None = key("date")
    remark: str | None = key("remark")

    @property
    def level_m(self) -> float | None:
        """Return the depth to which the water stood or rose, None where the reading names no level."""
        return self.rises_to_m if self.rises_to_m is not None else self.depth_m

    @property
    def met_m(self) -> float | None:
        """Return the depth at which the water was met, None where the reading does not say."""
        return self.struck_m if self.struck_m is not None else self.depth_m
