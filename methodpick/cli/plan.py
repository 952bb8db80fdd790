"""``methodpick plan``: the construction method of every shaft."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from rich.console import Console

    from methodpick.cli.reading import Read
    from methodpick.engine.rulebook import Rulebook
    from methodpick.ground.site import Site
    from methodpick.plan.result import Plan
    from methodpick.site.result import SitePlan


class Units(StrEnum):
    """Units of the report."""

    US = "us"
    SI = "si"


def plan(
    file: Annotated[Path, typer.Argument(help="A site file (YAML) or an AGS4 log (.ags).")],
    shaft: Annotated[list[str] | None, typer.Option("--shaft", help="Plan only this shaft; may be given again.")] = None,
    boring: Annotated[str | None, typer.Option("--boring", help="Plan a shaft at this boring, without a shaft in the file.")] = None,
    diameter: Annotated[str | None, typer.Option("--diameter", help="Its diameter, for example 1200mm or 48in.")] = None,
    tip: Annotated[str | None, typer.Option("--tip", help="Its tip below the ground, for example 25m or 80ft.")] = None,
    cutoff: Annotated[str, typer.Option("--cutoff", help="Its cut-off below the ground.")] = "0m",
    socket: Annotated[str | None, typer.Option("--socket", help="Top of its rock socket below the ground.")] = None,
    units: Annotated[Units | None, typer.Option("--units", help="Units of the report; else those of the file.")] = None,
    json: Annotated[str | None, typer.Option("--json", help="Write the plan as JSON to this file, or - for standard output.")] = None,
    width: Annotated[int | None, typer.Option("--width", min=60, max=240, help="Width of the report in characters.")] = None,
    color: Annotated[bool | None, typer.Option("--color/--no-color", help="Colour, or none; else as the terminal can.")] = None,
    rules: Annotated[Path | None, typer.Option("--rules", help="A rulebook folder in place of the one that came along.")] = None,
    overlay: Annotated[list[Path] | None, typer.Option("--overlay", help="An overlay file on the rulebook.")] = None,
    agency: Annotated[str | None, typer.Option("--agency", help="The agency overlay; else the one that the file names.")] = None,
    no_assumptions: Annotated[bool, typer.Option("--no-assumptions", help="Take nothing as normal; only what the log says.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 1 where a depth is undecided or a danger stands.")] = False,
    flips: Annotated[bool, typer.Option("--flips", help="Look for the nearest change of one input that flips each interval.")] = False,
    brief: Annotated[bool, typer.Option("--brief", help="Only the decision, the stages and the dangers.")] = False,
) -> None:
    """Plan the shafts and print the report."""
    from methodpick.cli.progress import shown
    from methodpick.cli.reading import read_any, rulebook
    from methodpick.site.planning import plan_site, settled_site

    read = read_any(file)
    site = with_shaft(read, boring, diameter, tip, cutoff, socket)
    book = rulebook(rules, agency or site.site.agency, overlay or [])
    with shown("planning the shafts") as tell:
        planned = plan_site(site, book, path=file.name, digest=read.digest, shafts=shaft, assumptions=not no_assumptions, tell=tell)
    made = planned.plan
    if flips:
        made = _flipped(made, settled_site(site, planned), book, assumptions=not no_assumptions)
    if json is not None:
        _write_json(made, json)
    if json != "-":
        _print(made, units.value if units else read.units, width, color, brief=brief, doubts=about(made, read), planned=planned)
    if strict and _stands_open(made):
        raise typer.Exit(1)


def with_shaft(read: Read, boring: str | None, diameter: str | None, tip: str | None, cutoff: str, socket: str | None) -> Site:
    """Return the site with the shaft of the command line in place of its own, where one is given."""
    from methodpick.cli.reading import length
    from methodpick.ground.shaft import Shaft
    from methodpick.spelling import did_you_mean

    site = read.site
    if boring is None and diameter is None and tip is None:
        if site.shafts:
            return site
        names = ", ".join(one.id for one in site.borings)
        raise InputError(
            Problem("the file describes borings but no shaft", hint=f"add --boring, --diameter and --tip; the borings are: {names}")
        )
    missing = [name for name, value in (("--diameter", diameter), ("--tip", tip)) if value is None]
    if missing or diameter is None or tip is None:
        raise InputError(Problem(f"a shaft at a boring needs {' and '.join(missing)} too"))
    known = [one.id for one in site.borings]
    if boring is None and len(known) > 1:
        raise InputError(Problem("the file has several borings; name one with --boring", expected=f"one of {', '.join(known)}"))
    name = boring if boring is not None else known[0]
    if name not in known:
        raise InputError(
            Problem(f"there is no boring '{name}' in the file", expected=f"one of {', '.join(known)}", hint=did_you_mean(name, known))
        )
    us = read.units == "us"
    try:
        shaft = Shaft(
            id=f"at {name}",
            boring=name,
            diameter_m=length(diameter, "--diameter", "in" if us else "mm"),
            tip_m=length(tip, "--tip", "ft" if us else "m"),
            cutoff_m=length(cutoff, "--cutoff", "ft" if us else "m"),
            socket_top_m=None if socket is None else length(socket, "--socket", "ft" if us else "m"),
        )
    except ValueError as error:
        raise InputError(_plain(error)) from None
    return site.model_copy(update={"shafts": (shaft,)})


def _plain(error: ValueError) -> list[Problem]:
    """Turn what the model refuses into sentences."""
    listed = getattr(error, "errors", None)
    if listed is None:
        return [Problem(str(error))]
    names = {"diameter_m": "--diameter", "diameter": "--diameter", "tip": "--tip", "tip_m": "--tip", "cutoff": "--cutoff"}
    problems = []
    for one in listed():
        option = names.get(str(one["loc"][0]) if one["loc"] else "", "the shaft")
        problems.append(
            Problem(
                f"{option}: {str(one['msg']).removeprefix('Value error, ')}",
                hint="depths run down from the ground; diameters lie between 0.25 m and 6 m",
            )
        )
    return problems


def _flipped(made: Plan, site: Site, book: Rulebook, *, assumptions: bool) -> Plan:
    """Return the plan with its flips; on a terminal the progress is shown, on standard error."""
    from methodpick.why.ask import with_flips

    def tell(done: int, total: int) -> None:
        end = "\n" if done == total else ""
        sys.stderr.write(f"\rlooking for what would change the plan: interval {done} of {total}{end}")
        sys.stderr.flush()

    return with_flips(made, site, book, assumptions=assumptions, tell=tell if sys.stderr.isatty() else None)


def _write_json(made: Plan, target: str) -> None:
    from methodpick.cli.reading import write
    from methodpick.formats.json import plan_json

    text = plan_json(made)
    if target == "-":
        sys.stdout.write(text)
    else:
        write(Path(target), text, force=True)


def _print(
    made: Plan, units: str, width: int | None, color: bool | None, *, brief: bool, doubts: tuple[str, ...], planned: SitePlan
) -> None:
    from methodpick.document.report import plan_pages
    from methodpick.formats.console import print_document

    document = plan_pages(made, planned.assignments, doubts, brief=brief)
    print_document(document, page_console(width, color), "us" if units == "us" else "si")


def page_console(width: int | None, color: bool | None) -> Console:
    """Return the console of a page, as wide and as coloured as the user asks."""
    from rich.console import Console

    return Console(width=width, no_color=color is False or None, force_terminal=True if color else None, highlight=False, soft_wrap=False)


def about(made: Plan, read: Read) -> tuple[str, ...]:
    """Return what the reader doubted of the borings that were planned, and of the file as a whole."""
    planned = {shaft.boring for shaft in made.shafts} | {""}
    return tuple(text for boring, text in read.doubts if boring in planned)


def _stands_open(made: Plan) -> bool:
    return any(interval.support == "undecided" for shaft in made.shafts for interval in shaft.intervals) or any(
        caution.severity == "danger" for shaft in made.shafts for caution in shaft.cautions
    )
