"""Overlays by their verbs, on a small rulebook of its own: order, origin, and every way to loosen an exclude."""

import pytest

from methodpick.engine.load import load_rulebook
from methodpick.errors import RuleError

FACTS = """facts:
  x: {type: number, unit: "1", domain: [0, 100], resolution: 1, scope: slice, meaning: a number}
  y: {type: number, unit: "1", domain: [0, 100], resolution: 1, scope: slice, meaning: a number}
  t: {type: number, unit: "1", domain: [0, 100], resolution: 1, scope: stage, meaning: a number}
  soil: {type: enum, values: [sand, clay], scope: slice, meaning: a soil}
"""
LIMITS = """limits:
  least: {value: 10, unit: "1", safe: higher, source: own, confidence: own}
  grace: {value: 20, unit: "1", safe: higher, source: own, confidence: own}
  spare: {value: 10, unit: "1", safe: higher, source: own, confidence: own}
  share: {value: 2, unit: "1", safe: higher, source: own, confidence: own}
"""
RULE = (
    '{{id: {id}, title: t, status: stable, level: {level}, hazard: caving, when: "{when}", {effect}, unless: {unless}, '
    'because: "It is so because it is so.", source: [{{key: own, where: w}}], cases: []{reason}}}'
)


def rule(name, when, effect="exclude: [dry, water]", level="must", unless="[]", reason=""):
    return RULE.format(id=name, when=when, effect=effect, level=level, unless=unless, reason=f", reason: {reason}" if reason else "")


BASE = [
    rule("low-x", "x < least"),
    rule("low-y", "y < least", level="should"),
    rule("lenient", "x < least", unless="[{id: held, when: y > grace, because: it is held}]"),
    rule("product", "x - share * y < 0"),
    rule("watch", "x < least", effect="caution: {severity: note}"),
    rule("clay", "soil == clay", effect="suits: [dry]"),
]


@pytest.fixture
def small(tmp_path):
    folder = tmp_path / "rules"
    folder.mkdir()
    (folder / "facts.yaml").write_text(FACTS)
    (folder / "limits.yaml").write_text(LIMITS)
    (folder / "sources.yaml").write_text("sources:\n  own: {title: own}\n")
    (folder / "assumptions.yaml").write_text("assumptions: []\n")
    (folder / "rules.yaml").write_text("topic: method\ntitle: small\nrules:\n" + "".join(f"  - {one}\n" for one in BASE))

    def load(*overlays):
        paths = [tmp_path / f"{number}.yaml" for number in range(len(overlays))]
        for path, text in zip(paths, overlays, strict=True):
            path.write_text(text)
        return load_rulebook(folder, paths)

    return load


