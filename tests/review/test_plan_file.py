"""A written plan is read back whole; what is wrong in it is named by its path."""

import json

import pytest

from methodpick.errors import InputError, RuleError
from methodpick.formats.json import plan_json
from methodpick.review.plan_file import read_plan, read_plan_text
from methodpick.review.sentence_laws import first_difference
from methodpick.review.verify import verify


def _refused(tree):
    with pytest.raises(InputError) as caught:
        read_plan(tree)
    return caught.value.render()


@pytest.mark.parametrize("name", ["caving-lens", "river-crossing", "artesian-deep"])
def test_a_plan_read_back_is_written_as_it_was(name, planned):
    text = plan_json(planned(name))
    assert json.loads(plan_json(read_plan_text(text, "plan.json"))) == json.loads(text)


def test_the_ground_is_carried_in_full(planned, site):
    read = read_plan_text(plan_json(planned("caving-lens")), "plan.json").site
    si = site("caving-lens").site.model_copy(update={"units": read.site.units})
    assert read == site("caving-lens").model_copy(update={"site": si})


def test_format_1_is_refused_with_what_to_do(tree):
    shown = _refused(tree("caving-lens") | {"format": "methodpick-plan/1"})
    assert "methodpick-plan/1" in shown
    assert "plan the site file again" in shown


def test_a_format_of_the_future_is_refused(tree):
    assert "methodpick-plan/9" in _refused(tree("caving-lens") | {"format": "methodpick-plan/9"})


@pytest.mark.parametrize("other", [[], {}, {"shafts": []}, 4, None])
def test_what_is_no_plan_is_refused(other):
    assert "no plan" in _refused(other)


def _without(tree, *path):
    at = tree
    for part in path[:-1]:
        at = at[part]
    del at[path[-1]]
    return tree


def _with(tree, *path, value):
    at = tree
    for part in path[:-1]:
        at = at[part]
    at[path[-1]] = value
    return tree


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("shafts", 0, "stages", 3, "hours"), "two", 'shafts[0].stages[3].hours: "two" is not a number'),
        (("shafts", 0, "stages", 3, "no"), 3.5, "shafts[0].stages[3].no: 3.5 is not a whole number"),
        (("shafts", 0, "stages", 3, "support"), "mud", 'shafts[0].stages[3].support: "mud" is not known here'),
        (("shafts", 0, "stages"), {}, "shafts[0].stages: {} stands where a list belongs"),
        (("shafts", 0, "casings", 0), 7, "shafts[0].casings[0]: 7 stands where a map belongs"),
        (("shafts", 0, "casings", 0, "colour"), "red", "shafts[0].casings[0]: the key 'colour' is not known"),
        (("shafts", 0, "proven"), 1, "shafts[0].proven: 1 is not true or false"),
        (("shafts", 0, "ground", "spt", 0), [1.0], "shafts[0].ground.spt[0]: there are 1 entries"),
        (("site", "borings", 0, "layers", 0, "top_m"), "up", "site.borings.0.layers.0"),
        (("site", "soil"), "clay", "site.soil"),
        (("units",), "us", "the plan: the key 'units' is not known"),
    ],
)
def test_what_is_wrong_is_named_by_its_path(path, value, said, tree):
    assert said in _refused(_with(tree("caving-lens"), *path, value=value))


def test_a_missing_key_is_named(tree):
    assert "shafts[0].casings[1]: the key 'mass_kg' is missing" in _refused(
        _without(tree("caving-lens"), "shafts", 0, "casings", 1, "mass_kg")
    )


def test_all_problems_are_named_at_once(tree):
    changed = _with(tree("caving-lens"), "shafts", 0, "diameter_m", value=None)
    changed = _with(changed, "shafts", 0, "count", value="one")
    shown = _refused(changed)
    assert "shafts[0].diameter_m" in shown
    assert "shafts[0].count" in shown


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no JSON"),
        ("{", "no JSON"),
        ('{"format": NaN}', "NaN is no number"),
        ('{"a": 1, "a": 2}', "'a' stands twice"),
        ("[" * 100_000, "no JSON"),
    ],
)
def test_what_is_no_json_is_refused(text, said):
    with pytest.raises(InputError, match=said):
        read_plan_text(text, "plan.json")


def test_another_rulebook_is_refused(tree, book):
    changed = tree("caving-lens")
    changed["rulebook"] = {**changed["rulebook"], "digest": "0" * 64}
    with pytest.raises(RuleError, match="the rulebook 000000000000"):
        verify(json.loads(json.dumps(changed)), book)


@pytest.mark.parametrize(
    ("text", "worded", "differs"),
    [
        ("Pull the 1372 mm casing to 0.33 m above it.", "Pull the ⟦1.3716|size⟧ casing to ⟦0.33|m⟧ above it.", None),
        ("Drill to 3.86 m.", "Drill to ⟦3.8659|m⟧.", ("3.86 m", "3.87 m")),
        ("Pull the 1373 mm casing.", "Pull the ⟦1.3716|size⟧ casing.", ("1373 mm", "1372 mm")),
        ("Drill dry to 3.86 m.", "Core dry to ⟦3.86|m⟧.", ('"Drill dry to 3.86 m."', '"Core dry to 3.86 m."')),
    ],
)
def test_a_sentence_agrees_with_its_wording_within_what_rounding_leaves_open(text, worded, differs):
    """3.8659 m is 3.87 m, and to the millimetre 3.866 m; 1.3716 m is 1372 mm."""
    assert first_difference(text, worded) == differs
