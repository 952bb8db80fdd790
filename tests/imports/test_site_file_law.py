"""Laws of the door: any damage to a file is answered in words, and feet and metres of one site are one site."""

import copy
import json
from pathlib import Path

from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.errors import InputError
from methodpick.ground.check import check
from methodpick.imports.site_file import read_site
from methodpick.strict_yaml import read

SITE = read(Path(__file__).parents[2] / "profiles" / "karst.yaml").value
JUNK = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**20), 10**20)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8)
    | st.sampled_from(["50/3in", "WOH", "[1, 2]", "3 ft", "-1 kPa", "SP", "1e308 m", "4'6\""]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["low", "high", "id", "n", "x"]), inner, max_size=3),
    max_leaves=6,
)


def paths(tree, at=()):
    yield at
    for step, inner in tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ():
        yield from paths(inner, (*at, step))


PATHS = [path for path in paths(SITE) if path]


def damaged(path, value):
    site = copy.deepcopy(SITE)
    at = site
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return json.dumps(site, indent=1)


def answer(text):
    """The site, or the problems of its file."""
    try:
        return read_site(text, "site.yaml")[0], ()
    except InputError as error:
        return None, error.problems


@settings(max_examples=examples(200))
@given(st.sampled_from(PATHS), JUNK)
def test_a_damaged_file_is_read_and_checked_or_answered_with_a_place(path, value):
    site, problems = answer(damaged(path, value))
    assert (site is None) == bool(problems)
    for problem in problems:
        assert problem.message
        assert problem.place is not None or problem.message.startswith("site.yaml: ")
    if site is not None:
        assert isinstance(check(site), list)


def in_metres(tree):
    """A copy with every length and size written in metres, from the exact definition of the foot and the inch."""
    feet = {
        "top",
        "base",
        "depth",
        "hole_depth",
        "casing_depth",
        "tip",
        "cutoff",
        "socket_top",
        "cave_in_depth",
        "side_resistance_from",
        "ground_elevation",
        "east",
        "north",
        "above_ground",
        "distance",
    }
    inches = {"diameter", "socket_diameter", "cage_diameter", "cover", "max_casing"}
    if isinstance(tree, list):
        return [in_metres(entry) for entry in tree]
    if not isinstance(tree, dict):
        return tree
    return {
        word: f"{entry * 0.3048!r} m"
        if word in feet and not isinstance(entry, str)
        else f"{entry * 25.4!r} mm"
        if word in inches
        else in_metres(entry)
        for word, entry in tree.items()
    }


@given(st.floats(0.5, 0.999), st.integers(20, 120))
def test_feet_and_metres_of_one_site_are_one_site(share, diameter):
    site = copy.deepcopy(SITE)
    for layer in site["borings"][0]["layers"]:
        layer["top"], layer["base"] = layer["top"] * share, layer["base"] * share
    site["shafts"] = [{"id": "R1", "boring": "B-6", "diameter": diameter / 2 + 20, "tip": 60 * share}]
    assert read_site(json.dumps(site))[0] == read_site(json.dumps(in_metres(site)))[0]
