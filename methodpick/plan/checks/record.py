"""Write what a proof found as a record: its sentence, its limits and sources, and what to do or to ask where it does not hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import replace
from math import isclose, isfinite
from typing import NamedTuple, Protocol, TypeVar

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import BrokenWhen, Comparison, Outcome, compare, decide
from methodpick.plan.result.checks import CHECK_RESULTS, Check, CheckInput, CheckResult, Citation, Ends
from methodpick.records import record
from methodpick.unit_markup import mark
from methodpick.units import kept_unit
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice, Span, Value

_NOTHING = Ends(None, None, None)
_RANK: Mapping[str, int] = {result: rank for rank, result in enumerate(CHECK_RESULTS)}


@record(guarded=False)
class Heading:
    """What stands over every record: its proof and place, its limits and formula, what to do where it does not hold, what to ask.

    ``question`` is what to ask where an input is not known.
    """

    proof: Definition
    place: ProvedPlace
    limits: tuple[Limit, ...] = ()
    formula: str | None = None
    remedy: str = ""
    question: str = ""


class Wording(NamedTuple):
    """What a comparison is called: what there is, what is needed, and the words for the adverse end of each input.

    A sentence reads "{has} is 5 m; {needed} 4 m", so that ``needed`` ends in a verb. ``unit`` is the unit of the marks in it: ``size``
    and ``wall`` are metres that are read in inches or millimetres.
    """

    has: str
    needed: str
    unit: str
    adverse: Mapping[str, str]


SEAL_ASKS, FLUID_HAS = "a seal asks for", "that of the fluid is"
EXPECTED, ACTS = "to be expected is", "what acts on it is"
"""What is needed, in the words of several proofs."""


class Compared(NamedTuple):
    """A comparison that was made and is written only if it governs: of all depths of a hole the page shows the worst.

    ``outcome`` is None where an input is not known.
    """

    heading: Heading
    wording: Wording
    inputs: Mapping[str, Span]
    outcome: Outcome | None

    @property
    def result(self) -> CheckResult:
        """Return how the comparison ends."""
        return "unknown" if self.outcome is None else self.outcome.result

    @property
    def margin(self) -> Ends:
        """Return what there is less what is needed."""
        return _NOTHING if self.outcome is None else self.outcome.margin

    def write(self, place: ProvedPlace | None = None) -> Check:
        """Return the record; ``place`` is given where the comparison holds for another stage or length as well."""
        heading, wording, found = self.heading, self.wording, self.outcome
        if place is not None:
            heading = replace(heading, place=place)
        if found is None:
            what, ends = f"{wording.has} is not known.", (_NOTHING, _NOTHING, _NOTHING)
        else:
            what, ends = _compared(wording, found), (found.needed, found.has, found.margin)
        return _record(heading, wording.unit, self.inputs, self.result, what, ends)


class Unwritten(NamedTuple):
    """A proof that was made and is written only if it governs: how it ends, what is left, and the function that writes its record."""

    result: CheckResult
    margin: Ends
    write: Callable[[], Check]


def make_comparison(heading: Heading, wording: Wording, comparison: Comparison, inputs: Mapping[str, Span | None]) -> Compared:
    """Compare, without writing it yet; an input that is None leaves it unknown."""
    known = {name: span for name, span in inputs.items() if span is not None}
    if len(known) < len(inputs):
        return Compared(heading, wording, known, None)
    return Compared(heading, wording, known, compare(comparison, known, life=heading.proof.life))


def write_comparison(heading: Heading, wording: Wording, comparison: Comparison, inputs: Mapping[str, Span | None]) -> Check:
    """Return the record of a comparison; an input that is None leaves it unknown."""
    return make_comparison(heading, wording, comparison, inputs).write()


def make_condition(heading: Heading, kept: str, broken: str, condition: BrokenWhen, inputs: Mapping[str, Value | None]) -> Unwritten:
    """Decide a condition, without writing it yet. An input that is None leaves it unknown.

    ``kept`` and ``broken`` are the clauses that say either, ``condition`` whether it is broken.
    """
    known = {name: value for name, value in inputs.items() if value is not None}
    result = "unknown" if len(known) < len(inputs) else decide(condition, known, life=heading.proof.life)

    def write() -> Check:
        if result == "holds":
            sentence = f"{kept[0].upper()}{kept[1:]}."
        elif result == "open_range":
            sentence = f"Likely {kept}, but not for certain."
        elif result == "unknown":
            sentence = f"It is not known whether {kept}."
        elif result == "fails" and decide(condition, known) == "fails":
            sentence = f"{broken[0].upper()}{broken[1:]}."
        else:
            sentence = f"Likely {broken}."
        return _record(heading, "1", known, result, sentence, (_NOTHING, _NOTHING, _NOTHING))

    return Unwritten(result, _NOTHING, write)


def write_condition(heading: Heading, kept: str, broken: str, condition: BrokenWhen, inputs: Mapping[str, Value | None]) -> Check:
    """Return the record of a condition, with what :func:`make_condition` takes."""
    return make_condition(heading, kept, broken, condition, inputs).write()


def at_worst(check: Check, result: CheckResult) -> Check:
    """Return a check whose result is no worse than a given one, because more is not at stake."""
    return _with_result(check, _no_worse(check.result, result))


class Graded(Protocol):
    """What a proof ends with: a record that is written, or a comparison that is not yet."""

    @property
    def result(self) -> CheckResult:
        """Return how it ends."""

    @property
    def margin(self) -> Ends:
        """Return what there is less what is needed."""


Proved = TypeVar("Proved", bound=Graded)


SAME_MARGIN = 2e-3
"""Margins that differ by less are equal: depths are written to the millimetre."""


def governing(checks: Iterable[Proved]) -> Proved:
    """Return the check that decides among several of one kind: the worst result, then the least margin, then the first.

    Margins that differ by less than depths are written with are equal, so that a plan that is read back has the same. ValueError for none.
    """
    ordered = [(gravity(check.result, check.margin), check) for check in checks]
    rank, least = max(place for place, _ in ordered)
    return next(check for (other, margin), check in ordered if other == rank and margin >= least - SAME_MARGIN)


def gravity(result: CheckResult, margin: Ends) -> tuple[int, float]:
    """Return how grave a result is among those of one kind: the greatest governs."""
    ends = [end for end in (margin.adverse, margin.likely, margin.best) if end is not None]
    return _RANK[result], -min(ends, default=0.0)


def over_words(proof: Definition, answer: Choice, compare_for: Callable[[str], Compared], where: Callable[[str], str]) -> Check:
    """Return the record of a proof that goes by a word, with what :func:`make_over_words` takes."""
    return make_over_words(proof, answer, compare_for, where).write()


def make_over_words(proof: Definition, answer: Choice, compare_for: Callable[[str], Compared], where: Callable[[str], str]) -> Unwritten:
    """Prove what goes by a word, such as a class: as the likely word has it, and no better than open for the others.

    ``compare_for`` compares for one word, and ``where`` says of one when it holds ("where the clay is fissured"). Without a likely word
    the proof is unknown where the words do not agree.
    """
    compared = {word: compare_for(word) for word in sorted(answer.values)}
    worst = governing(compared.values())
    if all(each.result == worst.result for each in compared.values()):
        return Unwritten(worst.result, worst.margin, worst.write)
    if answer.likely is None:
        check = at_worst(worst.write(), "unknown")
    else:
        likely = _not_certain(proof, compared[answer.likely].write())
        other = next(word for word, each in compared.items() if each is worst)
        check = governing((likely, _with_other_word(compared[answer.likely], worst, where(other))))
    return Unwritten(check.result, check.margin, lambda: check)


def _with_other_word(likely: Compared, worst: Compared, where: str) -> Check:
    """Return the record of a proof that is open for another word: the likely word's numbers, and at the adverse end those of the other."""
    check, sure, open_to = at_worst(worst.write(), "open_range"), likely.outcome, worst.outcome
    if sure is None or open_to is None or not (sure.known and open_to.known):
        return check
    name, unit = worst.wording, worst.wording.unit
    limits = tuple(dict.fromkeys((*likely.heading.limits, *worst.heading.limits)))
    return replace(
        check,
        what=f"{name.has} is {_number(sure.has.likely, unit)}; {name.needed} {_number(sure.needed.likely, unit)} ({where} "
        f"{_number(open_to.has.adverse, unit)} against {_number(open_to.needed.adverse, unit)}).",
        needed=replace(sure.needed, adverse=open_to.needed.adverse),
        has=replace(sure.has, adverse=open_to.has.adverse),
        margin=replace(sure.margin, adverse=open_to.margin.adverse),
        limits=tuple(limit.name for limit in limits),
        sources=tuple(dict.fromkeys(Citation(limit.source, limit.where) for limit in limits)),
    )


