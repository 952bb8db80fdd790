"""What a rule file may not say, each refused at its place; a condition that is missing never becomes 'always'."""

import pytest

from methodpick.engine.read import Words, rules_of
from methodpick.engine.rule import Always, Not
from methodpick.errors import MethodpickError, RuleError
from methodpick.strict_yaml import read
from methodpick.vocabulary.catalogue import Reader, catalogue_of
from methodpick.vocabulary.limits import Limit, Source

CATALOGUE = catalogue_of(
    read("""facts:
  site_wet: {type: boolean, scope: site, meaning: m}
  soil: {type: enum, values: [sand, clay], scope: slice, meaning: m}
  head_m: {type: number, unit: m, domain: [0, 60], scope: slice_state, meaning: m}
  hours_open: {type: number, unit: h, domain: [0, 60], scope: stage, meaning: m}
""")
)
WORDS = Words(CATALOGUE, {"least_m": Limit("least_m", 1.5, "m", "own", "", "", "own", "")}, {"own": Source("own", "own", "", "", "")})
RULE = """topic: method
title: t
rules:
  - id: one-rule
    title: A rule
    status: stable
    level: must
    hazard: caving
    when: soil == sand and head_m < least_m
    unless: [{id: dewatered, when: not site_wet, because: there is no water}]
    exclude: [dry]
    because: "In {soil} a head of {head_m} is less than {least_m}."
    treatment: {dry: keep it full}
    source: [{key: own, where: here}]
    cases: [{given: {soil: clay}, expect: silent}]
"""


def rules(text):
    reader = Reader(read(text, "r.yaml"))
    found = rules_of(reader.document, WORDS, reader)
    reader.done()
    return found


def test_a_rule_is_read_whole():
    (rule,) = rules(RULE)
    assert (rule.id, rule.topic, rule.effect, rule.states, rule.level, rule.scope) == (
        "one-rule",
        "method",
        "exclude",
        ("dry",),
        "must",
        "slice_state",
    )
    assert rule.unless[0].id == "dewatered"
    assert isinstance(rule.condition.parts[1], Not)
    assert rule.facts == ("soil", "head_m", "site_wet")
    assert rule.limits == ("least_m",)
    assert rule.treatment == {"dry": "keep it full"}
    assert (rule.place.line, rule.cases[0].place.line) == (4, 15)


@pytest.mark.parametrize(
    ("effect", "kept"),
    [
        ("suits: [dry, cased_dry]", (("dry", "cased_dry"), 0, "note", "")),
        ("suits: dry", (("dry",), 0, "note", "")),
        ("prefer: {states: [dry], points: -3}", (("dry",), -3, "note", "")),
        ("caution: {severity: danger}", ((), 0, "danger", "")),
        ("ask: {question: How deep?, need: depth}", ((), 0, "note", "How deep?")),
    ],
)
def test_each_effect_is_read(effect, kept):
    (rule,) = rules(RULE.replace("exclude: [dry]", effect))
    assert (rule.states, rule.points, rule.severity, rule.question) == kept


@pytest.mark.parametrize(
    ("old", "new", "said", "line"),
    [
        ("when: soil == sand and head_m < least_m", "when:", "the key 'when' has no value", 9),
        ("when: soil == sand and head_m < least_m", "when: 5", "a condition is text", 9),
        ("when: soil == sand and head_m < least_m", "when: [soil == sand]", "a condition is text", 9),
        ("head_m < least_m", "head_m < leest_m", "did you mean 'least_m'?", 9),
        ("head_m < least_m", "head_m < 3", "head_m is in m, 3 in 1", 9),
        ("id: one-rule", "id: One Rule", "'One Rule' is no rule id", 4),
        ("id: one-rule", "id:", "the key 'id' has no value", 4),
        ("title: A rule", "title: ''", "the key 'title' has no value", 5),
        ("status: stable", "status: stabel", "did you mean 'stable'?", 6),
        ("hazard: caving", "hazard: cavin", "did you mean 'caving'?", 8),
        ("unless: [{id: dewatered", "unless: {id: dewatered", "this is not YAML", 10),
        ("[{id: dewatered, when: not site_wet, because: there is no water}]", "word", "here stands the text 'word'", 10),
        ("when: not site_wet, because", "when: , because", "the key 'when' has no value", 10),
        ("when: not site_wet", "when: not soil", "'soil' is not a yes/no fact", 10),
        ("not site_wet", "hours_open > 0", "'head_m' belongs to a length of ground and 'hours_open' to the finished hole", 9),
        ("exclude: [dry]", "exclude: []", "no state is named", 11),
        ("exclude: [dry]", "exclude: [dri]", "did you mean 'dry'?", 11),
        ("exclude: [dry]", "exclude: [dry]\n    suits: [water]", "exactly one effect, this one has 2", 4),
        ("exclude: [dry]", "prefer: {states: [dry], points: 11}", "whole numbers from -10 to 10", 11),
        ("exclude: [dry]", "prefer: {states: [dry], points: 2.5}", "whole numbers from -10 to 10", 11),
        ("exclude: [dry]", "caution: {severity: deadly}", "one of danger, caution, note", 11),
        ("exclude: [dry]", "ask: {question: , need: x}", "the key 'question' has no value", 11),
        ("{soil} a head", "{sail} a head", "'{sail}' is no fact and no limit", 12),
        ("treatment: {dry: keep", "treatment: {dri: keep", "did you mean 'dry'?", 13),
        ("source: [{key: own, where: here}]", "source: []", "a rule needs a source", 14),
        ("source: [{key: own, where: here}]", "source: [{key: owm, where: here}]", "did you mean 'own'?", 14),
        ("source: [{key: own, where: here}]", "source: [{key: own, where: }]", "the key 'where' has no value", 14),
        ("cases: [{given: {soil: clay}, expect: silent}]", "cases: none", "here stands the text 'none'", 15),
        ("given: {soil: clay}", "given: clay", "a case gives facts", 15),
        ("given: {soil: clay}", "given: {soul: clay}", "did you mean 'soil'?", 15),
        ("given: {soil: clay}", "given: {head_m: 61}", "outside the domain of 'head_m'", 15),
        ("given: {soil: clay}", "given: {soil: []}", "no value of 'soil' is left", 15),
        ("expect: silent", "expect: quiet", "one of fires, silent, unknown", 15),
        ("topic: method", "topic:", "the key 'topic' has no value", 1),
    ],
)
def test_what_is_wrong_with_a_rule_is_said_at_its_place(old, new, said, line):
    assert RULE.count(old) == 1
    with pytest.raises(MethodpickError) as found:
        rules(RULE.replace(old, new))
    assert said in found.value.render()
    assert line in {problem.place.line for problem in found.value.problems}


def test_the_caret_stands_under_the_word_in_the_condition():
    with pytest.raises(RuleError) as found:
        rules(RULE.replace("soil == sand", "soil == snad"))
    lines = found.value.render().splitlines()
    assert lines[2].index("^") == lines[1].index("snad")
    assert lines[2].strip() == "^^^^"


def test_always_is_said_out_loud():
    (rule,) = rules(
        RULE.replace("when: soil == sand and head_m < least_m", "when: always").replace(
            "    unless: [{id: dewatered, when: not site_wet, because: there is no water}]\n", ""
        )
    )
    assert rule.condition == Always()
    assert rule.scope == "site"
