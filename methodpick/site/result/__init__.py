"""What is handed out of a whole site: frozen records in SI, texts with marks, in the order of ``methodpick-takeoff/1``."""

from __future__ import annotations

from methodpick.site.result.assign import Assignment, Flag, Weighed
from methodpick.site.result.cost import CostLine, CostSheet, HoursRow
from methodpick.site.result.takeoff import FitCheck, PayWord, Range, ShaftTakeoff, TakeoffLine, TotalLine
from methodpick.site.result.whole import FORMAT, SitePlan, Takeoff
from methodpick.site.result.yard import StringNeed, Yard, YardString

__all__ = [
    "FORMAT",
    "Assignment",
    "CostLine",
    "CostSheet",
    "FitCheck",
    "Flag",
    "HoursRow",
    "PayWord",
    "Range",
    "ShaftTakeoff",
    "SitePlan",
    "StringNeed",
    "Takeoff",
    "TakeoffLine",
    "TotalLine",
    "Weighed",
    "Yard",
    "YardString",
]
