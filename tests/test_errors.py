"""Errors as a user reads them, and words that are not on a closed list."""

import pytest

from methodpick.errors import InputError, MethodpickError, Place, Problem, Problems, RuleError, did_you_mean, one_of


def test_a_problem_says_where_what_was_expected_and_what_to_do():
    place = Place("site.yaml", 7, 12, "    symbol: gravle", 6)
    problem = Problem("'gravle' is no symbol", place, "a unified-classification symbol", "did you mean 'gravel'?")
    assert problem.render().splitlines() == [
        "site.yaml:7:12: 'gravle' is no symbol",
        "        symbol: gravle",
        "               ^^^^^^",
        "    expected: a unified-classification symbol",
        "    hint: did you mean 'gravel'?",
    ]


def test_a_problem_without_a_place_is_one_sentence():
    assert Problem("the file is empty").render() == "the file is empty"
    assert Place("a.yaml", 3, 1, "   ").caret() == ""


def test_a_long_list_of_problems_is_cut_with_a_count():
    error = InputError([Problem(f"wrong {number}") for number in range(130)])
    assert "wrong 99" in error.render()
    assert "wrong 100" not in error.render()
    assert "30 more problems" in error.render()


def test_beyond_the_cap_a_problem_is_counted_and_never_made():
    made = []

    def make():
        made.append(1)
        return Problem("wrong", Place("a.yaml", 200 - len(made), 1))

    found = Problems()
    for _ in range(5000):
        found.note(make)
    error = InputError(found)
    assert len(made) == 100
    assert [problem.place.line for problem in error.problems] == list(range(100, 200))
    assert error.render().endswith("... and 4,900 more problems; mend these first")
    more = Problems([Problem("one more")])
    more.take(error)
    assert len(more) == 5001
    assert RuleError(more).left == 4900


def test_one_left_over_is_a_problem_not_problems():
    assert InputError([Problem("wrong")] * 101).render().endswith("... and 1 more problem; mend these first")


def test_the_caret_stands_under_the_word_even_in_a_long_line():
    place = Place("a.yaml", 1, 150, "x" * 149 + "bad" + "y" * 100, 3)
    line, mark = place.caret().splitlines()
    assert line[mark.index("^") : mark.index("^") + 3] == "bad"


def test_the_caret_never_runs_past_its_line():
    assert Place("a.yaml", 1, 3, "n: 4", 99).caret().splitlines()[1] == "      ^^"


@pytest.mark.parametrize(("error", "code"), [(MethodpickError, 2), (InputError, 2), (RuleError, 3)])
def test_exit_codes_and_ways_to_say_it(error, code):
    """Exit codes of the command line: 2 bad input, 3 bad rules."""
    assert error.exit_code == code
    assert error("bare").problems == (Problem("bare"),)
    assert error(Problem("one")).problems == (Problem("one"),)
    assert len(error([Problem("one"), Problem("two")]).problems) == 2
    assert "two" in str(error((Problem("one"), Problem("two"))))


@pytest.mark.parametrize(
    ("word", "words", "hint"),
    [
        ("gravle", ["sand", "gravel"], "did you mean 'gravel'?"),
        ("CLAY", ["clay"], "did you mean 'clay'?"),
        ("dpeth", ["Depth"], "did you mean 'Depth'?"),
        ("xyz", ["sand"], ""),
        ("", ["sand"], ""),
        ("sand", [], ""),
        ("5", [5, 50], "did you mean '5'?"),
    ],
)
def test_a_hint_only_where_a_word_is_alike(word, words, hint):
    assert did_you_mean(word, words) == hint


def test_a_list_of_what_is_allowed_is_never_cut_in_its_middle():
    names = [f"ABER BY-PASS. {number}" for number in range(40)]
    text = Problem("name a boring", expected=one_of(names)).render()
    assert "letters" not in text
    assert text.endswith("others")
