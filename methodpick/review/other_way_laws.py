"""What is said of the other ways: why they lost, what the cautious plan hangs on, when a rung is climbed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from methodpick.engine.rule import Rule
from methodpick.patterns import pattern_of
from methodpick.plan.judging.slices import JudgedSlice
from methodpick.plan.proving.built_way import BuiltWay
from methodpick.plan.proving.ground_facts import GroundFacts
from methodpick.plan.reasons.notes import (
    AT_ABOUT_THE_SAME_COST,
    CASING_TROUBLE,
    FAMILY_WORDS,
    LEAVES,
    NEEDED_STATES,
    NOT_PROVEN,
    RULED_OUT_FROM,
    TIMES_THE_COST,
    TRIAL_SHAFT,
    TROUBLE_DRY,
    TROUBLE_UNDER_FLUID,
    hangs_on,
    trigger,
)
from methodpick.plan.result import OPEN_MEANS, Alternate, Casing, CautiousPlan, ShaftPlan, Stage
from methodpick.review.contradiction import Contradiction, number, word
from methodpick.review.reason_laws import ReasonLaws
from methodpick.unit_markup import spell

RATIO = pattern_of(rf"at about (\d+\.\d+){TIMES_THE_COST}")
OPEN_LENGTH = pattern_of(rf"{LEAVES}(\d[\d.,]*) m of the shaft ")
BETTER_PULLED = "It would pull a casing that had better stay"
SITE_LINE = pattern_of(r"site\.([a-z_.]+)")
RULED_OUT = pattern_of(rf"^{RULED_OUT_FROM}(-?[\d.,]+) m to (-?[\d.,]+) m: (.*)$", re.DOTALL)
STATES_OF: Mapping[str, tuple[str, ...]] = {words: NEEDED_STATES[family] for family, words in FAMILY_WORDS.items()}
"""States of which a family needs one at every depth, or at the tip after a casing, by the words for the family."""


def check_other_ways(reasons: ReasonLaws, shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return where what is said of another family, of the cautious plan or of a rung is not so."""
    for other in shaft.alternates:
        yield from _leaves_open(other)
        yield from _excluded_by(reasons.ground, other)
        if other.drawdown is None:
            yield from _why_not(reasons, shaft, other)
    yield from _twins(shaft)
    yield from _fallback(shaft)
    if shaft.cautious is not None:
        yield from _cautious(reasons, shaft, shaft.cautious)


