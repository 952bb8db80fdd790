"""Bad site files: each is an InputError that says what, where, what was expected and what to do."""

import pytest

from methodpick.errors import InputError, did_you_mean
from methodpick.imports import site_reader
from methodpick.imports.site_file import read_site

HEAD = "methodpick: 1\nborings:\n  - {id: B-1, layers: [{top: 0, base: 60, description: clay}]}\n"


def problems_of(source, name="site.yaml"):
    with pytest.raises(InputError) as caught:
        read_site(source, name)
    assert caught.value.exit_code == 2
    return caught.value.problems


def only(source):
    (problem,) = problems_of(source)
    return problem


def marked(problem):
    """The line of a problem and the text that the caret stands under."""
    place = problem.place
    return place.line, place.text[place.column - 1 : place.column - 1 + place.width]


def shaft(keys):
    return f"{HEAD}shafts:\n  - {{id: P1, boring: B-1, {keys}}}\n"


def layer(keys, units="us"):
    return f"methodpick: 1\nsite: {{units: {units}}}\nborings:\n  - id: B-1\n    layers:\n      - {{{keys}}}\n"


@pytest.mark.parametrize(("hours", "refused"), [("1.0e-08", True), ("0.9", True), ("1", False), ("24", False), ("25", True)])
def test_a_shift_is_an_hour_at_least_and_no_longer_than_a_day(hours, refused):
    """Common practice, no source: in less nothing is done. A shift of no length left nights without end in a plan."""
    text = (
        f"methodpick: 1\nsite: {{schedule: {{shift_hours: {hours}}}}}\nborings: [{{id: B-1, layers: [{{top: 0, base: 9, symbol: CL}}]}}]\n"
    )
    found = [problem.message for problem in (problems_of(text) if refused else [])]
    assert found == ([f"shift_hours {float(hours):g} h cannot be"] if refused else [])
    assert refused or read_site(text, "site.yaml")[0].site.schedule.shift_hours == float(hours)


# whole files


def test_an_empty_file():
    assert "empty" in only("").message
    assert "empty" in only("# only a comment\n").message


def test_a_folder(tmp_path):
    assert "folder" in problems_of(tmp_path, None)[0].message


def test_a_file_that_is_not_there(tmp_path):
    assert "no such file" in problems_of(tmp_path / "none.yaml", None)[0].message


def test_bytes_that_are_not_utf_8(tmp_path):
    path = tmp_path / "latin.yaml"
    path.write_bytes("methodpick: 1\n# Böschung\n".encode("latin-1"))
    problem = problems_of(path, None)[0]
    assert "not UTF-8" in problem.message
    assert problem.hint == "save the file as UTF-8"


def test_an_alias_bomb():
    bomb = "methodpick: 1\na: &a [x, x]\n" + "".join(f"{chr(98 + i)}: &{chr(98 + i)} [*{chr(97 + i)}, *{chr(97 + i)}]\n" for i in range(20))
    assert any("alias" in problem.message for problem in problems_of(bomb))


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('"GROUP","PROJ"\n"HEADING","PROJ_ID"\n', "an AGS4 log"),
        ('"**PROJ"\n"*PROJ_ID"\n', "an AGS3 log"),
        ('<?xml version="1.0"?>\n<Diggs/>', "an XML file"),
        ('{"format": "methodpick-plan/1", "shafts": []}', "a finished plan"),
        ("%PDF-1.7\n", "a PDF"),
        ("PK\x03\x04 sheet", "a table or workbook"),
    ],
)
def test_other_formats_are_named(tmp_path, text, what):
    problem = only(text)
    assert f"site.yaml: this is {what}" in problem.message
    assert problem.hint
    path = tmp_path / "log.txt"
    path.write_text(text)
    assert what in problems_of(path, None)[0].message


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("just words\n", "this is 'just words', not a site file", "'methodpick new'"),
        ("- a\n- b\n", "this is a list, not a site file", "'methodpick new'"),
        ("borings: []\n", "the first key is 'borings', not 'methodpick'", "write 'methodpick: 1' above"),
        ("borings: [{id: B}]\nmethodpick: 1\n", "the first key is 'borings', not 'methodpick'", "move 'methodpick' to the top"),
        ("methodpick: 2\n", "the format 2 is not known", "newer"),
        ("methodpick: true\n", "the format true is not known", "newer"),
        ("methodpick: one\n", "the format 'one' is not known", "newer"),
    ],
)
def test_what_is_no_site_file(text, message, hint):
    problem = only(text)
    assert problem.message == message
    assert hint in problem.hint
    assert "methodpick: 1" in problem.expected
    assert problem.place.line == 1


