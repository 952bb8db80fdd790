"""What drillers write, and what it is evidence of (common practice, no source)."""

import pytest

from methodpick.ground.descriptions.remark_words import tag_of, tags_of
from methodpick.ground.profile import Remark


@pytest.mark.parametrize(
    ("text", "tags"),
    [
        ("hole collapsing, water added", {"collapse", "water_added"}),
        ("sides sloughing below 4 m. Lost circulation at 6 m", {"collapse", "fluid_loss"}),
        ("no caving; water added", {"water_added"}),
        ("no return of flush", {"fluid_loss"}),
        ("drill chatter", {"obstruction"}),
        ("auger refusal on boulder", {"obstruction"}),
        ("sand rose 2 ft inside the augers", {"blowing_sand"}),
        ("backfilled with arisings", set()),
        ("", set()),
    ],
)
def test_everything_that_a_remark_shows_is_found(text, tags):
    assert tags_of(text) == tags


def test_a_tag_that_somebody_gave_counts_beside_the_words():
    assert Remark(depth_m=3, text="water added", tag="blowing_sand").tags == {"water_added", "blowing_sand"}
    assert Remark(depth_m=3, text="hole collapsing", tag="none").tags == frozenset(), "somebody looked and said that it is not"
    assert Remark(depth_m=3, text="hole collapsing").tags == {"collapse"}


def test_one_tag_for_a_sentence_is_its_weightiest():
    assert tag_of("hole collapsing, water added") == "collapse"
    assert tag_of("no voids met") == "none"
    assert tag_of("sunny") is None


@pytest.mark.parametrize(
    ("text", "tag", "pieces"),
    [
        ("drill chatter", None, {"cobbles"}),
        ("boulder chiselled out", None, {"cobbles", "boulders"}),
        ("old foundation", "obstruction", {"obstructions"}),
        ("stopped for an hour", "obstruction", {"obstructions"}),
        ("concrete struck", None, {"obstructions"}),
        ("auger refusal", None, set()),
        ("no boulders", None, set()),
        ("sides caving", None, set()),
    ],
)
def test_what_stops_a_tool_is_natural_or_man_made(text, tag, pieces):
    assert Remark(depth_m=3, text=text, tag=tag).pieces == pieces


@pytest.mark.parametrize(
    ("text", "tag"),
    [
        ("1 No. quartzite cobble", "obstruction"),
        ("2 No boulders of granite", "obstruction"),
        ("No recovery due to collapse of the hole", "collapse"),
        ("No SPT possible because of boulders", "obstruction"),
        ("Hole collapsing below 3.0m, no groundwater met", "collapse"),
        ("Could not progress beyond concrete", "obstruction"),
        ("Sides not stable", "collapse"),
        ("Inflow at 2.0m, no standing level", "seepage"),
        ("No seepage, inflow or collapse seen", "none"),
        ("Boulders were not encountered", "none"),
        ("Ground water: none", "none"),
        ("Did not collapse", "none"),
        ("No loss of flush", "none"),
        ("No flush returns below 6 m", "fluid_loss"),
        ("Backfilled with gravel, concrete and stop cock cover at ground level", None),
        ("Refused on a boulder, hole backfilled with arisings", "obstruction"),
        ("Concrete at 0.4m broken out", "obstruction"),
    ],
)
def test_a_sentence_denies_only_what_it_says_no_to(text, tag):
    assert tag_of(text) == tag
    assert tags_of(text) == (set() if tag in (None, "none") else {tag})


def test_a_remark_without_end_is_read_in_no_time():
    """Not a measurement: without a bound this text takes hours."""
    text = "no " * 300_000 + "progress"
    assert tags_of(text) == frozenset()


@pytest.mark.parametrize(
    ("text", "tag"),
    [
        ("100% water loss below 6.5m", "fluid_loss"),
        ("Mud losses at 32 ft", "fluid_loss"),
        ("Drill rods fell 0.4m under own weight", "void"),
        ("Bit suddenly dropped at 18 ft", "void"),
        ("Water flowing from hole", "artesian"),
        ("H2S odour noted", "gas"),
        ("Smell of hydrogen sulfide", "gas"),
        ("Hole squeezed in at 12.0m", "collapse"),
        ("Swelling clay, hole closed to 60mm", "collapse"),
        ("No water loss", "none"),
        ("No hydrogen sulphide smelt", "none"),
        ("Borehole closed up with bentonite pellets", None),
    ],
)
def test_more_words_of_drillers(text, tag):
    """Common practice, no source."""
    assert tag_of(text) == tag