def refused(small, text):
    with pytest.raises(RuleError) as found:
        small(text)
    return found.value.render()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("set: {least: 8}", "loosens the exclude 'lenient': it holds no more at x: "),
        ("set: {grace: 15}", "loosens the exclude 'lenient'"),
        ("set: {share: 1.5}", "loosens the exclude 'product'"),
        (f"tighten: [{rule('low-x', 'x < least', effect='caution: {severity: danger}')}]", "it excludes nothing any more"),
        (f"tighten: [{rule('low-x', 'x < grace', effect='exclude: [dry]')}]", "it excludes water no more"),
        (f"tighten: [{rule('low-x', 'x < grace', level='should')}]", "'must' becomes 'should'"),
        (f"tighten: [{rule('clay', 'soil == sand', effect='suits: [dry]')}]", "is no exclude; only an exclude can be tightened"),
        (f"replace: [{rule('low-x', 'x < least and soil == clay')}]", "it holds no more at "),
        (f"replace: [{rule('low-x', 'x < least', unless='[{id: a, when: soil == clay, because: b}]')}]", "it holds no more at "),
        (f"replace: [{rule('low-x', 'x < y')}]", "'low-x': it holds no more at"),
        (f"replace: [{rule('low-y', 'y < least', effect='ask: {question: a, need: b}')}]", "it excludes nothing any more"),
        ("disable: [{rule: low-x}]", "the key 'reason' is missing"),
        ("disable: [{rule: low-x, reason: }]", "the key 'reason' has no value"),
        ('disable: [{rule: low-x, reason: " "}]', "the key 'reason' has no value"),
        ('disable: [{rule: low-x, reason: "-"}]', "this is no reason"),
        ('set: {least: {value: 8, reason: " "}}', "loosens the exclude"),
        ("set: {spare: 8}", "'spare' is 10; the higher, the more careful"),
        (
            f"replace: [{rule('watch', 'x < least', effect='caution: {severity: note}').replace('It is so', 'It is fine')}]",
            "other words: reason",
        ),
        (f"replace: [{rule('watch', 'x < 1', effect='caution: {severity: danger}')}]", "loosens the caution 'watch': it holds no more"),
        (f"replace: [{rule('watch', 'x < least', effect='prefer: {states: [dry], points: 1}')}]", "it warns no more"),
        (f"replace: [{rule('low-x', 'x < least').replace('where: w', 'where: v')}]", "other words: sources"),
        (f"replace: [{rule('low-x', 'x < least', effect='suits: [dry]')}]", "it suits dry now"),
        ("sources: {own: {title: other}}", "the source 'own' stands in the rulebook already"),
        (f"add: [{rule('low-x', 'x < least')}]", "exists already"),
        (f"replace: [{rule('lowx', 'x < least')}]", "did you mean 'low-x'?"),
        ("set: {laest: 3}", "did you mean 'least'?"),
        ("set: [least]", "a map of limits"),
        ("set: {least: {value: 12, unit: m}}", "'least' is in 1, not in m"),
        ("set: {least: {value: 12, source: nobody}}", "'nobody' is not one of the words"),
        ("add: 5", "here stands the number 5"),
        ("disable: [low-x]", "rule 'low-x' is disabled without a reason"),
        ("disable: low-x", "here stands the text 'low-x'"),
        ("sources: [a]", "here stands a list"),
        ("sett: {least: 3}", "did you mean 'set'?"),
        ("level: national", "'national' is not one of the words"),
    ],
)
def test_what_an_overlay_may_not_do_is_said(small, text, said):
    assert said in refused(small, f"overlay: own\n{text}\n")


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("set: {least: {value: 8, reason: pumps}}", "least: ⟦10|1⟧ becomes ⟦8|1⟧; it loosens lenient, low-x, low-y"),
        ("set: {least: {value: 8, where: clause 3}}", "least: ⟦10|1⟧ becomes ⟦8|1⟧"),
        (f"replace: [{rule('low-x', 'x < least and soil == clay', reason='pumps')}]", "rule 'low-x' (must) replaced: it holds no more at"),
        ("disable: [{rule: low-x, reason: pumps}]", "rule 'low-x' (must) disabled: it excluded dry, water"),
        ("disable: [{rule: watch, reason: pumps}]", "rule 'watch' (must) disabled: it warned (note)"),
        (f"replace: [{rule('watch', 'x < 1', effect='caution: {severity: danger}', reason='pumps')}]", "it holds no more at x: "),
        (f"replace: [{rule('watch', 'x < least', reason='pumps').replace('It is so', 'It is fine')}]", "other words: reason"),
        (f"replace: [{rule('clay', 'soil in {sand, clay}', effect='suits: [dry]', reason='pumps')}]", "it suits also at soil: sand"),
        (f"replace: [{rule('clay', 'soil == clay', effect='suits: [dry, water]', reason='pumps')}]", "it suits water now"),
    ],
)
def test_loosening_with_a_reason_is_kept(small, text, kept):
    book = small(f"overlay: own\n{text}\n")
    assert len(book.loosened) == 1
    assert kept in book.loosened[0].what
    assert book.loosened[0].overlay == "own"
    assert book.loosened[0].reason in {"pumps", "own, clause 3"}


@pytest.mark.parametrize(
    "text",
    [
        "set: {least: 12}",
        "set: {grace: 30}",
        "set: {share: 3}",
        f"tighten: [{rule('low-x', 'x < grace')}]",
        f"tighten: [{rule('low-y', 'y < grace')}]",
        f"replace: [{rule('low-x', 'x < grace or soil == sand')}]",
        f"replace: [{rule('low-x', 'x <= least', effect='exclude: [dry, water, mineral]')}]",
        f"add: [{rule('more', 'soil == sand')}]",
        "disable: [{rule: clay, reason: noise}]",
        f"replace: [{rule('watch', 'x <= least', effect='caution: {severity: danger}')}]",
        f"replace: [{rule('clay', 'soil == clay and x > least', effect='suits: [dry]')}]",
    ],
)
def test_tightening_needs_no_reason(small, text):
    assert small(f"overlay: own\n{text}\n").loosened == ()


def test_a_tightened_rule_holds_wherever_it_held_and_more(small):
    book = small(f"overlay: own\ntighten: [{rule('low-x', 't < grace')}]\n")
    assert book.by_id["low-x"].scope == "stage"
    assert book.by_id["low-x"].topic == "method"
    assert book.by_id["low-x"].origin == "own"
    assert book.scopes["slice"].rules
    assert "low-x" not in book.scopes["slice"].index


