"""The one YAML reader: what it takes, what it refuses, and the cures that it names."""

import json
from time import perf_counter

import pytest
import yaml
from effort import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from methodpick import strict_yaml
from methodpick.errors import InputError
from methodpick.imports.site_file import read_site
from methodpick.strict_yaml import read


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("no", "no"),
        ("on", "on"),
        ("yes", "yes"),
        ("true", True),
        ("False", False),
        ("null", None),
        ("~", None),
        ("", None),
        ("12:30", "12:30"),
        ("2026-03-14", "2026-03-14"),
        ("1e3", 1000.0),
        ("1e-5", 1e-5),
        (".5", 0.5),
        ("5.", 5.0),
        ("08", 8),
        ("010", 10),
        ("-4", -4),
        ("+7", 7),
        ("1_000", "1_000"),
        ("0x1F", "0x1F"),
        ("'8'", "8"),
        ('"no"', "no"),
        ("50/3in", "50/3in"),
        ("1.2.3", "1.2.3"),
        ("80 %", "80 %"),
    ],
)
def test_scalars_mean_what_an_engineer_meant(text, value):
    found = read(f"key: {text}").value["key"]
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize(
    ("text", "said", "line"),
    [
        ("a: 1\nb: 2\na: 3", "the key 'a' stands twice", 3),
        ("a: &x 1\nb: *x", "anchors and aliases", 1),
        ("a: 1\nb: &x {c: 2}", "anchors and aliases", 2),
        ("&x a: 1", "anchors and aliases", 1),
        ("a: *nobody", "anchors and aliases", 1),
        ("a: {<<: {b: 1}}", "merge keys", 1),
        ("a: !!python/object:os.system x", "tags are not allowed", 1),
        ("a: 1\nb: !!str 5", "tags are not allowed", 2),
        ("!!int 3: 1", "tags are not allowed", 1),
        ("a: !own 5", "tags are not allowed", 1),
        ("a: .nan", "not a value that can be used", 1),
        ("a: 1\nb: .inf", "not a value that can be used", 2),
        ("a: 1e999", "too large a number", 1),
        ("a: 1e308", "too large a number", 1),
        ("? [1, 2]\n: 3", "a key must be a word", 1),
        ("a: 1\n---\nb: 2", "another document", 2),
        ("a:\n\t- b", "this is not YAML", 2),
        ("a: [1, 2", "this is not YAML", 1),
        ("a: 1\nb: 'open\nc: 2\n\n", "quoted scalar", 2),
    ],
)
def test_what_is_refused_names_its_line(text, said, line):
    with pytest.raises(InputError) as found:
        read(text, "site.yaml")
    assert said in found.value.render()
    assert found.value.problems[0].place.line == line


def test_all_problems_come_at_once():
    with pytest.raises(InputError) as found:
        read("a: 1\na: 2\nb: .nan\nc: 1e999\nd: &x 3\ne: [1, 2\n")
    assert [problem.place.line for problem in found.value.problems] == [2, 3, 4, 5, 6]


def test_signs_inside_quotes_and_blocks_are_text():
    assert read("a: '!x'\nb: \"&y\"\nc: |\n  !z\n").value == {"a": "!x", "b": "&y", "c": "!z\n"}


@pytest.mark.parametrize("text", ["a: &x [1]\nb: *x", "é: !!str 5\r\nb: 1", "a: 1\na: 2", "a: [1, 2", "a: .inf", "a:\n\t- b"])
def test_the_slow_reader_refuses_the_same_at_the_same_place(text, monkeypatch):
    """Where no C library is there the Python one reads; both must say the same."""
    with pytest.raises(InputError) as fast:
        read(text)
    monkeypatch.setattr(strict_yaml, "_Loader", yaml.BaseLoader)
    with pytest.raises(InputError) as slow:
        read(text)
    assert [problem.place.line for problem in slow.value.problems] == [problem.place.line for problem in fast.value.problems]


words = st.text(st.characters(categories=("L", "N", "P", "S", "Zs")), max_size=12)
tree = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-(10**15), 10**15), st.floats(-1e200, 1e200), words),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(words, inner, max_size=4)),
    max_leaves=12,
)


@given(tree)
def test_what_json_says_is_what_is_read(value):
    """JSON is a subset of YAML 1.2: any JSON text reads as itself (YAML 1.2.2, section 1.2)."""
    text = json.dumps({"key": value}, ensure_ascii=False)
    assume("<<" not in text)
    assert read(text).value == {"key": value}


@given(st.text(max_size=60))
@settings(max_examples=examples(200))
def test_any_text_is_read_or_refused(text):
    try:
        document = read(text)
    except InputError:
        return
    assert document.place(()).line >= 1


def test_places_of_values_and_keys():
    document = read("site:\n  name: x\nborings:\n  - id: B\n    depth: 70\n")
    place = document.place(("borings", 0, "depth"))
    assert (place.line, place.column, place.text) == (5, 12, "    depth: 70")
    assert document.place(("borings", 0, "depth"), key=True).column == 5
    assert document.place(("borings", 0, "missing")).line == 4
    assert document.place(("nowhere",)).line == 1


