"""Interpret conditions as trees, slower than the compiled program: for explanations, as oracle, and to find where one holds.

Only points that can matter are tried: each threshold, one step beside it, between two thresholds, the ends of the domain, every word. For
comparisons of a fact with a number this is exact: where no witness is found there is none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field
from itertools import pairwise, product
from math import inf, isnan

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.read import PLACEHOLDER
from methodpick.engine.rule import (
    Always,
    Arithmetic,
    Both,
    Compare,
    Condition,
    Either,
    FactRef,
    LimitRef,
    Not,
    Number,
    Rule,
    Term,
    Within,
    atoms,
    facts_of_atom,
    facts_of_term,
)
from methodpick.engine.rulebook import Rulebook
from methodpick.records import record
from methodpick.terms import CONFIDENCES, in_plain_words
from methodpick.units import kept_unit, read_as
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.values import Choice, Span, Value, known, point

# ---- Interpret conditions as trees: slower than the compiled program, for explanations, and the oracle of the tests


Values = Mapping[str, Value]


def truth(condition: Condition, values: Values, catalogue: Catalogue) -> int:
    """Return the truth of a condition on sets: TRUE, FALSE or OPEN. A missing fact is its whole domain."""
    if isinstance(condition, Always):
        return TRUE
    if isinstance(condition, Not):
        return {TRUE: FALSE, FALSE: TRUE, OPEN: OPEN}[truth(condition.part, values, catalogue)]
    if isinstance(condition, (Both, Either)):
        parts = [truth(part, values, catalogue) for part in condition.parts]
        stop, rest = (FALSE, TRUE) if isinstance(condition, Both) else (TRUE, FALSE)
        return stop if stop in parts else OPEN if OPEN in parts else rest
    return _atom(condition, values, catalogue)


def _atom(atom: Compare | Within, values: Values, catalogue: Catalogue) -> int:
    if isinstance(atom, Within):
        known = values.get(atom.name, catalogue.facts[atom.name].domain)
        words = known.values if isinstance(known, Choice) else frozenset()
        return TRUE if words <= atom.words else FALSE if not words & atom.words else OPEN
    low, high = ends(atom.left, values, catalogue)
    floor, top = ends(atom.right, values, catalogue)
    sure, never = {
        "<": (high < floor, low >= top),
        "<=": (high <= floor, low > top),
        ">": (low > top, high <= floor),
        ">=": (low >= top, high < floor),
    }[atom.op]
    return TRUE if sure else FALSE if never else OPEN


def ends(term: Term, values: Values, catalogue: Catalogue) -> tuple[float, float]:
    """Return the range in which a term lies on sets (interval arithmetic); a missing fact is its whole domain."""
    if isinstance(term, FactRef):
        known = values.get(term.name, catalogue.facts[term.name].domain)
        return (known.low, known.high) if isinstance(known, Span) else (-inf, inf)
    if not isinstance(term, Arithmetic):
        return term.value, term.value
    parts = [ends(part, values, catalogue) for part in term.terms]
    if term.op == "min":
        return min(low for low, _ in parts), min(high for _, high in parts)
    if term.op == "max":
        return max(low for low, _ in parts), max(high for _, high in parts)
    low, high = parts[0]
    if term.op == "abs":
        return max(0.0, low, -high), max(abs(low), abs(high))
    floor, top = parts[1]
    if term.op == "+":
        return low + floor, high + top
    if term.op == "-":
        return low - top, high - floor
    if term.op == "/" and floor <= 0.0 <= top:
        return -inf, inf
    products = [left * right if term.op == "*" else left / right for left in (low, high) for right in (floor, top)]
    if any(isnan(end) for end in products) or min(products) == inf or max(products) == -inf:  # out of the range of floats
        return -inf, inf
    return min(products), max(products)


def support(condition: Condition, values: Values, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the facts that a definite truth rests on: blank every other fact and it stands, blank one more and it falls.

    Of a conjunction that holds all parts are needed, of one that fails the cheapest part, and dually. An open
    condition rests on the facts of its open parts.
    """
    names = dict.fromkeys(_support(condition, values, catalogue))
    result = truth(condition, values, catalogue)
    if result != OPEN:
        for name in tuple(names):
            if truth(condition, {other: values[other] for other in names if other != name and other in values}, catalogue) == result:
                del names[name]
    return tuple(names)


def _support(condition: Condition, values: Values, catalogue: Catalogue) -> list[str]:
    if isinstance(condition, Always):
        return []
    if isinstance(condition, Not):
        return _support(condition.part, values, catalogue)
    if isinstance(condition, (Compare, Within)):
        return list(facts_of_atom(condition))
    result = truth(condition, values, catalogue)
    deciding = [part for part in condition.parts if truth(part, values, catalogue) == result]
    decided_by_a_single_part = FALSE if isinstance(condition, Both) else TRUE
    if result == decided_by_a_single_part:
        return min((_support(part, values, catalogue) for part in deciding), key=lambda names: len(set(names)))
    return [name for part in deciding for name in _support(part, values, catalogue)]


# ---- Find a place where a condition holds: the witness that a finding about a rulebook shows and that was executed


