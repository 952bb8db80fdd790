"""Benchmarks of the rulebook, reported and never asserted; how to run them stands in DEVELOPERS.md."""

import pytest

from methodpick.engine.check import check_rulebook
from methodpick.engine.grammar import ExpressionError, parse
from methodpick.resources import folder


def test_rulebook_is_checked(benchmark):
    found = benchmark.pedantic(lambda: check_rulebook(folder("rules")), rounds=3)
    assert not [finding for finding in found if finding.severity == "error"]


@pytest.mark.parametrize(
    "text", ["(" * 250 + "cohesive" + ")" * 250, " or ".join(["cohesive"] * 5000), "9**9**9 > 0"], ids=["nested", "long", "power"]
)
def test_a_hostile_condition_is_refused(benchmark, book, text):
    def refused():
        with pytest.raises(ExpressionError):
            parse(text, book.catalogue, book.limits)
        return True

    assert benchmark(refused)