def test_the_format_alone_lacks_borings():
    assert only("methodpick: 1\n").message == "the file has no 'borings'"
    assert only("methodpick: 1\nborings: []\n").message == "borings: the list is empty"


# keys and types


@pytest.mark.parametrize(
    ("word", "depth"), [("tip_elevation", "tip"), ("Tip El", "tip"), ("cutoff_elevation", "cutoff"), ("TOS", "cutoff")]
)
def test_an_elevation_of_a_shaft_is_told_the_depth_that_stands_for_it(word, depth):
    problem = only(shaft(f"diameter: 48, tip: 40, {word}: 352.5"))
    assert problem.hint.startswith(f"write '{depth}', the depth below the ground: its elevation less this one")
    assert marked(problem) == (5, word)


@pytest.mark.parametrize(("word", "meant"), [("diametr", "diameter"), ("Diameter", "diameter"), ("cut-off", "cutoff")])
def test_an_unknown_key_is_pointed_at_and_the_likeliest_named(word, meant):
    problem = only(shaft(f"diameter: 48, tip: 40, {word}: 3"))
    assert problem.message == f"unknown key '{word}'"
    assert problem.hint == f"did you mean '{meant}'?"
    assert problem.expected.startswith("one of id, boring, diameter")
    assert marked(problem) == (5, word)


def test_missing_keys_are_named_with_what_belongs_there():
    lacking = problems_of(f"{HEAD}shafts:\n  - {{id: P1}}\n")
    assert [problem.message for problem in lacking] == ["shafts, entry 1 has no 'diameter'", "shafts, entry 1 has no 'tip'"]
    assert lacking[0].expected == "a size in in or with its own unit"
    assert marked(lacking[0]) == (5, "{id: P1}")


@pytest.mark.parametrize(
    ("text", "message", "place"),
    [
        (layer("top: 0, base: 9, seams: {material: sand}"), "seams: a map where a list belongs", (6, "{material: sand}")),
        ("methodpick: 1\nsite: [land]\nborings: [{id: B}]\n", "site: a list where a map belongs", (2, "[land]")),
        ("methodpick: 1\nborings: [B-1]\n", "borings, entry 1: 'B-1' where a map belongs", (2, "B-1")),
        ("methodpick: 1\nborings: B-1\n", "borings: 'B-1' where a list belongs", (2, "B-1")),
        (layer("top: 0, base: [9]"), "base: a list is not a length", (6, "[9]")),
        (layer("top: true, base: 9"), "top: true is not a length", (6, "true")),
        (layer("top: , base: 9"), "top: nothing is not a length", (6, ",")),
        (layer("top: 0, base: 9, description: [clay]"), "description: a list where a text belongs", (6, "[clay]")),
        (layer("top: 0, base: 9, description: true"), "description: true is not a text", (6, "true")),
        (layer("top: 0, base: 9, features: fissured"), "features: 'fissured' where a list belongs", (6, "fissured")),
        (shaft("diameter: 48, tip: 40, count: 1.5"), "count: 1.5 is not a whole number", (5, "1.5")),
        (shaft("diameter: 48, tip: 40, count: 0"), "count 0 cannot be", (5, "0")),
        (f"{HEAD}rates: 5\n", "rates: 5 where a map belongs", (4, "5")),
        (f"{HEAD}site: {{equipment: {{vibratory: maybe}}}}\n", "vibratory: 'maybe' is neither true nor false", (4, "maybe")),
        ("methodpick: 1\nborings: [{id: ' '}]\n", "id is empty", (2, "' '")),
    ],
)
def test_wrong_types_are_pointed_at(text, message, place):
    problem = only(text)
    assert problem.message == message
    assert marked(problem) == place
    assert problem.expected


