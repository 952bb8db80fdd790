"""``methodpick why``: why a depth is held as it is, why not otherwise, and the nearest change that would flip it."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.plan import Units, page_console, with_shaft
from methodpick.errors import InputError, Problem

if TYPE_CHECKING:
    from methodpick.ground.site import Site


class State(StrEnum):
    """The support states that can be asked of."""

    DRY = "dry"
    WATER = "water"
    POLYMER = "polymer"
    MINERAL = "mineral"
    CASED_DRY = "cased_dry"
    CASED_BALANCED = "cased_balanced"
    CASED_PLUG = "cased_plug"


def why(
    file: Annotated[Path, typer.Argument(help="A site file (YAML) or an AGS4 log (.ags).")],
    depth: Annotated[str, typer.Option("--depth", help="The depth below the ground, for example 22ft or 6.5m.")],
    shaft: Annotated[str | None, typer.Option("--shaft", help="The shaft; it may be left out where the file has one.")] = None,
    not_: Annotated[list[State] | None, typer.Option("--not", help="Why not this state; may be given again.")] = None,
    flips: Annotated[bool, typer.Option("--flips/--no-flips", help="Look for the nearest change of one input that flips it.")] = True,
    pairs: Annotated[bool, typer.Option("--pairs", help="Look for changes of two inputs together as well (slower).")] = False,
    boring: Annotated[str | None, typer.Option("--boring", help="Ask of a shaft at this boring, without a shaft in the file.")] = None,
    diameter: Annotated[str | None, typer.Option("--diameter", help="Its diameter, for example 1200mm or 48in.")] = None,
    tip: Annotated[str | None, typer.Option("--tip", help="Its tip below the ground, for example 25m or 80ft.")] = None,
    units: Annotated[Units | None, typer.Option("--units", help="Units of the page; else those of the file.")] = None,
    width: Annotated[int | None, typer.Option("--width", min=60, max=240, help="Width of the page in characters.")] = None,
    color: Annotated[bool | None, typer.Option("--color/--no-color", help="Colour, or none; else as the terminal can.")] = None,
    rules: Annotated[Path | None, typer.Option("--rules", help="A rulebook folder in place of the one that came along.")] = None,
    overlay: Annotated[list[Path] | None, typer.Option("--overlay", help="An overlay file on the rulebook.")] = None,
    agency: Annotated[str | None, typer.Option("--agency", help="The agency overlay; else the one that the file names.")] = None,
    no_assumptions: Annotated[bool, typer.Option("--no-assumptions", help="Take nothing as normal; only what the log says.")] = False,
) -> None:
    """Derive the answer at one depth, down to logged lines and sources."""
    from methodpick.cli.reading import length, read_any, rulebook
    from methodpick.document.why import why_document
    from methodpick.formats.console import print_document
    from methodpick.site.planning import plan_site, settled_site
    from methodpick.why.ask import why as ask

    read = read_any(file)
    site = with_shaft(read, boring, diameter, tip, "0m", None)
    book = rulebook(rules, agency or site.site.agency, overlay or [])
    made = plan_site(site, book, path=file.name, digest=read.digest, shafts=[_one(site, shaft)], assumptions=not no_assumptions)
    answer = ask(
        settled_site(site, made),
        book,
        made.plan.shafts[0],
        length(depth, "--depth", "ft" if read.units == "us" else "m"),
        not_states=[state.value for state in not_ or []],
        flips=flips,
        pairs=pairs,
        assumptions=not no_assumptions,
    )
    chosen = units.value if units else read.units
    print_document(why_document(answer), page_console(width, color), "us" if chosen == "us" else "si")


def _one(site: Site, shaft: str | None) -> str:
    """Return the shaft that is asked of: the one named, else the only one."""
    if shaft is not None:
        return shaft
    names = [one.id for one in site.shafts]
    if len(names) != 1:
        raise InputError(Problem("the file has several shafts; name one with --shaft", expected=f"one of {', '.join(names)}"))
    return names[0]
