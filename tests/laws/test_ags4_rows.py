"""Laws of the AGS4 import: no row is lost, order and units do not matter, a round trip through YAML changes nothing."""

import csv
from pathlib import Path

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.errors import InputError
from methodpick.formats.site_yaml import site_yaml
from methodpick.imports.ags4 import read_ags4
from methodpick.imports.site_file import read_site

QUAY = (Path(__file__).parent.parent / "corpus" / "harrow-quay.ags").read_text()
HEADINGS = {
    "LOCA": ("LOCA_ID", "LOCA_TYPE", "LOCA_FDEP"),
    "GEOL": ("LOCA_ID", "GEOL_TOP", "GEOL_BASE", "GEOL_DESC"),
    "ISPT": ("LOCA_ID", "ISPT_TOP", "ISPT_NVAL", "ISPT_REP"),
    "WSTG": ("LOCA_ID", "WSTG_DPTH", "WSTG_REM"),
    "WSTD": ("LOCA_ID", "WSTG_DPTH", "WSTD_POST"),
    "CORE": ("LOCA_ID", "CORE_TOP", "CORE_BASE", "CORE_RQD"),
}
LENGTHS = {"LOCA_FDEP", "GEOL_TOP", "GEOL_BASE", "ISPT_TOP", "WSTG_DPTH", "WSTD_POST", "CORE_TOP", "CORE_BASE"}

depth = st.one_of(st.integers(0, 4000).map(lambda size: f"{size / 100:.2f}"), st.sampled_from(["", "deep", "-1", "nan"]))
words = st.sampled_from(["Stiff CLAY", "Loose SAND", "", "none", "Dry", "SANDSTONE"])
report = st.sampled_from(["", "N=12 (1,2/3,3,3,3)", "50 (25 for 75mm/50 for 60mm)", "70*", "refused", "N>50"])
count = st.one_of(st.just(""), st.integers(0, 90).map(str), st.just("many"))
ids = st.sampled_from(["B-1", "B-2"])
ROWS = {
    "GEOL": st.tuples(ids, depth, depth, words),
    "ISPT": st.tuples(ids, depth, count, report),
    "WSTG": st.tuples(ids, depth, words),
    "WSTD": st.tuples(ids, depth, depth),
    "CORE": st.tuples(ids, depth, depth, count),
}
tables = st.fixed_dictionaries({name: st.lists(rows, max_size=5) for name, rows in ROWS.items()})


def write(rows, feet=False):
    lines = []
    everything = {"LOCA": [("B-1", "CP", "40.00"), ("B-2", "CP", "40.00")], **rows}
    for name, found in everything.items():
        headings = HEADINGS[name]
        units = [("ft" if feet else "m") if heading in LENGTHS else "" for heading in headings]
        lines += [("GROUP", name), ("HEADING", *headings), ("UNIT", *units)]
        lines += [
            ("DATA", *(in_feet(cell) if feet and heading in LENGTHS else cell for heading, cell in zip(headings, row, strict=True)))
            for row in found
        ]
    return "\n".join(",".join(f'"{cell}"' for cell in line) for line in lines) + "\n"


def in_feet(cell):
    try:
        return repr(float(cell) / 0.3048)
    except ValueError:
        return cell


def outcome(text):
    """The borings, or the words of the refusal."""
    try:
        return read_ags4(text).profiles
    except InputError as error:
        return error.render()


def kept(profiles):
    """Everything of the borings that a row can have become, as (boring, depth)."""
    found = set()
    for profile in profiles:
        depths = [layer.top_m for layer in profile.layers] + [test.depth_m for test in profile.spt]
        depths += [run.top_m for run in profile.cores] + [remark.depth_m for remark in profile.remarks]
        for reading in profile.water:
            depths += [reading.depth_m, reading.struck_m, reading.rises_to_m]
        found |= {(profile.id, one) for one in depths if one is not None}
        found |= {(profile.id, reading.reading) for reading in profile.water if reading.reading == "none_met"}
    return found