@pytest.mark.parametrize(
    ("keys", "message", "hint"),
    [
        ("features: [fisured]", "'fisured' is not a known value of 'features, entry 1'", "did you mean 'fissured'?"),
        ("origin: alluvium", "'alluvium' is not a known value of 'origin'", "did you mean 'alluvial'?"),
        ("symbol: SPX", "symbol: 'SPX' is not a known soil symbol", "did you mean"),
        ("symbol: gravle", "symbol: 'gravle' is not a known soil symbol", "let the description speak"),
    ],
)
def test_unknown_words_are_answered_with_the_list_and_the_likeliest(keys, message, hint):
    problem = only(layer(f"top: 0, base: 9, {keys}"))
    assert problem.message == message
    assert hint in problem.hint
    assert problem.expected.startswith("one of ")


# numbers


@pytest.mark.parametrize(
    ("keys", "message", "expected", "hint"),
    [
        ("base: 9, su: 5 ft", "su: '5 ft' is not a stress", "a stress in psf", "kPa"),
        ("base: 9, su: about 500", "su: 'about 500' is not a stress", "a stress in psf", "write the number first"),
        ("base: 9, fines: '<5'", "fines: '<5' is not a percentage", "a percentage in %", "[0, 5]"),
        ("base: 9, su: unknown", "su: 'unknown' is not a stress", "a stress in psf", "leave the key out"),
        ("base: '1,200 mm'", "base: '1,200 mm' is not a length", "a length in feet", "write 1.2 or 1200"),
        ("base: 9, pi: NP", "pi: 'NP' is not a percentage", "a percentage in %", "write 0 for non-plastic"),
        ("base: 9, su: 'NaN'", "su: 'NaN' is not a stress", "a stress in psf", "leave the key out"),
    ],
)
def test_numbers_that_cannot_be_read_say_what_would_do(keys, message, expected, hint):
    problem = only(layer(f"top: 0, {keys}"))
    assert problem.message == message
    assert problem.expected.startswith(expected)
    assert hint in problem.hint


@pytest.mark.parametrize(
    ("written", "message", "expected", "hint"),
    [
        ("48 ft", "diameter 48 ft cannot be", "from 0.8202 to 19.69 ft", "did you mean 48 in?"),
        ("1200", "diameter 1200 in cannot be", "from 9.843 to 236.2 in", "did you mean 1200 mm? With 'units: us'"),
        ("-48", "diameter -48 in cannot be", "from 9.843 to 236.2 in", "correct the number"),
        ("0", "diameter 0 in cannot be", "from 9.843 to 236.2 in", "correct the number"),
        ("1e30", "diameter: 1e+30 is not a number that can be true", "a size in inches", "correct the number"),
        ("'1e308 ft'", "diameter: 1e+308 is not a number that can be true", "a size in inches", "correct the number"),
        ("'1e999 ft'", "diameter: inf is not a number that can be true", "a size in inches", "correct the number"),
    ],
)
def test_numbers_out_of_range_are_answered_in_the_users_own_unit(written, message, expected, hint):
    problem = only(shaft(f"diameter: {written}, tip: 40"))
    assert problem.message == message
    assert problem.expected.startswith(expected)
    assert problem.hint.startswith(hint)
    assert marked(problem) == (5, written)


