"""From a file and options to planned shafts: what the commands that plan have in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from methodpick.errors import InputError, Problem
from methodpick.regular_file import STANDARD_INPUT

if TYPE_CHECKING:
    from methodpick.cli.options import RulebookOptions, ShaftAtBoring
    from methodpick.engine.rulebook import Rulebook
    from methodpick.ground.site import Site
    from methodpick.imports.input_formats import Imported
    from methodpick.plan.result import Plan
    from methodpick.site.result import SitePlan


@dataclass(frozen=True, slots=True)
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
        """Return what the reader doubted of the borings that were planned, and of the file as a whole."""
        borings = {shaft.boring for shaft in self.plan.shafts} | {""}
        return tuple(doubt.render() for doubt in self.imported.doubts if doubt.boring in borings)


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
    from methodpick.plan.result import InputStamp
    from methodpick.site.planning import plan_site

    book = _rulebook(path, site, options)
    with progress_bar("planning the shafts") as tell:
        stamp = InputStamp("standard input" if path == STANDARD_INPUT else path.name, read.digest)
        planned = plan_site(site, book, stamp=stamp, shafts=shafts, assumptions=not options.no_assumptions, tell=tell)
    return PlannedFile(read, site, book, planned)


def _rulebook(path: Path, site: Site, options: RulebookOptions) -> Rulebook:
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
