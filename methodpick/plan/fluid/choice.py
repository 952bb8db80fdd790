"""Which fluid and why: the rules for and against each in the length it would hold, and the chemistry of the water."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from methodpick.engine.compiler import TRUE
from methodpick.engine.explain import reason_text
from methodpick.engine.rulebook import Rulebook
from methodpick.plan.fluid.fluid_length import Place
from methodpick.plan.fluid.levels import FLUIDS
from methodpick.plan.fluid.used import used
from methodpick.plan.judging.slices import Judged
from methodpick.plan.result import Citation, Finding, FluidStanding, Standing, WaterCheck
from methodpick.unit_markup import mark, mark_plainly

MOST_REASONS = 2
_RANKS: dict[str, tuple[int, Standing]] = {
    "ruled_out": (3, "ruled_out"),
    "unlikely": (2, "unsettled"),
    "unknown": (2, "unsettled"),
    "doubtful": (2, "unsettled"),
    "discouraged": (1, "against_advice"),
    "allowed": (0, "open"),
}


def choose(place: Place, planned: str, book: Rulebook) -> tuple[FluidStanding, ...]:
    """Return how each fluid stands in the length, the planned one first."""
    order = (planned, *(fluid for fluid in FLUIDS if fluid != planned))
    return tuple(_standing(place, fluid, planned, book) for fluid in order)


def _standing(place: Place, fluid: str, planned: str, book: Rulebook) -> FluidStanding:
    if fluid not in place.allowed:
        return FluidStanding(fluid, "not_allowed", "The site file does not allow it.", (), ())
    pieces = [one for one in place.pieces() if one.cut.decided]
    worst = max((_RANKS[one.verdicts[fluid].state] for one in pieces), default=(0, "open"), key=lambda pair: pair[0])
    standing: Standing = worst[1]
    pairs = _against(pieces, fluid, standing) if standing != "open" else ()
    if fluid == planned:
        standing = "planned"
        pairs = (*_for(pieces, fluid), *pairs)
    told: dict[str, str] = {}
    for one, rule in pairs:
        if rule not in told and len(told) < MOST_REASONS + (fluid == planned):
            told[rule] = reason_text(book.by_id[rule], one.values(fluid), book, mark_plainly)
    texts = list(told.values())
    if standing == "open":
        texts.append(_dearer(place, fluid, planned))
    sources = tuple(dict.fromkeys(Citation(one.key, one.where) for rule in told for one in book.by_id[rule].source))
    return FluidStanding(fluid, standing, " ".join(texts), tuple(told), sources)


def _against(pieces: Iterable[Judged], fluid: str, standing: Standing) -> Iterator[tuple[Judged, str]]:
    """Return the rules against a fluid that made its standing, each with a slice where it speaks."""
    for one in pieces:
        verdict = one.verdicts[fluid]
        if _RANKS[verdict.state][1] == standing:
            rules = verdict.should if standing == "against_advice" else verdict.rules or verdict.open_musts
            yield from ((one, rule) for rule in rules)


def _for(pieces: Iterable[Judged], fluid: str) -> Iterator[tuple[Judged, str]]:
    """Return the rules that say that a fluid suits, and those that prefer it."""
    for one in pieces:
        yield from ((one, rule) for rule in one.verdicts[fluid].suits)
        for rule, _, near in one.outcomes.holding("prefer"):
            if near == TRUE and fluid in rule.states and rule.points > 0:
                yield one, rule.id


def _dearer(place: Place, fluid: str, planned: str) -> str:
    """Describe what the search weighed: the metre and the plant, relative to a metre of dry open hole."""
    cost = {name: (place.limits[f"cost_{name}_m"].value, place.limits[f"cost_plant_{name}"].value) for name in (fluid, planned)}
    (metre, plant), (mine, my_plant) = cost[fluid], cost[planned]
    word = "dearer" if (metre, plant) > (mine, my_plant) else "no dearer by the metre, but the whole plan with it is"
    return (
        f"It is {word}: {metre:g} a metre and {plant:g} for the plant, against {mine:g} and {my_plant:g} (relative cost, 1 "
        "is a metre of dry open hole)."
    )


def check_water(place: Place, fluid: str) -> tuple[WaterCheck, ...]:
    """Return hardness, chloride and pH of the water against what the fluid takes."""
    return (_hardness(place), _chloride(place, fluid), _ph(place))


def _value(place: Place, fact: str) -> float | None:
    return place.gatherer.base.span(fact).likely if fact in place.gatherer.base.facts else None


def _hardness(place: Place) -> WaterCheck:
    what = "treat it with soda ash before bentonite or polymer goes in"
    return _check(place, "hardness", "hardness_mg_l", "hardness_high_mg_l", what)


def _chloride(place: Place, fluid: str) -> WaterCheck:
    value = _value(place, "chloride_mg_l")
    salt = value is not None and value > place.limits["chloride_salt_mg_l"].value
    what = {
        "mineral": "hydrate bentonite in fresh water, or take attapulgite or a polymer for salt water",
        "polymer": "take a polymer made for salt water and try it first",
        "water": "its own limits of density hold",
    }[fluid]
    return _check(place, "chloride", "chloride_mg_l", "chloride_salt_mg_l" if salt or fluid != "mineral" else "chloride_high_mg_l", what)


def _ph(place: Place) -> WaterCheck:
    return _check(place, "pH", "water_ph", "ph_low", "raise it and ask for the cement", least=True)


def _check(place: Place, name: str, fact: str, limit_name: str, what: str, *, least: bool = False) -> WaterCheck:
    """Hold a property against its limit, the most or the ``least`` that needs nothing."""
    value, limit = _value(place, fact), place.limits[limit_name]
    unit, side = ("", "under") if limit.unit == "1" else (limit.unit, "over")

    def said(number: float) -> str:
        return mark(number, unit) if unit else f"{number:g}"

    acts = value is not None and (value < limit.value if least else value > limit.value)
    known = place.gatherer.base.facts.get(fact)
    tested = value is not None and known is not None and known.basis != "assumed"
    finding: Finding = "not_tested" if not tested else "act" if acts else "good"
    taken = "" if value is None else f", taken as {said(value)}"
    text = {
        "not_tested": f"not tested{taken}; {side} {said(limit.value)}{limit.beside} {what}",
        "act": f"{said(value or 0.0)}, {side} {said(limit.value)}{limit.beside}: {what}",
        "good": f"{said(value or 0.0)}, good (limit {said(limit.value)}{limit.beside})",
    }[finding]
    return WaterCheck(name, value, limit.unit, used(place.limits, limit_name), finding, text)
