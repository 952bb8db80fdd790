"""What a site file assumes is read against the catalogue, every wrong one told."""

import pytest

from methodpick.errors import InputError
from methodpick.imports.site_file import read_site
from methodpick.imports.site_forms import site_template
from methodpick.plan.judging.planning_input import user_assumptions

HEAD = "methodpick: 1\nborings: [{id: B-1}]\nassume:\n"


def test_a_right_one_stands_beside_wrong_ones_only_where_none_is_wrong(book):
    right = "  - {fact: recharge, set: no, where: site, why: dry season}\n"
    (found,) = user_assumptions(read_site(HEAD + right)[0], book)
    assert (found.id, found.fact, found.why) == ("user-1", "recharge", "dry season")
    with pytest.raises(InputError) as caught:
        user_assumptions(read_site(HEAD + right + "  - {fact: rechrge, set: none}\n  - {fact: recharge, set: non}\n")[0], book)
    assert [problem.message for problem in caught.value.problems] == [
        "assumption 2, on 'rechrge': 'rechrge' is not one of the words allowed here",
        "assumption 3, on 'recharge': 'non' is not a value of 'recharge'",
    ]
    assert [problem.hint for problem in caught.value.problems] == ["did you mean 'recharge'?", "did you mean 'no'?"]


def test_of_thousands_of_wrong_ones_a_hundred_are_told(book):
    site, _ = read_site(HEAD + "".join(f"  - {{fact: rechrge{index}, set: none}}\n" for index in range(3000)))
    with pytest.raises(InputError) as caught:
        user_assumptions(site, book)
    assert (len(caught.value.problems), caught.value.left) == (100, 2900)


@pytest.mark.parametrize("units", ["us", "si"])
def test_the_assumption_that_a_new_site_file_suggests_can_be_taken(book, units):
    text = "\n".join(line.removeprefix("# ") if line.startswith("# assume:") else line for line in site_template(units).splitlines())
    (found,) = user_assumptions(read_site(text)[0], book)
    assert found.fact == "recharge"
