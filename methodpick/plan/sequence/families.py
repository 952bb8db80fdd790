"""The plan, the cautious plan and the best plan of every other family, each with why it lost."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from methodpick.engine.explain import reason_text
from methodpick.engine.rulebook import Rulebook
from methodpick.plan.judging.slices import Judged
from methodpick.plan.sequence.costs import Costs
from methodpick.plan.sequence.lengths import Lengths
from methodpick.plan.sequence.objections import Objection, search_proven
from methodpick.plan.sequence.path import Path
from methodpick.plan.sequence.search import search
from methodpick.plan.sequence.search_options import Options
from methodpick.plan.sequence.search_slices import DOUBTFUL, OPEN_STATES, RULED_OUT, Cut, Seat
from methodpick.unit_markup import mark, mark_plainly

FAMILIES = ("dry", "slurry", "casing_then_dry", "casing_then_fluid", "full_depth_casing", "permanent_casing")
FAMILY_WORDS = {
    "dry": "all dry",
    "slurry": "fluid to the tip",
    "casing_then_dry": "partial casing, then dry",
    "casing_then_fluid": "partial casing, then fluid",
    "full_depth_casing": "casing to the tip",
    "permanent_casing": "permanent casing",
}


@dataclass(frozen=True, slots=True)
class SearchTerms:
    """What a search works on: the slices, the seats, the costs, and what it may use."""

    cuts: Sequence[Cut]
    seats: Sequence[Seat]
    costs: Costs
    options: Options


@dataclass(frozen=True, slots=True)
class Ladder:
    """The chosen path, the cautious one (None where it is the same), the others by family, and the worst credible one.

    That one leaves out every open hole about which a must rule is in doubt; None where nothing can be built then.
    ``proven`` is off where the trials ended before the proofs of the chosen path had nothing new to object to.
    """

    best: Path
    cautious: Path | None
    others: tuple[tuple[str, Path | None], ...]
    worst: Path | None
    proven: bool = True


Objecting = Callable[[Path], Iterable[Objection]]
"""What the proofs of a complete path object to."""


def climb_best(terms: SearchTerms, objecting: Objecting) -> Path | None:
    """Search the expected plan alone; None where nothing can be built."""
    return _proven(terms, Lengths(terms.cuts, terms.seats, terms.costs, cautious=False), objecting)[0]


def climb(terms: SearchTerms, objecting: Objecting) -> Ladder | None:
    """Search the expected and the cautious plan and every other family, each proved; None where nothing can be built."""
    lengths = Lengths(terms.cuts, terms.seats, terms.costs, cautious=False)
    best, proven = _proven(terms, lengths, objecting)
    if best is None:
        return None
    cautious, _ = _proven(terms, Lengths(terms.cuts, terms.seats, terms.costs, cautious=True), objecting)
    if cautious is not None and same(cautious, best):
        cautious = None
    mine = family_of(best)
    others = tuple(
        (family, _proven(replace(terms, options=replace(terms.options, family=family)), lengths, objecting)[0])
        for family in FAMILIES
        if family != mine
    )
    worst, _ = _proven(terms, Lengths([_worst(cut) for cut in terms.cuts], terms.seats, terms.costs, cautious=True), objecting)
    return Ladder(best, cautious, others, worst, proven)


def _proven(terms: SearchTerms, lengths: Lengths, objecting: Objecting) -> tuple[Path | None, bool]:
    """Return the best path that meets no new objection, and whether one was found within the trials."""
    options = terms.options
    return search_proven(lambda: search(lengths, terms.seats, terms.costs, options), objecting, options.objections)


def _worst(cut: Cut) -> Cut:
    """Return a cut in which every open hole that is in doubt is ruled out."""
    rank = {state: RULED_OUT if state in OPEN_STATES and place >= DOUBTFUL else place for state, place in cut.rank.items()}
    return replace(cut, rank=rank)


def same(first: Path, second: Path) -> bool:
    """Return whether two paths are built alike."""
    return [(s.top_m, s.base_m, s.runs, s.casing, s.way, s.keep) for s in first.segments] == [
        (s.top_m, s.base_m, s.runs, s.casing, s.way, s.keep) for s in second.segments
    ]


def family_of(path: Path) -> str:
    """Return the family of a path."""
    if any(segment.keep for segment in path.strings):
        return "permanent_casing"
    if not path.strings:
        return "dry" if path.fluid is None else "slurry"
    tip = path.segments[-1]
    if tip.casing != "none":
        return "full_depth_casing"
    return "casing_then_dry" if path.last == "dry" else "casing_then_fluid"


def why_not(family: str, path: Path | None, best: Path, judged: Sequence[Judged], book: Rulebook) -> str:
    """Describe why a family lost: what rules it out and where, a hazard that stays open, or its cost."""
    if path is None:
        return _blocked(family, judged, book)
    names = ("undecided", "unlikely to be safe", "unknown", "doubtful")
    for index, name in enumerate(names):
        more = path.score[index] - best.score[index]
        if more > 1e-6:
            if index == 1 and more <= 1.0:
                return "It would pull a casing that had better stay, or leave one in that had better come out."
            return f"It leaves {mark(more, 'm')} of the shaft {name}." + _because(path, judged, book)
    ratio = path.cost / best.cost if best.cost > 0 else 1.0
    if ratio > 1.005:
        return f"It can be built, at about {ratio:.2f} times the relative cost of the plan."
    return "It can be built at about the same relative cost; the plan changes method less often or ranks first by preference."


def _because(path: Path, judged: Sequence[Judged], book: Rulebook) -> str:
    for segment in path.segments:
        for run in segment.runs:
            for one in judged:
                if one.slice.top_m < run.base_m - 1e-6 and one.slice.base_m > run.top_m + 1e-6:
                    verdict = one.verdicts[run.state]
                    if verdict.state in {"unlikely", "unknown"} and verdict.rules:
                        rule = book.by_id[verdict.rules[0]]
                        return f" From {mark(one.slice.top_m, 'm')}: {reason_text(rule, one.values(run.state), book, mark_plainly)}"
    return ""


def _blocked(family: str, judged: Sequence[Judged], book: Rulebook) -> str:
    fluids = ("mineral", "polymer", "water")
    states = {
        "dry": ("dry",),
        "slurry": fluids,
        "casing_then_dry": ("dry",),
        "casing_then_fluid": fluids,
        "full_depth_casing": ("cased_plug", "cased_balanced"),
        "permanent_casing": ("leave_in",),
    }[family]
    order = judged if not family.startswith("casing_then") else tuple(reversed(judged))
    for one in order:
        if one.cut.decided and all(one.verdicts[state].state == "ruled_out" for state in states):
            rule = book.by_id[one.verdicts[states[0]].rules[0]]
            return (
                f"Ruled out from {mark(one.slice.top_m, 'm')} to {mark(one.slice.base_m, 'm')}: "
                f"{reason_text(rule, one.values(states[0]), book, mark_plainly)}"
            )
    if family == "casing_then_dry":
        return "No layer seals a casing above ground that stands dry to the tip."
    if family == "casing_then_fluid":
        return "No seat is found above ground that fluid holds to the tip."
    if family == "full_depth_casing":
        return "No plant at hand brings casing to the tip through this ground, or the casing may not enter the socket."
    if family == "permanent_casing":
        return "No seat for a permanent casing is found."
    return "The ground does not stand open long enough, or no sequence of this kind can be built."


def differs(best: Path, judged: Sequence[Judged], book: Rulebook) -> tuple[str, str, str]:
    """Describe what the cautious plan hangs on, what triggers it on site and which reading would settle it."""
    reasons: list[str] = []
    hazards: list[str] = []
    asks: list[str] = []
    for segment in best.segments:
        for run in segment.runs:
            for one in judged:
                if one.slice.top_m >= run.base_m - 1e-6 or one.slice.base_m <= run.top_m + 1e-6 or not one.cut.decided:
                    continue
                verdict = one.verdicts[run.state]
                for name in verdict.open_musts:
                    rule = book.by_id[name]
                    text = reason_text(rule, one.values(run.state), book, mark_plainly)
                    if text not in reasons and len(reasons) < 3:
                        reasons.append(text)
                    hazards.append(rule.hazard.replace("-", " "))
                    values = one.values(run.state)
                    asks += [
                        book.catalogue.facts[fact].ask
                        for fact in rule.facts
                        if book.catalogue.facts[fact].ask and not (fact in values and values[fact].certain)
                    ]
    why = " ".join(reasons) or "The wall may not stand for as long as the dry stage needs."
    seen = ", ".join(dict.fromkeys(hazards)) or "loosening or inflow"
    return (
        why,
        f"On the first sign of {seen}, stop, fill the hole above the outside water level and go over to the cautious plan.",
        next(iter(dict.fromkeys(asks)), "A trial shaft at this place."),
    )


__all__ = ["FAMILIES", "FAMILY_WORDS", "RULED_OUT", "Ladder", "climb", "climb_best", "differs", "family_of", "why_not"]
