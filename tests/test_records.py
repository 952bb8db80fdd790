"""Records are held against the data classes of the standard library, of which they must differ in nothing but when methods are made."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError, dataclass, field, fields, is_dataclass, replace
from functools import cached_property
from importlib import import_module
from inspect import signature
from pkgutil import walk_packages

import pytest

import methodpick
from methodpick.records import record


class Plain:
    top_m: float
    base_m: float = 1.0
    words: dict[str, int] = field(default_factory=dict, compare=False, repr=False)
    name: str = field(default="sand")

    def __post_init__(self):
        if self.top_m < 0:
            raise ValueError("above")


class Lower(Plain):
    seat: str = "none"


class Named:
    cost: int
    text: str = ""


def made_by(make):
    """Return the classes above as one of the two makes them, under names of their own."""

    def of(kind, *bases, **options):
        content = {name: value for name, value in vars(kind).items() if name not in ("__dict__", "__weakref__")}
        return make(**options)(type(kind.__name__, bases, content))

    plain = of(Plain)
    return {"Plain": plain, "Lower": of(Lower, plain), "Named": of(Named, kw_only=True, order=True)}


RECORDS = made_by(record)
TWINS = made_by(lambda **options: dataclass(frozen=True, slots=True, **options))


def outcome(work):
    """Return what a call gives, written out, or its error."""
    try:
        return repr(work())
    except Exception as error:  # noqa: BLE001 (whatever it is, both must raise it)
        return type(error), str(error)


@pytest.mark.parametrize(
    "work",
    [
        lambda of: of["Plain"](2.0),
        lambda of: of["Plain"](top_m=2.0, words={"a": 1}, name="clay").words,
        lambda of: of["Plain"](),
        lambda of: of["Plain"](1, 2, {}, "clay", 5),
        lambda of: of["Plain"](1.0, deep=2),
        lambda of: of["Plain"](-1.0),
        lambda of: of["Plain"](1.0) == of["Plain"](1.0, words={"a": 1}),
        lambda of: of["Plain"](1.0) == of["Plain"](2.0),
        lambda of: of["Plain"](1.0) == of["Lower"](1.0),
        lambda of: of["Plain"](1.0) == 1.0,
        lambda of: hash(of["Plain"](1.0)),
        lambda of: hash(of["Lower"](1.0, seat="rock")),
        lambda of: {of["Plain"](1.0): "kept"}[of["Plain"](1.0, 1.0)],
        lambda of: of["Lower"](1.0, 2.0, {}, "clay", "rock"),
        lambda of: replace(of["Lower"](1.0), base_m=5.0),
        lambda of: replace(of["Lower"](1.0), deep=5.0),
        lambda of: replace(of["Plain"](1.0, words={"a": 1}), base_m=5.0).words,
        lambda of: [repr(part) for kind in of.values() for part in fields(kind)],
        lambda of: [kind.__slots__ for kind in of.values()],
        lambda of: [kind.__match_args__ for kind in of.values()],
        lambda of: of["Named"](1),
        lambda of: of["Named"](cost=1) < of["Named"](cost=1, text="a"),
        lambda of: of["Named"](cost=2) <= of["Named"](cost=1),
        lambda of: of["Named"](cost=2) > of["Named"](cost=1),
        lambda of: of["Named"](cost=2) >= of["Named"](cost=2),
        lambda of: of["Named"](cost=2) < 3,
        lambda of: of["Plain"](1.0) < of["Plain"](2.0),
        lambda of: setattr(of["Plain"](1.0), "top_m", 3.0),
        lambda of: delattr(of["Plain"](1.0), "top_m"),
        lambda of: copy.deepcopy(of["Lower"](1.0, seat="rock")),
        lambda of: is_dataclass(of["Plain"]),
    ],
)
def test_a_record_does_what_a_data_class_does(work):
    assert outcome(lambda: work(RECORDS)) == outcome(lambda: work(TWINS))


@record
class Kept:
    depth_m: float
    words: tuple[str, ...] = ()


@record(frozen=False)
class Counted:
    count: int = 0


@record(caches=True)
class Doubled:
    depth_m: float

    @cached_property
    def double_m(self):
        return [2 * self.depth_m]


@record(guarded=False)
class Light:
    depth_m: float
    words: tuple[str, ...] = ()

    def __post_init__(self):
        if self.depth_m < 0:
            raise ValueError("above")


def test_a_record_that_nobody_guards_is_like_one_that_is_guarded_but_for_being_set():
    light = Light(2.0, ("sand",))
    assert (repr(light), hash(light)) == ("Light(depth_m=2.0, words=('sand',))", hash((2.0, ("sand",))))
    assert replace(light, depth_m=3.0) == Light(3.0, words=("sand",)) != light
    assert pickle.loads(pickle.dumps(light)) == copy.deepcopy(light) == light  # noqa: S301 (written the line before)
    with pytest.raises(ValueError, match="above"):
        Light(-1.0)
    light.depth_m = 4.0
    assert light == Light(4.0, ("sand",))


def test_a_record_goes_to_another_process():
    kept = Kept(2.0, ("sand",))
    assert pickle.loads(pickle.dumps(kept)) == kept  # noqa: S301 (written the line before)


def test_a_frozen_record_refuses_names_that_it_does_not_have():
    with pytest.raises(FrozenInstanceError, match="cannot assign to field 'deep'"):
        Kept(1.0).deep = 2.0


def test_a_record_that_is_not_frozen_changes_and_has_no_hash():
    counted = Counted()
    counted.count += 2
    assert counted == Counted(2)
    with pytest.raises(TypeError, match="unhashable"):
        hash(counted)


def test_a_cached_property_is_kept():
    doubled = Doubled(2.0)
    assert doubled.double_m is doubled.double_m
    assert repr(doubled) == "Doubled(depth_m=2.0)"


def test_methods_are_made_at_their_first_call():
    """Counted, not timed: a new class calls nothing of the standard library's that compiles, and its method is made once."""

    @record
    class Fresh:
        depth_m: float

    first = vars(Fresh)["__init__"]
    Fresh(1.0)
    second = vars(Fresh)["__init__"]
    Fresh(2.0)
    assert first is not second
    assert second is vars(Fresh)["__init__"]
    assert list(signature(second).parameters) == ["self", "depth_m"]


@record
class Hashed:
    """Fields that are called as what the methods call, or as the letters by which they are written."""

    hash: int
    f0: int
    set0: int = 3
    self_: tuple = ()


def test_fields_may_be_called_as_what_the_methods_call():
    first, second = Hashed(1, 2), Hashed(1, f0=2, set0=3)
    assert first == second
    assert hash(first) == hash(second)
    assert first != Hashed(2, 1)
    assert repr(first) == "Hashed(hash=1, f0=2, set0=3, self_=())"


def test_every_record_of_the_program_is_whole():
    """What a data class would refuse when its module is imported is refused here: a default before what has none, a list as default."""
    modules = [
        import_module(found.name) for found in walk_packages(methodpick.__path__, "methodpick.") if not found.name.endswith("__main__")
    ]
    kinds = {kind for module in modules for kind in vars(module).values() if isinstance(kind, type) and "__record__" in vars(kind)}
    assert len(kinds) > 300
    for kind in kinds:
        with pytest.raises(TypeError, match="unexpected keyword argument"):
            kind(no_such_field=1)
        assert {part.name for part in fields(kind)} == set(kind.__record__.types)
        assert not any(isinstance(part.default, (list, dict, set)) for part in fields(kind)), kind
