"""The rulebook: what it holds, the digest that names it, and the table of verdicts."""

from dataclasses import replace

import pytest

from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.load import load_rulebook
from methodpick.engine.rule import Exemption, Loosening, facts_of
from methodpick.engine.rulebook import canonical, verdict
from methodpick.vocabulary.catalogue import SCOPES
from methodpick.vocabulary.values import Choice, Span, known, point

# ---- The rulebook: what it holds, and the digest that names it


def spread(book, share=0.5):
    """Give every fact of the catalogue some spread value."""
    result = {}
    for name, spec in book.catalogue.facts.items():
        if isinstance(spec.domain, Span):
            low, high = max(spec.domain.low, -1e3), min(spec.domain.high, 1e3)
            middle = low + share * (high - low)
            result[name] = Span(low, middle, middle)
        else:
            result[name] = Choice(frozenset(spec.words[:2]), spec.words[0])
    return result


def test_a_rule_belongs_to_the_widest_scope_of_its_facts(book):
    for rule in book.rules:
        scopes = [book.catalogue.facts[name].scope for name in rule.facts]
        assert rule.scope == max(scopes, key=SCOPES.index, default="site"), rule.id
        assert rule.id in book.scopes[rule.scope].index


def test_a_start_with_more_is_one_judgement(book):
    values = spread(book)
    scope = book.scopes["slice_state"]
    own = {name: values[name] for name in scope.program.names[:3]}
    common = {name: value for name, value in values.items() if name not in own}
    start = scope.start(common)
    assert start.judge(own) == scope.judge(values)
    assert start.judge() == scope.judge(common), "what was added once is forgotten"
    changed = {name: book.catalogue.facts[name].domain for name in own}
    assert start.judge(changed) == scope.judge({**common, **changed})


def test_facts_that_no_rule_of_the_scope_names_do_not_matter(book):
    scope = book.scopes["site"]
    few = {name: value for name, value in spread(book).items() if name in scope.program.names}
    assert scope.judge(spread(book)) == scope.judge(few)


def test_the_likely_value_is_judged_beside_the_range(book):
    scope = book.scopes["slice"]
    outcome = scope.judge({"soil": Choice(frozenset({"clay", "clean_sand"}), "clay")})
    assert outcome.of("dry-suits-clay") == (OPEN, TRUE)
    assert scope.judge({"soil": known("clay")}).of("dry-suits-clay") == (TRUE, TRUE)
    assert scope.judge({"soil": known("rock")}).of("dry-suits-clay") == (FALSE, FALSE)


def test_crossings_name_each_limit_that_cuts_a_slice(book):
    pairs = book.crossings
    assert pairs == tuple(sorted(set(pairs)))
    rule = book.by_id["granular-wall-lacks-cohesion"]
    assert rule.facts == ("soil", "cohesion_margin_kpa") or "cohesion_margin_kpa" in rule.facts
    assert ("cohesion_margin_kpa", 0.0) in pairs
    assert all(book.catalogue.facts[name].kind == "number" for name, _ in pairs)


def test_an_exception_that_compares_a_fact_with_a_limit_cuts_slices_too(book):
    rule = book.by_id["granular-wall-lacks-cohesion"]
    shallow = Exemption("shallow", book.by_id["squeezing-clay"].when, "it is shallow")
    pairs = replace(book, rules=(replace(rule, unless=(shallow,)),)).crossings
    assert pairs == (("closure_percent", book.values["closure_flag_percent"]), ("cohesion_margin_kpa", 0.0))


def test_a_deprecated_rule_is_listed_but_never_judged(book):
    rule = replace(book.by_id["dry-suits-clay"], status="deprecated")
    retired = replace(book, rules=tuple(rule if one_.id == rule.id else one_ for one_ in book.rules))
    assert "dry-suits-clay" in retired.by_id
    assert "dry-suits-clay" not in retired.scopes["slice"].index


def test_a_wrong_kind_of_value_is_an_error_of_the_program(book):
    import pytest

    with pytest.raises(TypeError, match="'soil' needs a word"):
        book.scopes["slice"].judge({"soil": point(3)})


def test_a_limit_of_an_exception_is_no_threshold_of_its_rule(book):
    """Where an exception compares a fact with a limit, more of the fact is the safe side: as a threshold its margin had the wrong sign."""
    found = [threshold for scope in book.scopes.values() for each in scope.thresholds.values() for threshold in each]
    assert found
    assert not [(threshold.rule.id, threshold.fact) for threshold in found if threshold.fact not in facts_of(threshold.rule.when)]


