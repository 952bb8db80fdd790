"""Lists, coverage, page and schemas of the rulebook."""

import json
import re

import jsonschema
import pytest
import yaml
from command_line import output_of as run

from methodpick.cli.rule_page import FiringCount, count_firings, page_html, page_markdown
from methodpick.engine.load import load_rulebook
from methodpick.engine.read import overlay_schema, rules_schema
from methodpick.errors import InputError, RuleError
from methodpick.resources import folder


def test_rules_are_listed_by_source_and_by_confidence(book):
    shown = run("rules", "list", "--source", "osha-1926-651")
    assert "no-entry" in shown
    assert "dry-suits-clay" not in shown
    weak = run("rules", "list", "--confidence", "own")
    assert "clay-wall-collapses" in weak
    assert "base-lifts-by-water-below" not in weak
    assert max(map(len, run("rules", "list").splitlines())) <= 80
    assert len(book.rules) > 150


@pytest.mark.parametrize("words", [("--topic", "methd"), ("--confidence", "sure"), ("--source", "gec11"), ("--level", "shall")])
def test_a_word_that_no_rule_has_is_refused(words):
    with pytest.raises(InputError, match="no rule has it"):
        run("rules", "list", *words)


def test_coverage_counts_places_and_names_examples(site, book):
    found = count_firings({"lens": site("caving-lens"), "sand": site("saturated-sand")}, book)
    assert set(found) == {rule.id for rule in book.rules}
    assert found["granular-below-water-flows"].examples == ["lens", "sand"]
    assert found["void-has-no-plug"].true == 0
    assert found["void-has-no-plug"].reason == "silent everywhere"
    assert found["over-water-casing"].examples == []
    assert found["seal-before-emptying"].examples == ["lens"], "a stage rule is judged over the finished hole"


def test_a_rule_is_counted_in_its_own_states_only(site, book):
    found = count_firings({"sand": site("saturated-sand")}, book)
    places = {name: tally.true + tally.open + tally.false for name, tally in found.items()}
    assert places["fluid-pressure-below-need"] == 2 * places["polymer-head-below-agency"] > 0, "two fluids against one"
    assert found["fluid-pressure-below-need"].open == 0, "in the dry state it has no fluid, which decides nothing"


def test_why_a_rule_never_held_is_said():
    assert FiringCount().reason == "never judged"
    assert FiringCount(open=2, false=1).reason.startswith("open at most")
    assert FiringCount(true=1).reason == ""


def test_the_cover_command_tells_what_never_fires():
    shown = run("rules", "cover", "--never", str(folder("profiles") / "stiff-clay.yaml"))
    assert "never: void-has-no-plug: silent everywhere" in shown
    assert re.search(r"\d+ of \d+ rules hold somewhere on 1 examples", shown)


def test_a_list_of_trade_sizes_is_shown_whole():
    shown = run("rules", "show", "segmental_si")
    for words in ("11 sizes of the trade, memory, base", "620/540, 750/670, 880/800", "2500/2380 mm", "source this project (2026)"):
        assert words in shown


def test_the_page_holds_every_rule_limit_table_assumption_and_source(book):
    text = page_markdown(book)
    for name in (*book.by_id, *book.tables):
        assert f"### {name}\n" in text
    for name in (*book.limits, *book.sizes):
        assert f"| {name.replace('_', chr(92) + '_')} |" in text
    for one in book.assumptions:
        assert f"**{one.id}**" in text
    for key in book.sources:
        assert f"**{key}**" in text


def test_the_page_gives_a_rule_with_its_limits_sources_and_cases(book):
    part = page_markdown(book).split("### placement-dry-check\n")[1].split("\n### ")[0]
    assert "* limit dry_water_m = 0.0762 m ([gec10-2018](#sources), sec. 7.3; digest)" in part, "a limit that only the reason names"
    assert "* source: Federal Highway Administration (2018)." in part
    assert "* fires: hole\\_has\\_fluid = no" in part
    assert "* unknown: nothing known" in part


def test_the_html_page_stands_alone_and_its_links_meet(book):
    page = page_html(book)
    assert '<meta name="viewport" content="width=device-width' in page, "a phone shows it as wide as it is"
    assert "prefers-color-scheme:dark" in page
    assert "<script" not in page
    assert not re.search(r"""(?:src|href)=["'](?!#)""", page), "no network reference"
    for target in re.findall(r'href="#([^"]+)"', page):
        assert f'id="{target}"' in page