def for_words(proof: Definition, answer: Choice, words: AbstractSet[str], check: Check) -> Check:
    """Return a proof that counts only for some words of an answer: less is at stake where the answer may be or likely is another."""
    return _with_result(check, _result_for_words(proof, answer, words, check.result))


def make_for_words(proof: Definition, answer: Choice, words: AbstractSet[str], made: Compared | Unwritten) -> Unwritten:
    """Return a proof that was made as :func:`for_words` has it, still unwritten."""
    result = _result_for_words(proof, answer, words, made.result)
    return Unwritten(result, made.margin, lambda: _with_result(made.write(), result))


def _result_for_words(proof: Definition, answer: Choice, words: AbstractSet[str], result: CheckResult) -> CheckResult:
    if answer.values <= words:
        return result
    if answer.likely is None:
        return _no_worse(result, "unknown")
    return _result_not_certain(proof, result) if answer.likely in words else _no_worse(result, "open_range")


def _no_worse(result: CheckResult, limit: CheckResult) -> CheckResult:
    return result if _RANK[result] <= _RANK[limit] else limit


def _not_certain(proof: Definition, check: Check) -> Check:
    """Return a proof of the likely word where another is possible: it fails for certain only where life hangs on it."""
    return _with_result(check, _result_not_certain(proof, check.result))


