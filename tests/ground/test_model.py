"""Models of a site file: what they refuse and where, what they know of themselves, and their plain values."""

import copy
import pickle
from typing import Annotated

import pytest

from methodpick.ground.field_type import FieldEnds, Refusal
from methodpick.ground.model import Model, key, need
from methodpick.ground.profile import Layer, Profile
from methodpick.ground.site import Shaft, Site


class Rod(Model):
    length_m: Annotated[float, "a note"] = need("length", gt=0, le=9)
    name: str | None = key("name")
    count: int = key("count", 1, ge=1)


class Bundle(Model):
    rods: Annotated[tuple[Rod, ...], FieldEnds(min_length=1)] = need("rods")
    first: Rod | None = key("first")
    ends: tuple[float, float] = key("ends", (0.0, 1.0))

    def wrong(self):
        return "the first is not among them" if self.first is not None and self.first not in self.rods else ""


class LongRod(Rod):
    words: str = ""


def problems(kind, **given):
    with pytest.raises(Refusal) as refused:
        kind(**given)
    return refused.value.problems


def test_a_field_is_given_by_its_word_or_its_attribute():
    assert Rod(length=2) == Rod(length_m=2.0) == Rod.model_validate({"length": 2, "count": 1})
    assert isinstance(Rod(length=2).length_m, float)


@pytest.mark.parametrize(
    ("given", "path"),
    [
        ({}, ("length",)),
        ({"length": "2"}, ("length",)),
        ({"length": True}, ("length",)),
        ({"length": float("nan")}, ("length",)),
        ({"length": float("inf")}, ("length",)),
        ({"length": 0}, ("length",)),
        ({"length": 9.01}, ("length",)),
        ({"length": 2, "count": 1.5}, ("count",)),
        ({"length": 2, "count": 0}, ("count",)),
        ({"length": 2, "name": 7}, ("name",)),
        ({"length": 2, "colour": "red"}, ("colour",)),
    ],
)
def test_what_cannot_stand_in_a_field_is_refused_at_its_word(given, path):
    assert [where for where, _ in problems(Rod, **given)] == [path]


def test_all_that_is_wrong_is_told_with_the_way_to_it():
    told = problems(Bundle, rods=[{"length": 1}, {"length": -1}, {"count": 2}], ends=[1])
    assert [where for where, _ in told] == [("rods", 1, "length"), ("rods", 2, "length"), ("ends",)]
    assert problems(Bundle, rods=[]) == ((("rods",), "it must have at least 1"),)
    assert problems(Bundle, rods=[Rod(length=1)], first={"length": 2}) == (((), "the first is not among them"),)


def test_a_model_cannot_be_changed_and_its_copy_knows_what_was_given():
    rod = Rod(length=2)
    with pytest.raises(AttributeError):
        rod.count = 2
    with pytest.raises(AttributeError):
        del rod.count
    other = rod.model_copy(update={"count": 3})
    assert (rod.count, other.count, rod.model_fields_set, other.model_fields_set) == (1, 3, {"length_m"}, {"length_m", "count"})
    assert hash(rod) == hash(Rod(length=2, count=1))
    assert rod != LongRod(length=2)


def test_a_model_is_copied_and_sent_whole():
    bundle = Bundle(rods=[{"length": 1, "name": "a"}])
    for same in (copy.copy(bundle), copy.deepcopy(bundle), pickle.loads(pickle.dumps(bundle))):  # noqa: S301 (of this test)
        assert same == bundle
        assert same.model_fields_set == {"rods"}
        assert same.rods[0].model_fields_set == {"length_m", "name"}


def test_plain_values_leave_out_what_is_asked_for():
    bundle = Bundle(rods=[Rod(length=1, count=1)], ends=(0, 1))
    assert bundle.model_dump() == {"rods": ({"length_m": 1.0, "name": None, "count": 1},), "first": None, "ends": (0.0, 1.0)}
    assert bundle.model_dump(mode="json", exclude_defaults=True) == {"rods": [{"length_m": 1.0}]}
    assert bundle.model_dump(exclude_unset=True) == {"rods": ({"length_m": 1.0, "count": 1},), "ends": (0.0, 1.0)}
    assert bundle.model_dump(exclude={"rods": {"count", "name"}, "first": set()})["rods"] == ({"length_m": 1.0},)
    assert bundle.model_dump_json(exclude={"ends", "first"}) == '{"rods":[{"length_m":1.0,"name":null,"count":1}]}'


def test_a_model_within_another_is_written_by_the_fields_that_the_other_declares():
    """A part of a layer keeps the words of its log, which no file has."""
    assert Bundle(rods=[LongRod(length=1, words="long")]).model_dump(exclude_unset=True) == {"rods": ({"length_m": 1.0},)}
    assert LongRod(length=1, words="long").model_dump(exclude_unset=True) == {"length_m": 1.0, "words": "long"}


def test_what_is_written_is_read_as_the_same_site(site):
    for name in ("caving-lens", "twenty-layers"):
        made = site(name)
        assert Site.model_validate(made.model_dump(mode="json", exclude_defaults=True)) == made


def test_own_models_hold_lengths_in_order_and_texts_without_marks():
    assert problems(Shaft, id="S", diameter=1.2, tip=5, cutoff=6) == (((), "the tip is not below the cut-off"),)
    assert Profile(id="B ⟦1|m⟧").id == "B [1|m]"
    assert Layer(top=0, base=1, n=7).n == (7,)
