"""Files of about a megabyte in every format of logs and sites, and a log of 1,000 borings; the aims are 150 ms a megabyte and 1 s."""

from io import BytesIO
from random import Random

import openpyxl
import pytest
import yaml

from methodpick.imports.input_formats import AGS3, AGS4, DIGGS, SITE_FILE, TABLES

COLOURS = [
    "brown",
    "grey",
    "dark grey",
    "reddish brown",
    "yellow brown",
    "bluish grey",
    "mottled orange brown",
    "light grey",
    "black",
    "greenish grey",
]
SOILS = (
    "sandy gravelly CLAY. Gravel is subangular fine to coarse of sandstone",
    "silty CLAY with occasional cobbles",
    "slightly clayey fine to medium SAND",
    "sandy fine to coarse GRAVEL of flint",
    "clayey SILT with rare organic pockets",
)
GRADES = {"CLAY": ("Soft", "Firm", "Stiff"), "SILT": ("Soft", "Firm", "Stiff"), "SAND": ("Loose", "Dense"), "GRAVEL": ("Loose", "Dense")}


def borings(count):
    """Return borings of ten layers, eight tests and a strike, with some thousand different descriptions in all."""
    draw = Random("borings")  # noqa: S311 (no secret)
    made = []
    for number in range(1, count + 1):
        layers, tests = [], []
        for index in range(10):
            soil = draw.choice(SOILS)
            grade = draw.choice(GRADES[next(noun for noun in GRADES if noun in soil)])
            words = f"{grade} {draw.choice(COLOURS)} {soil} up to {draw.randint(20, 90)}mm"
            layers.append((index * 1.5, index * 1.5 + 1.5, words))
        tests += [(1.2 + index * 1.5, draw.randint(2, 40)) for index in range(8)]
        made.append((f"BH{number}", round(10 + draw.random(), 2), layers, tests, round(3 + draw.random() * 5, 2)))
    return made


def quoted(*cells):
    return ",".join(f'"{cell}"' for cell in cells) + "\n"


def log(count, form):
    """Return a log of AGS4 or AGS3."""
    four = form == "ags4"
    names = (
        ("LOCA", "LOCA_ID", "LOCA_GL", "LOCA_FDEP", "WSTG", "WSTG_DPTH")
        if four
        else ("HOLE", "HOLE_ID", "HOLE_GL", "HOLE_FDEP", "WSTK", "WSTK_DEP")
    )
    parts = []

    def group(name, headings, units, rows):
        if four:
            parts.append(
                quoted("GROUP", name) + quoted("HEADING", *headings) + quoted("UNIT", *units) + quoted("TYPE", *("X" for _ in headings))
            )
            parts.extend(quoted("DATA", *row) for row in rows)
        else:
            parts.append(quoted(f"**{name}") + quoted(*(f"*{heading}" for heading in headings)) + quoted("<UNITS>", *units[1:]))
            parts.extend(quoted(*row) for row in rows)
        parts.append("\n")

    made, key = borings(count), names[1]
    group(names[0], names[1:4], ("", "m", "m"), [(name, level, "15.00") for name, level, *_ in made])
    group(
        "GEOL",
        (key, "GEOL_TOP", "GEOL_BASE", "GEOL_DESC"),
        ("", "m", "m", ""),
        [(name, *layer) for name, _, layers, *_ in made for layer in layers],
    )
    group("ISPT", (key, "ISPT_TOP", "ISPT_NVAL"), ("", "m", ""), [(name, *test) for name, _, _, tests, _ in made for test in tests])
    group(names[4], (key, names[5]), ("", "m"), [(name, water) for name, *_, water in made])
    return "".join(parts)


def site_tree(count):
    return {
        "methodpick": 1,
        "site": {"units": "si"},
        "borings": [
            {
                "id": name,
                "ground_elevation": level,
                "depth": 15,
                "layers": [{"top": top, "base": base, "description": words} for top, base, words in layers],
                "spt": [{"depth": depth, "n": blows} for depth, blows in tests],
                "water": [{"reading": "while_drilling", "depth": water}],
            }
            for name, level, layers, tests, water in borings(count)
        ],
    }


def sheets(count):
    made = borings(count)
    return {
        "site": [["units", "si"]],
        "borings": [["id", "ground elevation", "depth"], *([name, level, 15] for name, level, *_ in made)],
        "layers": [["boring", "top", "base", "description"], *([name, *layer] for name, _, layers, *_ in made for layer in layers)],
        "spt": [["boring", "depth", "n"], *([name, *test] for name, _, _, tests, _ in made for test in tests)],
        "water": [["boring", "depth", "when"], *([name, water, "while drilling"] for name, *_, water in made)],
    }


