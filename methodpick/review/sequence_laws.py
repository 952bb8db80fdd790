"""The laws of a sequence: what must stand before a stage, what it leaves, and that the whole shaft is drilled once, to the tip."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import field

from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.result import Casing, Stage
from methodpick.records import record
from methodpick.review.contradiction import Contradiction, number, word
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import FLUIDS, STARTER

CASED_FULL = frozenset({"cased_balanced", "cased_plug"})
SHORT_M = 0.1
"""A ruled-out length below this is no hazard of its own: slices are cut no finer."""


@record(frozen=False)
class _Hole:
    """The hole while it is built: its depth, the fluid in it, the casings in it, what was done last."""

    ground: GroundFacts
    way: WrittenWay
    depth_m: float
    fluid: str | None = None
    standing: list[Casing] = field(default_factory=list)
    pulled: list[Casing] = field(default_factory=list)
    before: Stage | None = None
    done: set[str] = field(default_factory=set)

    @property
    def tip_m(self) -> float:
        return self.ground.shaft.tip_m

    def casing_to(self, depth_m: float) -> Casing | None:
        return next((casing for casing in self.way.built.casings if abs(casing.base_m - depth_m) < TOUCH_M), None)


def check_sequence(ground: GroundFacts, way: WrittenWay) -> Iterator[Contradiction]:
    """Return every law of a sequence that the stages of a way break."""
    start = ground.levels.floor_m if way.built.starter is None else way.built.starter.base_m
    hole = _Hole(ground, way, start)
    for place, stage in enumerate(way.built.stages, 1):
        yield from word("number of the stage", stage.no, place, stage=stage.no)
        if stage.hours is not None and stage.hours < 0:
            yield Contradiction("hours", f"{stage.hours:g}", "no less than 0", stage.no)
        law = _LAWS.get(stage.action)
        if law is None:
            yield Contradiction("action", stage.action, f"one of {', '.join(_LAWS)}", stage.no)
            continue
        yield from law(hole, stage)
        hole.before = stage
        hole.done.add(stage.action)
    yield from _finished(hole)


def _finished(hole: _Hole) -> Iterator[Contradiction]:
    """Return what is missing when the last stage is done."""
    yield from number("depth of the hole after the last stage", hole.depth_m, hole.tip_m, slack=TOUCH_M)
    for action in ("clean", "cage", "pour"):
        if action not in hole.done:
            yield Contradiction("stages", f"no stage '{action}'", f"a stage '{action}'")
    casings = hole.way.built.casings
    for casing in casings:
        if casing not in hole.standing:
            yield Contradiction(f"{casing.kind} casing to {casing.base_m:.2f} m", "never set", "set in a stage")
    stays = [
        casing for casing in casings if casing.kind == "permanent" or (casing.kind == STARTER and hole.way.built.concrete.starter_kept)
    ]
    for casing in casings:
        if casing not in stays and casing not in hole.pulled:
            yield Contradiction(f"{casing.kind} casing to {casing.base_m:.2f} m", "never pulled", "pulled after the pour")


# ---- opening stages


def _set_starter(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    casing = hole.way.built.starter
    if hole.before is not None or casing is None:
        yield Contradiction("set_starter", "a starter here", "first of all, where there is one", stage.no)
        return
    hole.standing.append(casing)
    yield from _over(stage, casing.top_m, casing.base_m)
    yield from _fields(stage, "temporary_casing", None, None)


def _drill(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _next(hole, stage)
    if stage.state == "dry":
        if hole.fluid is not None:
            yield Contradiction("state", "dry", f"the hole stands full of {hole.fluid}: it must be bailed first", stage.no)
        yield from _fields(stage, "dry", "dry", None)
    else:
        yield from word("fluid in the hole", hole.fluid, stage.state, stage=stage.no)
        yield from _fields(stage, "slurry", stage.state if stage.state in FLUIDS else "a fluid", stage.state)
    yield from _open_ground(hole, stage)


def _introduce(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    level = hole.ground.levels.fluid_m.get(stage.fluid or "")
    if level is None:
        yield Contradiction("fluid", str(stage.fluid), f"one of {', '.join(FLUIDS)}", stage.no)
        return
    yield from _over(stage, level, hole.depth_m)
    yield from _fields(stage, "slurry", stage.fluid, stage.fluid)
    hole.fluid = stage.fluid


def _advance(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _next(hole, stage)
    casing = next(
        (casing for casing in hole.way.built.strings if casing.base_m > stage.base_m - TOUCH_M and casing not in hole.standing), None
    )
    if casing is None:
        yield Contradiction("casing", "none reaches this depth", "a casing that is advanced here", stage.no)
        return
    if abs(casing.base_m - stage.base_m) < TOUCH_M:
        hole.standing.append(casing)
    if stage.state == "cased_dry" and hole.fluid is None:
        state = "cased_dry"
    else:
        hole.fluid = hole.fluid or "water"
        state = stage.state if stage.state in CASED_FULL else "cased_balanced or cased_plug"
    yield from _fields(stage, _kind(casing), state, hole.fluid)
    yield from _open_ground(hole, stage)


def _set_casing(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    casing = hole.casing_to(stage.base_m)
    if casing is None or casing in hole.standing or casing.kind == STARTER:
        yield Contradiction("casing", f"none to {stage.base_m:.2f} m", "a casing that is set once", stage.no)
        return
    hole.standing.append(casing)
    yield from _over(stage, casing.top_m, casing.base_m)
    states = {"cased_dry"} if hole.fluid is None else CASED_FULL
    if stage.state is None:
        yield from number("depth of the casing", stage.base_m, hole.depth_m, stage=stage.no, slack=TOUCH_M)
    elif stage.state not in states:
        yield Contradiction("state", stage.state, " or ".join(sorted(states)), stage.no)
    yield from _fields(stage, _kind(casing), stage.state, hole.fluid)
    yield from _open_ground(hole, stage, hole.depth_m)


def _seal_test(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _under_shoe(hole, stage)
    yield from _fields(stage, "dry", None, hole.fluid)


def _bail(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _under_shoe(hole, stage)
    if hole.before is None or hole.before.action != "seal_test":
        yield Contradiction("bail", "without a seal test", "after a seal test", stage.no)
    hole.fluid = None
    yield from _fields(stage, "dry", "cased_dry", None)


def _under_shoe(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    """Check that a seal is tested, and a casing emptied, at the shoe of a sealed casing, over the whole length."""
    yield from _over(stage, 0.0, hole.depth_m)
    casing = hole.casing_to(stage.base_m)
    if casing is None or casing not in hole.standing:
        yield Contradiction(stage.action, f"at {stage.base_m:.2f} m", "at the shoe of a casing that stands", stage.no)
    elif casing.sealed == "no":
        yield Contradiction(stage.action, "of a casing that is not sealed", "of a sealed casing", stage.no)


def _bell(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    bell = hole.ground.shaft.bell
    if bell is None:
        yield Contradiction("bell", "a bell", "none on the drawing", stage.no)
        return
    height = bell.height_m or bell.diameter_m - hole.ground.shaft.diameter_m
    yield from number("depth of the hole", hole.depth_m, hole.tip_m, stage=stage.no, slack=TOUCH_M)
    yield from _over(stage, hole.tip_m - height, hole.tip_m)
    yield from _fields(stage, "slurry" if hole.fluid else "dry", _last_state(hole), hole.fluid)


# ---- finishing stages


def _clean(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _over(stage, hole.tip_m, hole.tip_m)
    yield from _at_tip(hole, stage)


def _cage(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _after(hole, stage, "clean")
    top_m = min((casing.top_m for casing in hole.way.built.casings), default=hole.ground.levels.casing_top_m)
    yield from _over(stage, top_m, hole.tip_m)
    yield from _at_tip(hole, stage)


def _refill(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _over(stage, 0.0, hole.tip_m)
    if hole.way.built.placement.state != "wet" or hole.fluid is not None:
        yield Contradiction("refill", "a refill", "none: the hole is poured dry or stands full", stage.no)
    yield from _fields(stage, _support_at_tip(hole), _last_state(hole), "water")


def _pour(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _after(hole, stage, "cage")
    yield from _over(stage, 0.0, hole.tip_m)
    yield from _at_tip(hole, stage)
    wet, refilled = hole.way.built.placement.state == "wet", "refill" in hole.done
    if wet != (hole.fluid is not None or refilled):
        yield Contradiction("placement", hole.way.built.placement.state, "wet in a full hole, dry in an empty one", stage.no)
    yield from number("hours of the pour", stage.hours, round(hole.way.built.concrete.pour_hours, 2), stage=stage.no, slack=0.0051)


def _pull(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from _after(hole, stage, "pour")
    casing = hole.casing_to(stage.base_m)
    if casing is None or casing.kind == "permanent" or casing in hole.pulled:
        yield Contradiction(stage.action, f"a casing to {stage.base_m:.2f} m", "a temporary casing that still stands", stage.no)
        return
    yield from word("action", stage.action, "remove_starter" if casing.kind == STARTER else "pull", stage=stage.no)
    inner = [other for other in hole.standing if other.kind != "permanent" and other.outside_diameter_m < casing.outside_diameter_m]
    if any(other not in hole.pulled for other in inner):
        yield Contradiction(stage.action, "before a casing inside it", "the innermost casing first", stage.no)
    hole.pulled.append(casing)
    yield from _over(stage, casing.top_m, casing.base_m)
    yield from _fields(stage, _support_at_tip(hole), None, None)


_LAWS: Mapping[str, Callable[[_Hole, Stage], Iterator[Contradiction]]] = {
    "set_starter": _set_starter,
    "drill": _drill,
    "introduce_fluid": _introduce,
    "advance_casing": _advance,
    "set_casing": _set_casing,
    "seal_test": _seal_test,
    "bail": _bail,
    "bell": _bell,
    "clean": _clean,
    "cage": _cage,
    "refill": _refill,
    "pour": _pour,
    "pull": _pull,
    "remove_starter": _pull,
}


# ---- parts of laws


def _next(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    """Check that a stage begins where the one before it ended, goes down, and does not pass the tip."""
    yield from number("top_m", stage.top_m, hole.depth_m, stage=stage.no, slack=TOUCH_M)
    if not stage.top_m < stage.base_m <= hole.tip_m + TOUCH_M:
        yield Contradiction("base_m", f"{stage.base_m:g}", f"between {stage.top_m:g} and the tip at {hole.tip_m:g}", stage.no)
    if hole.done & {"clean", "cage", "pour"}:
        yield Contradiction(stage.action, "after the base was cleaned", "before it is cleaned", stage.no)


def _open_ground(hole: _Hole, stage: Stage, top_m: float | None = None) -> Iterator[Contradiction]:
    """Check that no rule certainly bars the state in which a stage opens ground, and deepen the hole."""
    top = stage.top_m if top_m is None else top_m
    hole.depth_m = max(hole.depth_m, stage.base_m)
    if stage.state is None:
        return
    barred: list[str] = []
    length = 0.0
    for piece in hole.ground.slices(top, stage.base_m):
        if piece.slice.stratum.logged and piece.verdicts[stage.state].state == "ruled_out":
            length += min(piece.slice.base_m, stage.base_m) - max(piece.slice.top_m, top)
            barred += piece.verdicts[stage.state].rules
    if length >= SHORT_M:
        rules = ", ".join(dict.fromkeys(barred))
        yield Contradiction("state", f"{stage.state} over {length:.2f} m that {rules} rule out", "a state that is not ruled out", stage.no)


def _over(stage: Stage, top_m: float, base_m: float) -> Iterator[Contradiction]:
    yield from number("top_m", stage.top_m, top_m, stage=stage.no, slack=TOUCH_M)
    yield from number("base_m", stage.base_m, base_m, stage=stage.no, slack=TOUCH_M)


def _fields(stage: Stage, support: str, state: str | None, fluid: str | None) -> Iterator[Contradiction]:
    yield from word("support", stage.support, support, stage=stage.no)
    yield from word("state", stage.state, state, stage=stage.no)
    yield from word("fluid", stage.fluid, fluid, stage=stage.no)


def _after(hole: _Hole, stage: Stage, action: str) -> Iterator[Contradiction]:
    if action not in hole.done:
        yield Contradiction(stage.action, f"before '{action}'", f"after '{action}'", stage.no)


def _at_tip(hole: _Hole, stage: Stage) -> Iterator[Contradiction]:
    yield from number("depth of the hole", hole.depth_m, hole.tip_m, stage=stage.no, slack=TOUCH_M)
    yield from _fields(stage, _support_at_tip(hole), _last_state(hole), hole.fluid)


def _support_at_tip(hole: _Hole) -> str:
    """Return what holds the wall at the tip: the casing that ends there, the fluid, or nothing."""
    casing = next((casing for casing in hole.way.built.strings if casing.base_m > hole.tip_m - TOUCH_M), None)
    if casing is not None:
        return _kind(casing)
    return "slurry" if hole.fluid else "dry"


def _last_state(hole: _Hole) -> str | None:
    opening = hole.way.built.opening_stages()
    drilled = [stage for stage in opening if stage.action != "bell"]
    return drilled[-1].state if drilled else None


def _kind(casing: Casing) -> str:
    return "permanent_casing" if casing.kind == "permanent" else "temporary_casing"
