"""The options that several commands share, each declared once, and the way from a file and options to planned shafts."""

from __future__ import annotations

import inspect
import os
from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass, replace
from functools import wraps
from pathlib import Path
from shutil import get_terminal_size
from typing import TYPE_CHECKING, Annotated, Any, get_type_hints

import typer

from methodpick.errors import InputError, Problem
from methodpick.imports.input_formats import listed
from methodpick.input_files import STANDARD_INPUT, name_of
from methodpick.records import record
from methodpick.terms import UnitSystem

if TYPE_CHECKING:
    from rich.console import Console

    from methodpick.document.model import Document
    from methodpick.document.report import FlipsOfKinds
    from methodpick.engine.rulebook import Rulebook
    from methodpick.ground.site import Site
    from methodpick.imports.input_formats import Imported
    from methodpick.plan.result import InputStamp, Plan
    from methodpick.site.result import SitePlan

# ---- The options that several commands share, each declared once; records of them stand in a command's signature as one argument


File = Annotated[Path, typer.Argument(help=f"The file to read, or - for standard input: {listed()}.")]
Shafts = Annotated[
    list[str] | None, typer.Option("--shaft", metavar="<name>", help="Only this shaft, casing chosen for it alone; may be given again.")
]
OneShaft = Annotated[str | None, typer.Option("--shaft", help="The shaft; it may be left out where the file has one.")]
Boring = Annotated[str | None, typer.Option("--boring", help="Take a shaft at this boring, without a shaft in the file.")]
Diameter = Annotated[str | None, typer.Option("--diameter", help="Its diameter, for example 1200mm or 48in.")]
Tip = Annotated[str | None, typer.Option("--tip", help="Its tip below the ground, for example 25m or 80ft.")]
Cutoff = Annotated[str, typer.Option("--cutoff", help="Its cut-off below the ground.")]
Socket = Annotated[str | None, typer.Option("--socket", help="Top of its rock socket below the ground.")]
OutputUnits = Annotated[UnitSystem | None, typer.Option("--units", help="Units of what is written; else those of the file.")]
FileUnits = Annotated[UnitSystem, typer.Option("--units", help="Units of the site file.")]
Width = Annotated[int | None, typer.Option("--width", min=60, max=400, metavar="<number>", help="Width of the page in characters.")]
Color = Annotated[bool | None, typer.Option("--color/--no-color", help="Colour, or none; else as the terminal can.")]
Pager = Annotated[bool, typer.Option("--pager/--no-pager", help="On a terminal, page by PAGER what is longer than the screen.")]
Quiet = Annotated[bool, typer.Option("--quiet", "-q", help="Print no page: for the files that are written and for the exit code.")]
RulesFolder = Annotated[Path | None, typer.Option("--rules", help="A rulebook folder in place of the one that came along.")]
Overlays = Annotated[
    list[Path] | None, typer.Option("--overlay", metavar="<file>", help="An overlay file on the rulebook; may be given again.")
]
Agency = Annotated[str | None, typer.Option("--agency", help="The agency overlay; else the one that the file names.")]
NoAssumptions = Annotated[bool, typer.Option("--no-assumptions", help="Take nothing as normal; only what the log says.")]
USUAL_WIDTH = 80
"""Characters; where the output is no terminal, so that a page that is written to a file does not hang on who writes it."""
NARROWEST = 40
"""Characters; a terminal that says it is narrower (or a COLUMNS of 1) would break every word into a line a letter."""
Force = Annotated[bool, typer.Option("--force", help="Overwrite an existing file.")]
ForceOverChanges = Annotated[bool, typer.Option("--force", help="Overwrite a file that methodpick did not write, or that was changed.")]


@record
class ShaftAtBoring:
    """A shaft given on the command line, at a boring of the file."""

    boring: Boring = None
    diameter: Diameter = None
    tip: Tip = None
    cutoff: Cutoff = "0m"
    socket: Socket = None