AT = "<location><LinearExtent><gml:posList>{} {}</gml:posList></LinearExtent></location>"
BOREHOLE = (
    '<samplingFeature><Borehole gml:id="id-{0}"><gml:name>{0}</gml:name><linearReferencing><glr:LinearSpatialReferenceSystem '
    'gml:id="axis-{0}"><glr:lrm><glr:LinearReferencingMethod><glr:units>m</glr:units></glr:LinearReferencingMethod></glr:lrm>'
    '</glr:LinearSpatialReferenceSystem></linearReferencing><totalMeasuredDepth uom="m">15</totalMeasuredDepth></Borehole>'
    "</samplingFeature>\n"
)
LITHOLOGY = (
    "<lithologyObservation><LithologyObservation>{}<primaryLithology><Lithology><lithDescription>{}</lithDescription></Lithology>"
    "</primaryLithology></LithologyObservation></lithologyObservation>\n"
)
COUNTED = (
    '<measurement><Test><samplingFeatureRef xlink:href="#id-{}"/><outcome><TestResult>{}<results><ResultSet><parameters>'
    '<PropertyParameters><properties><Property index="1"><propertyClass>n_value</propertyClass></Property></properties>'
    '</PropertyParameters></parameters><dataValues cs="," ts=" ">{}</dataValues></ResultSet></results></TestResult></outcome></Test>'
    "</measurement>\n"
)
NAMES = (
    'xmlns:gml="http://www.opengis.net/gml/3.2" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:glr="http://www.opengis.net/gml/3.3/lr"'
)


def diggs(count):
    parts = []
    for name, _, layers, tests, _ in borings(count):
        inside = "".join(LITHOLOGY.format(AT.format(top, base), words) for top, base, words in layers)
        parts.append(BOREHOLE.format(name))
        parts.append(
            f'<observation><LithologySystem><samplingFeatureRef xlink:href="#id-{name}"/>{inside}</LithologySystem></observation>\n'
        )
        parts += [COUNTED.format(name, AT.format(depth, depth + 0.45), blows) for depth, blows in tests]
    return f'<?xml version="1.0"?>\n<Diggs xmlns="http://diggsml.org/schemas/2.6" {NAMES}>\n{"".join(parts)}</Diggs>\n'


def workbook(count, path):
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets(count).items():
        tab = made.create_sheet(name)
        for row in rows:
            tab.append(row)
    content = BytesIO()
    made.save(content)
    path.write_bytes(content.getvalue())
    return path


def folder(count, path):
    for name, rows in sheets(count).items():
        text = "".join(",".join(f'"{cell}"' if isinstance(cell, str) else str(cell) for cell in row) + "\n" for row in rows)
        (path / f"{name}.csv").write_text(text, encoding="utf-8")
    return path


def source_of(form, count, home):
    """Return what a reader of a format is called with."""
    if form in ("ags4", "ags3"):
        return log(count, form)
    if form == "diggs":
        return diggs(count)
    if form == "yaml":
        return yaml.dump(site_tree(count), Dumper=getattr(yaml, "CSafeDumper", yaml.SafeDumper), sort_keys=False)
    return workbook(count, home / "borings.xlsx") if form == "xlsx" else folder(count, home)


READERS = {
    name: known.read
    for name, known in {"ags4": AGS4, "ags3": AGS3, "diggs": DIGGS, "yaml": SITE_FILE, "xlsx": TABLES, "csv": TABLES}.items()
}
OF_A_MEGABYTE = {"ags4": 900, "ags3": 900, "diggs": 200, "yaml": 600, "xlsx": 900, "csv": 900}
"""Borings that make about a megabyte of text; a workbook of as many is packed."""


@pytest.mark.parametrize("form", READERS)
def test_a_megabyte(benchmark, form, tmp_path):
    source = source_of(form, OF_A_MEGABYTE[form], tmp_path)
    assert benchmark.pedantic(lambda: READERS[form](source), rounds=3, warmup_rounds=1)


@pytest.mark.parametrize("form", ["ags4", "ags3"])
def test_a_log_of_1000_borings(benchmark, form):
    source = log(1000, form)
    assert len(benchmark.pedantic(lambda: READERS[form](source), rounds=3, warmup_rounds=1).profiles) == 1000