MOST_TRIES = 4000
_GRID = 6


@record(frozen=False)
class Search:
    """A search for a place where a condition certainly holds. ``exact`` tells whether finding none proves that none is."""

    condition: Condition
    catalogue: Catalogue
    exact: bool = True
    tries: int = 0
    points: dict[str, list[Value]] = field(default_factory=dict)

    def run(self) -> Values | None:
        """Return the first place found, None where there is none or the search was given up."""
        self.points, plain = candidates(atoms(self.condition), self.catalogue)
        self.exact = plain
        return next(self.places(self.condition, {}, wanted=True), None)

    def places(self, condition: Condition, at: Values, *, wanted: bool) -> Iterator[Values]:
        """Return the places, at least as narrow as ``at``, where a condition is as wanted."""
        if isinstance(condition, Always):
            if wanted:
                yield at
        elif isinstance(condition, Not):
            yield from self.places(condition.part, at, wanted=not wanted)
        elif isinstance(condition, (Compare, Within)):
            yield from self.of_atom(condition, at, wanted=wanted)
        elif isinstance(condition, Both) is wanted:
            yield from self.chain(condition.parts, at, wanted=wanted)
        else:
            for part in condition.parts:
                yield from self.places(part, at, wanted=wanted)

    def chain(self, parts: tuple[Condition, ...], at: Values, *, wanted: bool) -> Iterator[Values]:
        """Return the places where all parts are as wanted."""
        if not parts:
            yield at
            return
        for place in self.places(parts[0], at, wanted=wanted):
            yield from self.chain(parts[1:], place, wanted=wanted)

    def of_atom(self, atom: Compare | Within, at: Values, *, wanted: bool) -> Iterator[Values]:
        """Return the places where one comparison is as wanted."""
        open_names = [name for name in dict.fromkeys(facts_of_atom(atom)) if name not in at]
        for values in product(*(self.points[name] for name in open_names)):
            self.tries += 1
            if self.tries > MOST_TRIES:
                self.exact = False
                return
            place = {**at, **dict(zip(open_names, values, strict=True))}
            if truth(atom, place, self.catalogue) == (TRUE if wanted else FALSE):
                yield place


def witness(condition: Condition, catalogue: Catalogue) -> Values | None:
    """Return a place where a condition certainly holds, None where none was found."""
    return Search(condition, catalogue).run()


def write(place: Values) -> str:
    """Write a place as a rule file writes the facts of a case.

    >>> write({"soil": known("clay"), "head_m": point(1.5)})
    'soil: clay, head_m: 1.5'
    """
    return ", ".join(f"{name}: {_written(value)}" for name, value in place.items()) or "anything"


def _written(value: Value) -> str:
    if isinstance(value, Choice):
        words = sorted(value.values)
        return words[0] if len(words) == 1 else f"[{', '.join(words)}]"
    return f"{value.low:g}" if value.certain else f"[{value.low:g}, {value.high:g}]"


def candidates(found: Iterable[Compare | Within], catalogue: Catalogue) -> tuple[dict[str, list[Value]], bool]:
    """Return the points of every fact that can make a difference, and whether no others can."""
    names: set[str] = set()
    marks: dict[str, set[float]] = {}
    exact = True
    for atom in found:
        names |= set(facts_of_atom(atom))
        if isinstance(atom, Within):
            continue
        numbers = list(dict.fromkeys(facts_of_atom(atom)))
        simple = any(isinstance(term, FactRef) for term in (atom.left, atom.right)) and len(numbers) == 1
        exact &= simple or not numbers
        for term in (atom.left, atom.right):
            level = constant(term)
            for name in numbers:
                mark = marks.setdefault(name, set())
                mark |= {level} if level is not None else set()
                mark |= set() if simple else _grid(catalogue.facts[name])
    return {name: _points(catalogue.facts[name], marks.get(name, set())) for name in sorted(names)}, exact


def constant(term: Term) -> float | None:
    """Return the value of a term that names no fact, None for any other."""
    if isinstance(term, (Number, LimitRef)):
        return term.value
    if isinstance(term, FactRef) or any(True for _ in facts_of_term(term)):
        return None
    values = [constant(part) for part in term.terms]
    known = [value for value in values if value is not None]
    return _computed(term, known) if len(known) == len(values) else None


def _computed(term: Arithmetic, known: list[float]) -> float | None:
    first, last = known[0], known[-1]
    if term.op in {"min", "max"}:
        return min(known) if term.op == "min" else max(known)
    if term.op == "/":
        return first / last if last else None
    return {"abs": abs(first), "+": first + last, "-": first - last, "*": first * last}[term.op]


def _grid(spec: FactSpec) -> set[float]:
    domain = spec.domain
    if not isinstance(domain, Span):
        return set()
    low, high = max(domain.low, -1e3), min(domain.high, 1e3)
    return {low + (high - low) * step / _GRID for step in range(_GRID + 1)}


