from math import inf

import pytest

from methodpick.errors import RuleError
from methodpick.strict_yaml import read
from methodpick.vocabulary.catalogue import catalogue_of, read_catalogue
from methodpick.vocabulary.values import EITHER, Choice, Span


def test_facts_with_their_domains(tmp_path):
    path = tmp_path / "facts.yaml"
    path.write_text(
        "facts:\n  soil: {type: enum, values: [sand, clay], scope: slice, meaning: m}\n"
        "  head_m: {type: number, unit: m, domain: [0, null], resolution: 0.1, scope: slice_state, meaning: m}\n"
        "  wet: {type: boolean, scope: site, meaning: m, ask: 'Is it wet?', changeable: true}\n"
    )
    facts = read_catalogue(path).facts
    assert list(facts) == ["soil", "head_m", "wet"]
    assert facts["soil"].domain_value() == Choice(frozenset({"sand", "clay"}))
    assert facts["head_m"].domain_value() == Span(0, inf)
    assert facts["wet"].domain_value() == EITHER
    assert (facts["wet"].ask, facts["wet"].changeable, facts["head_m"].resolution) == ("Is it wet?", True, 0.1)


def test_a_broken_catalogue_says_all_at_once():
    with pytest.raises(RuleError) as found:
        catalogue_of(read("facts:\n  a: {type: nmber, scope: slice, meaning: x}\n  b: {type: number, scope: slise, meaning: y}\n"))
    text = found.value.render()
    assert "did you mean 'number'?" in text
    assert "did you mean 'slice'?" in text
    assert "a number needs its domain" in text


@pytest.mark.parametrize(
    ("fact", "said", "line"),
    [
        ("not: {type: boolean, scope: site, meaning: m}", "'not' cannot name a fact", 2),
        ("min: {type: boolean, scope: site, meaning: m}", "'min' cannot name a fact", 2),
        ("su-kpa: {type: boolean, scope: site, meaning: m}", "'su-kpa' cannot name a fact", 2),
        ("a: {type: boolean, scope: site, meaning: }", "the key 'meaning' has no value", 2),
        ("a: {type: boolean, scope: site, meaning: m, changeable: yes}", "true or false", 2),
        ("a: {type: boolean, scope: site, meaning: m, unlt: kPa}", "did you mean 'unit'?", 2),
        ("a:\n    type: number\n    domain: [3, 1]\n    scope: site\n    meaning: m", "the domain is empty", 4),
        ("a:\n    type: number\n    domain: [0, x]\n    scope: site\n    meaning: m", "here stands the text 'x'", 4),
        ("a: {type: enum, values: [one], scope: site, meaning: m}", "lists no values", 2),
        ("a: {type: enum, values: [one, one], scope: site, meaning: m}", "'one' cannot be a value", 2),
        ("a: {type: enum, values: [one, hollow-stem], scope: site, meaning: m}", "'hollow-stem' cannot be a value", 2),
        ("a: {type: enum, values: [one, or], scope: site, meaning: m}", "'or' cannot be a value", 2),
    ],
)
def test_what_is_wrong_with_a_fact_is_said_at_its_place(fact, said, line):
    with pytest.raises(RuleError) as found:
        catalogue_of(read(f"facts:\n  {fact}\n", "facts.yaml"))
    assert said in found.value.render()
    assert found.value.problems[0].place.line == line
