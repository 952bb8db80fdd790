"""Rulebooks that mean harm are refused with a clear message; how fast, tests/benchmarks/test_bench_hostile.py tells."""

import pytest

from methodpick.engine.load import load_rulebook
from methodpick.errors import MethodpickError
from methodpick.resources import folder

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
    "text to escape by": ('"su_kpa > \'{0.__class__}\'"', "no meaning"),
}
FILES = {
    "an alias bomb": ("overlay: ours\na: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: [*c, *c]\n", "aliases"),
    "ten megabytes": ("overlay: ours\n# " + "x" * 10_000_000 + "\n", "the most read is"),
    "deep lists": ("overlay: " + "[" * 50_000 + "]" * 50_000 + "\n", "nest"),
    "a tag": ("overlay: !!python/object/apply:os.system [echo]\n", "tag"),
    "a merge": ("overlay: ours\nset: {<<: {a: 1}}\n", "merge"),
}


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
