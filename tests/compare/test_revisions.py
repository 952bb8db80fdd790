"""Two revisions of a site: what differs, which shafts are built otherwise, and because of which input, by changes made on purpose."""

from dataclasses import replace

import pytest
from shipped import load_shipped_once

from methodpick.compare.inputs import CannotBePutBackError, PlanningInputs, differences
from methodpick.compare.revisions import Revision, compare_revisions, differing
from methodpick.engine.load import overlay_path
from methodpick.imports.site_file import read_site
from methodpick.plan.result import InputStamp
from methodpick.resources import folder

FOOT, INCH = 0.3048, 0.0254
NAME = "caving-lens"


@pytest.fixture(scope="module")
def changed(tmp_path_factory):
    """Return the example with texts of its file replaced."""

    def read(*pairs):
        text = (folder("profiles") / f"{NAME}.yaml").read_text(encoding="utf-8")
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path_factory.mktemp("revision") / "site.yaml"
        path.write_text(text, encoding="utf-8")
        return read_site(path)[0]

    return read


@pytest.fixture(scope="module")
def compared(site, book):
    made = {}

    def compare(after, other_book=book):
        key = after.model_dump_json(), other_book.digest
        if key not in made:
            sides = (PlanningInputs(site(NAME), book), PlanningInputs(after, other_book))
            both = [Revision(name, side, InputStamp(name, "")) for name, side in zip(("a", "b"), sides, strict=True)]
            made[key] = compare_revisions(*both)
        return made[key]

    return compare


def test_the_same_site_differs_in_nothing(site, compared):
    made = compared(site(NAME))
    assert (made.inputs, made.changes, made.unchanged) == ((), (), 4)
    assert made.before.amounts == made.after.amounts


def test_a_deeper_tip_is_the_cause_of_what_it_adds(changed, compared):
    """6 ft deeper, four shafts of 48 in: 24 ft more to drill, and 6 ft x 0.4654 yd3/ft (estimating tables) more concrete each."""
    made = compared(changed(("tip: 60", "tip: 66")))
    assert [(each.path, each.shafts) for each in made.inputs] == [("shafts[P4].tip", ("P4",))]
    (change,) = made.changes
    assert [(cause.input.path, cause.share) for cause in change.causes] == [("shafts[P4].tip", "decides")]
    assert change.after.drilled_m - change.before.drilled_m == pytest.approx(6 * FOOT, abs=1e-3)
    assert made.after.amounts.drilled_m - made.before.amounts.drilled_m == pytest.approx(24 * FOOT, abs=4e-3)
    more_m3 = (made.after.amounts.concrete_m3.low - made.before.amounts.concrete_m3.low) / 4
    assert more_m3 == pytest.approx(6 * 0.4654 * 0.764555, rel=0.06)  # the table's volume and the low overbreak on it
    assert made.unchanged == 0


def test_inputs_that_act_together_have_each_their_share(changed, compared):
    """Headroom makes more joints and so hours; the tip makes concrete: neither alone explains the whole change."""
    (change,) = compared(changed(("tip: 60", "tip: 66"), ("units: us", "units: us\n  headroom: 20"))).changes
    shares = {cause.input.path: cause for cause in change.causes}
    assert {path: cause.share for path, cause in shares.items()} == {"site.headroom": "shares", "shafts[P4].tip": "shares"}
    assert "concrete" in shares["shafts[P4].tip"].moves
    assert "concrete" not in shares["site.headroom"].moves
    assert change.interact


def test_an_input_that_changes_nothing_is_listed_and_blamed_for_nothing(changed, compared):
    made = compared(changed(("tip: 60", "tip: 66"), ("name: ", "name: New ")))
    assert "site.name" in {each.path for each in made.inputs}
    (change,) = made.changes
    assert [cause.input.path for cause in change.causes] == ["shafts[P4].tip"]


def test_a_cause_put_back_gives_the_plan_of_before(site, book, changed):
    """The law behind every cause: all differences put back, the inputs are those of before."""
    before, after = site(NAME), changed(("tip: 60", "tip: 66"), ("units: us", "units: us\n  headroom: 20"), ("depth: 85", "depth: 90"))
    inputs = PlanningInputs(after, book)
    for each in differences(PlanningInputs(before, book), inputs):
        inputs = each.undo(inputs)
    assert inputs.site == before
    assert inputs.site.model_fields_set == before.model_fields_set


