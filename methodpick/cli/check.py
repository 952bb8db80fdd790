"""``methodpick check``: what is doubtful in a file; ``methodpick verify``: a written plan held against its ground and the rules."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.cli.options import Agency, File, Overlays, RulesFolder, planning_rulebook
from methodpick.cli.output import echo, echo_line
from methodpick.unit_markup import how_many

if TYPE_CHECKING:
    from methodpick.errors import Place
    from methodpick.ground.doubt import DoubtSeverity
    from methodpick.ground.site import Site
    from methodpick.imports.input_formats import Imported

# ---- ``methodpick check``


MOST_ALIKE = 3
"""Doubts of one wording that are printed in full before the rest is only counted."""

Strict = Annotated[bool, typer.Option("--strict", help="Exit with 1 where anything is doubtful or serious; notes do not count.")]


@dataclass(frozen=True, slots=True)
class DoubtLine:
    """A doubt as it is printed: its place, severity, subject, message and remedy."""

    place: Place
    severity: DoubtSeverity
    subject: str
    message: str
    remedy: str
    wording: str

    def render(self) -> list[str]:
        """Return the doubt as lines: place, severity, what about, what; then the remedy."""
        subject = f"{self.subject}: " if self.subject else ""
        first = f"{self.place.file}:{self.place.line}: {self.severity}: {subject}{self.message}"
        return [first, f"    remedy: {self.remedy}"] if self.remedy else [first]


def check(file: File, strict: Strict = False) -> None:
    """Read a file, print its doubts in order of the file and how many rows of each group are used; exit 2 where it cannot be read."""
    from methodpick.imports.input_formats import read_file

    read = read_file(file)
    lines = doubt_lines(read, str(file))
    shafts = f", {how_many(len(read.site.shafts), 'shaft')}" if read.site.shafts else ""
    echo_line(f"{file.name}: {how_many(len(read.site.borings), 'boring')}{shafts}.")
    for line in count_lines(read):
        echo_line(line)
    for line in printed(lines):
        echo_line(line)
    if not lines:
        echo("Nothing is doubtful.")
    if strict and any(line.severity != "note" for line in lines):
        raise typer.Exit(1)


def count_lines(read: Imported) -> list[str]:
    """Return a line for each group of the file that is read, and one for all that are not."""
    used = [count for count in read.counts if count.rows and not count.left_alone]
    rest = [f"{count.group} {count.rows}" for count in read.counts if count.rows and count.left_alone]
    lines = [count.render() for count in used]
    return [*lines, f"Groups that are not read, with their rows: {', '.join(rest)}"] if rest else lines


def doubt_lines(read: Imported, file: str) -> list[DoubtLine]:
    """Return the doubts of the reader and those about the ground, in order of the file, each once."""
    from methodpick.errors import Place
    from methodpick.ground.check import check as find
    from methodpick.unit_markup import write_number

    units = read.units
    found: dict[tuple[str, str], DoubtLine] = {}
    for doubt in read.doubts:
        depth = "" if doubt.depth_m is None else f", {write_number(doubt.depth_m, 'm', units)}"
        quoted = f" ('{doubt.quoted}')" if doubt.quoted else ""
        subject = f"boring {doubt.boring}{depth}" if doubt.boring else ""
        line = DoubtLine(_as_named(doubt.place, file), doubt.severity, subject, f"{doubt.message}{quoted}", doubt.action, doubt.message)
        found.setdefault((f"{doubt.place.line} {subject}", line.message), line)
    for about in find(
        read.site, say_m=lambda value: write_number(value, "m", units), say_kpa=lambda value: write_number(value, "kPa", units)
    ):
        place = _as_named(read.place_of(about) or Place(file, 1, 1), file)
        line = DoubtLine(place, about.severity, about.where, about.message, about.action, about.message)
        found.setdefault((about.where, about.message), line)
    return sorted(found.values(), key=lambda line: (line.place.file, line.place.line))


def _as_named(place: Place, file: str) -> Place:
    """Return a place with its file as the user named it."""
    return replace(place, file=file) if file.endswith(place.file) else place


def printed(lines: Iterable[DoubtLine]) -> list[str]:
    """Return the doubts as text; of many of one wording, which only tell of other rows, the first and the count of the rest."""
    alike: dict[tuple[str, str, str], list[DoubtLine]] = {}
    for line in lines:
        alike.setdefault((line.severity, line.wording, line.remedy), []).append(line)
    written = []
    for same in alike.values():
        written += [part for line in same[:MOST_ALIKE] for part in line.render()]
        if len(same) > MOST_ALIKE:
            rest = same[MOST_ALIKE:]
            where = ", ".join(str(line.place.line) for line in rest[:10]) + (", ..." if len(rest) > 10 else "")
            written.append(f"    and {len(rest)} more like it, on the lines {where}")
    return written


# ---- ``methodpick verify``: against its ground, the rules and its own words


MOST_BYTES = 500_000_000
"""A plan of a thousand shafts is smaller."""

PlanFile = Annotated[Path, typer.Argument(help="The plan to verify, as 'plan --json' writes it, or - for standard input.")]


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