@record
class RulebookOptions:
    """Which rulebook decides, and whether what practice takes as normal is assumed."""

    rules: RulesFolder = None
    overlay: Overlays = None
    agency: Agency = None
    no_assumptions: NoAssumptions = False

    def load(self, agency: str) -> Rulebook:
        """Load the rulebook with the overlay of the agency that is asked for, else of ``agency``, and the user's own.

        Raises RuleError with every problem.
        """
        return planning_rulebook(self.rules, self.agency or agency, self.overlay or ())


def load_rulebook(rules: Path | None, agency: str, overlays: Sequence[Path] = ()) -> Rulebook:
    """Load a rulebook, the agency's overlay and the user's own. Raises RuleError with every problem."""
    from methodpick.engine import kept_book, load
    from methodpick.resources import folder

    home = rules or folder("rules")
    of_agency = load.overlay_path(home, agency)
    return kept_book.load_rulebook(home, ([] if of_agency is None else [of_agency]) + list(overlays))


def planning_rulebook(rules: Path | None, agency: str, overlays: Sequence[Path] = ()) -> Rulebook:
    """Load a rulebook that plans are made or verified with: one of the user's own is held against the one that came along.

    Raises RuleError with every problem, and where the user's own lacks what planning reads.
    """
    from methodpick.resources import folder

    if rules is None or rules.resolve() == folder("rules").resolve():
        return load_rulebook(rules, agency, overlays)
    from methodpick.engine import kept_book, load
    from methodpick.engine.check import hold_against

    of_agency = load.overlay_path(rules, agency)
    book = hold_against(load.load_rulebook(rules), kept_book.load_rulebook(folder("rules")), rules.resolve().name)
    return load.with_overlays(book, ([] if of_agency is None else [of_agency]) + list(overlays))


@record
class PageOptions:
    """How a page is printed."""

    units: OutputUnits = None
    width: Width = None
    color: Color = None
    pager: Pager = True
    quiet: Quiet = False

    def system(self, of_file: UnitSystem) -> UnitSystem:
        """Return the units that are asked for, else those of the file."""
        return self.units or of_file

    def show(self, document: Document, of_file: UnitSystem) -> None:
        """Print a document in the reader's units; on a terminal one that is longer than the screen goes through a pager."""
        if self.quiet:
            return
        from methodpick.cli.output import show_page
        from methodpick.formats.console import print_document

        console = self.console()
        with console.capture() as captured:
            print_document(document, console, self.system(of_file))
        show_page(captured.get(), pager=self.pager)

    def console(self) -> Console:
        """Return the console of the page, as wide and as coloured as the user asks; without colour nothing is bold either."""
        from rich.console import Console

        plain = self.color is False or (self.color is None and bool(os.environ.get("NO_COLOR")))
        size = get_terminal_size((USUAL_WIDTH, 24))
        return Console(
            width=self.width or max(size.columns, NARROWEST),
            height=size.lines,
            color_system=None if plain else "auto",
            force_terminal=self.color or None,
            highlight=False,
            soft_wrap=False,
        )


def with_records(command: Callable[..., None]) -> Callable[..., None]:
    """Let a command take records of options: each field becomes an option of its own on the command line, after the others.

    >>> @with_records
    ... def draw(file: Path, page: PageOptions, grid: bool = False) -> None:
    ...     print(page.width)
    >>> list(inspect.signature(draw).parameters)
    ['file', 'grid', 'units', 'width', 'color', 'pager', 'quiet']
    >>> draw(file=Path("a.yaml"), width=80)
    80
    """
    hints = get_type_hints(command, include_extras=True)
    records = {name: hint for name, hint in hints.items() if is_dataclass(hint) and isinstance(hint, type)}
    parameters = [
        parameter.replace(annotation=hints[name], kind=inspect.Parameter.KEYWORD_ONLY)
        for name, parameter in inspect.signature(command).parameters.items()
        if name not in records
    ]
    for kind in records.values():
        parameters += _options(kind)

    @wraps(command)
    def run(**given: Any) -> None:
        for name, kind in records.items():
            given[name] = kind(**{field.name: given.pop(field.name) for field in fields(kind) if field.name in given})
        command(**given)

    vars(run)["__signature__"] = inspect.Signature(parameters)
    return run