def _twins(shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Return other ways that are built as the plan, or as another of them: each is told as a choice, and is none."""
    listed = [("the plan", shaft.stages, shaft.casings)]
    for other in shaft.alternates:
        if not other.stages or other.drawdown is not None:
            continue
        twin = next((name for name, stages, casings in listed if (stages, casings) == (other.stages, other.casings)), None)
        if twin is not None:
            yield Contradiction(f"stages of {other.family}", f"those of {twin}", "another way")
        listed.append((other.family, other.stages, other.casings))


def _leaves_open(other: Alternate) -> Iterator[Contradiction]:
    """Return a length on which a way leaves more open than the plan that is not the one that it tells of."""
    name, told = f"{other.family}, leaves_open_m", OPEN_LENGTH.match(other.why_not)
    if told is not None:
        yield from number(name, other.leaves_open_m, float(told[1].replace(",", "")), slack=0.00501)
    elif other.why_not.startswith(BETTER_PULLED):
        if not 0.0 < other.leaves_open_m <= 1.0:
            yield Contradiction(name, f"{other.leaves_open_m:g}", "more than 0 and at most 1, as a casing weighs")
    else:
        yield from number(name, other.leaves_open_m, 0.0)


def _excluded_by(ground: GroundFacts, other: Alternate) -> Iterator[Contradiction]:
    """Return lines of the site file that are said to exclude a way and do not stand in it."""
    for line in other.excluded_by:
        if line.startswith("the bell") and ground.shaft.bell is not None:
            continue
        named = SITE_LINE.match(line)
        value: Any = None if named is None else ground.site.site
        for part in () if named is None else named[1].split("."):
            value = getattr(value, part, getattr(value, f"{part}_m", None))
        if value is None or (line.endswith(": false") and value is not False):
            yield Contradiction(f"{other.family}, excluded_by", line, "a line of the site file")


def _why_not(reasons: ReasonLaws, shaft: ShaftPlan, other: Alternate) -> Iterator[Contradiction]:
    """Check a ratio of costs, lengths that are ruled out and the reason for it, and what is said of failing proofs."""
    name, said = f"{other.family}, why_not", other.why_not
    if other.opening is not None:
        yield from word(f"{name}, why_not", said, spell(other.opening.words, "si"))
    short = tuple(dict.fromkeys(check.what for check in other.checks if check.is_short))
    yield from word(f"{name}, what is not proven", said.partition(NOT_PROVEN)[2], " ".join(short))
    told = next((means for means, words in OPEN_MEANS.items() if words.sentence in said), None)
    yield from word(f"{other.family}, both_open", other.both_open or "", told or "")
    if (ruled_out := RULED_OUT.match(said)) is not None:
        yield from _ruled_out(reasons, other, ruled_out)
    if other.relative_cost is None or shaft.relative_cost <= 0:
        return
    ratio = other.relative_cost / shaft.relative_cost
    if (written := RATIO.search(said)) is not None:
        yield from number(f"{name}, times the cost of the plan", float(written[1]), ratio, slack=0.00501)
    elif AT_ABOUT_THE_SAME_COST in said and ratio > 1.00501:
        yield Contradiction(name, AT_ABOUT_THE_SAME_COST, f"{ratio:.2f} times the cost of the plan")


def _ruled_out(reasons: ReasonLaws, other: Alternate, said: re.Match[str]) -> Iterator[Contradiction]:
    top, base = (float(text.replace(",", "")) for text in said.groups()[:2])
    states, because = STATES_OF[other.family], said[3]
    for piece in reasons.ground.slices((top + base) / 2 - 0.003, (top + base) / 2 + 0.003):
        near = abs(piece.top_m - top) < 0.00501 and abs(piece.base_m - base) < 0.00501
        if near and piece.logged and all(piece.verdicts[state].state == "ruled_out" for state in states):
            texts = [
                reasons.text(piece, state, reasons.ground.book.by_id[rule]) for state in states for rule in piece.verdicts[state].rules
            ]
            if because in texts:
                return
    yield Contradiction(f"{other.family}, why_not", f"ruled out from {top:g} m to {base:g} m", "a length and a rule that rules it out")


def _cautious(reasons: ReasonLaws, shaft: ShaftPlan, cautious: CautiousPlan) -> Iterator[Contradiction]:
    """Check what the cautious plan hangs on, its trigger and what would settle it, by the rules that are open on the plan."""
    texts: dict[str, str] = {}
    hazards: list[str] = []
    asks: list[str] = []
    for piece, state in _exposed(reasons.ground, shaft):
        for rule_id in piece.verdicts[state].open_musts if piece.logged else ():
            rule = reasons.ground.book.by_id[rule_id]
            if rule_id not in texts:
                texts[rule_id] = reasons.marked(piece, state, rule)
            hazards.append(rule.hazard)
            asks += _asks(reasons.ground, piece, state, rule)
    because = hangs_on([*texts.values()], shaft.checks)
    yield from word("cautious plan, differs_because", spell(cautious.differs_because, "si"), spell(because, "si"))
    yield from word("cautious plan, settles", cautious.settles, next(iter(asks), TRIAL_SHAFT))
    yield from word("cautious plan, trigger", cautious.trigger, trigger(hazards, shaft.checks))
    for rung in shaft.ladder:
        if rung.name == "fallback" and rung.trigger == cautious.trigger and rung.relative_cost > cautious.relative_cost + 1e-6:
            right = f"no more than {cautious.relative_cost:.6g}, the cost of the cautious plan, which avoids the same"
            yield Contradiction("rung fallback, relative_cost", f"{rung.relative_cost:.6g}", right)
        if rung.name == "fallback" and rung.stages == cautious.stages:
            yield from number("rung fallback, relative_cost", rung.relative_cost, cautious.relative_cost)


def _fallback(shaft: ShaftPlan) -> Iterator[Contradiction]:
    """Check that a fallback is built by other means than the plan: another fluid, plant or way, or the same over other lengths."""
    planned = _means(shaft.stages, shaft.casings)
    triggers = [f"If {trouble}:" for trouble in (CASING_TROUBLE, TROUBLE_DRY, TROUBLE_UNDER_FLUID)]
    triggers += [] if shaft.cautious is None else [shaft.cautious.trigger]
    for rung in shaft.ladder:
        if rung.name == "fallback" and not rung.trigger.startswith(tuple(triggers)):
            yield Contradiction("rung fallback, trigger", rung.trigger, " or ".join(triggers))
        same = _strings(rung.casings) == _strings(shaft.casings) and _opened(rung.stages) == _opened(shaft.stages)
        if rung.name == "fallback" and same and _means(rung.stages, rung.casings) == planned:
            yield Contradiction("rung fallback", ", ".join(sorted(planned)), "other means than those of the plan")


def _strings(casings: Sequence[Casing]) -> list[tuple[str | None, float]]:
    return [(casing.way, round(casing.base_m, 2)) for casing in casings if not casing.is_starter]


def _opened(stages: Sequence[Stage]) -> list[tuple[str | None, float]]:
    """Return the states in which the hole is drilled, each with the depth to which it is."""
    return [(stage.state, round(stage.base_m, 2)) for stage in stages if stage.action == "drill" and stage.base_m is not None]


def _means(stages: Sequence[Stage], casings: Sequence[Casing]) -> set[str]:
    """Return what holds the open hole, and how casing comes in."""
    opened = {stage.state for stage in stages if stage.action == "drill" and stage.state is not None}
    return opened | {casing.way or "set" for casing in casings if not casing.is_starter}


def _exposed(ground: GroundFacts, shaft: ShaftPlan) -> Iterator[tuple[JudgedSlice, str]]:
    """Return every slice that a stage of the plan opens, with the state in which it does; nothing without a method."""
    if shaft.placement is None or shaft.concrete is None:
        return
    way = BuiltWay(shaft.stages, shaft.casings, shaft.slurries, shaft.placement, shaft.concrete)
    for stage in way.opening_stages():
        if stage.action != "bell" and stage.state is not None:
            for piece in ground.slices(way.opens_from_m(stage), stage.base_m):
                yield piece, stage.state


def _asks(ground: GroundFacts, piece: JudgedSlice, state: str, rule: Rule) -> list[str]:
    values, facts = piece.values(state), ground.book.catalogue.facts
    return [facts[fact].ask for fact in rule.facts if facts[fact].ask and not (fact in values and values[fact].certain)]
