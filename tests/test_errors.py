import pytest

from methodpick.errors import InputError, MethodpickError, Place, Problem, RuleError


def test_a_problem_says_where_what_was_expected_and_what_to_do():
    place = Place("site.yaml", 7, 12, "    symbol: gravle", 6)
    problem = Problem("'gravle' is no symbol", place, "a unified-classification symbol", "did you mean 'gravel'?")
    assert problem.render().splitlines() == [
        "site.yaml:7:12: 'gravle' is no symbol", "        symbol: gravle", "               ^^^^^^",
        "    expected: a unified-classification symbol", "    hint: did you mean 'gravel'?"]


def test_a_problem_without_a_place_is_one_sentence():
    assert Problem("the file is empty").render() == "the file is empty"
    assert Place("a.yaml", 3, 1, "   ").caret() == ""


def test_a_long_list_of_problems_is_cut_with_a_count():
    error = InputError([Problem(f"wrong {number}") for number in range(80)])
    assert "wrong 49" in error.render()
    assert "wrong 50" not in error.render()
    assert "30 more problems" in error.render()


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