def _options(record: type[Any]) -> list[inspect.Parameter]:
    """Return the fields of a record as parameters of a command."""
    hints = get_type_hints(record, include_extras=True)
    return [
        inspect.Parameter(field.name, inspect.Parameter.KEYWORD_ONLY, default=field.default, annotation=hints[field.name])
        for field in fields(record)
    ]


# ---- From a file and options to planned shafts: what the commands that plan have in common


@record
class PlannedFile:
    """What was read, the site with the shaft of the command line, the rulebook that decided, and the plans of the shafts."""

    imported: Imported
    site: Site
    rulebook: Rulebook
    site_plan: SitePlan

    @property
    def plan(self) -> Plan:
        """Return the plan of all shafts."""
        return self.site_plan.plan

    @property
    def doubts(self) -> tuple[str, ...]:
        """Return what the reader doubted of the borings that were planned, and of the file as a whole; ``check`` tells each by itself."""
        from methodpick.imports.input_formats import told_together

        borings = {shaft.boring for shaft in self.plan.shafts} | {""}
        return told_together(doubt for doubt in self.imported.doubts if doubt.boring in borings)


def plan_file(
    path: Path, options: RulebookOptions, *, at_boring: ShaftAtBoring | None = None, shafts: Sequence[str] | None = None
) -> PlannedFile:
    """Read a file and plan its shafts, all or those named; a shaft of the command line takes their place.

    Raises InputError or RuleError with every problem.
    """
    from methodpick.imports.input_formats import read_file

    read = read_file(path)
    site = read.site if at_boring is None else site_with_shaft(read, at_boring)
    return plan_site_of(path, read, site, options, shafts)


def plan_site_of(path: Path, read: Imported, site: Site, options: RulebookOptions, shafts: Sequence[str] | None) -> PlannedFile:
    """Plan the shafts of a site that was read from a file."""
    from methodpick.cli.output import progress_bar
    from methodpick.site.planning import plan_site

    book = rulebook_for(path, site, options)
    with progress_bar("planning the shafts") as tell:
        stamp = input_stamp(path, read)
        planned = plan_site(site, book, stamp=stamp, shafts=shafts, assumptions=not options.no_assumptions, tell=tell)
    return PlannedFile(read, site, book, planned)


def input_stamp(path: Path, read: Imported) -> InputStamp:
    """Return the name and the digest of what a plan is made from."""
    from methodpick.plan.result import InputStamp

    return InputStamp("standard input" if path == STANDARD_INPUT else name_of(path), read.digest)


def flips_of_kinds(found: PlannedFile, options: RulebookOptions) -> FlipsOfKinds | None:
    """Return what changes the plan of each kind of shaft within the stated ranges; nothing for a site of many kinds."""
    from methodpick.document.pages import group_shafts
    from methodpick.document.report import MOST_KINDS
    from methodpick.site.planning import settled_site

    kinds = [group.first for group in group_shafts(found.plan.shafts)]
    if len(kinds) > MOST_KINDS:
        return None
    from methodpick.why.within_range import flips_within_range  # not for a site of many kinds, which asks for none

    site = settled_site(found.site, found.site_plan)
    return {kind.id: flips_within_range(site, found.rulebook, kind, assumptions=not options.no_assumptions) for kind in kinds}


