"""Every formula has its source, range and a worked example that it meets; its declared signs hold."""

import inspect
import sys
from functools import cache
from traceback import walk_tb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.mechanics.earth_pressure import hydrostatic
from methodpick.mechanics.registry import REGISTRY, CallRecorder, all_formulas, call_behind, recording
from methodpick.resources import folder
from methodpick.strict_yaml import read

NAMES = sorted(all_formulas())


@pytest.mark.parametrize("name", NAMES)
def test_the_example_of_a_formula_is_met(name):
    record = REGISTRY[name]
    arguments, expected = record.example
    assert record.call(**arguments) == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("name", NAMES)
def test_a_formula_is_whole(name):
    record = REGISTRY[name]
    assert record.source
    assert record.symbols
    assert record.title
    assert record.unit
    assert record.standing in {"solid", "fair", "weak"}
    known = set(inspect.signature(record.call).parameters)
    assert set(record.arguments) <= known
    assert ">>>" in (record.call.__doc__ or "")


def inside(argument):
    low, high = max(argument.low, -1e6), min(argument.high, 1e9)
    return st.floats(low + 1e-9, high, allow_nan=False) if low < high else st.just(low)


@cache
def moved(name):
    """Return what may be drawn for a formula: its arguments, one that has a sign, and how far that goes towards its upper end."""
    arguments = REGISTRY[name].arguments
    signed = [key for key, argument in arguments.items() if argument.sign]
    return st.tuples(st.fixed_dictionaries({key: inside(argument) for key, argument in arguments.items()}), st.sampled_from(signed), SHARE)


SHARE = st.floats(0, 1)


@pytest.mark.parametrize("name", [name for name in NAMES if any(argument.sign for argument in REGISTRY[name].arguments.values())])
@given(data=st.data())
def test_the_declared_signs_hold(name, data):
    record = REGISTRY[name]
    base, key, share = data.draw(moved(name))
    if name in {"density_for_pressure", "fluid_pressure"}:
        base["fluid_level_m"] = min(base["fluid_level_m"], base["depth_m"] - 0.5)
    if name == "overload_ratio":
        base["inside_pressure_kpa"] = min(base["inside_pressure_kpa"], base["total_stress_kpa"])
    more = dict(base)
    more[key] += share * max(0.0, min(record.arguments[key].high, 1e9) - base[key])
    if name in {"density_for_pressure", "fluid_pressure"} and more["depth_m"] - more["fluid_level_m"] < 0.4:
        return
    first, second = record.call(**base), record.call(**more)
    if first == second:
        return
    slack = 1e-6 * max(1.0, abs(first))
    assert (second >= first - slack) if record.arguments[key].sign == "+" else (second <= first + slack)


def test_impossible_input_is_refused_in_words():
    for call, words in (
        (lambda: REGISTRY["collapse_limit"].call(5.0, -1.0), "diameter_m is -1.0"),
        (lambda: REGISTRY["overload_ratio"].call(1.0, 0.0, float("nan")), "su_kpa is nan"),
        (lambda: REGISTRY["density_for_pressure"].call(10.0, 1.0, 2.0), "depth below the fluid level"),
    ):
        with pytest.raises(ValueError, match=words):
            call()


def test_the_shipped_limits_name_known_sources():
    sources = read(folder("rules") / "sources.yaml").value["sources"]
    limits = read(folder("rules") / "limits.yaml").value["limits"]
    assert {limit["source"] for limit in limits.values()} <= set(sources)


def test_calls_of_formulas_are_recorded_and_found_by_their_result():
    hook = sys.getprofile()
    with recording() as calls:
        hydrostatic(2.0)
        hydrostatic(3.0)
    assert sys.getprofile() is hook
    assert [call.arguments["head_m"] for call in calls] == [2.0, 3.0]
    assert call_behind(calls, calls[1].result, ["hydrostatic"]).arguments["head_m"] == 3.0
    assert call_behind(calls, calls[1].result, ["ka"]) is None
    assert call_behind(calls, -1.0, ["hydrostatic"]) is None


def test_a_recorder_notes_what_is_called_and_what_returns():
    """The hook hears of frames; a formula that refuses its input leaves a frame to show it."""
    with pytest.raises(ValueError, match="diameter_m") as refused:
        REGISTRY["collapse_limit"].call(5.0, -1.0)
    frames = [frame for frame, _ in walk_tb(refused.value.__traceback__)]
    within = next(frame for frame in frames if frame.f_code is REGISTRY["collapse_limit"].code)
    recorder = CallRecorder()
    recorder.hear(frames[0], "call", None)
    recorder.hear(frames[0], "return", 1.0)
    assert recorder.calls == []
    recorder.hear(within, "call", None)
    recorder.hear(within, "line", None)
    recorder.hear(within, "return", 7.5)
    recorder.hear(within, "call", None)
    recorder.hear(within, "return", None)
    assert [(call.formula.name, call.result) for call in recorder.calls] == [("collapse_limit", 7.5)]
    assert recorder.calls[0].arguments["diameter_m"] == -1.0