@pytest.mark.parametrize(
    ("units", "keys", "hint"),
    [
        ("us", "unit_weight: 18", "did you mean 18 kN/m3? With 'units: us' a bare unit weight is read in pcf."),
        ("si", "unit_weight: 120", "did you mean 120 pcf? With 'units: si' a bare unit weight is read in kN/m3."),
        ("si", "fines: 140", "correct the number"),
        ("us", "phi: 120", "correct the number"),
        ("us", "top: -3", "correct the number"),
    ],
)
def test_slips_of_units_are_recognised(units, keys, hint):
    rest = "base: 9" if keys.startswith("top") else "top: 0, base: 9"
    assert only(layer(f"{rest}, {keys}", units)).hint == hint


@pytest.mark.parametrize(
    ("units", "bell", "hint"),
    [
        ("us", "{diameter: 96, height: 48}", "did you mean 48 in? With 'units: us' a bare length is read in feet."),
        ("si", "{diameter: 2400, height: 1200}", "did you mean 1200 mm? With 'units: si' a bare length is read in metres."),
    ],
)
def test_the_height_of_a_bell_written_as_its_diameter_is_recognised(units, bell, hint):
    wide = "48" if units == "us" else "1200"
    text = f"site: {{units: {units}}}\n" + shaft(f"diameter: {wide}, tip: 40, bell: {bell}").removeprefix("methodpick: 1\n")
    assert only("methodpick: 1\n" + text).hint == hint


@pytest.mark.parametrize("number", [".nan", "nan", ".inf", "-.inf", "1e308", "1e999"])
def test_numbers_that_are_none_are_refused(number):
    problem = only(shaft(f"diameter: 48, tip: {number}"))
    assert problem.place.line == 5
    assert number in problem.message
    assert problem.hint


def test_what_the_yaml_refuses_stands_among_the_other_problems_in_the_order_of_lines():
    """One run tells all: numbers that are none, an anchor, a key twice, and what only the meaning shows to be wrong."""
    found = problems_of("""\
methodpick: 1
borings:
  - id: B-1
    grund_elevation: 3
    depth: .nan
    layers:
      - {top: 0, base: 1e308, description: clay, symbol: XX}
      - {top: 6, base: 9, su: {low: 1, likely: 2, high: .inf}, n: [1e400, 5]}
    spt: [{depth: 1, n: 1e999}]
shafts:
  - {id: P1, boring: B-2, diameter: 48, tip: &deep 40, cover: *deep}
  - {id: P2, boring: B-1, diameter: 48, tip: 20, tip: 30, count: 0}
""")
    assert [(problem.place.line, problem.message) for problem in found] == [
        (4, "unknown key 'grund_elevation'"),
        (5, "'.nan' is not a value that can be used"),
        (7, "1e308 is too large a number"),
        (7, "symbol: 'XX' is not a known soil symbol"),
        (8, "'.inf' is not a value that can be used"),
        (8, "1e400 is too large a number"),
        (9, "1e999 is too large a number"),
        (11, "there is no boring 'B-2'"),
        (11, "anchors and aliases ('&name', '*name') are not allowed"),
        (11, "anchors and aliases ('&name', '*name') are not allowed"),
        (12, "the key 'tip' stands twice in this map"),
        (12, "count 0 cannot be"),
    ]


@pytest.mark.parametrize("first", ["borings: [{id: B-1}]\nmethodpick: 1\n", "methodpick: 1\nborings: [{id: B-1}]\n"])
def test_a_format_that_stands_late_hides_nothing_else(first):
    found = problems_of(first + "shafts: [{id: P1, diameter: .nan, tip: 0}]\n")
    assert [problem.place.line for problem in found][-2:] == [3, 3]
    assert len(found) == (3 if first.startswith("borings") else 2)


def test_what_the_yaml_refuses_in_another_file_is_told_with_what_file_it_is():
    found = problems_of("borings: .nan\n")
    assert [problem.message for problem in found] == [
        "the first key is 'borings', not 'methodpick'",
        "'.nan' is not a value that can be used",
    ]


