"""The plan as it is handed out: frozen records in SI, in the order of the format ``methodpick-plan/2``.

Depth 0 is the ground at the shaft (over water the mudline); depths run down, stages and casings may start above 0.
An open end of a range is None.
"""

from __future__ import annotations

from methodpick.plan.result.built import Drawdown, HoleLevels
from methodpick.plan.result.design import Design
from methodpick.plan.result.fluid import Action, DensityAt, LevelAt, LevelNeeded, Remedy, Slurry, WallSpread
from methodpick.plan.result.ladder import Rung
from methodpick.plan.result.log import Log, LogLayer, LogWater
from methodpick.plan.result.notes import Caution, Gap, OpenHazard, TakenAssumption
from methodpick.plan.result.pour import Concrete, CurvePoint, Extraction, OverShoe, Placement, PullStep, QuantityLine, Tremie
from methodpick.plan.result.programme import (
    ControlRow,
    Finding,
    FluidLoss,
    FluidProgramme,
    FluidStanding,
    Grade,
    Ingredient,
    LimitUsed,
    Mix,
    SandLoad,
    Standing,
    TestTime,
    WaterCheck,
)
from methodpick.plan.result.steps import Casing, Embedment, Interval, Stage, Wall
from methodpick.plan.result.whole import Alternate, CautiousPlan, InputStamp, Plan, RulebookStamp, SetValue, ShaftPlan
from methodpick.plan.result.why import Citation, FactValue, Flip, Reason, StateVerdict
from methodpick.plan.result.words import FORMAT, STATE_SAID, STATES, SUPPORT_SAID, VERDICTS, Confidence, Method, Support

__all__ = [
    "FORMAT",
    "STATES",
    "STATE_SAID",
    "SUPPORT_SAID",
    "VERDICTS",
    "Action",
    "Alternate",
    "Casing",
    "Caution",
    "CautiousPlan",
    "Citation",
    "Concrete",
    "Confidence",
    "ControlRow",
    "CurvePoint",
    "DensityAt",
    "Design",
    "Drawdown",
    "Embedment",
    "Extraction",
    "FactValue",
    "Finding",
    "Flip",
    "FluidLoss",
    "FluidProgramme",
    "FluidStanding",
    "Gap",
    "Grade",
    "HoleLevels",
    "Ingredient",
    "InputStamp",
    "Interval",
    "LevelAt",
    "LevelNeeded",
    "LimitUsed",
    "Log",
    "LogLayer",
    "LogWater",
    "Method",
    "Mix",
    "OpenHazard",
    "OverShoe",
    "Placement",
    "Plan",
    "PullStep",
    "QuantityLine",
    "Reason",
    "Remedy",
    "RulebookStamp",
    "Rung",
    "SandLoad",
    "SetValue",
    "ShaftPlan",
    "Slurry",
    "Stage",
    "Standing",
    "StateVerdict",
    "Support",
    "TakenAssumption",
    "TestTime",
    "Tremie",
    "Wall",
    "WallSpread",
    "WaterCheck",
]
