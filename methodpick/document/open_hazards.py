"""The hazards that stay open on the planned support: where, what may happen, and what to do; those with one answer in one sentence."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.checks import numbers_of
from methodpick.document.model import Items, Section, section
from methodpick.plan.reasons.notes import ASKED_FOR, joined_lengths
from methodpick.plan.result import OpenHazard, ShaftPlan
from methodpick.records import record
from methodpick.terms import STATE_NAMES
from methodpick.unit_markup import SAME_LENGTH_M, all_of, first_sentence, number_span

MOST_LENGTHS = 3
"""So many lengths are told one by one."""
MOST_WITH_TREATMENT = 2
"""So many sentences about open hazards say what to do on the page of the answer."""

# ---- on the full page and on the pages of engineer and foreman: each with its words


def hazards(shaft: ShaftPlan) -> Section | None:
    """Return the hazards that stay open on the planned support."""
    if not shaft.open_hazards:
        return None
    entries = []
    for hazard in shaft.open_hazards:
        lengths = _length_words(_lengths([hazard]))
        ends = f"{lengths}, " if lengths else ""
        entries.append(f"{ends}{STATE_NAMES.get(hazard.state, hazard.state)}: {_hazard_words(hazard)} [{hazard.rule}]")
    return section("Open hazards on the planned support", Items(tuple(entries)), tone="danger")


def _hazard_words(hazard: OpenHazard) -> str:
    return f"{hazard.text} What to do: {hazard.treatment}"


def hazards_in_words(hazards: Sequence[OpenHazard]) -> tuple[str, ...]:
    """Describe hazards that stay open, each rule once: the depths, what may happen, and what to do in each state of the hole.

    Of several lengths the words are those of the longest.
    """
    return tuple(map(_of_one_rule, _by_rule(hazards).values()))


def _by_rule(hazards: Sequence[OpenHazard]) -> dict[str, list[OpenHazard]]:
    by_rule: dict[str, list[OpenHazard]] = {}
    for hazard in hazards:
        by_rule.setdefault(hazard.rule, []).append(hazard)
    return by_rule


def _of_one_rule(hazards: Sequence[OpenHazard]) -> str:
    longest = max(hazards, key=lambda hazard: sum(base_m - top_m for top_m, base_m in _lengths([hazard])))
    states: dict[str, list[str]] = {}
    for hazard in hazards:
        states.setdefault(hazard.treatment, []).append(STATE_NAMES.get(hazard.state, hazard.state))
    measures = next(iter(states)) if len(states) == 1 else " ".join(f"{' or '.join(names)}: {what}" for what, names in states.items())
    return f"Not ruled out{_after_comma(_lengths(hazards))}: {longest.text} What to do: {measures}"


# ---- on the page of the answer: by name, with the numbers at worst


@record
class _OpenRule:
    """A must rule that is open: its name with its numbers, at which kinds of shaft and where, what to do, and how grave it is.

    ``gravity`` is whether a check of it is short at the likely values, whether it is more than a question, and over what length it is
    open: what a log does not rule out over most of the hole goes before what is short at worst over a foot.
    """

    name: str
    place: str
    treatments: tuple[str, ...]
    gravity: tuple[bool, bool, float]


def hazards_in_short(shafts: Sequence[ShaftPlan]) -> tuple[str, ...]:
    """Return the must rules that are open on the planned support: those that ask for the same, or lie at the same place, together.

    Each stands by its name, with its numbers likely and at worst, and, of several kinds of shaft, with the kinds that it is open at.
    The gravest stand with what to do, the others by name in one sentence; the foreman's page has what to do about all of them.
    """
    together = sorted(_answered_together(_open_rules(shafts)), key=lambda held: max(rule.gravity for rule in held), reverse=True)
    rest = [rule for held in together[MOST_WITH_TREATMENT:] for rule in held]
    named = f"Open as well, with what to do on the foreman's page: {_placed_names(rest)}."
    return (*(_with_treatment(held) for held in together[:MOST_WITH_TREATMENT]), *([named] if rest else []))


def _answered_together(rules: Sequence[_OpenRule]) -> list[list[_OpenRule]]:
    """Gather the rules that ask for the same, or for a part of it, then those that lie at the same place."""
    found: list[list[_OpenRule]] = []
    for rule in sorted(rules, key=lambda each: -len(each.treatments)):
        held = next((held for held in found if set(rule.treatments) <= set(held[0].treatments)), None)
        if held is None:
            found.append([rule])
        else:
            held.append(rule)
    by_place: dict[object, list[_OpenRule]] = {}
    for held in found:
        by_place.setdefault(held[0].place if _at_one_place(held) else held[0].name, []).extend(held)
    return list(by_place.values())


def _at_one_place(held: Sequence[_OpenRule]) -> bool:
    return len({rule.place for rule in held}) == 1


def _with_treatment(held: Sequence[_OpenRule]) -> str:
    treatments = dict.fromkeys(treatment for rule in held for treatment in rule.treatments)
    where = f", {held[0].place}" if _at_one_place(held) and held[0].place else ""
    names = "; ".join(rule.name for rule in held) if _at_one_place(held) else _placed_names(held)
    return f"Open{where}: {names}. {' '.join(treatments)}"


def _placed_names(held: Sequence[_OpenRule]) -> str:
    """Return rules with their places, those at one place with it once."""
    by_place: dict[str, list[str]] = {}
    for rule in held:
        by_place.setdefault(rule.place, []).append(rule.name)
    return "; ".join(", ".join(filter(None, (*names, place))) for place, names in by_place.items())


def _open_rules(shafts: Sequence[ShaftPlan]) -> list[_OpenRule]:
    found = []
    for rule in dict.fromkeys(hazard.rule for shaft in shafts for hazard in shaft.open_hazards):
        open_at = [shaft for shaft in shafts if any(hazard.rule == rule for hazard in shaft.open_hazards)]
        hazards = [hazard for shaft in open_at for hazard in shaft.open_hazards if hazard.rule == rule]
        kinds = "" if len(shafts) == 1 else "all kinds" if len(open_at) == len(shafts) else ", ".join(shaft.id for shaft in open_at)
        lengths = _lengths(hazards)
        short = any(check.is_short for shaft in open_at for check in shaft.checks if check.rule == rule)
        treatments = tuple(dict.fromkeys(first_sentence(hazard.treatment) for hazard in hazards))
        length_m = sum(base_m - top_m for top_m, base_m in lengths)
        found.append(
            _OpenRule(
                name=f"{_name(rule)}{numbers_of(open_at, rule)}",
                place=", ".join(filter(None, (f"at {kinds}" if kinds else "", _length_words(lengths)))),
                treatments=treatments,
                gravity=(short, not {*treatments} <= {*ASKED_FOR.values()}, length_m),
            )
        )
    return found


def hazards_by_name(shaft: ShaftPlan) -> str:
    """Return the must rules that are open on the planned support in one sentence, each with its place; nothing without one."""
    found = _by_rule(shaft.open_hazards)
    named = (f"{_name(rule)}{_after_comma(_lengths(hazards))}{numbers_of([shaft], rule)}" for rule, hazards in found.items())
    return f"Open: {'; '.join(named)}." if found else ""


def _name(rule: str) -> str:
    return rule.replace("-", " ")


def _lengths(hazards: Sequence[OpenHazard]) -> tuple[tuple[float, float], ...]:
    """Return the lengths over which hazards are open, joined; one that was read from a plan without them has its ends."""
    lengths = [length for hazard in hazards for length in hazard.lengths_m]
    lengths += [
        (hazard.top_m, hazard.base_m)
        for hazard in hazards
        if not hazard.lengths_m and hazard.top_m is not None and hazard.base_m is not None
    ]
    return joined_lengths(lengths, SAME_LENGTH_M)


def _length_words(lengths: Sequence[tuple[float, float]]) -> str:
    if len(lengths) > MOST_LENGTHS:
        return f"parts of {number_span(lengths[0][0], lengths[-1][1], 'm')}"
    return all_of(number_span(top_m, base_m, "m") for top_m, base_m in lengths)


def _after_comma(lengths: Sequence[tuple[float, float]]) -> str:
    return f", {_length_words(lengths)}" if lengths else ""
