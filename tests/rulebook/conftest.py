"""Verdict checks: places of the trade with what the rulebook must answer there, read from ``checks/*.yaml``.

``places.yaml`` holds whole places, built from each other by ``like``; a check names one and what is different there:

- check: name
  like: [land, pier, dry-hole, stiff-clay]     # whole places, the later ones go first
  under: caltrans                              # with the overlay of an agency, where there is one
  given: {su_kpa: 12}                          # facts of all places of the check
  in: {dry: {overload_share: 1.1}}             # facts of one support state
  why: one sentence, and source: where the trade says so, or "common practice, no source"
  places:
    - {place: words, given: .., in: .., verdicts: {dry: ruled_out}, cautions: [rule], silent: [rule], asks: [rule],
       asks_not: [rule], advice: {dry: [rule]}, prefers: [better, worse], says: {rule: 6 ft},
       each: {soil: [clay, silt]}}             # one check for each value of a fact

``advice`` names should-rules that speak against a state, whatever else does. Cautions count as in a plan: given where they
hold on the whole range or at the likely values. ``says`` holds where the sentence of a rule carries that number within 5
percent.
"""

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest
from shipped import shipped_rulebook, shipped_under

from methodpick.engine.compiler import FALSE, TRUE
from methodpick.engine.interpret import reason_text
from methodpick.engine.rulebook import verdict
from methodpick.strict_yaml import read
from methodpick.units import convert, kept_unit
from methodpick.vocabulary.catalogue import Reader, value_of
from methodpick.vocabulary.values import known

HERE = Path(__file__).parent
WHERE = ("site", "shaft", "slice", "slice_state", "stage")
EXPECTED = ("verdicts", "advice", "cautions", "silent", "asks", "asks_not", "prefers", "says")


@dataclass(frozen=True)
class Check:
    """A place, written out, with what the rulebook must answer there."""

    name: str
    entry: str
    given: dict
    states: dict
    expect: dict
    under: str = ""
    values: dict = field(default_factory=dict)
    """Value sets by support state ("" for none), filled once."""


def lay(onto, given, states):
    """Lay the facts of a place, and those of its support states, over what is there."""
    facts, by_state = onto
    return {**facts, **given}, {state: {**by_state.get(state, {}), **states.get(state, {})} for state in {*by_state, *states}}


@cache
def places_file():
    """Return the file of the whole places, read once."""
    return read(HERE / "places.yaml")


@cache
def places():
    """Give the whole places by name."""
    done = {}
    for name, entry in places_file().value["places"].items():
        built = ({}, {})
        for other in entry.get("like", []):
            built = lay(built, *done[other])
        done[name] = lay(built, entry.get("given", {}), entry.get("in", {}))
    return done


def checks():
    """Give every check of every file, one for each of its places and each value of a fact that ``each`` goes through."""
    found = []
    for path in sorted((HERE / "checks").glob("*.yaml")):
        for entry in read(path).value["checks"]:
            assert entry.keys() <= {"check", "like", "under", "given", "in", "why", "source", "places"}, entry
            assert entry["why"].endswith("."), entry["check"]
            assert entry["source"], entry["check"]
            whole = ({}, {})
            for name in entry.get("like", []):
                whole = lay(whole, *places()[name])
            whole = lay(whole, entry.get("given", {}), entry.get("in", {}))
            for number, place in enumerate(entry["places"], 1):
                found += of_place(f"{path.stem}/{entry['check']}", number, place, whole, under=entry.get("under", ""))
    return found


def of_place(entry, number, place, whole, *, under):
    """Give the checks of one place of an entry."""
    name = f"{entry}-{number}"
    assert place.keys() <= {*EXPECTED, "place", "given", "in", "each"}, place
    expect = {key: place[key] for key in EXPECTED if key in place}
    assert expect, name
    facts, states = lay(whole, place.get("given", {}), place.get("in", {}))
    if "each" not in place:
        return [Check(name, entry, facts, states, expect, under)]
    ((fact, words),) = place["each"].items()
    return [Check(f"{name}-{word}", entry, {**facts, fact: word}, states, expect, under) for word in words]


