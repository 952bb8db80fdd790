"""The fluid programme of a plan: the fluid and why, the mix, the control sheet with its tests, loss and reserve."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from methodpick.engine.compiler import TRUE
from methodpick.engine.interpret import reason_text
from methodpick.plan.demands.fluid_length import FluidLength, limit_used
from methodpick.plan.fluid.mix import find_loss, load_sand, make_mix
from methodpick.plan.judging.slices import JudgedGround, JudgedSlice
from methodpick.plan.result import (
    FLUID_IN_STOCK,
    FLUID_TO_FILL,
    Citation,
    ControlRow,
    FluidProgramme,
    FluidStanding,
    HoleLevels,
    LimitUsed,
    QuantityLine,
    Slurry,
    Stage,
    Standing,
    TestTime,
    WaterCheck,
    WaterFinding,
)
from methodpick.terms import FLUID_NAMES, FLUIDS, GRAVEL
from methodpick.unit_markup import mark, mark_plainly

# ---- Which fluid and why: the rules for and against each in the length it would hold, and the chemistry of the water


MOST_REASONS = 2
_STANDINGS: dict[str, tuple[int, Standing]] = {
    "ruled_out": (3, "ruled_out"),
    "unlikely": (2, "unsettled"),
    "unknown": (2, "unsettled"),
    "doubtful": (2, "unsettled"),
    "discouraged": (1, "against_advice"),
    "allowed": (0, "open"),
}
"""How a fluid stands by the verdict on it, with the rank that the worst of several has."""


def choose(length: FluidLength, planned: str) -> tuple[FluidStanding, ...]:
    """Return how each fluid stands in the length, the planned one first."""
    return tuple(_standing(length, fluid, planned) for fluid in (planned, *(fluid for fluid in FLUIDS if fluid != planned)))


def _standing(length: FluidLength, fluid: str, planned: str) -> FluidStanding:
    if fluid not in length.allowed:
        return FluidStanding(fluid=fluid, standing="not_allowed", why="The site file does not allow it.", rules=(), sources=())
    slices, book = [judged for judged in length.slices() if judged.logged], length.ground.book
    ranked = [_STANDINGS[judged.verdicts[fluid].state] for judged in slices]
    standing = max(ranked, default=_STANDINGS["allowed"], key=lambda pair: pair[0])[1]
    speaking = _against(slices, fluid, standing) if standing != "open" else ()
    if fluid == planned:
        standing = "planned"
        speaking = (*_in_favour(slices, fluid), *speaking)
    texts: dict[str, str] = {}
    for judged, rule in speaking:
        if rule not in texts and len(texts) < MOST_REASONS + (fluid == planned):
            texts[rule] = reason_text(book.by_id[rule], judged.values(fluid), book, mark_plainly)
    sentences = [*texts.values(), *([_cost_words(length, fluid, planned)] if standing == "open" else ())]
    sources = dict.fromkeys(Citation(source.key, source.where) for rule in texts for source in book.by_id[rule].source)
    return FluidStanding(fluid=fluid, standing=standing, why=" ".join(sentences), rules=tuple(texts), sources=tuple(sources))


def _against(slices: Iterable[JudgedSlice], fluid: str, standing: Standing) -> Iterator[tuple[JudgedSlice, str]]:
    """Return the rules against a fluid that made its standing, each with a slice where it speaks."""
    for judged in slices:
        verdict = judged.verdicts[fluid]
        if _STANDINGS[verdict.state][1] == standing:
            rules = verdict.should if standing == "against_advice" else verdict.rules or verdict.open_musts
            yield from ((judged, rule) for rule in rules)


def _in_favour(slices: Iterable[JudgedSlice], fluid: str) -> Iterator[tuple[JudgedSlice, str]]:
    """Return the rules that say that a fluid suits, and those that prefer it."""
    for judged in slices:
        yield from ((judged, rule) for rule in judged.verdicts[fluid].suits)
        for rule, _, at_likely in judged.outcomes.holding("prefer"):
            if at_likely == TRUE and fluid in rule.states and rule.points > 0:
                yield judged, rule.id


def _cost_words(length: FluidLength, fluid: str, planned: str) -> str:
    """Describe what the search weighed: the metre and the plant, relative to a metre of dry open hole."""
    cost = {name: (length.limits[f"cost_{name}_m"].value, length.limits[f"cost_plant_{name}"].value) for name in (fluid, planned)}
    (metre, plant), (planned_metre, planned_plant) = cost[fluid], cost[planned]
    dearer = (metre, plant) > (planned_metre, planned_plant)
    word = "dearer" if dearer else "no dearer by length, but the whole plan with it is"
    return (
        f"It is {word}: relative cost {metre:g} by length and {plant:g} for the plant, against {planned_metre:g} and {planned_plant:g} "
        f"({mark(1.0, 'm')} of dry open hole is 1)."
    )


# ---- chemistry of the water


def check_water(length: FluidLength, fluid: str) -> tuple[WaterCheck, ...]:
    """Return hardness, chloride and pH of the water against what the fluid takes."""
    return (_hardness(length), _chloride(length, fluid), _ph(length))


def _likely(length: FluidLength, fact: str) -> float | None:
    shared = length.ground.gatherer.base
    return shared.span(fact).likely if fact in shared.facts else None


def _hardness(length: FluidLength) -> WaterCheck:
    what = "treat it with soda ash before bentonite or polymer goes in"
    return _check(length, ("hardness", "hardness_mg_l"), "hardness_high_mg_l", what)


def _chloride(length: FluidLength, fluid: str) -> WaterCheck:
    value = _likely(length, "chloride_mg_l")
    salt = value is not None and value > length.limits["chloride_salt_mg_l"].value
    what = {
        "mineral": "hydrate bentonite in fresh water, or take attapulgite or a polymer for salt water",
        "polymer": "take a polymer made for salt water and try it first",
        "water": "its own limits of density hold",
    }[fluid]
    limit = "chloride_salt_mg_l" if salt or fluid != "mineral" else "chloride_high_mg_l"
    return _check(length, ("chloride", "chloride_mg_l"), limit, what)


def _ph(length: FluidLength) -> WaterCheck:
    return _check(length, ("pH", "water_ph"), "ph_low", "raise it and ask for the cement", least=True)


def _check(length: FluidLength, named: tuple[str, str], limit_name: str, what: str, *, least: bool = False) -> WaterCheck:
    """Hold a property, by its name and its fact, against its limit: the most, or the ``least``, that needs nothing."""
    name, fact = named
    value, limit = _likely(length, fact), length.limits[limit_name]
    unit, side = ("", "under") if limit.unit == "1" else (limit.unit, "over")

    def words(number: float) -> str:
        return mark(number, unit) if unit else f"{number:g}"

    acts = value is not None and (value < limit.value if least else value > limit.value)
    known = length.ground.gatherer.base.facts.get(fact)
    tested = value is not None and known is not None and known.basis != "assumed"
    finding: WaterFinding = "not_tested" if not tested else "act" if acts else "good"
    assumed = "" if value is None else f", taken as {words(value)}"
    text = {
        "not_tested": f"not tested{assumed}; {side} {words(limit.value)}{limit.beside} {what}",
        "act": f"{words(value or 0.0)}, {side} {words(limit.value)}{limit.beside}: {what}",
        "good": f"{words(value or 0.0)}, good (limit {words(limit.value)}{limit.beside})",
    }[finding]
    return WaterCheck(what=name, value=value, unit=limit.unit, limit=limit_used(length.limits, limit_name), finding=finding, text=text)


# ---- The fluid programme of a plan: the fluid and why, the mix, the control sheet with its tests, loss and reserve


TESTS: Mapping[str, tuple[str, tuple[Citation, ...]]] = {
    "density": ("mud balance", (Citation("astm-d4380", "whole"), Citation("api-13b-1", "density"))),
    "Marsh time": ("Marsh funnel, quart", (Citation("astm-d6910", "whole"), Citation("api-13b-1", "viscosity"))),
    "pH": ("meter or paper", (Citation("api-13b-1", "pH"),)),
    "sand": ("sand content set", (Citation("astm-d4381", "whole"), Citation("api-13b-1", "sand"))),
}
"""How each property is tested: the standards are known from memory."""
LimitPair = tuple[LimitUsed | None, LimitUsed | None]
"""The least and the most of a property, None where there is no limit."""
_NO_LIMITS: LimitPair = (None, None)


def fluid_programme(
    ground: JudgedGround, slurry: Slurry | None, held: Sequence[Slurry], work: tuple[float, Sequence[Stage]], levels: HoleLevels
) -> FluidProgramme | None:
    """Return the programme of the support fluid, None where the plan has none.

    ``slurry`` is its longest length, ``held`` are all lengths that stand under fluid; ``work`` is the volume of the hole under it, and
    the stages.
    """
    if slurry is None:
        return None
    hole_m3, stages = work
    under = [each for each in held if each.fluid == slurry.fluid]
    beside = tuple((each.top_m, each.base_m) for each in under)
    length = FluidLength(ground, slurry.top_m, slurry.base_m, levels, beside=beside)
    lengths = [(FluidLength(ground, each.top_m, each.base_m, levels), each) for each in under]
    factor = stock_factor([held_length for held_length, _ in lengths], slurry.fluid)
    loss = find_loss(lengths, hole_m3, factor.value, hours_under_fluid(stages, slurry.fluid))
    stock_m3 = hole_m3 + loss.reserve_m3
    mix = make_mix(length, slurry, stock_m3)
    return FluidProgramme(
        fluid=slurry.fluid,
        hole_m3=hole_m3,
        stock_factor=factor,
        stock_m3=stock_m3,
        choice=choose(length, slurry.fluid),
        water=check_water(length, slurry.fluid),
        mix=mix,
        sand=load_sand(length, slurry, mix),
        controls=control_rows(length, slurry.fluid),
        times=test_times(length, slurry.fluid),
        loss=loss,
    )


RUNS_AWAY = frozenset({"fluid-loss", "voids"})
"""Hazards of the rules by which the ground may take a fluid."""


def stock_factor(lengths: Sequence[FluidLength], fluid: str) -> LimitUsed:
    """Return the stock of a fluid over the hole that it fills: more where a rule advises against it because the ground may take it.

    What is not known of the ground leaves such a rule open, and counts as if it held.
    """
    limits, by_id = lengths[0].limits, lengths[0].ground.book.by_id
    names = {name for length in lengths for judged in length.slices() for name in judged.verdicts[fluid].should}
    usual = limit_used(limits, "fluid_stock_factor")
    if not any(by_id[name].hazard in RUNS_AWAY for name in names):
        return usual
    return max(usual, limit_used(limits, "fluid_stock_factor_where_lost"), key=lambda limit: limit.value)


def stock_words(programme: FluidProgramme) -> str:
    """Return how the stock comes about: a multiple of the hole, or hole and losses where they come to more."""
    usual = f"{programme.stock_factor.value:g} x the hole"
    return f"the hole and what is lost, more than {usual}" if programme.stocks_losses else usual


def fluid_quantities(programme: FluidProgramme, levels: HoleLevels, base_m: float) -> tuple[QuantityLine, QuantityLine]:
    """Return what fills the hole from the level of the fluid down to a depth, and the stock."""
    name, top = FLUID_NAMES[programme.fluid], mark(levels.fluid_m[programme.fluid], "m")
    where = f"hole from {top} to {mark(base_m, 'm')}: inside the casing in it, below as wide as drilled"
    return (
        QuantityLine(name + FLUID_TO_FILL, programme.hole_m3, "m3", where),
        QuantityLine(name + FLUID_IN_STOCK, programme.stock_m3, "m3", f"{stock_words(programme)}, for losses and reserve"),
    )


def hours_under_fluid(stages: Sequence[Stage], fluid: str) -> float:
    """Return the hours from a fluid going in to its being bailed, changed or pushed out by concrete, the pour included.

    What stands in a casing that is kept full goes on below it: no stage brings it in, and it counts from the first length drilled under it.
    """
    hours, inside = 0.0, False
    for stage in stages:
        if stage.action == "introduce_fluid":
            inside = stage.fluid == fluid
        elif stage.action == "drill" and stage.state in FLUIDS:
            inside = stage.state == fluid
        elif stage.action in {"bail", "pull", "remove_starter"}:
            inside = False
        hours += (stage.hours or 0.0) if inside else 0.0
    return hours


# ---- control sheet


def control_rows(length: FluidLength, fluid: str) -> tuple[ControlRow, ...]:
    """Return the limits of every property of a fluid under the rulebook in force."""
    rows = {"mineral": _mineral, "polymer": _polymer, "water": _water}[fluid](length)
    return tuple(
        ControlRow(
            name=name,
            unit=unit,
            introduction_low=introduction[0],
            introduction_high=introduction[1],
            concreting_low=concreting[0],
            concreting_high=concreting[1],
            test=TESTS[name][0],
            standards=TESTS[name][1],
        )
        for name, unit, introduction, concreting in rows
    )


def _density(length: FluidLength, fluid: str) -> LimitPair:
    low, high = length.density_limits(fluid)
    return limit_used(length.limits, low.name) if fluid == "mineral" else None, limit_used(length.limits, high.name)


def _mineral(length: FluidLength) -> list[tuple[str, str, LimitPair, LimitPair]]:
    limits = length.limits
    density = _density(length, "mineral")
    fresh = None if length.salt else limit_used(limits, "mineral_intro_density_max_kg_m3")
    gravel = any(judged.slice.stratum.likely in GRAVEL for judged in length.slices())
    least, most = limit_used(limits, "mineral_marsh_min_s"), limit_used(limits, "mineral_marsh_max_s")
    if gravel and not most.set_by:
        most = limit_used(limits, "marsh_gravel_max_s")
    soil = limit_used(limits, "marsh_gravel_s" if gravel else "marsh_sand_s")
    thick = max((least, soil), key=lambda limit: limit.value)
    ph: LimitPair = limit_used(limits, "mineral_ph_min"), limit_used(limits, "fluid_ph_max")
    sand = limit_used(limits, "mineral_intro_sand_max_percent"), limit_used(limits, "mineral_sand_max_percent")
    return [
        ("density", "kg/m3", (density[0], fresh), density),
        ("Marsh time", "s", (thick, most), (thick if gravel else least, most)),
        ("pH", "1", ph, ph),
        ("sand", "%", (None, sand[0]), (None, sand[1])),
    ]


def _polymer(length: FluidLength) -> list[tuple[str, str, LimitPair, LimitPair]]:
    limits = length.limits
    marsh: LimitPair = limit_used(limits, "polymer_marsh_min_s"), limit_used(limits, "polymer_marsh_max_s")
    ph: LimitPair = limit_used(limits, "polymer_ph_min"), limit_used(limits, "polymer_ph_max")
    return [
        ("density", "kg/m3", _NO_LIMITS, _density(length, "polymer")),
        ("Marsh time", "s", marsh, marsh),
        ("pH", "1", ph, ph),
        ("sand", "%", _NO_LIMITS, (None, limit_used(limits, "polymer_sand_max_percent"))),
    ]


def _water(length: FluidLength) -> list[tuple[str, str, LimitPair, LimitPair]]:
    return [
        ("density", "kg/m3", _NO_LIMITS, _density(length, "water")),
        ("sand", "%", _NO_LIMITS, (None, limit_used(length.limits, "water_sand_max_percent"))),
    ]


def test_times(length: FluidLength, fluid: str) -> tuple[TestTime, ...]:
    """Return when and where the fluid is tested."""
    limits = length.limits
    above = limit_used(limits, "sample_above_base_m")
    both = f"at mid-height and within {mark(above.value, 'm')} of the base"
    last = TestTime(f"After the last cleaning, just before concrete, {both}: the two must agree and meet the limits.", (above,))
    if fluid == "water":
        return (last,)
    first, then = limit_used(limits, "fluid_tests_first_h"), limit_used(limits, "fluid_tests_then_h")
    drilling = TestTime(
        f"While drilling, every {_words(first)} {both} until two rounds agree, then every {_words(then)}.", (first, then, above)
    )
    if fluid == "polymer":
        return TestTime("In the tank before use, pH of the mixing water first.", ()), drilling, last
    ready, still = limit_used(limits, "hydration_h"), limit_used(limits, "exposure_unagitated_h")
    return (
        TestTime(f"In the tank before use, after about {_words(ready)} of hydration or as the maker says.", (ready,)),
        drilling,
        TestTime(f"Where it stood still for more than {_words(still)}, after stirring.", (still,)),
        last,
    )


def _words(limit: LimitUsed) -> str:
    return mark(limit.value, limit.unit) + (f" (set by {limit.set_by})" if limit.set_by else "")