def test_every_value_keeps_its_origin_and_the_last_overlay_goes_before(small):
    one, two = "overlay: one\nset: {least: 12, grace: 25}\n", "overlay: two\nset: {least: 14}\n"
    book = small(one, two)
    assert {name: (limit.value, limit.origin) for name, limit in book.limits.items()} == {
        "least": (14, "two"),
        "grace": (25, "one"),
        "share": (2, "base"),
        "spare": (10, "base"),
    }
    assert book.overlays == ("one", "two")
    turned = small(two, f"overlay: one\nset: {{least: {{value: 12, reason: r}}, grace: 25}}\nadd: [{rule('more', 'x > 50')}]\n")
    assert (turned.limits["least"].value, turned.limits["least"].origin) == (12, "one")
    assert turned.by_id["more"].origin == "one"
    assert {book.by_id["low-x"].when.right.value, turned.by_id["low-x"].when.right.value} == {14, 12}


def test_all_problems_of_an_overlay_come_at_once(small):
    text = refused(small, "overlay: own\nset: {laest: 3, least: 8}\ndisable: [{rule: low-z, reason: r}]\nadd: [5]\n")
    for said in ("laest", "loosens", "low-z", "the number 5"):
        assert said in text


@pytest.mark.parametrize("name", ["base", "BASE", '" base "', "own", "OWN"])
def test_an_overlay_cannot_hide_behind_the_name_of_another(small, name):
    """What an overlay sets is shown under its name; the name of the base would hide it."""
    with pytest.raises(RuleError, match="is the name of"):
        small("overlay: own\nset: {least: 12}\n", f"overlay: {name}\nset: {{least: 14}}\n")


def test_a_rule_that_suits_more_is_noted_with_its_reason(small):
    book = small(f"overlay: own\nadd: [{rule('sand', 'soil == sand', effect='suits: [dry]')}]\n")
    assert [(found.what, found.reason) for found in book.loosened] == [
        ("rule 'sand' (must) added: it suits dry", "It is so because it is so.")
    ]


def test_a_tightened_rule_keeps_its_words_and_sources(small):
    """Else the danger of entry could become "Entry is fine." under the same name."""
    wider = rule("low-x", "x < grace").replace("It is so because it is so.", "Entry is fine.").replace("where: w", "where: elsewhere")
    tight = small(f"overlay: own\ntighten: [{wider}]\n").by_id["low-x"]
    assert tight.because == "It is so because it is so. Entry is fine."
    assert [cited.where for cited in tight.source] == ["w", "elsewhere"]


BY_DIAMETER = "overlay: o\nset: {{share: {{value: {}, source: own, where: {}, by_diameter: {}}}}}\n"


def test_a_limit_that_goes_by_the_diameter_decides_by_it(small):
    book = small(BY_DIAMETER.format(2, '"clause 1"', "[[1, 2], [2, 4]]"))
    fired = [book.for_diameter(size).scopes["slice"].fired({"x": 25, "y": 10, "soil": "sand"}) for size in (0.5, 1.2, 1.4, 3.0)]
    assert ["product" in rules for rules in fired] == [False, False, True, True]  # x below 2, 2.4, 2.8 and 4 times y
    assert book.for_diameter(1.2).digest == book.digest
    assert small().for_diameter(1.2).limits["share"].value == 2


def test_a_limit_that_is_less_careful_for_some_diameter_needs_its_reason(small):
    assert "less careful" in refused(small, BY_DIAMETER.format(2, '""', "[[1, 1.5], [2, 4]]"))
    kept = small(BY_DIAMETER.format(2, '"clause 1"', "[[1, 1.5], [2, 4]]")).loosened
    assert [loosening.what.split("; ")[0] for loosening in kept] == ["share: ⟦2|1⟧ becomes ⟦1.5|1⟧ to ⟦4|1⟧ by diameter"]
    assert not small(BY_DIAMETER.format(2, '""', "[[1, 2], [2, 4]]")).loosened


@pytest.mark.parametrize("pairs", ["[]", "[[1]]", "[[2, 1], [1, 2]]", "[[0, 1]]", "[[one, 2]]", "2"])
def test_values_by_diameter_are_pairs_from_thin_to_wide(small, pairs):
    assert "no values by diameter" in refused(small, BY_DIAMETER.format(2, '"clause 1"', pairs))