def test_files_that_cannot_be_read(tmp_path):
    (tmp_path / "latin.yaml").write_bytes(b"name: \xe9t\xe9\n")
    (tmp_path / "large.yaml").write_bytes(b"a: 1\n" * 500_000)
    (tmp_path / "empty.yaml").write_text("")
    (tmp_path / "comment.yaml").write_text("# nothing\n")
    for name, said in (
        ("latin.yaml", "not UTF-8"),
        ("large.yaml", "the most read"),
        ("empty.yaml", "is empty"),
        ("comment.yaml", "is empty"),
        ("none.yaml", "no such file"),
        (".", "a folder"),
    ):
        with pytest.raises(InputError, match=said):
            read(tmp_path / name)


def test_a_byte_order_mark_is_read_over(tmp_path):
    (tmp_path / "bom.yaml").write_bytes("﻿a: 1\n".encode())
    assert read(tmp_path / "bom.yaml").value == {"a": 1}


@pytest.mark.parametrize(
    "text",
    [
        "[" * 1_900_000,
        "[]" * 900_000,
        "? " * 900_000,
        "[" * 42 + "]" * 42,
        "{a: " * 4000,
        "- " * 9000,
        "a: &a [x]\n" + "b: [*a, *a]\n" * 1000,
        "\n".join(" " * n + "a:" for n in range(600)),
    ],
)
def test_bombs_are_refused_in_under_a_second(text):
    start = perf_counter()
    with pytest.raises(InputError):
        read(text)
    assert perf_counter() - start < 1.0


# ---- Natural mistakes of somebody who writes a site file: each named at its place, with the cure (YAML 1.2)


HEAD = "methodpick: 1\nsite: {units: us}\nborings:\n  - id: B-1\n    depth: 60\n"
LAYER = '    layers:\n      - {top: 0, base: 20, description: "soft clay"}\n'
SHAFT = "shafts:\n  - {id: P1, boring: B-1, diameter: 48, tip: 50}\n"
TEST = "    spt:\n      - {depth: 3, n: 4}\n"


@pytest.mark.parametrize(
    ("text", "line", "cure"),
    [
        (HEAD.replace("depth", "dept"), 5, "did you mean 'depth'?"),
        (HEAD + SHAFT.replace(", tip: 50", ""), 7, "add 'tip:'"),
        (HEAD + LAYER.replace("base: 20", "base: 20,5"), 7, "write numbers with a point"),
        (HEAD.replace("60", "60,5"), 5, "write the number with a point: 60.5"),
        (HEAD.replace("depth: 60", "depth:60"), 5, "write a space behind the colon: 'depth: 60'"),
        (HEAD + LAYER.replace("top: 0,", "top: 0"), 7, "put a comma before 'base:'"),
        (HEAD + LAYER.replace("}", ""), 7, "the '{' that opens here is not closed"),
        (HEAD + LAYER.replace('clay"', "clay"), 7, "the quote that opens here is not closed"),
        (HEAD + '    technique: "auger\n    depth: 60\n    cave_in_depth: "20"\n', 8, "the quote that opens on line 6 is not closed"),
        (HEAD + LAYER.replace("- {", "-{"), 7, "put a space behind the dash"),
        (HEAD + LAYER.replace('"soft clay"', "clay: soft, with sand"), 7, "quote the text of 'description'"),
        (HEAD + "\t" + LAYER, 6, "indent with spaces, not tabs"),
        (HEAD + "   water: []\n", 6, "line it up with the keys"),
        (HEAD + LAYER.replace("- {", "{"), 7, "start every entry with '- '"),
        (HEAD + LAYER.replace("base: 20", "base: 20, su: >500"), 7, "write what is known as a range"),
        (HEAD + LAYER.replace("base: 20", "base: 20, su: 500-800"), 7, "write a range as [500, 800]"),
        (HEAD + TEST.replace("n: 4", "n: N=12"), 7, "write the number alone: n: 12"),
        (HEAD + TEST.replace("n: 4", "n: 3-5-6"), 7, "blows: [3, 5, 6]"),
        (HEAD + "    water: [{depth: 2026-03-14, reading: settled}]\n", 6, "this is a date"),
        (HEAD + "    water: none\n", 6, "reading: none_met"),
        (HEAD + SHAFT.replace("B-1", "B1"), 7, "did you mean 'B-1'?"),
        (HEAD + "  - id: B-1\n", 6, "give each its own id"),
        (HEAD + LAYER.replace('clay"', "clay") + LAYER[15:].replace("0, base: 20", "20, base: 60"), 8, "the quote that opens on line 7"),
        (HEAD + LAYER.replace("}", "") + TEST, 8, "the '{' on line 7 is not closed"),
        (HEAD.replace("depth: 60", "depth:60") + "    water: []\n", 6, "write a space behind the colon on line 5: 'depth: 60'"),
        (HEAD + TEST.replace("n: 4", "N=12, blows: [4, 6, 6]"), 7, "write 'n: 12'"),
        (HEAD + TEST.replace("n: 4", "blows: 4-6-7"), 7, "write [4, 6, 7]"),
        (HEAD + LAYER.replace(", desc", ", material: clay, desc"), 7, "write 'description' for 'material'"),
        (HEAD + LAYER.replace("base: 20", "base: 20, thickness: 20"), 7, "the depth of the bottom of the layer"),
        (HEAD.replace("us}", "metric}"), 2, "write 'si' for 'metric'"),
        (HEAD + "    water: [{depth: 4, reading: static}]\n", 6, "write 'settled' for 'static'"),
    ],
)
def test_a_natural_mistake_is_named_at_its_place_with_the_cure(text, line, cure):
    with pytest.raises(InputError) as caught:
        read_site(text, "site.yaml")
    first = caught.value.problems[0]
    assert first.place.line == line
    assert cure in first.hint