@pytest.mark.parametrize(
    ("su", "message"),
    [
        ("[2200, 1500]", "su: the low value 2200 is above the high value 1500"),
        ("[1 ksf, 10 kPa]", "su: the low value '1 ksf' is above the high value '10 kPa'"),
        ("[1, 2, 3]", "su: a range has two ends, this one has 3"),
        ("{low: 1, hi: 2}", "su: 'hi' does not belong here"),
        ("{low: 1}", "su: 'high' is missing"),
        ("{low: 1, likely: 5, high: 3}", "su: the likely value 5 is not between 1 and 3"),
        ("[1, x]", "su, entry 2: 'x' is not a stress"),
    ],
)
def test_ranges_that_make_no_sense(su, message):
    assert only(layer(f"top: 0, base: 9, su: {su}")).message == message


# things that must agree


@pytest.mark.parametrize(
    ("keys", "message", "place"),
    [
        ("diameter: 48, tip: 20, cutoff: 30", "the tip is not below the cut-off: cutoff 30, tip 20", "20"),
        ("diameter: 48, tip: -2", "tip -2 ft cannot be", "-2"),
        ("diameter: 48, tip: 40, socket_top: 45 ft", "the socket top is not above the tip: socket_top '45 ft', tip 40", "40"),
        ("diameter: 48, tip: 40, socket_diameter: 60", "the socket is wider than the shaft: socket_diameter 60, diameter 48", "48"),
        ("diameter: 48, tip: 40, cage_diameter: 48", "the cage is as wide as the shaft or wider: cage_diameter 48, diameter 48", "48"),
        ("diameter: 48, tip: 40, bell: {diameter: 36}", "the bell is not wider than the shaft: 36, shaft 48", "36"),
    ],
)
def test_a_shaft_must_agree_with_itself(keys, message, place):
    problem = only(shaft(keys))
    assert problem.message == message
    assert marked(problem) == (5, place)
    assert problem.expected


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("methodpick: 1\nborings: [{id: B-1}, {id: B-1}]\n", "the boring 'B-1' stands twice", "the first is on line 2"),
        (
            f"{HEAD}shafts:\n  - {{id: P1, diameter: 48, tip: 40}}\n  - {{id: P1, diameter: 48, tip: 40}}\n",
            "the shaft 'P1' stands twice",
            "the first is on line 5",
        ),
        (f"{HEAD}shafts: [{{id: P1, boring: b1, diameter: 48, tip: 40}}]\n", "there is no boring 'b1'", "did you mean 'B-1'?"),
        (f"{HEAD}site: {{setting: water}}\n", "'setting: water' needs 'water_depth'", "add 'water_depth:'"),
        (f"{HEAD}site: {{water_level: {{low: 9, high: 7}}}}\n", "the low water stands above the high water: low 9, high 7", "correct one"),
        (f"{HEAD}site: {{drilling_grade: {{above_ground: 0, elevation: 9}}}}\n", "the drilling grade is given twice", "remove one"),
        ("methodpick: 1\nborings: [{id: B, water: [{reading: settled}]}]\n", "a 'settled' reading needs a level", "leave the reading out"),
        (
            "methodpick: 1\nborings: [{id: B, water: [{reading: none_met, depth: 4}]}]\n",
            "'none_met' says that there was no water, yet 'depth' is given",
            "remove one",
        ),
        (
            "methodpick: 1\nborings: [{id: B, water: [{reading: piezometer, depth: 4, response_zone: [9, 7]}]}]\n",
            "response_zone: the top is below the base",
            "swap",
        ),
        (
            "methodpick: 1\nborings: [{id: B, water: [{reading: piezometer, depth: 4, response_zone: 9}]}]\n",
            "response_zone: 9 is not a pair of depths",
            "",
        ),
    ],
)
def test_parts_of_a_site_must_agree(text, message, hint):
    problem = only(text)
    assert problem.message == message
    assert hint in problem.hint