def test_foreign_text_is_escaped_in_the_page(tmp_path, book):
    text = """overlay: mine
add:
  - {id: mine-shouts, title: "<script>alert(1)</script> | *x*", status: test, level: may, hazard: cost, when: soil == clay,
     caution: {severity: note}, because: "Because <b>of</b> the price of drilling in clay.", source: [{key: own, where: "|"}],
     cases: [{given: {soil: clay}, expect: fires}, {given: {soil: silt}, expect: silent}]}
"""
    path = tmp_path / "mine.yaml"
    path.write_text(text, encoding="utf-8")
    page = page_html(load_rulebook(folder("rules"), [path]))
    assert "<script" not in page
    assert "<b>of</b>" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt; | *x*" in page
    assert len(page_html(book)) > 50_000


def test_docs_writes_a_file_and_keeps_one_that_exists(tmp_path):
    target = tmp_path / "rules.html"
    run("rules", "docs", "--html", "-o", str(target))
    assert target.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    with pytest.raises(InputError, match="exists already"):
        run("rules", "docs", "-o", str(target))


def rule_files():
    home = folder("rules")
    return [path for path in sorted(home.glob("*/*.yaml")) if path.parent.name not in {"tables", "agencies"}]


@pytest.fixture(scope="module")
def rule_files_schema(book):
    return jsonschema.Draft7Validator(rules_schema(book))


@pytest.fixture(scope="module")
def overlays_schema(book):
    return jsonschema.Draft7Validator(overlay_schema(book))


@pytest.mark.parametrize("path", rule_files(), ids=lambda path: path.stem)
def test_every_rule_file_meets_the_schema(path, rule_files_schema):
    rule_files_schema.validate(yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader))


@pytest.mark.parametrize("path", sorted((folder("rules") / "agencies").glob("*.yaml")), ids=lambda path: path.stem)
def test_every_overlay_meets_the_schema(path, overlays_schema):
    overlays_schema.validate(yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader))


def test_the_schemas_are_schemas(book):
    for schema in (rules_schema(book), overlay_schema(book)):
        jsonschema.Draft7Validator.check_schema(schema)


GOOD = {
    "id": "ours",
    "title": "t",
    "status": "test",
    "level": "may",
    "hazard": "cost",
    "when": "soil == clay",
    "suits": ["dry"],
    "because": "Because it is cheaper to drill clay dry.",
    "source": [{"key": "own", "where": "here"}],
    "cases": [{"given": {"soil": "clay"}, "expect": "fires"}, {"given": {"soil": "silt"}, "expect": "silent"}],
}


@pytest.mark.parametrize(
    "wrong",
    [
        {"becuse": "x"},
        {"level": "shall"},
        {"exclude": ["dry"]},
        {"suits": ["dri"]},
        {"source": []},
        {"id": "Ours One"},
        {"cases": [{"given": {"soyl": "clay"}, "expect": "fires"}]},
        {"cases": [{"given": {"soil": "cley"}, "expect": "fires"}]},
    ],
)
def test_schema_and_reader_refuse_alike(wrong, book, tmp_path):
    schema = overlay_schema(book)
    path = tmp_path / "ours.yaml"
    for rule, good in ((GOOD, True), ({**GOOD, **wrong}, False)):
        made = {"overlay": "ours", "add": [rule]}
        path.write_text(json.dumps(made), encoding="utf-8")
        assert jsonschema.Draft7Validator(schema).is_valid(made) is good
        if good:
            assert load_rulebook(folder("rules"), [path]).by_id["ours"]
        else:
            with pytest.raises(RuleError):
                load_rulebook(folder("rules"), [path])


@pytest.mark.parametrize(
    ("source", "good"),
    [
        ({"title": "Yard manual", "year": 2020, "confidence": "read"}, True),
        ({"title": "Yard manual", "authr": "us"}, False),
        ({"author": "us"}, False),
        ({"title": "Yard manual", "confidence": "sure"}, False),
    ],
)
def test_schema_and_reader_agree_about_a_source_of_an_overlay(source, good, book, tmp_path):
    made = {"overlay": "ours", "sources": {"yard": source}}
    path = tmp_path / "ours.yaml"
    path.write_text(json.dumps(made), encoding="utf-8")
    assert jsonschema.Draft7Validator(overlay_schema(book)).is_valid(made) is good
    if good:
        assert load_rulebook(folder("rules"), [path]).sources["yard"].confidence == "read"
    else:
        with pytest.raises(RuleError):
            load_rulebook(folder("rules"), [path])


def test_schemas_are_printed():
    assert json.loads(run("schema", "rules"))["$id"] == "urn:methodpick:rules:1"
    assert json.loads(run("schema", "overlay"))["$id"] == "urn:methodpick:overlay:1"
    assert json.loads(run("schema"))["$id"] == "urn:methodpick:site:1"
