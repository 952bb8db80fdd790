"""Why a length is held as it is, what is said beside it, and the checks of a plan, as they are handed out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from methodpick.records import record
from methodpick.terms import CautionReach, Severity

# ---- Why a length is held as it is, and what is said beside it: reasons, flips, assumptions, hazards, cautions, questions


@record(guarded=False)
class Citation:
    """A source by its key in ``rules/sources.yaml`` and the place in it."""

    key: str
    where: str


@record
class LimitUsed:
    """A limit as it was used: its name in the rulebook, value, source, how well it is known, and the overlay that set it."""

    limit: str
    value: float
    unit: str
    source: Citation
    confidence: str
    set_by: str = ""


@record
class FactValue:
    """A fact as a reason shows it: a number's low, likely and high, or the words that are possible.

    An end is None where no bound is known.
    """

    low: float | None
    likely: float | str | None
    high: float | None
    values: tuple[str, ...] | None
    unit: str
    basis: str
    from_: str


@record
class Reason:
    """A rule that decided, in a full sentence, with the facts it looked at."""

    rule: str
    text: str
    sources: tuple[Citation, ...]
    facts: Mapping[str, FactValue]
    confidence: str = "read"


@record(guarded=False)
class StateVerdict:
    """The verdict of one support state and the rules behind it."""

    state: str
    rules: tuple[str, ...]


@record
class Flip:
    """The nearest change of one input, or of two together, that changes the support of an interval.

    With the input at ``flips_at`` the support is ``then``; one step nearer to ``now`` it is what the plan says. ``now``
    is None for what the log does not give, ``flips_at`` None where any value read would change the support.
    """

    input: str
    said: str
    design: bool
    now: float | None
    flips_at: float | None
    step: float
    unit: str
    then: str
    fluid: str | None = None
    together: Flip | None = None


@record
class TakenAssumption:
    """What was taken as normal, where, why and by whose word.

    ``lengths_m`` are top and base of each length over which it is taken, from the top down, none touching the next; empty where it is
    taken of the whole site or of an aquifer, which ``where`` then names. ``likely`` is the word that is taken as likely where others
    stay possible, which ``assumed`` names with them; empty where one value is taken as certain, or a number.
    """

    fact: str
    where: str
    assumed: str
    why: str
    source: str
    id: str = ""
    lengths_m: tuple[tuple[float, float], ...] = ()
    likely: str = ""


@record
class OpenHazard:
    """A must rule that is still open on the planned support, with what to do about it.

    ``lengths_m`` are top and base of each length over which it is open, from the top down, none touching the next; ``top_m`` and
    ``base_m`` are the ends of them all.
    """

    rule: str
    state: str
    treatment: str
    top_m: float | None = None
    base_m: float | None = None
    text: str = ""
    lengths_m: tuple[tuple[float, float], ...] = ()


@record
class Caution:
    """What to watch. ``reach`` tells where it holds, ``limits`` are the limits whose numbers the text prints."""

    rule: str
    severity: Severity
    text: str
    sources: tuple[Citation, ...]
    hazard: str = ""
    where: str = ""
    reach: CautionReach = "here"
    limits: tuple[LimitUsed, ...] = ()

    @property
    def is_danger_here(self) -> bool:
        """Return whether it is a danger by the ground, the site or the work planned here, and not one of every shaft or of the method."""
        return (self.severity, self.reach) == ("danger", "here")


@record
class Gap:
    """What the log does not say, why it matters and the question to put."""

    need: str
    why: str
    question: str


# ---- The checks of a plan as they are handed out: one record for every proof of every stage


CheckResult = Literal["holds", "little_margin", "open_range", "unknown", "open_likely", "fails"]
CHECK_RESULTS: tuple[CheckResult, ...] = ("holds", "little_margin", "open_range", "unknown", "open_likely", "fails")
"""How a check ends, best first, as the verdicts go: it holds over the whole range; below what is recommended; short only at the
adverse end of an input; an input has no likely value; short at the likely values; short even at the best end, or, where life hangs
on it, at the likely values."""
SHORT = frozenset[CheckResult]({"fails", "open_likely"})
"""Results on which nothing proven rests."""


@record(guarded=False)
class Ends:
    """A quantity at the adverse end, at the likely values and at the best end of the inputs; None where it has no finite value."""

    adverse: float | None
    likely: float | None
    best: float | None

    @property
    def ends(self) -> tuple[float | None, ...]:
        """Return the three values."""
        return self.adverse, self.likely, self.best


@record(guarded=False)
class CheckInput:
    """An input of a check: the low, likely and high of a number (None where there is no bound), or the words that are possible."""

    low: float | None
    likely: float | str | None
    high: float | None
    values: tuple[str, ...] | None


@record(guarded=False)
class Check:
    """One proof of one stage.

    ``id`` names the proof; ``stage`` is the number of the stage (None for the finished hole); ``margin`` is what there is less
    what is needed, in ``unit``; ``formula`` names the registered formula that gave the deciding number, ``rule`` the rule that
    decided where the facts of a slice can say it; ``top_m`` to ``base_m`` is the length that the check protects. ``what`` says
    in one sentence what is compared, ``remedy`` what to do where it is not held with certainty; both hold marked numbers.
    """

    id: str
    stage: int | None
    what: str
    needed: Ends
    has: Ends
    margin: Ends
    unit: str
    formula: str | None
    inputs: Mapping[str, CheckInput]
    limits: tuple[str, ...]
    rule: str | None
    sources: tuple[Citation, ...]
    result: CheckResult
    top_m: float
    base_m: float
    remedy: str = ""

    @property
    def is_short(self) -> bool:
        """Return whether the check fails or is short at the likely values already, so that nothing that rests on it is proven."""
        return self.result in SHORT


def none_short(checks: Iterable[Check]) -> bool:
    """Return whether no check of a way fails or is short at the likely values; else the way is not proven, and its page says so."""
    return not any(check.is_short for check in checks)