def test_what_a_report_prints_counts(book):
    first = book.rules[0]
    for changed in (
        replace(first, hazard="gas" if first.hazard != "gas" else "fall"),
        replace(first, title="other"),
        replace(first, treatment={"dry": "pray"}),
        replace(first, not_for="never"),
        replace(first, level="may"),
    ):
        assert replace(book, rules=(changed, *book.rules[1:])).digest != book.digest
    name, limit = next(iter(book.limits.items()))
    assert replace(book, limits={**book.limits, name: replace(limit, confidence="own", note="guess")}).digest != book.digest
    assert replace(book, assumptions=book.assumptions[1:]).digest != book.digest
    assert replace(book, loosened=(Loosening("x", "y", "z"),)).digest != book.digest


def test_order_of_rules_places_and_spacing_do_not_count(book):
    assert replace(book, rules=book.rules[::-1]).digest == book.digest
    assert replace(book, limits=dict(sorted(book.limits.items(), reverse=True))).digest == book.digest
    first = replace(book.rules[0], text="  spaced   out  ", cases=())
    assert replace(book, rules=(first, *book.rules[1:])).digest == book.digest


def test_what_is_no_record_is_refused():
    with pytest.raises(TypeError):
        canonical(object())


# ---- The verdict table, row by row, on a small rulebook of its own


FACTS = """facts:
  x: {type: number, unit: "1", domain: [0, 10], scope: slice, meaning: a number}
  y: {type: boolean, scope: slice, meaning: a flag}
  z: {type: boolean, scope: slice, meaning: another flag}
"""
TAIL = 'source: [{key: own, where: "-"}], cases: []}'
RULES = f"""topic: method
title: small
rules:
  - {{id: must-low, title: t, status: test, level: must, hazard: caving, when: x < least, exclude: [dry],
     because: "x is {{x}} and that is low.", {TAIL}
  - {{id: should-y, title: t, status: test, level: should, hazard: caving, when: y, exclude: [dry],
     because: "y holds and that is poor.", {TAIL}
  - {{id: suits-z, title: t, status: test, level: may, hazard: caving, when: z, suits: [dry],
     because: "z holds and that suits it.", {TAIL}
"""


@pytest.fixture
def small(tmp_path):
    (tmp_path / "facts.yaml").write_text(FACTS)
    (tmp_path / "limits.yaml").write_text('limits:\n  least: {value: 5, unit: "1", source: own, confidence: own}\n')
    (tmp_path / "sources.yaml").write_text("sources:\n  own: {title: own}\n")
    (tmp_path / "assumptions.yaml").write_text("assumptions: []\n")
    (tmp_path / "rules.yaml").write_text(RULES)
    return load_rulebook(tmp_path)


def flag(word=None, likely=None):
    return Choice(frozenset({word} if word else {"yes", "no"}), likely or word)


@pytest.mark.parametrize(
    ("x", "y", "z", "expected"),
    [
        (Span(1, 4), flag("no"), flag("yes"), "ruled_out"),
        (Span(1, 8, 4), flag("no"), flag("yes"), "unlikely"),
        (Span(1, 8), flag("no"), flag("yes"), "unknown"),
        (Span(6, 8), flag("no"), flag("no"), "unknown"),
        (Span(1, 8, 6), flag("no"), flag("yes"), "doubtful"),
        (Span(6, 8), flag("no"), flag(likely="yes"), "doubtful"),
        (Span(6, 8), flag("yes"), flag("yes"), "discouraged"),
        (Span(6, 8), flag(), flag("yes"), "discouraged"),
        (Span(6, 8), flag(likely="no"), flag("yes"), "allowed"),
        (Span(5, 8), flag("no"), flag("yes"), "allowed"),
    ],
)
def test_the_verdict_table(small, x, y, z, expected):
    outcomes = [small.scopes["slice"].judge({"x": x, "y": y, "z": z})]
    assert verdict("dry", outcomes).state == expected


def test_silence_never_allows(small):
    assert verdict("mineral", [small.scopes["slice"].judge({})]).state == "unknown"


def test_a_missing_fact_is_its_whole_domain(small):
    assert verdict("dry", [small.scopes["slice"].judge({"y": flag("no"), "z": flag("yes")})]).state == "unknown"
