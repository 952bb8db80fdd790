"""The verdict table, row by row, on a small rulebook of its own."""

import pytest

from methodpick.engine.load import load_rulebook
from methodpick.engine.verdict import verdict
from methodpick.vocabulary.values import Choice, Span

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
