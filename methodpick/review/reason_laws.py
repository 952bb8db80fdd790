"""The reasons of intervals, and what is said beside a plan: cautions, questions, assumptions, open hazards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf

from methodpick.engine.interpret import known_of, reason_text, supporting_facts, weakest_limit
from methodpick.engine.rule import Rule
from methodpick.facts.curves import NO_UPLIFT
from methodpick.facts.of_site import plant_at_hand
from methodpick.facts.of_slice import WAY_PLANT
from methodpick.ground.check import check
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.ground_facts import TOUCH_M, GroundFacts
from methodpick.plan.reasons import notes
from methodpick.plan.result import Casing, Citation, FactValue, Interval, Reason, ShaftPlan, Stage
from methodpick.review.casing_laws import rise_beside
from methodpick.review.contradiction import Contradiction, as_text, differences, is_near, word
from methodpick.review.plan_file import WrittenWay
from methodpick.terms import FLUIDS, NOT_IN_LOG, SETTLING_GROUND, SHAKING_WAYS, STATES
from methodpick.unit_markup import mark, mark_plainly, spell
from methodpick.vocabulary.values import Choice, Span, Value, from_bool, known, point, sum_of

# ---- reasons: each is what a rule says of the ground there, with its facts and sources, and none is left out


WITHOUT_RULE = frozenset({"no-data", "no-way"})
OF_A_STATE, NOT_LOGGED = ("derived", "support state"), ("missing", NOT_IN_LOG)
"""Basis and origin of a fact that follows from the state of the hole, and of one that no log tells."""
MOST_REASONS = 8
"""Reasons that an interval names at most; where there are more, which of them it names is not checked."""


class ReasonLaws:
    """Checks reasons against one ground; what a rule says of a slice is worked out once."""

    def __init__(self, ground: GroundFacts) -> None:
        self.ground = ground
        self._texts: dict[tuple[float, str, str], str] = {}

    def check(self, way: WrittenWay) -> Iterator[Contradiction]:
        """Return the reasons of a way's intervals that are not those of the rules, and intervals that leave reasons out."""
        for interval in way.intervals or ():
            pieces = self.ground.slices(interval.top_m, interval.base_m)
            name = f"interval {interval.top_m:.2f} m to {interval.base_m:.2f} m, reason"
            for reason in interval.reasons:
                yield from self._reason(name, reason, pieces)
            if interval.support != "undecided":
                yield from self._all_named(name, interval, pieces)
            elif pieces and not pieces[0].logged:
                yield from word(name, tuple(reason.rule for reason in interval.reasons), ("no-data",))

    def text(self, piece: JudgedSlice, state: str, rule: Rule) -> str:
        """Return what a rule says of a slice in a state, in SI."""
        return spell(self.marked(piece, state, rule), "si")

    def marked(self, piece: JudgedSlice, state: str, rule: Rule) -> str:
        """Return what a rule says of a slice in a state, with its numbers marked."""
        key = piece.top_m, state, rule.id
        if key not in self._texts:
            self._texts[key] = reason_text(rule, piece.values(state), self.ground.book, mark_plainly)
        return self._texts[key]

    def _reason(self, name: str, reason: Reason, pieces: Sequence[JudgedSlice]) -> Iterator[Contradiction]:
        rule = self.ground.book.by_id.get(reason.rule)
        if rule is None:
            if reason.rule not in WITHOUT_RULE:
                yield Contradiction(name, reason.rule, "a rule of the rulebook")
            return
        yield from word(f"{name} {rule.id}, sources", reason.sources, tuple(Citation(cited.key, cited.where) for cited in rule.source))
        yield from word(f"{name} {rule.id}, confidence", reason.confidence, weakest_limit(rule, self.ground.book))
        places = [(piece, state) for piece in pieces for state in STATES if rule.id in _named(piece, state)]
        if not places:
            yield Contradiction(name, rule.id, "a rule that speaks here")
            return
        said = [(piece, state) for piece, state in places if self.text(piece, state, rule) == reason.text]
        if not said:
            yield Contradiction(f"{name} {rule.id}", f'"{reason.text}"', f'"{self.text(*places[0], rule)}"')
            return
        wrong = [list(self._facts(f"{name} {rule.id}", reason.facts, rule, (piece, state))) for piece, state in said]
        yield from min(wrong, key=len)

    def _facts(self, name: str, written: Mapping[str, FactValue], rule: Rule, place: tuple[JudgedSlice, str]) -> Iterator[Contradiction]:
        """Return where the facts of a reason are not those on which the rule rests in a slice and a state."""
        piece, state = place
        values = piece.values(state)
        names = supporting_facts(rule, values, self.ground.book)
        yield from word(f"{name}, facts", tuple(written), names)
        for fact in set(names) & set(written):
            spec = self.ground.book.catalogue.facts[fact]
            value, said = values.get(fact, spec.domain), written[fact]
            yield from word(f"{name}, {fact}, unit", said.unit, spec.unit)
            if (found := piece.sheet.facts.get(fact)) is not None:
                yield from word(f"{name}, {fact}, basis", said.basis, found.basis)
                yield from word(f"{name}, {fact}, from", said.from_, spell(found.source, "si"))
            else:
                of_state = spec.scope == "slice_state"
                yield from word(f"{name}, {fact}, basis and from", (said.basis, said.from_), OF_A_STATE if of_state else NOT_LOGGED)
            if isinstance(value, Span):
                known = known_of(value, spec)
                low, high = (known.low, known.high) if isinstance(known, Span) else (-inf, inf)
                right: tuple[float | None, ...] = (low if low > -inf else None, value.likely, high if high < inf else None)
                shown = (said.low, said.likely if not isinstance(said.likely, str) else None, said.high)
                if not all(is_near(first, second) for first, second in zip(shown, right, strict=True)):
                    yield Contradiction(f"{name}, {fact}", as_text(shown), as_text(right))
            elif isinstance(value, Choice):
                yield from word(f"{name}, {fact}", said.values, tuple(sorted(value.values)))

    def _all_named(self, name: str, interval: Interval, pieces: Sequence[JudgedSlice]) -> Iterator[Contradiction]:
        """Return the rules that speak against lighter ways, or about the way taken, and are not named."""
        wanted = set().union(*(self._wanted(interval, piece) for piece in pieces))
        if len(wanted) <= MOST_REASONS:
            yield from word(f"{name}s", tuple(sorted(reason.rule for reason in interval.reasons)), tuple(sorted(wanted)))

    def _wanted(self, interval: Interval, piece: JudgedSlice) -> set[str]:
        state = deciding_state(interval)
        if state not in piece.verdicts:
            return set()
        lighter = {"dry": (), "slurry": ("dry",)}.get(interval.support, tuple(name for name in ("dry", *FLUIDS) if name != state))
        by_id, deciding = self.ground.book.by_id, piece.verdicts[state]
        against = {rule for name in lighter for rule in (*piece.verdicts[name].rules, *piece.verdicts[name].open_musts)}
        return {rule for rule in against if by_id[rule].effect == "exclude"} | {*deciding.open_musts, *deciding.should, *deciding.suits}


