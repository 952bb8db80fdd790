"""The schema against JSON Schema draft-07: the few keywords it uses are checked here by their definitions."""

import copy
import json
import re
from pathlib import Path

import pytest

from methodpick.errors import InputError
from methodpick.imports.site_file import read_site
from methodpick.imports.site_forms import site_template
from methodpick.imports.site_keys import site_schema
from methodpick.strict_yaml import read

ROOT = Path(__file__).parents[2]
SITES = sorted([*ROOT.glob("profiles/*.yaml"), *ROOT.glob("tests/sites/*.yaml")])
SCHEMA = site_schema()
TYPES = {"object": dict, "array": list, "string": str, "boolean": bool, "null": type(None)}
KNOWN = {
    "$schema",
    "$id",
    "$ref",
    "title",
    "description",
    "default",
    "definitions",
    "type",
    "properties",
    "required",
    "additionalProperties",
    "items",
    "minItems",
    "maxItems",
    "minLength",
    "minimum",
    "maximum",
    "exclusiveMinimum",
    "pattern",
    "enum",
    "const",
    "anyOf",
}


def is_type(value, name):
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if name == "number":
        return number
    return number and value == int(value) if name == "integer" else isinstance(value, TYPES[name])


def valid(value, schema):
    if "$ref" in schema:
        return valid(value, SCHEMA["definitions"][schema["$ref"].rsplit("/", 1)[1]])
    names = schema.get("type", [])
    checks = [
        not names or any(is_type(value, name) for name in ([names] if isinstance(names, str) else names)),
        "const" not in schema or value == schema["const"],
        "enum" not in schema or value in schema["enum"],
        "anyOf" not in schema or any(valid(value, option) for option in schema["anyOf"]),
    ]
    if is_type(value, "number"):
        checks += [
            value >= schema.get("minimum", value),
            value <= schema.get("maximum", value),
            value > schema.get("exclusiveMinimum", value - 1),
        ]
    if isinstance(value, str):
        checks += [re.search(schema.get("pattern", ""), value) is not None, len(value) >= schema.get("minLength", 0)]
    if isinstance(value, list):
        checks += [len(value) >= schema.get("minItems", 0), len(value) <= schema.get("maxItems", len(value))]
        checks += [valid(entry, schema.get("items", {})) for entry in value]
    if isinstance(value, dict):
        properties = schema.get("properties", {})
        checks += [word in value for word in schema.get("required", [])]
        checks += [valid(entry, properties[word]) for word, entry in value.items() if word in properties]
        checks += [schema.get("additionalProperties", True) or word in properties for word in value]
    return all(checks)


def every_schema(schema):
    yield schema
    inner = [*schema.get("properties", {}).values(), *schema.get("definitions", {}).values(), *schema.get("anyOf", [])]
    for part in inner + ([schema["items"]] if "items" in schema else []):
        yield from every_schema(part)


def test_the_schema_is_draft_07_with_a_name_of_its_own_and_plain_json():
    assert SCHEMA["$schema"] == "http://json-schema.org/draft-07/schema#"
    assert SCHEMA["$id"].startswith("urn:")
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


def test_only_keywords_that_are_checked_here_are_used():
    assert {word for part in every_schema(SCHEMA) for word in part} <= KNOWN


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_every_example_is_valid(path):
    assert valid(read(path).value, SCHEMA)


@pytest.mark.parametrize("system", ["us", "si"])
def test_the_starter_is_valid(system):
    assert valid(read(site_template(system)).value, SCHEMA)


def changed(*path_and_value):
    *path, value = path_and_value
    site = copy.deepcopy(read(ROOT / "profiles" / "stiff-clay.yaml").value)
    at = site
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return site


LAYER = ("borings", 0, "layers", 1)


@pytest.mark.parametrize(
    "change",
    [
        ("methodpick", 2),
        ("borings", []),
        ("borings", "B-1"),
        ("boring", 1),
        ("site", "setting", "air"),
        ("shafts", 0, "diameter", True),
        ("shafts", 0, "diameter", -48),
        ("shafts", 0, "diameter", "wide"),
        ("shafts", 0, "count", 1.5),
        ("shafts", 0, "id", ""),
        (*LAYER, "su", [1, 2, 3]),
        (*LAYER, "su", {"low": 1}),
        (*LAYER, "su", {"low": 1, "high": 2, "mean": 1.5}),
        (*LAYER, "features", ["fisured"]),
        (*LAYER, "n", "refusal"),
        ("borings", 0, "spt", 0, "n", -4),
        ("borings", 0, "water", 0, "reading", "dry"),
    ],
)
def test_what_the_schema_refuses_the_reader_refuses_too(change):
    site = changed(*change)
    assert not valid(site, SCHEMA)
    with pytest.raises(InputError):
        read_site(json.dumps(site))


@pytest.mark.parametrize(
    "change",
    [
        (*LAYER, "su", 1800),
        (*LAYER, "su", "86 kPa"),
        (*LAYER, "su", [1500, "2.2 ksf"]),
        (*LAYER, "su", None),
        (*LAYER, "n", [18, "50/3in", "WOH"]),
        (*LAYER, "n", 18),
        ("shafts", 0, "diameter", "4 ft"),
        ("shafts", 0, "bearing", None),
        ("borings", 0, "spt", 0, "n", "50/75mm"),
        ("site", "equipment", "desander", "no"),
    ],
)
def test_what_the_schema_allows_the_reader_reads(change):
    site = changed(*change)
    assert valid(site, SCHEMA)
    assert read_site(json.dumps(site))


def test_quantities_say_their_bare_units():
    shaft = SCHEMA["definitions"]["Shaft"]["properties"]
    assert "a bare number is in in (us) or mm (si)" in shaft["diameter"]["description"]
    assert "a bare number is in ft (us) or m (si)" in shaft["tip"]["description"]
