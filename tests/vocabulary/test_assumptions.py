import pytest

from methodpick.errors import RuleError
from methodpick.strict_yaml import read
from methodpick.vocabulary.assumptions import applies, assumptions_of, inside, misses, narrow
from methodpick.vocabulary.catalogue import catalogue_of
from methodpick.vocabulary.values import Fact, Span, any_of, known, likely_bool, point

CATALOGUE = catalogue_of(
    read("""facts:
  soil: {type: enum, values: [sand, silt, clay], scope: slice, meaning: soil}
  n: {type: number, unit: "1", domain: [0, 100], scope: slice, meaning: count}
  wet: {type: boolean, scope: slice, meaning: wet}
""")
)
DRY, LIKELY, DENSE = assumptions_of(
    read("""assumptions:
  - {id: dry-sand, fact: wet, set: no, where: {soil: sand}, why: because, source: own}
  - {id: likely, fact: n, set: {likely: 20}, why: because, source: own}
  - {id: dense, fact: n, set: {low: 10, likely: 30, high: 60}, where: {soil: [sand, silt], n: [0, 80]}, why: because, source: own}
"""),
    CATALOGUE,
)
WET, COUNT = CATALOGUE.facts["wet"].domain, CATALOGUE.facts["n"].domain


def test_an_assumption_applies_only_where_it_certainly_belongs():
    assert applies(DRY.where, {"soil": known("sand")})
    assert not applies(DRY.where, {"soil": any_of("sand", "silt")})
    assert not applies(DRY.where, {})
    assert applies(DENSE.where, {"soil": any_of("sand", "silt"), "n": Span(3, 80)})
    assert not applies(DENSE.where, {"soil": known("sand"), "n": Span(3, 81)})
    assert inside(Span(1, 2), Span(0, 3))
    assert not inside(Span(1, 2), known("a"))


def test_it_narrows_what_is_missing_and_says_so():
    fact = narrow(DRY, None, WET, "1")
    assert (fact.value, fact.basis, fact.assumed) == (known("no"), "assumed", {"dry-sand"})
    assert narrow(LIKELY, None, COUNT, "1").value == Span(0, 100, 20)
    assert narrow(DENSE, None, COUNT, "1").value == Span(10, 60, 30)


def test_it_never_overrides_what_is_known():
    logged = Fact("wet", known("yes"), "1", "logged")
    assert narrow(DRY, logged, WET, "1") is None
    assert misses(DRY, logged)
    assert narrow(DRY, Fact("wet", likely_bool(False), "1", "logged"), WET, "1").value == known("no")
    assert narrow(LIKELY, Fact("n", Span(0, 50, 30), "1", "tested"), COUNT, "1") is None
    assert narrow(DENSE, Fact("n", Span(40, 90, 50), "1", "tested"), COUNT, "1").value == Span(40, 60, 50)
    assert misses(DENSE, Fact("n", point(70), "1", "tested"))


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("{id: a, fact: wett, set: no, why: w, source: own}", "did you mean 'wet'?"),
        ("{id: a, fact: wet, set: nope, why: w, source: own}", "'nope' is not a value of 'wet'"),
        ("{id: a, fact: n, set: [0, 900], why: w, source: own}", "outside the domain of 'n'"),
        ("{id: a, fact: n, set: 3, where: somewhere, why: w, source: own}", "'somewhere' is no place"),
        ("{id: a, fact: n, set: 3, where: {soul: sand}, why: w, source: own}", "did you mean 'soil'?"),
        ("{id: a, fact: n, set: 3, why: , source: own}", "the key 'why' has no value"),
        ("{id: a, fact: n, set: {likely: 3, low: 5}, why: w, source: own}", "not in order"),
        ("{id: a, fact: n, set: 3, why: w, source: nobody}", "'nobody' is not one of the words"),
    ],
)
def test_a_broken_assumption_is_named(entry, said):
    with pytest.raises(RuleError) as found:
        assumptions_of(read(f"assumptions:\n  - {entry}\n"), CATALOGUE, {"own": None})
    assert said in found.value.render()


def test_an_id_stands_once():
    with pytest.raises(RuleError, match="stands twice"):
        assumptions_of(read("assumptions:\n" + 2 * "  - {id: a, fact: n, set: 3, why: w, source: own}\n"), CATALOGUE)