@settings(max_examples=examples(60))
@given(tables)
def test_law_every_row_ends_up_in_a_boring_or_in_a_doubt(rows):
    text = write(rows)
    read = read_ags4(text)
    doubted = {doubt.place.line for doubt in read.doubts}
    found = kept(read.profiles)
    at = {"GEOL": 1, "ISPT": 1, "WSTG": 1, "WSTD": 2, "CORE": 1}
    superseded = {}
    for row in rows["WSTD"]:
        superseded.setdefault(row[:2], []).append(row[2])
    name = ""
    for number, line in enumerate(text.splitlines(), 1):
        cells = next(csv.reader([line]))
        if cells[0] == "GROUP":
            name = cells[1]
        if cells[0] != "DATA" or name == "LOCA" or number in doubted:
            continue
        if name == "WSTD" and len(superseded[tuple(cells[1:3])]) > 1:
            continue  # an earlier reading of the same rise
        if name == "WSTG" and (cells[1], "none_met") in found:
            continue
        assert (cells[1], round(float(cells[1 + at[name]]), 3)) in found, (name, line)


@settings(max_examples=examples(30))
@given(tables, st.randoms(use_true_random=False))
def test_law_the_order_of_rows_does_not_matter(rows, random):
    shuffled = {name: random.sample(found, len(found)) for name, found in rows.items()}
    assert read_ags4(write(rows)).profiles == read_ags4(write(shuffled)).profiles


@settings(max_examples=examples(30))
@given(tables)
def test_law_feet_and_metres_of_one_log_give_the_same_borings(rows):
    assert read_ags4(write(rows)).profiles == read_ags4(write(rows, feet=True)).profiles


@settings(max_examples=examples(30))
@given(tables, st.sampled_from(["si", "us"]))
def test_law_a_round_trip_through_the_site_file_changes_nothing(rows, units):
    profiles = read_ags4(write(rows)).profiles
    assert read_site(site_yaml(profiles, units=units))[0].borings == profiles


@settings(max_examples=examples(60))
@given(st.integers(0, len(QUAY)), st.integers(0, 200), st.text(max_size=20))
def test_law_a_damaged_file_is_read_or_refused_but_never_crashes(start, length, junk):
    assert outcome(QUAY[:start] + junk + QUAY[start + length :])


@pytest.mark.parametrize("group", ["GEOL", "ISPT", "WSTG", "WSTD", "CORE"])
def test_law_of_lost_rows_would_notice_a_lost_row(group):
    rows = {
        "GEOL": [("B-1", "1.00", "2.00", "CLAY")],
        "ISPT": [("B-1", "3.00", "7", "")],
        "WSTG": [("B-1", "4.00", "")],
        "WSTD": [("B-1", "4.00", "3.50")],
        "CORE": [("B-1", "5.00", "6.00", "40")],
    }
    read = read_ags4(write({**rows, group: []}))
    lost = {"GEOL": 1.0, "ISPT": 3.0, "WSTG": 4.0, "WSTD": 3.5, "CORE": 5.0}[group]
    assert ("B-1", lost) not in kept(read.profiles)


@pytest.mark.parametrize("bases", [("2.00", "7.00"), ("7.00", "2.00"), ("0.00", "30.00"), ("30.00", "100.00")])
def test_rows_that_start_alike_stand_in_the_same_order_in_feet(bases):
    """As text 2.00 m comes before 7.00 m, but 6.56 ft after 22.97 ft: the order is that of the numbers."""
    rows = {"GEOL": [("B-1", "0.00", base, word) for base, word in zip(bases, ("Stiff CLAY", "Loose SAND"), strict=True)]}
    metres, feet = (read_ags4(write(rows, feet=feet)) for feet in (False, True))
    assert metres.profiles == feet.profiles
    assert [doubt.message for doubt in metres.doubts] == [doubt.message for doubt in feet.doubts]
    layers = metres.profiles[0].layers
    assert [layer.base_m for layer in layers] == sorted(float(base) for base in bases if base != "0.00")