def deciding_state(interval: Interval) -> str:
    """Return the state whose verdict decides an interval: its fluid, the dry hole, or the casing as it stands at last."""
    if interval.fluid:
        return interval.fluid
    if interval.support == "dry" and interval.drilled_in:
        return interval.drilled_in
    last = interval.later_in[-1] if interval.later_in else ""
    if last.startswith("cased"):
        return last
    return "cased_dry" if interval.drilled_in == "cased_dry" else "cased_plug"


def _named(piece: JudgedSlice, state: str) -> set[str]:
    verdict = piece.verdicts[state]
    return {*verdict.rules, *verdict.open_musts, *verdict.should, *verdict.suits}


# ---- beside the plan: as rules and ground ask for it


RISKS = ("low", "medium", "high")


def check_notes(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where cautions, questions, assumptions, hazards and doubts are not those of the ground and the stages."""
    pieces = tuple(piece.slice for piece in ground.judged)
    gathered = ground.gatherer.gathered(pieces)
    yield from differences(shaft.assumptions, notes.assumptions(gathered, ground.ground, shaft.intervals), "assumptions")
    yield from differences(shaft.open_hazards, notes.open_hazards(ground.ground, shaft.intervals, shaft.casings), "open_hazards")
    yield from _doubts(ground, shaft, gathered.doubts)
    values = stage_values(ground, shaft)
    judgement = notes.StageJudgement(ground.book.scopes["stage"].judge(values), values)
    of_ground = notes.cautions_of_ground(ground.ground, shaft.intervals)
    yield from differences(shaft.cautions, notes.cautions(ground.ground, judgement, of_ground), "cautions")
    yield from differences(shaft.gaps, notes.gaps(ground.ground, judgement), "gaps")


def _doubts(ground: GroundFacts, shaft: ShaftPlan, gathered: tuple[str, ...]) -> Iterator[Contradiction]:
    """Return doubts that nothing in the site raises, and doubts about the facts that are left out."""
    site, boring = ground.site, ground.site.boring(shaft.boring)
    alone = site.model_copy(update={"borings": (boring,), "shafts": (ground.shaft,)})
    raised = [
        doubt
        for known_site in (site, alone)
        for doubt in check(known_site, say_m=lambda value: mark(value, "m"), say_kpa=lambda value: mark(value, "kPa"))
    ]
    known = {
        (doubt.subject.kind, doubt.subject.name, spell(doubt.at, "si"), spell(f"{doubt.message}; {doubt.action}", "si")) for doubt in raised
    }
    of_facts = {spell(text, "si") for text in gathered}
    told = {doubt.text for doubt in shaft.doubts if doubt.about == "facts"}
    for doubt in shaft.doubts:
        raises = doubt.text in of_facts if doubt.about == "facts" else (doubt.about, doubt.name, doubt.at, doubt.text) in known
        if not raises:
            yield Contradiction("doubts", doubt.words, "a doubt that the site raises")
    for text in sorted(of_facts - told):
        yield Contradiction("doubts", "nothing", text)


def _is_sure(ground: GroundFacts, casing: Casing) -> bool:
    """Return whether nothing hangs on a probable seal of a casing: it has another, or no water likely stands near its shoe."""
    limits = ground.book.values
    lengths = limits["unsealed_water_clear_m"], limits["unsealed_clear_diameters"] * ground.shaft.diameter_m
    clear_m = casing.base_m + max(lengths)
    waters = [water.level_m for water in ground.gatherer.aquifers if water.top_m < clear_m]
    dry = all((level.low if level.likely is None else level.likely) >= clear_m for level in waters)
    return casing.sealed != "probable" or (dry and ground.site.site.setting != "water")


def stage_values(ground: GroundFacts, shaft: ShaftPlan) -> dict[str, Value]:
    """Return the facts of the finished hole, on top of the site's and the shaft's, from the stages and casings as written."""
    strings = [casing for casing in shaft.casings if not casing.is_starter]
    concrete, last = shaft.concrete, _last_state(shaft.stages)
    return {
        **ground.ground.shared_values,
        "hours_open": point(sum(stage.hours or 0.0 for stage in shaft.stages)),
        "slaking_open_h": point(_slaking_open(ground, shaft)),
        "hole_rise_m_h": _rise(ground, max((casing.base_m for casing in strings if casing.sealed != "no"), default=0.0)),
        "hole_has_fluid": from_bool(last not in {"dry", ""}),
        "seal_certain": from_bool(last == "dry" and all(_is_sure(ground, casing) for casing in strings)),
        "pour_hours": point(0.0 if concrete is None else concrete.pour_hours),
        "uses_temporary_casing": from_bool(any(casing.kind == "temporary" for casing in strings)),
        "uses_permanent_casing": from_bool(any(casing.kind == "permanent" for casing in strings)),
        "fluid": known("no_fluid" if shaft.slurry is None else shaft.slurry.fluid),
        "stage_soft_clay": from_bool(_has_soft_ground(ground)),
        "stage_clean_ground": from_bool(_has_settling_ground(ground, shaft.stages)),
        "strings": point(float(len(strings))),
        "vibrates": from_bool(any(casing.way in SHAKING_WAYS for casing in strings)),
        "stiff_clay_cased_m": point(_stiff_clay_cased(ground, strings)),
        "hires_plant": from_bool(any(_is_hired(ground, casing) for casing in strings)),
        "metric_casing": from_bool(any(ground.ground.trade_sizes.is_metric_on_us_site(casing.way) for casing in strings)),
        "kept_in_kept": from_bool(sum(casing.kind == "permanent" for casing in strings) > 1),
        "free_fall_m": point(0.0 if concrete is None else concrete.free_fall_m or 0.0),
        "emptied_beside_rise_m": point(max((rise_beside(ground, casing) for casing in strings if _is_emptied(shaft, casing)), default=0.0)),
        **_of_pulls(shaft),
    }


def _slaking_open(ground: GroundFacts, shaft: ShaftPlan) -> float:
    """Return the hours of work between the first cut into bare rock that likely slakes and the end of the pour."""
    shod_m = max((casing.base_m for casing in shaft.casings), default=0.0)
    hours, counted = 0.0, False
    for stage in shaft.stages:
        if stage.action == "drill" and stage.base_m > shod_m:
            pieces = ground.slices(max(stage.top_m, shod_m), stage.base_m)
            counted = counted or any(piece.sheet.choice("slaking").likely_yes for piece in pieces)
        hours += (stage.hours or 0.0) if counted else 0.0
        if stage.action == "pour":
            break
    return hours


def _is_emptied(shaft: ShaftPlan, casing: Casing) -> bool:
    """Return whether a casing is bailed, or the ground below its shoe dug dry."""
    bailed = (stage.base_m for stage in shaft.stages if stage.action == "bail")
    dug = (stage.top_m for stage in shaft.stages if stage.action == "drill" and stage.state == "dry")
    return any(abs(depth - casing.base_m) < TOUCH_M for depth in (*bailed, *dug))


def _stiff_clay_cased(ground: GroundFacts, strings: list[Casing]) -> float:
    """Return the stiff clay that counts by its side between where casing starts ahead of the dig and its last push."""
    ahead = [casing for casing in strings if casing.way is not None]
    if not ahead:
        return 0.0
    first = min(casing.predrill_base_m for casing in ahead)
    last = max(casing.base_m for casing in ahead) - ground.limits["last_push_m"].value
    return sum(max(0.0, min(piece.base_m, last) - max(piece.top_m, first)) for piece in ground.judged if _is_stiff(piece))


def _is_stiff(piece: JudgedSlice) -> bool:
    """Return whether a slice is likely stiff clay or harder on whose side the design likely counts."""
    counts = piece.sheet.choice("counts_side_resistance")
    stiff = piece.sheet.choice("consistency").likely in {"stiff", "very_stiff", "hard"}
    return piece.logged and piece.slice.stratum.likely == "clay" and stiff and (counts.likely == "yes" or counts.values == {"yes"})


def _is_hired(ground: GroundFacts, casing: Casing) -> bool:
    """Return whether the site does not name the plant that brings a casing in."""
    named = plant_at_hand(ground.site.site.equipment)
    return casing.way is not None and not any(named[plant] for plant in WAY_PLANT[casing.way])


def _last_state(stages: tuple[Stage, ...]) -> str:
    opened = [stage.state for stage in stages if stage.action in {"drill", "advance_casing", "set_casing"} and stage.state is not None]
    return opened[-1] if opened else ""


def _rise(ground: GroundFacts, sealed_m: float) -> Span:
    """Return the rise of water in the emptied hole in m/h, from all ground below the deepest seal."""
    rises = [
        piece.sheet.span("seepage_rise_m_h")
        for piece in ground.judged
        if piece.top_m >= sealed_m - 1e-6 and piece.logged and "seepage_rise_m_h" in piece.sheet.facts
    ]
    return sum_of(rises)


def _has_soft_ground(ground: GroundFacts) -> bool:
    return any(
        piece.slice.stratum.likely == "organic"
        or (piece.slice.stratum.likely == "clay" and piece.logged and piece.sheet.choice("consistency").likely in {"very_soft", "soft"})
        for piece in ground.judged
    )


def _has_settling_ground(ground: GroundFacts, stages: tuple[Stage, ...]) -> bool:
    """Return whether a length drilled under fluid is likely clean sand, gravel or cobbles."""
    return any(
        piece.slice.stratum.likely in SETTLING_GROUND
        for stage in stages
        if stage.action == "drill" and stage.state in FLUIDS
        for piece in ground.slices(stage.top_m, stage.base_m)
    )


def _of_pulls(shaft: ShaftPlan) -> Mapping[str, Value]:
    """Return the facts of pulls and seats, of the worst casing each."""
    extraction, pulls = ((), ()) if shaft.concrete is None else (shaft.concrete.extraction, shaft.concrete.pulls)
    pulled = [pull for pull in extraction if pull.kind == "temporary"]
    forces = [Span(pull.pull_low_kn, pull.pull_high_kn, pull.pull_kn) for pull in extraction]
    seats = [casing.embedment for casing in shaft.casings if casing.embedment is not None]
    factors = [seat.uplift_factor for seat in seats if seat.uplift_factor is not None]
    return {
        "casing_residence_h": point(max((pull.residence_h for pull in pulled), default=0.0)),
        "stuck_risk": known(max((pull.stuck_risk for pull in pulled), key=RISKS.index, default="low")),
        "extraction_kn": max(forces, key=lambda force: force.high, default=point(0.0)),
        "pull_unsafe": from_bool(any(not step.safe for step in pulls)),
        "concrete_hours": point(0.0 if shaft.concrete is None else shaft.concrete.workable_needed_h),
        "seat_short": from_bool(any(seat.needed_m is not None and seat.given_m < seat.needed_m - 1e-6 for seat in seats)),
        "seat_uplift_factor": point(min([*factors, NO_UPLIFT])),
    }
