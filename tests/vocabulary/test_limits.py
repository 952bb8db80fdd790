import pytest

from methodpick.errors import RuleError
from methodpick.strict_yaml import read
from methodpick.vocabulary.limits import limits_of, sources_of

SOURCES = sources_of(read("sources:\n  gec: {title: Drilled shafts, author: A. Author, year: 2018}\n"))


def test_a_limit_keeps_where_it_comes_from():
    limit = limits_of(
        read('limits:\n  head_m: {value: 1.5, unit: m, source: gec, where: sec. 7, edition: "2018", confidence: read}\n'), SOURCES
    )["head_m"]
    assert (limit.value, limit.unit, limit.where, limit.confidence, limit.origin) == (1.5, "m", "sec. 7", "read", "base")
    assert SOURCES["gec"].cite() == "A. Author (2018). Drilled shafts"


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("a: {value: x, unit: m, source: gec, confidence: read}", "here stands the text 'x'"),
        ("a: {value: true, unit: m, source: gec, confidence: read}", "here stands 'true'"),
        ("a: {value: 1, source: gec, confidence: read}", "the key 'unit' is missing"),
        ("a: {value: 1, unit: m, source: gcc, confidence: read}", "'gcc' is not in sources"),
        ("a: {value: 1, unit: m, source: gec, confidence: sure}", "'sure' is not one of the words"),
        ("a: {value: 1, unit: m, source: gec, confidence: read, wehre: x}", "did you mean 'where'?"),
        ("and: {value: 1, unit: m, source: gec, confidence: read}", "'and' cannot name a limit"),
        ("a: 3", "a map of keys and values"),
    ],
)
def test_a_broken_limit_is_named(entry, said):
    with pytest.raises(RuleError) as found:
        limits_of(read(f"limits:\n  {entry}\n"), SOURCES)
    assert said in found.value.render()
    assert found.value.problems[0].place.line == 2


def test_a_source_needs_its_title():
    with pytest.raises(RuleError, match="title"):
        sources_of(read("sources:\n  gec: {year: 2018}\n"))