def test_layers_whose_boundary_moved_are_put_back_together(site, book):
    before = site(NAME)
    boring = before.borings[0]
    moved = boring.layers[0].model_copy(update={"base_m": boring.layers[0].base_m - 0.5})
    next_one = boring.layers[1].model_copy(update={"top_m": moved.base_m})
    layers = (moved, next_one, *boring.layers[2:])
    after = before.model_copy(update={"borings": (boring.model_copy(update={"layers": layers}),)})
    (found,) = differences(PlanningInputs(before, book), PlanningInputs(after, book))
    assert found.change.path == f"borings[{boring.id}].layers"
    assert found.undo(PlanningInputs(after, book)).site.borings == before.borings


def test_a_number_of_shafts_that_changed_is_said(changed, compared):
    (change,) = compared(changed(("count: 4", "count: 7"))).changes
    assert change.differs[-1] == "count"
    assert change.said.startswith("4 shafts before, 7 after.")


def test_what_would_leave_no_site_is_not_put_back_alone(site, book):
    """The cut-off went below the old tip, and the tip with it: with the old tip alone the shaft would end above its cut-off."""
    before = site(NAME)
    shaft = before.shafts[0]
    deeper = shaft.model_copy(update={"tip_m": shaft.tip_m + 6.0, "cutoff_m": shaft.tip_m + 1.0})
    after = before.model_copy(update={"shafts": (deeper,)})
    by_path = {each.change.path: each for each in differences(PlanningInputs(before, book), PlanningInputs(after, book))}
    with pytest.raises(CannotBePutBackError):
        by_path["shafts[P4].tip"].undo(PlanningInputs(after, book))


def test_a_boring_that_a_shaft_names_is_not_put_back_without_it(site, compared):
    """The shaft went over to a new boring of the same ground, 1 ft deeper in water: neither the one nor the other stands alone."""
    before = site(NAME)
    boring = before.borings[0]
    wetter = tuple(
        reading if reading.depth_m is None else reading.model_copy(update={"depth_m": reading.depth_m - FOOT}) for reading in boring.water
    )
    other = boring.model_copy(update={"id": "B-9", "water": wetter})
    moved = before.shafts[0].model_copy(update={"boring": "B-9"})
    made = compared(before.model_copy(update={"borings": (boring, other), "shafts": (moved,)}))
    assert {each.path for each in made.inputs} == {"borings[B-9]", "shafts[P4].boring"}
    assert all(change.said for change in made.changes)


def test_a_rule_of_an_agency_is_the_cause(site, compared):
    """Florida wants mineral slurry for shafts of primary structures (455-15, as the overlay cites it), so the polymer goes."""
    rules = folder("rules")
    made = compared(site(NAME), load_shipped_once(rules, [overlay_path(rules, "fdot")]))
    (change,) = made.changes
    assert [(cause.input.path, cause.share) for cause in change.causes] == [("rules: fdot-mineral-for-primary-structures", "decides")]
    assert [each.fluid for each in change.before.fluids] == ["polymer"]
    assert [each.fluid for each in change.after.fluids] == ["mineral"]


def test_shafts_of_one_revision_only_are_named(site, compared):
    before = site(NAME)
    extra = before.shafts[0].model_copy(update={"id": "P5", "count": 2})
    made = compared(before.model_copy(update={"shafts": (*before.shafts, extra)}))
    new = next(change for change in made.changes if change.shafts == ("P5",))
    assert new.before is None
    assert new.said == "New."
    assert new.count == 2


def test_states_differ_in_what_they_say(changed, compared):
    (change,) = compared(changed(("tip: 60", "tip: 66"))).changes
    assert differing(change.before, change.before) == ()
    assert differing(change.before, replace(change.before, method="dry")) == ("method",)
    assert differing(change.before, replace(change.before, drilled_m=change.before.drilled_m + 1e-9)) == ()