def rulebook_for(path: Path, site: Site, options: RulebookOptions) -> Rulebook:
    """Load the rulebook that the options and the site ask for.

    Raises InputError at its place where the file names an agency that the rulebook does not know, RuleError with what is wrong with
    the rules.
    """
    from methodpick.engine.load import overlay_path
    from methodpick.errors import RuleError
    from methodpick.resources import folder
    from methodpick.strict_yaml import examine

    if options.agency is None:
        try:
            overlay_path(options.rules or folder("rules"), site.site.agency)
        except RuleError as error:
            problem = error.problems[0]
            raise InputError(replace(problem, place=examine(path, str(path)).place(("site", "agency")))) from None
    return options.load(site.site.agency)


def site_with_shaft(read: Imported, given: ShaftAtBoring) -> Site:
    """Return the site with the shaft of the command line in place of its own, where one is given.

    Raises InputError where there is neither, or what is given of one is incomplete or cannot be.
    """
    from methodpick.ground.site import Shaft

    site = read.site
    if given.boring is None and given.diameter is None and given.tip is None:
        if site.shafts:
            return site
        names = ", ".join(boring.id for boring in site.borings)
        raise InputError(
            Problem("the file describes borings but no shaft", hint=f"add --boring, --diameter and --tip; the borings are: {names}")
        )
    missing = [option for option, value in (("--diameter", given.diameter), ("--tip", given.tip)) if value is None]
    if missing or given.diameter is None or given.tip is None:
        raise InputError(Problem(f"a shaft at a boring needs {' and '.join(missing)} too"))
    name = _boring_named(site, given.boring)
    size, depth = ("in", "ft") if read.units == "us" else ("mm", "m")
    try:
        shaft = Shaft(
            id=f"at {name}",
            boring=name,
            diameter_m=length_m(given.diameter, "--diameter", size),
            tip_m=length_m(given.tip, "--tip", depth),
            cutoff_m=length_m(given.cutoff, "--cutoff", depth),
            socket_top_m=None if given.socket is None else length_m(given.socket, "--socket", depth),
        )
    except ValueError as error:
        raise InputError(_problems_of(error)) from None
    return site.model_copy(update={"shafts": (shaft,)})


def _boring_named(site: Site, name: str | None) -> str:
    """Return the id of the boring that is named, or of the only one."""
    from methodpick.errors import did_you_mean, no_such, one_of

    known = [boring.id for boring in site.borings]
    expected = one_of(known)
    if name is None and len(known) > 1:
        raise InputError(Problem("the file has several borings; name one with --boring", expected=expected))
    if name is not None and name not in known:
        raise InputError(Problem(no_such("boring", name), expected=expected, hint=did_you_mean(name, known)))
    return known[0] if name is None else name


def _problems_of(error: ValueError) -> list[Problem]:
    """Turn what the model of a shaft refuses into problems of the options."""
    details = getattr(error, "errors", None)
    if details is None:
        return [Problem(str(error))]
    options = {"diameter_m": "--diameter", "diameter": "--diameter", "tip": "--tip", "tip_m": "--tip", "cutoff": "--cutoff"}
    return [
        Problem(
            f"{options.get(str(detail['loc'][0]) if detail['loc'] else '', 'the shaft')}: {detail['msg'].removeprefix('Value error, ')}",
            hint="depths run down from the ground; diameters lie between 0.25 m and 6 m",
        )
        for detail in details()
    ]


def length_m(text: str, option: str, bare: str) -> float:
    """Read a length such as 1200mm, 48in or 25m in metres; ``bare`` is the unit of a number without one.

    Raises InputError where it is none.
    """
    from methodpick.units import parse

    try:
        return parse(text, bare, "m")
    except ValueError as error:
        raise InputError(Problem(f"{option} {text}: {error}", expected="a length such as 1200mm, 48in, 25m or 80ft")) from None


def shaft_asked_for(site: Site, shaft: str | None) -> str:
    """Return the id of the shaft that is named, else of the only one. Raises InputError where the file has several."""
    if shaft is not None:
        return shaft
    from methodpick.errors import one_of

    names = [known.id for known in site.shafts]
    if len(names) != 1:
        raise InputError(Problem("the file has several shafts; name one with --shaft", expected=one_of(names)))
    return names[0]
