"""``methodpick verify``: hold a written plan against its ground, the rules and its own words."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import Agency, Overlays, RulesFolder, planning_rulebook
from methodpick.cli.output import echo, echo_line
from methodpick.unit_markup import how_many

if TYPE_CHECKING:
    from methodpick.ground.site import Site

MOST_BYTES = 500_000_000
"""A plan of a thousand shafts is smaller."""

PlanFile = Annotated[Path, typer.Argument(help="The plan to verify, as 'plan --json' writes it.")]


def verify(
    file: PlanFile,
    site: Annotated[
        Path | None, typer.Option("--site", help="Compare the ground that the plan carries with this site file or log.")
    ] = None,
    rules: RulesFolder = None,
    overlay: Overlays = None,
    agency: Agency = None,
) -> None:
    """Verify a plan and print every contradiction: the shaft, the way, the stage, what is written and what is right."""
    from methodpick.regular_file import read_bytes
    from methodpick.review.plan_file import read_plan_text
    from methodpick.review.verify import verify_plan

    made = read_plan_text(_text(read_bytes(file, file.name, MOST_BYTES), file.name), file.name)
    of_plan = "" if made.site is None else made.site.site.agency
    given = None if site is None else _site(site)
    verified = verify_plan(made, planning_rulebook(rules, agency or of_plan, overlay or ()), given)
    for contradiction in verified.contradictions:
        echo_line(str(contradiction))
    counts = f"{how_many(verified.shafts, 'shaft')}, {verified.ways} ways of building, {verified.stages} stages, {verified.checks} checks"
    if verified.contradictions:
        echo(f"{file.name}: {len(verified.contradictions)} contradictions in {counts}")
        raise typer.Exit(1)
    echo(f"{file.name}: verified: {counts}; no contradiction")


def _text(data: bytes, name: str) -> str:
    from methodpick.regular_file import not_utf8

    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise not_utf8(data, error.start, name) from None


def _site(path: Path) -> Site:
    from methodpick.imports.input_formats import read_file

    return read_file(path).site
