"""Golden reports at fixed widths. After a wanted change: METHODPICK_GOLDEN=write pytest tests/report, then read the diff."""

import os
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from methodpick.report.page import render

GOLDEN = Path(__file__).parents[1] / "golden"


def page(plan, width=80, **more):
    out = StringIO()
    render(plan, Console(file=out, width=width, force_terminal=False, color_system=None, highlight=False), **more)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


@pytest.mark.parametrize(
    ("name", "width", "units"),
    [
        ("caving-lens", 80, "us"),
        ("caving-lens", 100, "si"),
        ("artesian-sand", 80, "si"),
        ("soft-clay-over-rock-thin", 80, "us"),
        ("artesian-deep", 80, "si"),
    ],
)
def test_the_page_is_the_golden_one(planned, name, width, units):
    plan = planned(name)
    shown = page(plan, width, units=units).replace(plan.rulebook.digest[:12], "0" * 12).replace(plan.tool_version, "0.0.0")
    path = GOLDEN / f"{name}-{width}-{units}.txt"
    if os.environ.get("METHODPICK_GOLDEN") == "write":
        path.write_text(shown, encoding="utf-8")
    assert shown == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("width", [60, 80, 100, 160])
def test_no_line_is_wider_than_asked(planned, width):
    for name in ("caving-lens", "karst", "twenty-layers", "descriptions-only"):
        assert max(map(len, page(planned(name), width).splitlines())) <= width


def test_every_number_has_its_unit_and_no_mark_is_left(planned):
    for name in ("caving-lens", "karst", "river-crossing"):
        for units in ("us", "si"):
            shown = page(planned(name), units=units)
            assert "⟦" not in shown
            assert "{" not in shown


def test_a_reader_without_unicode_gets_ascii(planned):
    out = StringIO()

    class Ascii(StringIO):
        encoding = "ascii"

    out = Ascii()
    render(planned("caving-lens"), Console(file=out, width=80, force_terminal=False, color_system=None))
    assert out.getvalue().isascii()


def test_brief_keeps_decision_stages_and_dangers(planned):
    shown = page(planned("caving-lens"), brief=True)
    assert "DECISION" in shown
    assert "DANGERS" in shown
    assert "QUANTITIES" not in shown


def test_the_strip_shows_layers_water_casing_and_fluid(planned):
    shown = page(planned("caving-lens"))
    strip = shown.split("STRIP")[1].split("INTERVALS")[0]
    for sign in ("...", "---", "||", "\\/", "TTT", "DDD", " v", "f level", "tip"):
        assert sign in strip, sign


@pytest.mark.parametrize(("name", "units"), [("caving-lens", "us"), ("river-crossing", "si")])
def test_the_readme_shows_what_is_printed(planned, name, units):
    """Without the line of versions and digests. METHODPICK_GOLDEN=write brings the page up to date."""
    plan = planned(name)
    shown = "\n".join(line for line in page(plan, units=units, brief=True).splitlines() if plan.rulebook.digest[:12] not in line)
    readme = Path(__file__).parents[2] / "README.md"
    before, after = readme.read_text(encoding="utf-8").split(f"<!-- report {name} {units} -->\n```text\n")
    old, rest = after.split("```\n", 1)
    if os.environ.get("METHODPICK_GOLDEN") == "write":
        readme.write_text(f"{before}<!-- report {name} {units} -->\n```text\n{shown.strip()}\n```\n{rest}", encoding="utf-8")
        return
    assert old == shown.strip() + "\n"