def _result_not_certain(proof: Definition, result: CheckResult) -> CheckResult:
    return result if result != "fails" or proof.life else "open_likely"


def _with_result(check: Check, result: CheckResult) -> Check:
    return check if result == check.result else replace(check, result=result)


def _record(
    heading: Heading, unit: str, inputs: Mapping[str, Value], result: CheckResult, what: str, ends: tuple[Ends, Ends, Ends]
) -> Check:
    needed, has, margin = ends
    remedy = "" if result == "holds" else (heading.question or heading.remedy) if result == "unknown" else heading.remedy
    return Check(
        id=heading.proof.id,
        stage=heading.place.stage,
        what=what,
        needed=needed,
        has=has,
        margin=margin,
        unit=kept_unit(unit),
        formula=heading.formula,
        inputs={name: input_of(value) for name, value in inputs.items()},
        limits=tuple(limit.name for limit in heading.limits),
        rule=heading.proof.rule,
        sources=tuple(dict.fromkeys(Citation(limit.source, limit.where) for limit in heading.limits)),
        result=result,
        top_m=heading.place.top_m,
        base_m=heading.place.base_m,
        remedy=remedy,
    )


def input_of(value: Value) -> CheckInput:
    """Return a range or a choice as a record.

    >>> input_of(Span(1.0, float("inf"), 2.0))
    CheckInput(low=1.0, likely=2.0, high=None, values=None)
    """
    if isinstance(value, Choice):
        return CheckInput(None, value.likely, None, tuple(sorted(value.values)))
    return CheckInput(value.low if isfinite(value.low) else None, value.likely, value.high if isfinite(value.high) else None, None)


def _compared(wording: Wording, found: Outcome) -> str:
    """Write what there is and what is needed, at the likely values and at the adverse end where that differs."""
    has, needed, unit = found.has, found.needed, wording.unit
    if not found.known:
        worst = f"{_number(has.adverse, unit)}; {wording.needed} {_number(needed.adverse, unit)}"
        return f"{wording.has} is {worst} at worst."
    there, wanted = _number(has.likely, unit), _number(needed.likely, unit)
    if found.worst_input is not None:
        there, wanted = _with_worst(wording, found, found.worst_input)
    reserve = f", with the recommended reserve {_number(found.recommended, unit)}" if found.result == "little_margin" else ""
    return f"{wording.has} is {there}; {wording.needed} {wanted}{reserve}."


def _with_worst(wording: Wording, found: Outcome, worst_input: str) -> tuple[str, str]:
    """Return what there is and what is needed at the likely values, each with its adverse end behind it where that differs."""
    has, needed, adverse, unit = found.has, found.needed, wording.adverse[worst_input], wording.unit
    there, wanted = _number(has.likely, unit), _number(needed.likely, unit)
    if not _same(has.adverse, has.likely):
        there += f" ({_number(has.adverse, unit)} with {adverse})"
    if not _same(needed.adverse, needed.likely):
        wanted += f" ({_number(needed.adverse, unit)} with {adverse})"
    return there, wanted


def _number(value: float | None, unit: str) -> str:
    return "unlimited" if value is None else mark(value, unit)


def _same(first: float | None, second: float | None) -> bool:
    return first == second or (first is not None and second is not None and isclose(first, second, rel_tol=1e-3, abs_tol=1e-6))