# many at once


def test_all_problems_come_at_once_and_in_the_order_of_the_file():
    found = problems_of(f"{HEAD}site: {{unit: us, agency: [x]}}\nshafts:\n  - {{id: P1, tip: 40, diametr: 48}}\n  - 7\n")
    assert [problem.place.line for problem in found] == sorted(problem.place.line for problem in found)
    assert [problem.message for problem in found] == [
        "unknown key 'unit'",
        "agency: a list where a text belongs",
        "shafts, entry 1 has no 'diameter'",
        "unknown key 'diametr'",
        "shafts, entry 2: 7 where a map belongs",
    ]


def test_five_hundred_layers_are_refused_in_one_sentence():
    layers = "".join(f"      - {{top: {i}, base: {i + 1}, su: wrong}}\n" for i in range(500))
    problem = only(f"methodpick: 1\nborings:\n  - id: B-1\n    layers:\n{layers}")
    assert problem.message == "layers: 500 entries are too many"
    assert problem.expected == "at most 400"
    assert problem.place.line == 5


def test_four_hundred_broken_layers_print_a_hundred_and_count_the_rest():
    layers = "".join(f"      - {{top: {i}, base: {i + 1}, su: wrong}}\n" for i in range(400))
    with pytest.raises(InputError) as caught:
        read_site(f"methodpick: 1\nborings:\n  - id: B-1\n    layers:\n{layers}")
    assert len(caught.value.problems) == 100
    assert caught.value.render().count("wrong' is not a stress") == 100
    assert caught.value.render().endswith("... and 300 more problems; mend these first")


MANY = 3000
MISSPELT = {
    "keys": "methodpick: 1\nborings:\n  - id: B-1\n" + "".join(f"    ground_elevatoin{i}: 1\n" for i in range(MANY)),
    "words": "methodpick: 1\nborings:\n  - id: B-1\n    layers:\n      - {top: 0, base: 1, features: ["
    + ", ".join(["fisured"] * MANY)
    + "]}\n",
    "borings": "methodpick: 1\nborings:\n"
    + "".join(f"  - {{id: B-{i}}}\n" for i in range(MANY))
    + "shafts:\n"
    + "".join(f"  - {{id: P{i}, boring: C-{i}, diameter: 48, tip: 30}}\n" for i in range(MANY)),
}


@pytest.mark.parametrize("name", MISSPELT)
def test_of_thousands_of_misspelt_names_a_hundred_are_told_and_no_more_is_guessed(name, monkeypatch):
    guessed = []

    def guess(word, words):
        guessed.append(word)
        return did_you_mean(word, words)

    monkeypatch.setattr(site_reader, "did_you_mean", guess)
    with pytest.raises(InputError) as caught:
        read_site(MISSPELT[name])
    assert len(caught.value.problems) == 100
    assert caught.value.left == MANY - 100
    assert len(guessed) <= 100
    assert len(caught.value.render()) < 60_000


def test_a_problem_prints_line_caret_expectation_and_hint():
    with pytest.raises(InputError) as caught:
        read_site(shaft("diameter: 48 ft, tip: 40"), "harrow.yaml")
    assert caught.value.render().splitlines() == [
        "harrow.yaml:5:37: diameter 48 ft cannot be",
        "      - {id: P1, boring: B-1, diameter: 48 ft, tip: 40}",
        "                                        ^^^^^",
        "    expected: from 0.8202 to 19.69 ft",
        "    hint: did you mean 48 in?",
    ]


@pytest.mark.parametrize("text", ["brown silty sand, brick fragments", "stiff, pale grey: fat clay", "clay, some fill and: roots"])
def test_a_comma_in_a_text_without_quotes_is_answered_with_quotes(text):
    assert (
        only(layer(f"top: 0, base: 6, description: {text}, symbol: SM")).hint
        == "put the text of 'description' in quotes: a comma ends it here"
    )
