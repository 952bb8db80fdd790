"""Rulebooks that mean harm are refused with a clear message; how fast, tests/benchmarks/test_bench_hostile.py tells."""

import pytest

from methodpick.engine import grammar
from methodpick.engine.load import load_rulebook
from methodpick.errors import MethodpickError, did_you_mean
from methodpick.resources import folder
from methodpick.vocabulary import catalogue

RULE = """overlay: ours
add:
  - id: ours
    title: Ours
    status: test
    level: may
    hazard: cost
    when: {when}
    suits: [dry]
    because: "A sentence that is long enough to say why."
    source: [{{key: own, where: here}}]
    cases: [{{given: {{soil: clay}}, expect: fires}}]
"""
CONDITIONS = {
    "an import": ('"__import__(os) > 0"', "only min"),
    "an attribute": ("soil.__class__ == clay", "numbers are compared with"),
    "a subscript": ('"soil[0] == clay"', "no meaning"),
    "a lambda": ('"(lambda: 1)() > 0"', "no meaning"),
    "deep brackets": ('"' + "(" * 5000 + "soil == clay" + ")" * 5000 + '"', "at most 400"),
    "many nots": ('"' + "not " * 5000 + 'cohesive"', "at most 400"),
    "huge alternation": ('"' + " or ".join(["soil == clay"] * 20000) + '"', "at most 400"),
    "a tower of powers": ('"9**9**9**9 > 0"', "not allowed in a condition"),
    "a number beyond all": ('"1e999 < 0"', "too large"),
    "text to escape by": ("\"su_kpa > '{0.__class__}'\"", "no meaning"),
}
FILES = {
    "an alias bomb": ("overlay: ours\na: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: [*c, *c]\n", "aliases"),
    "ten megabytes": ("overlay: ours\n# " + "x" * 10_000_000 + "\n", "the most read is"),
    "deep lists": ("overlay: " + "[" * 50_000 + "]" * 50_000 + "\n", "nest"),
    "a tag": ("overlay: !!python/object/apply:os.system [echo]\n", "tag"),
    "a merge": ("overlay: ours\nset: {<<: {a: 1}}\n", "merge"),
}
HEAD = (
    "overlay: ours\nadd:\n  - {id: ours, title: Ours, status: test, level: may, hazard: cost, because: 'A sentence that is long.', "
    "source: [{key: own, where: here}], "
)


def misspelt(count):
    """Write overlays with that many misspelt names: of limits, keys, rules, states and facts, and a tenth as many conditions."""
    rule = (
        "  - {{id: ours-{0}, title: a, status: test, level: may, hazard: cost, when: cohesiv, suits: [dry], because: 'It is so.', "
        "source: [{{key: own, where: h}}], cases: []}}\n"
    )
    facts = ", ".join(f"cohesion_neded_kpa{number}: 1" for number in range(count))
    return {
        "limits": "overlay: ours\nset:\n" + "".join(f"  mineral_density_mxa_{number}: 1\n" for number in range(count)),
        "keys": "overlay: ours\n" + "".join(f"disabel{number}: 1\n" for number in range(count)),
        "rules": "overlay: ours\ndisable:\n" + "".join(f"  - {{rule: no-entri{number}, reason: so}}\n" for number in range(count)),
        "states": HEAD + "when: cohesive, suits: [" + ", ".join(["watre"] * count) + "], cases: []}\n",
        "facts": HEAD + "when: cohesive, suits: [dry], cases: [{expect: fires, given: {" + facts + "}}]}\n",
        "conditions": "overlay: ours\nadd:\n" + "".join(rule.format(number) for number in range(count // 10)),
    }


MANY = 3000
"""Misspelt names of a file here; the benchmark takes ten times as many."""
MISSPELT = misspelt(MANY)


def refused(tmp_path, text):
    path = tmp_path / "ours.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(MethodpickError) as caught:
        load_rulebook(folder("rules"), [path])
    return caught.value.render()


@pytest.mark.parametrize("name", CONDITIONS)
def test_a_condition_that_means_harm_is_refused(tmp_path, name):
    when, word = CONDITIONS[name]
    said = refused(tmp_path, RULE.format(when=when))
    assert word in said, said[:400]
    assert "ours.yaml:8:" in said
    assert len(said) < 3000


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_means_harm_is_refused(tmp_path, name):
    text, word = FILES[name]
    said = refused(tmp_path, text)
    assert word in said, said[:400]
    assert len(said) < 3000


@pytest.mark.parametrize(
    "name",
    [
        name if at == 0 else pytest.param(name, marks=pytest.mark.ci_only("more files of thirty thousand names"))
        for at, name in enumerate(MISSPELT)
    ],
)
def test_of_thousands_of_misspelt_names_a_hundred_are_told_and_no_more_is_guessed(tmp_path, monkeypatch, name):
    """Guessing what each of them may have meant took half a minute."""
    guessed = []

    def guess(word, words):
        guessed.append(word)
        return did_you_mean(word, words)

    for module in (catalogue, grammar):
        monkeypatch.setattr(module, "did_you_mean", guess)
    path = tmp_path / "ours.yaml"
    path.write_text(MISSPELT[name], encoding="utf-8")
    with pytest.raises(MethodpickError) as caught:
        load_rulebook(folder("rules"), [path])
    more = (MANY // 10 if name == "conditions" else MANY) - 100
    assert len(caught.value.problems) == 100
    assert caught.value.left == more
    assert 0 < len(guessed) <= 100
    assert "did you mean" in caught.value.render()
    assert caught.value.render().endswith(f"... and {more:,} more problems; mend these first")
