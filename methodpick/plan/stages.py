"""The sequence a foreman can follow: from the starter to the last casing pulled."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from methodpick.ground.site import Bell, Shaft
from methodpick.plan.casing.sizes import DrilledPart, SegmentTools, is_cored, parts_drilled, segment_tools
from methodpick.plan.concrete.hole import bell_height
from methodpick.plan.concrete.placement import FinishedHole
from methodpick.plan.hours import bell_hours, cage_hours, cage_pieces, clean_hours, splice_hours
from methodpick.plan.judging.slices import JudgedGround
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.proving.open_hole import plug_length
from methodpick.plan.result import Casing, HoleLevels, PullStep, Stage, Support, stage_words
from methodpick.plan.result.stage_words import Advanced, Drilled
from methodpick.plan.sequence.path import Run, Segment, SequencePath
from methodpick.records import record
from methodpick.terms import FLUIDS, SHAKING_WAYS, words_of_way


def make_stages(
    facts: GroundFacts, path: SequencePath, hole: FinishedHole, drilling_h: Callable[[float, float], float]
) -> tuple[Stage, ...]:
    """Return the stages of a path. ``drilling_h`` gives the hours to drill from one depth to another."""
    ground, levels = facts.ground, facts.levels
    drilling = _Drilling(facts, hole.casings, drilling_h)
    stages = [drilling.set_starter(casing) for casing in hole.casings if casing.is_starter]
    strings = [casing for casing in hole.casings if not casing.is_starter]
    tools, left = segment_tools(ground, path.segments, strings), iter(strings)
    for segment, with_tools in zip(path.segments, tools, strict=True):
        stages += drilling.segment(segment, with_tools, next(left) if segment.casing != "none" else None)
    finishing = _Finishing(ground.shaft, levels, ground.limits, path, drilling.full_of)
    if ground.shaft.bell is not None:
        stages.append(finishing.cut_bell(ground.shaft.bell))
    stages += [finishing.clean(), finishing.lower_cage(hole.casings), *finishing.pour(hole)]
    for number in dict.fromkeys(step.casing_no for step in hole.concrete.pulls):
        lifts = [step for step in hole.concrete.pulls if step.casing_no == number]
        stages.append(finishing.pull(number, hole.casings[number - 1], lifts))
    return tuple(_numbered(number, stage) for number, stage in enumerate(stages, 1))


def _numbered(number: int, stage: Stage) -> Stage:
    """Return a stage with its number, depths to the millimetre and hours to the hundredth."""
    hours = None if stage.hours is None else round(stage.hours, 2)
    return replace(stage, no=number, top_m=round(stage.top_m, 3), base_m=round(stage.base_m, 3), hours=hours)


def _kept_in(segment: Segment) -> Support:
    return "permanent_casing" if segment.keep else "temporary_casing"


# ---- from the starter to the tip


@record(frozen=False)
class _Drilling:
    """Writes the stages down to the tip; ``full_of`` is the fluid that stands in the hole, None where it is empty."""

    facts: GroundFacts
    casings: Sequence[Casing]
    drilling_h: Callable[[float, float], float]
    full_of: str | None = None

    @property
    def ground(self) -> JudgedGround:
        """Return the judged ground."""
        return self.facts.ground

    @property
    def levels(self) -> HoleLevels:
        """Return the levels of grade, casing and fluids."""
        return self.facts.levels

    @property
    def limits(self) -> Mapping[str, float]:
        """Return the limits of the rulebook."""
        return self.ground.limits

    def _number_of(self, casing: Casing) -> int:
        """Return the number of a casing, counted from the outermost."""
        return self.casings.index(casing) + 1

    def _parts(self, run: Run, tool_m: float) -> tuple[DrilledPart, ...]:
        return parts_drilled(run, tool_m, self.ground.shaft, self.ground.slices, self.limits)

    def set_starter(self, starter: Casing) -> Stage:
        """Return the stage that sets the starter casing in the hole drilled for it.

        Below the usual length it is brought down as a casing is.
        """
        usual_m = self.levels.predug_m(self.limits["starter_max_m"])
        longer_m = max(0.0, starter.base_m - usual_m)
        floor_m = max(0.0, self.levels.grade_m)
        cored = [piece for piece in self.ground.between(floor_m, starter.base_m, TOUCH_M) if is_cored(piece, self.limits)]
        cored_h = sum(self.drilling_h(max(piece.top_m, floor_m), min(piece.base_m, starter.base_m)) for piece in cored)
        return Stage(
            no=0,
            action="set_starter",
            top_m=starter.top_m,
            base_m=starter.base_m,
            support="temporary_casing",
            state=None,
            fluid=None,
            hours=self.limits["hours_casing_set"] / 2 + self.limits["hours_advance_m"] * longer_m + cored_h,
            text=stage_words.set_starter(
                self._number_of(starter),
                starter.base_m,
                self.levels.grade_m - starter.top_m,
                shaken_from_m=usual_m if longer_m > TOUCH_M else None,
                cored_from_m=max(cored[0].top_m, floor_m) if cored else None,
                pushed_from_m=_pushed_from(starter),
            ),
            tool_m=starter.predrill_diameter_m if starter.predrill_base_m > floor_m + TOUCH_M else None,
            casing_no=self._number_of(starter),
        )

    def segment(self, segment: Segment, tools: SegmentTools, casing: Casing | None) -> Iterator[Stage]:
        """Return the stages of one segment, which ends with a casing or at the tip."""
        if segment.bails:
            yield from self._empty(segment.top_m)
        pushed = [run for run in segment.runs if segment.casing == "set" and run.state.startswith("cased")]
        for run in segment.runs:
            if run in pushed:
                continue
            if run.state == "dry":
                yield from map(self._drill_dry, self._parts(run, tools.open_m))
            elif run.state in FLUIDS:
                yield from self._drill_under_fluid(run, tools.open_m)
            elif casing is not None:
                yield self._advance(segment, run, casing, tools.inside_m)
        if casing is not None and segment.casing == "set":
            yield self._set_casing(casing, segment, pushed, tools.inside_m)

    def _empty(self, shoe_m: float) -> Iterator[Stage]:
        """Return the test of a seal and the bailing of the casing."""
        number = next((no for no, casing in enumerate(self.casings, 1) if abs(casing.base_m - shoe_m) < TOUCH_M), 0)
        test = Stage(
            no=0,
            action="seal_test",
            top_m=0.0,
            base_m=shoe_m,
            support="dry",
            state=None,
            fluid=self.full_of,
            hours=self.limits["hours_bail"] / 2,
            text=stage_words.seal_test(number, shoe_m),
            casing_no=number,
        )
        yield from (test, replace(test, action="bail", state="cased_dry", fluid=None, text=stage_words.bail(number)))
        self.full_of = None

    def _drill_dry(self, part: DrilledPart) -> Stage:
        self.full_of = None
        return self._drill_part(part, "dry", Drilled(*part).dry())

    def _drill_under_fluid(self, run: Run, tool_m: float) -> Iterator[Stage]:
        """Return the filling of the hole, where another fluid or none stands in it, and the drilling."""
        level = self.levels.fluid_m[run.state]
        below_grade_m = level - self.levels.grade_m
        drills = [self._drill_part(part, run.state, Drilled(*part).under(run.state, below_grade_m)) for part in self._parts(run, tool_m)]
        if self.full_of != run.state:
            text = stage_words.bring_in(run.state, below_grade_m, run.top_m, instead_of=self.full_of)
            hours = self.limits["hours_fill"]
            filling = replace(drills[0], action="introduce_fluid", text=text, tool_m=None, cored=False)
            yield replace(filling, top_m=level, base_m=run.top_m, hours=hours)
        self.full_of = run.state
        yield from drills

    def _drill_part(self, part: DrilledPart, state: str, words: str) -> Stage:
        """Return the drilling of a length dry or under a fluid, as ``words`` say."""
        fluid = None if state == "dry" else state
        return Stage(
            no=0,
            action="drill",
            top_m=part.top_m,
            base_m=part.base_m,
            support="slurry" if fluid else "dry",
            state=state,
            fluid=fluid,
            hours=self.drilling_h(part.top_m, part.base_m),
            text=words,
            tool_m=part.tool_m,
            cored=part.cored,
        )

    def _advance(self, segment: Segment, run: Run, casing: Casing, tool_m: float) -> Stage:
        """Return the advance of a casing with the dig inside it; it is kept full, or dug dry where no water stands near."""
        dry = run.state == "cased_dry"
        unlogged = any(not judged.logged and judged.overlaps(run.top_m, run.base_m) for judged in self.ground.slices)
        joints_h = splice_hours(casing, self.limits) if abs(casing.base_m - run.base_m) < TOUCH_M else 0.0
        self.full_of = None if dry else self.full_of or "water"
        ahead = self.limits["shoe_lead_diameters"] if dry else 0.0
        if run.state == "cased_plug":
            ahead = plug_length(self.facts, (round(run.top_m, 3), round(run.base_m, 3)), self.full_of, casing.outside_diameter_m)
        lowered = run.top_m == segment.ahead_m > segment.top_m + TOUCH_M
        dug_first = casing.dug_m > run.top_m + TOUCH_M and run is segment.runs[0]
        pushed_m = self._last_push(casing, run)
        words = Advanced(
            number=self._number_of(casing),
            top_m=run.top_m,
            base_m=run.base_m,
            way=words_of_way(segment.way, casing.turned_by),
            tool_m=tool_m,
            dig="dry" if dry else "plug" if run.state == "cased_plug" else "with_shoe",
            ahead=ahead,
            lowered=lowered,
            dug_m=casing.dug_m if dug_first else None,
            pushed_m=pushed_m if pushed_m > TOUCH_M else None,
            logged=not unlogged,
        ).words
        handled_h = joints_h + (self.limits["hours_casing_set"] / 2 if lowered else 0.0)
        return Stage(
            no=0,
            action="advance_casing",
            top_m=run.top_m,
            base_m=run.base_m,
            support=_kept_in(segment),
            state=run.state,
            fluid=self.full_of,
            hours=self.drilling_h(run.top_m, run.base_m) + self.limits["hours_advance_m"] * (run.base_m - run.top_m) + handled_h,
            text=words,
            tool_m=tool_m,
            casing_no=self._number_of(casing),
            lowered=lowered,
        )

    def _last_push(self, casing: Casing, run: Run) -> float:
        """Return the length over the shoe of a vibrated or driven casing through which its hammer likely does not get it down."""
        top_m = run.base_m
        if casing.way not in SHAKING_WAYS or abs(casing.base_m - run.base_m) > TOUCH_M:
            return 0.0
        for judged in reversed(self.ground.slices):
            if judged.top_m < run.base_m - TOUCH_M and judged.base_m > run.top_m + TOUCH_M:
                through = judged.sheet.choice(f"penetrable_{casing.way}")
                if not judged.logged or through.likely_yes:
                    break
                top_m = max(run.top_m, judged.top_m)
        return round(run.base_m - top_m, 3)

    def _set_casing(self, casing: Casing, segment: Segment, pushed: Sequence[Run], tool_m: float) -> Stage:
        """Return the setting of a casing in the drilled hole, with the last length pushed and dug out inside."""
        return Stage(
            no=0,
            action="set_casing",
            top_m=casing.top_m,
            base_m=casing.base_m,
            support=_kept_in(segment),
            state=pushed[-1].state if pushed else None,
            fluid=self.full_of,
            hours=self.limits["hours_casing_set"]
            + sum(self.drilling_h(run.top_m, run.base_m) for run in pushed)
            + splice_hours(casing, self.limits),
            text=stage_words.set_casing(
                self._number_of(casing),
                casing.kind,
                (casing.outside_diameter_m, casing.wall_m),
                (self.levels.grade_m - casing.top_m, casing.base_m),
                pushed_from_m=_pushed_from(casing),
                tool_m=tool_m if pushed else None,
            ),
            tool_m=tool_m if pushed else None,
            casing_no=self._number_of(casing),
        )


# ---- from the tip to the last casing pulled


@record
class _Finishing:
    """Writes the stages after the tip is reached; ``full_of`` is the fluid that stands in the hole, None where it is empty."""

    shaft: Shaft
    levels: HoleLevels
    limits: Mapping[str, float]
    path: SequencePath
    full_of: str | None

    def _stage(self, action: str, ends: tuple[float, float], hours: float, text: str) -> Stage:
        """Return a stage of the finished hole between two depths."""
        last = self.path.segments[-1]
        return Stage(
            no=0,
            action=action,
            top_m=ends[0],
            base_m=ends[1],
            support=_kept_in(last) if last.casing != "none" else "slurry" if self.full_of else "dry",
            state=self.path.last,
            fluid=self.full_of,
            hours=hours,
            text=text,
        )

    @property
    def tip_m(self) -> float:
        """Return the depth of the tip."""
        return self.path.segments[-1].base_m

    def cut_bell(self, bell: Bell) -> Stage:
        """Return the cutting of the bell, which stands in open ground."""
        shaft = self.shaft
        top = shaft.tip_m - bell_height(bell, shaft.diameter_m, self.limits["bell_height_share"])
        text = stage_words.cut_bell(top, shaft.tip_m, bell.diameter_m, full=bool(self.full_of))
        stage = self._stage("bell", (top, shaft.tip_m), bell_hours(bell, self.limits), text)
        return replace(stage, support="slurry" if self.full_of else "dry")

    def clean(self) -> Stage:
        """Return the cleaning of the base."""
        text = stage_words.clean(full=bool(self.full_of))
        return self._stage("clean", (self.tip_m, self.tip_m), clean_hours(self.shaft, self.limits), text)

    def lower_cage(self, casings: Sequence[Casing]) -> Stage:
        """Return the setting of the cage."""
        text = stage_words.lower_cage(cage_pieces(self.shaft, self.limits))
        top_m = min((casing.top_m for casing in casings), default=self.levels.casing_top_m)
        return self._stage("cage", (top_m, self.tip_m), cage_hours(self.shaft, self.limits), text)

    def pour(self, hole: FinishedHole) -> Iterator[Stage]:
        """Return the pour, and before it the filling of an empty hole where concrete is placed wet."""
        wet = hole.placement.state == "wet"
        if wet and self.full_of is None:
            fill = self._stage("refill", (0.0, self.tip_m), self.limits["hours_fill"], stage_words.REFILL)
            yield replace(fill, fluid="water")
        text = stage_words.pour("tremie" if wet else hole.concrete.placement, starter_kept=hole.concrete.starter_kept)
        yield self._stage("pour", (0.0, self.tip_m), hole.concrete.pour_hours, text)

    def pull(self, number: int, casing: Casing, lifts: Sequence[PullStep]) -> Stage:
        """Return the pull of a casing, by its number, with all its lifts."""
        telling = next((step for step in lifts if not step.safe), lifts[0])
        hours = self.limits["hours_casing_set"] / 2 + (len(lifts) - 1) * self.limits["hours_refill"]
        outside_m = None if casing.is_starter else casing.outside_diameter_m
        ends_m, words = (casing.top_m, casing.base_m), stage_words.pull(number, outside_m, len(lifts), telling.note)
        stage = self._stage("remove_starter" if casing.is_starter else "pull", ends_m, hours, words)
        return replace(stage, state=None, fluid=None, casing_no=number)


def _pushed_from(casing: Casing) -> float | None:
    """Return from where a casing is pushed into undrilled ground, None where it stands in the hole drilled for it."""
    return casing.predrill_base_m if casing.advanced_m > 0 else None
