"""Which fluid and why: the rules for and against each in the length it would hold, and the chemistry of the water."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from methodpick.engine.compiler import TRUE
from methodpick.engine.explain import reason_text
from methodpick.plan.fluid.fluid_length import FluidLength
from methodpick.plan.fluid.specification import limit_used
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.result import Citation, FluidStanding, Standing, WaterCheck, WaterFinding
from methodpick.terms import FLUIDS
from methodpick.unit_markup import mark, mark_plainly

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
    word = "dearer" if dearer else "no dearer by the metre, but the whole plan with it is"
    return (
        f"It is {word}: {metre:g} a metre and {plant:g} for the plant, against {planned_metre:g} and {planned_plant:g} (relative cost, 1 "
        "is a metre of dry open hole)."
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