def values_of(check, book, state=""):
    """Give the value sets of a check, with those of a support state on top."""
    if state not in check.values:
        reader = Reader(places_file())
        written = {**check.given, **check.states.get(state, {})}
        found = {name: value_of(reader, ("places",), book.catalogue.facts[name], value) for name, value in written.items()}
        assert not reader.problems, [problem.message for problem in reader.problems]
        if state in {"dry", "water", "polymer", "mineral", "cased_dry", "cased_balanced", "cased_plug"}:
            found["state"] = known(state)
        check.values[state] = found
    return check.values[state]


class Judged:
    """What a rulebook says at the place of a check, worked out where it is asked for."""

    def __init__(self, book, check):
        diameter_m = check.given.get("diameter_m")
        self.book = book if diameter_m is None else book.for_diameter(diameter_m)
        self.check, self.wide = check, {}

    def of(self, scope):
        if scope not in self.wide:
            self.wide[scope] = self.book.scopes[scope].judge(values_of(self.check, self.book))
        return self.wide[scope]

    def truths(self, rule):
        """Give the truths of a rule on the range and at the likely values; FALSE where there is no such rule."""
        for scope in WHERE:
            if rule in self.book.scopes[scope].index:
                return self.of(scope).of(rule)
        return FALSE, FALSE

    def verdict(self, state):
        outcomes = [self.of("site"), self.of("shaft"), self.of("slice")]
        if state not in {"leave_in", "pull_out"}:
            outcomes.append(self.book.scopes["slice_state"].judge(values_of(self.check, self.book, state)))
        return verdict(state, outcomes)

    def number_said(self, rule, text):
        """Tell whether the sentence of a rule carries a number, such as 6 ft, within 2 percent."""
        if rule not in self.book.by_id:
            return False
        said = []
        reason_text(
            self.book.by_id[rule],
            values_of(self.check, self.book),
            self.book,
            lambda value, unit: said.append((value, kept_unit(unit))) or "",
        )
        number, _, unit = text.partition(" ")
        for value, own in said:
            wanted = float(number) if unit == own or not unit else convert_or_none(float(number), unit, own)
            if wanted is not None and abs(value - wanted) <= 0.02 * abs(wanted):
                return True
        return False


def convert_or_none(number, unit, own):
    try:
        return convert(number, unit, own)
    except (KeyError, ValueError):
        return None


def failures(book, check):
    """Give what a rulebook answers otherwise than the check expects; the first only, for it is enough."""
    judged, expect = Judged(book, check), check.expect
    for state, wanted in expect.get("verdicts", {}).items():
        found = judged.verdict(state)
        if found.state != wanted:
            return f"{state} is {found.state} by {found.rules} and {found.should}, not {wanted}"
    for state, rules in expect.get("advice", {}).items():
        if missing := set(rules) - set(judged.verdict(state).should):
            return f"{sorted(missing)} does not speak against {state}"
    for key, wanted in (("cautions", True), ("silent", False)):
        for rule in expect.get(key, ()):
            if (TRUE in judged.truths(rule)) != wanted:
                return f"the caution {rule} is {'not ' if wanted else ''}given"
    for key, wanted in (("asks", True), ("asks_not", False)):
        for rule in expect.get(key, ()):
            if (judged.truths(rule)[0] != FALSE) != wanted:
                return f"{rule} is {'not ' if wanted else ''}asked"
    if "prefers" in expect:
        better, worse = expect["prefers"]
        if judged.verdict(better).points <= judged.verdict(worse).points:
            return f"{better} is not preferred to {worse}"
    for rule, texts in expect.get("says", {}).items():
        for text in texts if isinstance(texts, list) else [texts]:
            if not judged.number_said(rule, str(text)):
                return f"{rule} does not say {text}"
    return ""


def pytest_generate_tests(metafunc):
    """Ask a test once for every entry of ``checks/*.yaml``, with all places of the entry."""
    if "entry" in metafunc.fixturenames:
        entries = {}
        for check in checks():
            entries.setdefault(check.entry, []).append(check)
        metafunc.parametrize("entry", entries.values(), ids=entries.keys())


@cache
def laid_over(agency):
    """Give the shipped rulebook with the overlay of an agency, as it is for ""."""
    return shipped_under(agency) if agency else shipped_rulebook()


@pytest.fixture(scope="session")
def under():
    return laid_over


@pytest.fixture(scope="session")
def answered_otherwise():
    return failures
