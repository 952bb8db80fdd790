"""Laws of overlays: loosening is found exactly where it is, a tightened rule holds wherever it held, the last one goes before."""

from dataclasses import replace

from effort import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shipped import shipped_rulebook

from methodpick.engine.compiler import TRUE
from methodpick.engine.grammar import parse
from methodpick.engine.interpret import truth
from methodpick.engine.load import lay_over
from methodpick.engine.loosening import excludes_less, harder
from methodpick.engine.rule import Arithmetic, Compare, Either, LimitRef
from methodpick.engine.rule import atoms as atoms_of
from methodpick.strict_yaml import read
from methodpick.vocabulary.catalogue import catalogue_of
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import known, point

BOOK = shipped_rulebook()
PLAIN = next(rule for rule in BOOK.rules if rule.effect == "exclude")
CATALOGUE = catalogue_of(
    read("""facts:
  x: {type: number, unit: "1", domain: [-10, 10], resolution: 1, scope: slice, meaning: m}
  y: {type: number, unit: "1", domain: [0, 10], resolution: 1, scope: slice, meaning: m}
  soil: {type: enum, values: [sand, silt, clay], scope: slice, meaning: m}
  wet: {type: boolean, scope: slice, meaning: m}
""")
)
ALL = (-3, 0, 1, 2, 2.5, 3, 3.5, 4, 6, 9, 10)
POINTS = [
    {"x": point(x), "y": point(y), "soil": known(soil), "wet": known(wet)}
    for x in ALL
    for y in ALL[1:]
    for soil in ("sand", "silt", "clay")
    for wet in ("yes", "no")
]
atoms = st.one_of(
    st.tuples(st.sampled_from(("x", "y")), st.sampled_from(("<", "<=", ">", ">=")), st.sampled_from("02349")).map(" ".join),
    st.sampled_from(("soil == sand", "soil in {sand, silt}", "soil != clay", "wet")),
)
texts = st.recursive(
    atoms,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(("and", "or")), inner).map(lambda made: f"({made[0]} {made[1]} {made[2]})"),
        inner.map(lambda text: f"not ({text})"),
    ),
    max_leaves=4,
)


def ruled(text, limit=0.0):
    limits = {"limit": Limit("limit", limit, "1", "own", "", "", "own", "")}
    return replace(PLAIN, when=parse(text, CATALOGUE, limits), unless=(), text=text)


def holds(rule, place):
    return truth(rule.condition, place, CATALOGUE) == TRUE


@given(texts, texts)
@settings(max_examples=examples(200))
def test_loosening_is_found_exactly_where_it_is(before, after):
    """The oracle is every point of a grid that has a point in each region of these conditions."""
    old, new = ruled(before), ruled(after)
    lost = any(holds(old, place) and not holds(new, place) for place in POINTS)
    assert bool(excludes_less(old, new, CATALOGUE)) == lost


@given(texts, texts)
def test_a_rule_or_another_excludes_no_less(before, after):
    old = ruled(before)
    both = replace(old, when=Either((old.condition, ruled(after).condition)))
    assert excludes_less(old, both, CATALOGUE) == ""
    assert all(holds(both, place) for place in POINTS if holds(old, place))


@given(
    st.sampled_from(
        (
            "x - limit * y < 0",
            "x > limit",
            "limit - x >= y",
            "x + y < 2 * limit",
            "not (x * y > limit)",
            "min(x, limit) > y",
            "y / (y + 1) < limit",
            "x < y - limit / 2",
            "abs(x) > limit",
            "y * (limit + 1) > 4",
        )
    ),
    st.sampled_from((-1.0, 0.5, 1.0, 2.0, 3.0)),
    st.sampled_from((-1.0, 0.5, 1.0, 2.0, 3.0)),
)
def test_a_limit_that_loosens_anywhere_is_known_to(text, first, second):
    assume(first != second)
    old, new = ruled(text, first), ruled(text, second)
    if any(holds(old, place) and not holds(new, place) for place in POINTS):
        assert harder(old.condition, "limit", second - first, CATALOGUE)


@given(st.sampled_from(sorted(BOOK.limits)), st.lists(st.floats(0, 1), min_size=1, max_size=3))
@settings(max_examples=examples(40))
def test_the_last_overlay_goes_before_and_the_rules_have_its_value(name, shares):
    book, limit = BOOK, BOOK.limits[name]
    for number, share in enumerate(shares):
        value = min(limit.least + share * (limit.most - limit.least), limit.most)
        book = lay_over(book, read(f"overlay: o{number}\nset: {{{name}: {{value: {value!r}, reason: law}}}}\n"))
    assert book.limits[name].value == value
    assert book.limits[name].origin == f"o{len(shares) - 1}"
    assert book.overlays == tuple(f"o{number}" for number in range(len(shares)))
    for rule in book.rules:
        assert {ref.value for ref in named(rule.condition) if ref.name == name} <= {value}
        assert [ref.name for ref in named(rule.condition)] == [ref.name for ref in named(BOOK.by_id[rule.id].condition)]


def named(condition):
    """Give the limits of a condition as they stand in its tree."""

    def inside(term):
        if isinstance(term, LimitRef):
            return [term]
        return [ref for part in term.terms for ref in inside(part)] if isinstance(term, Arithmetic) else []

    return [ref for atom in atoms_of(condition) if isinstance(atom, Compare) for ref in inside(atom.left) + inside(atom.right)]
