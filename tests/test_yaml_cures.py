"""Twenty natural mistakes of somebody who writes a site file: each named at its place, with the cure (YAML 1.2)."""

import pytest

from methodpick.errors import InputError
from methodpick.imports.site_file import read_site

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
    ],
)
def test_a_natural_mistake_is_named_at_its_place_with_the_cure(text, line, cure):
    with pytest.raises(InputError) as caught:
        read_site(text, "site.yaml")
    first = caught.value.problems[0]
    assert first.place.line == line
    assert cure in first.hint