def _points(spec: FactSpec, marks: set[float]) -> list[Value]:
    domain = spec.domain
    if not isinstance(domain, Span):
        return [known(word) for word in spec.words]
    tried = {0.0} if not marks else set()
    for mark in marks:
        step = spec.resolution or 1e-6 * (1 + abs(mark))
        tried |= {mark - step, mark, mark + step}
    tried |= {(low + high) / 2 for low, high in pairwise(sorted(marks))}
    tried |= {end for end in (domain.low, domain.high) if abs(end) != inf}
    kept = sorted(number for number in tried if domain.low <= number <= domain.high)
    return [point(number) for number in kept or [max(domain.low, min(0.0, domain.high))]]


# ---- what decided, as text: reasons with their numbers, values, and how well both are known


NumberFormat = Callable[[float, str], str]
"""Writes a number for the reader: its value and the quantity, by default the unit that it is kept in."""


def plain_number(value: float, unit: str) -> str:
    """Write a number with its unit in SI.

    >>> plain_number(12.5, "kPa")
    '12.5 kPa'
    """
    text = f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
    return text if unit == "1" else f"{text} {kept_unit(unit)}"


def reason_text(rule: Rule, values: Mapping[str, Value], book: Rulebook, number_text: NumberFormat = plain_number) -> str:
    """Return the reason of a rule with its placeholders filled.

    A range is written low to high with its likely value; a missing fact is "not known".
    """

    def write(name: str) -> str:
        if name in book.limits:
            limit = book.limits[name]
            return number_text(limit.value, read_as(name, limit.unit)) + limit.beside
        spec = book.catalogue.facts[name]
        return value_text(known_of(values.get(name), spec), read_as(name, spec.unit), number_text)

    return PLACEHOLDER.sub(lambda match: write(match[1]), rule.because)


def known_of(value: Value | None, spec: FactSpec) -> Value | None:
    """Return what is known of a fact in a value set: None where it is the whole domain, no end where only the domain ends it.

    A domain has to end somewhere: an uplift safety of 0.5 to 1000, where 1000 is the end of the domain, is 0.5 or more, and no number
    is likely where that end is. Ends
    that lie in the nature of the thing stay: no strength is less than 0, no share more than 100 %.
    """
    domain = spec.domain
    if value is None or value == domain:
        return None
    if not isinstance(value, Span) or not isinstance(domain, Span) or value.certain:
        return value
    up = value.high >= domain.high and not (spec.unit == "%" and domain.high == 100)
    down = value.low <= domain.low and (domain.low != 0 or up)
    likely = None if up and value.likely is not None and value.likely >= domain.high else value.likely
    return Span(-inf if down else value.low, inf if up else value.high, likely)


MOST_OTHERS = 2
"""So many words that are possible beside the likely one are named."""


def value_text(value: Value | None, unit: str, number_text: NumberFormat = plain_number) -> str:
    """Write a value set in words.

    >>> value_text(Span(1.0, 3.0, 2.0), "m")
    '2 m (1 m to 3 m)'
    >>> value_text(Choice(frozenset({"soft", "firm", "stiff", "hard"}), "firm"), "1")
    'firm (likely) or other'
    """
    if value is None:
        return "not known"
    if isinstance(value, Choice):
        if value.certain:
            return in_plain_words(next(iter(value.values)))
        likely = f"{in_plain_words(value.likely)} (likely) or " if value.likely else ""
        rest = sorted(word for word in value.values if word != value.likely)
        if value.likely and len(rest) > MOST_OTHERS:
            rest = ["other"]
        return likely + " or ".join(in_plain_words(word) for word in rest)
    if value.certain:
        return number_text(value.low, unit)
    if value.low == -inf and value.high == inf:
        return number_text(value.likely, unit) + ", likely" if value.likely is not None else "not known"
    low, high = number_text(value.low, unit) if value.low != -inf else "", number_text(value.high, unit) if value.high != inf else ""
    if low == high:
        return low
    ends = f"{low} to {high}" if low and high else f"{low} or more" if low else f"{high} or less"
    return f"{number_text(value.likely, unit)} ({ends})" if value.likely is not None else ends


def supporting_facts(rule: Rule, values: Mapping[str, Value], book: Rulebook) -> tuple[str, ...]:
    """Return the facts on which the truth of a rule rests at this place."""
    return support(rule.condition, values, book.catalogue)


def weakest_limit(rule: Rule, book: Rulebook) -> str:
    """Return the weakest_limit confidence among the limits that a rule compares with; ``read`` where it names none."""
    return max((book.limits[name].confidence for name in rule.limits), key=CONFIDENCES.index, default="read")


def named_limits(rule: Rule, book: Rulebook) -> tuple[str, ...]:
    """Return the limits that a rule compares with or names in its reason."""
    in_reason = (name for name in PLACEHOLDER.findall(rule.because) if name in book.limits)
    return tuple(dict.fromkeys((*rule.limits, *in_reason)))


def weakest_confidence(rule: Rule, book: Rulebook) -> str:
    """Return the weakest_limit confidence among all limits and sources that a rule rests on."""
    found = [book.limits[name].confidence for name in named_limits(rule, book)]
    found += [book.sources[cited.key].confidence for cited in rule.source if cited.key in book.sources]
    return max(found, key=CONFIDENCES.index, default="own")
