"""``methodpick why`` as a user meets it."""

import json
import re
from itertools import pairwise

import pytest
from command_line import output_of as run
from shared_plans import path_of

from methodpick.document.reasons import SINGLE_CHANGES
from methodpick.errors import InputError
from methodpick.resources import folder

LENS = str(folder("profiles") / "caving-lens.yaml")
THIN = str(path_of("stiff-clay-thin"))
COBBLES = str(path_of("cobbles-thin"))


def test_why_says_verdict_flips_and_that_an_engineer_decides():
    shown = run("why", COBBLES, "--depth", "20ft", "--width", "90")
    assert "At 20.0 ft: slurry (mineral)" in shown
    assert "If the ground or its water were different:" in shown
    assert "If you changed the design:" in shown
    assert "licensed engineer and governing specification decide" in " ".join(shown.split())
    assert "⟦" not in shown
    assert max(map(len, shown.splitlines())) <= 90


def test_units_are_the_readers():
    assert "At 7.32 m: temporary casing" in run("why", LENS, "--depth", "24ft", "--no-flips", "--units", "si")


@pytest.mark.ci_only("searches pairs of changes on whole plans")
def test_pairs_are_looked_for_on_request():
    shown = run("why", str(path_of("stiff-clay-thin")), "--depth", "40ft", "--pairs")
    assert "WHAT TWO INPUTS TOGETHER WOULD CHANGE" in shown
    assert "with the tip at" in shown.split("WHAT TWO INPUTS TOGETHER WOULD CHANGE")[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--depth", "300ft"), "the depth 300.0 ft lies outside the shaft"),
        (("--depth", "deep"), "--depth deep"),
        (("--depth", "5ft", "--shaft", "P9"), "no shaft 'P9'"),
        (("--depth", "5ft", "--not", "polymr"), "did you mean 'polymer'?"),
    ],
)
def test_bad_questions_are_refused_with_a_reason(words, said):
    with pytest.raises(InputError) as caught:
        run("why", LENS, *words)
    assert said in caught.value.render()


def test_a_file_of_several_shafts_needs_the_shafts_name():
    with pytest.raises(InputError, match="name one with --shaft"):
        run("why", str(folder("profiles") / "saturated-sand.yaml"), "--depth", "5ft")


@pytest.fixture(scope="module")
def flipped(tmp_path_factory):
    """Plan with flips once: the page that is printed, and the JSON."""
    path = tmp_path_factory.mktemp("flips") / "plan.json"
    page = run("plan", THIN, "--full", "--flips", "--width", "80", "--json", str(path))
    return page, json.loads(path.read_text(encoding="utf-8"))


def test_plan_with_flips_fills_would_change(flipped):
    made = flipped[1]
    changes = [one["would_change"] for one in made["shafts"][0]["intervals"]]
    assert all(isinstance(found, list) for found in changes)
    assert {"input", "now", "flips_at", "unit", "then", "design"} <= set(changes[0][0])
    assert all(one["would_change"] is None for one in json.loads(run("plan", THIN, "--json", "-"))["shafts"][0]["intervals"])


def test_the_page_with_flips_holds_them_once_for_neighbours_alike(flipped):
    shown = flipped[0]
    assert SINGLE_CHANGES.upper() in shown
    part = shown.split(SINGLE_CHANGES.upper())[1].split("CAUTIONS")[0]
    lengths = re.split(r"^ +[0-9.]+ ft to [0-9.]+ ft, .*:$", part, flags=re.MULTILINE)[1:]
    assert all(first != second for first, second in pairwise(lengths))
    assert len(lengths) < len(flipped[1]["shafts"][0]["intervals"])
