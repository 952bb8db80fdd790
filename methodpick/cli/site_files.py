"""Files of sites: ``methodpick new``, ``convert``, ``schema`` for editors, ``check`` of what is doubtful in one, ``verify`` of a plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from methodpick.cli.options import Agency, File, FileUnits, Force, Overlays, Pager, Quiet, RulesFolder, planning_rulebook
from methodpick.cli.output import STANDARD_OUTPUT, echo, echo_line, one_line, print_file, show_page, write_new_file, write_new_files
from methodpick.errors import InputError, Problem, on_terminal
from methodpick.imports.input_formats import AGS4, FORMATS, SITE_FILE, format_of, listed
from methodpick.input_files import name_of
from methodpick.records import record
from methodpick.terms import UnitSystem
from methodpick.unit_markup import how_many

if TYPE_CHECKING:
    from methodpick.blank_form import FormSheet
    from methodpick.errors import Place
    from methodpick.ground.doubt import DoubtSeverity
    from methodpick.ground.site import Site
    from methodpick.imports.input_formats import Imported


# ---- ``methodpick new``: a commented site file, or tables to fill in


def new(
    file: Annotated[Path | None, typer.Argument(help="The site file to write, or - for standard output.")] = None,
    tables: Annotated[
        Path | None,
        typer.Option(
            "--tables", help="Write tables to fill in instead: a workbook (.xlsx, or - for standard output), or a folder of CSV files."
        ),
    ] = None,
    units: FileUnits = "us",
    force: Force = False,
) -> None:
    """Write a commented site file, or tables to fill in."""
    from methodpick.imports.site_forms import site_template

    if (file is None) == (tables is None):
        raise InputError(Problem("name a site file to write, or tables with --tables", hint="methodpick new site.yaml"))
    if tables is not None:
        _write_tables(tables, units, force=force)
    elif file is not None:
        text = site_template(units)
        if str(file) == "-":
            print_file(text)
            return
        write_new_file(file, text, force=force)
        echo(f"{file} written; change it to your site, then: methodpick plan {file}")


def _write_tables(target: Path, units: UnitSystem, *, force: bool) -> None:
    from methodpick.imports.site_forms import table_form

    if target == STANDARD_OUTPUT:
        _print_workbook(table_form(units))
    elif _write_form(target, table_form(units), force=force):
        echo(f"{target} written; fill it in, then: methodpick check {target}")
    else:
        echo(f"{target} written; fill the files in, then: methodpick check {target}")


def _write_form(target: Path, form: Sequence[FormSheet], *, force: bool) -> bool:
    """Write sheets as a workbook, or as CSV files into a folder; return whether it was a workbook."""
    from methodpick.cli.output import make_folder
    from methodpick.formats.sheets import form_csv, form_workbook

    if target.suffix.lower() == ".xlsx":
        write_new_file(target, form_workbook(form), force=force)
        return True
    if target.suffix:
        raise InputError(Problem(f"{target}: tables are written as a workbook (.xlsx) or into a folder"))
    files: dict[Path, str | bytes] = {target / f"{sheet.name}.csv": form_csv(sheet) for sheet in form}
    make_folder(target)
    write_new_files(files, force=force)
    return False


# ---- ``methodpick convert``: a boring log or tables become a site file, the borings of any file an AGS4 log


OTHERS = listed([known for known in FORMATS if known is not SITE_FILE])


Target = Literal["site", "ags4", "xlsx", "csv"]
_SUFFIXES: dict[Target, tuple[str, ...]] = {"site": ("", *SITE_FILE.suffixes), "ags4": AGS4.suffixes, "xlsx": (".xlsx",), "csv": ("",)}
"""What is written, with the endings of a file of it; CSV files go into a folder."""
_TO_NAME = "a site file (.yaml, .yml), an AGS4 log (.ags, .ags4), a workbook (.xlsx), or a folder that is there for CSV files"

Converted = Annotated[
    Path | None, typer.Option("--output", "-o", help=f"What to write: {_TO_NAME}; without it, or with -, it goes to standard output.")
]
ConvertedTo = Annotated[
    Target | None, typer.Option("--to", help="What to write where the output does not say it by its ending; else a site file.")
]


def convert(
    file: Annotated[Path, typer.Argument(help=f"The file to convert, or - for standard input: {listed()}.")],
    output: Converted = None,
    to: ConvertedTo = None,
    units: Annotated[
        UnitSystem | None,
        typer.Option("--units", help="Units of the site file or of the tables; else those of tables or a site file, or si."),
    ] = None,
    force: Force = False,
) -> None:
    """Turn a log or tables into a site file, a site into tables or a log; what was understood and is doubtful goes to standard error."""
    from methodpick.cli.output import refuse_clashes
    from methodpick.imports.input_formats import TABLES

    refuse_clashes((output,), (file,))
    output = None if output == STANDARD_OUTPUT else output
    target = _target_of(output, to)
    found = format_of(file)
    if found is SITE_FILE and target == "site":
        raise InputError(Problem(f"{file}: this is {found.name} already", expected=OTHERS, hint="say what it is to become with --to"))
    read = found.read(file)
    _print_what_was_read(read)
    system = units or (read.units if found in (TABLES, SITE_FILE) else "si")
    if target == "ags4":
        _write_log(output, read.site, force=force)
    elif target == "site":
        _write_site_file(output, read.site, system, force=force)
    else:
        _write_site_tables(output, read.site, system, force=force)


def _target_of(output: Path | None, to: Target | None) -> Target:
    """Return what to write: as ``to`` says, else by the ending of the output. Raises InputError where both differ or neither fits."""
    if output is None:
        if to == "csv":
            raise InputError(
                Problem("tables as CSV are several files and cannot go to standard output", hint="name a folder with -o, or use --to xlsx")
            )
        return to or "site"
    if not output.suffix and to is None and not output.exists():
        message = f"{output} has no ending, and is no folder that is there"
        raise InputError(Problem(message, expected=_TO_NAME, hint="say with --to what it is to be: --to csv makes the folder"))
    if output.is_dir():
        meant: Target | None = "csv"
    else:
        meant = next((kind for kind, suffixes in _SUFFIXES.items() if output.suffix.lower() in suffixes), None)
    if meant is None or (to is not None and meant != to and output.suffix.lower() not in _SUFFIXES[to]):
        named = f" does not end as {to} does" if to is not None else ": nothing that is written ends so"
        raise InputError(Problem(f"{output}{named}", expected=_TO_NAME))
    return to or meant


def _print_what_was_read(read: Imported) -> None:
    """Print how headings were understood, how many rows were used, and what is doubtful."""
    from methodpick.cli.site_files import count_lines

    for line in (*read.understood, *count_lines(read), *(f"- {doubt.render()}" for doubt in read.doubts)):
        echo_line(line, err=True)


def _write_site_file(output: Path | None, site: Site, units: UnitSystem, *, force: bool) -> None:
    """Write a site file, or print it where no file is named."""
    from methodpick.formats.site_yaml import whole_site_yaml

    text = whole_site_yaml(site, units)
    if output is None:
        print_file(text)
        return
    write_new_file(output, text, force=force)
    shafts = f" and {how_many(len(site.shafts), 'shaft')}" if site.shafts else ""
    action = "read the doubts above" if shafts else "add the shafts and read the doubts above"
    echo(f"{output}: {how_many(len(site.borings), 'boring')}{shafts} written; {action}.", err=True)


def _write_log(output: Path | None, site: Site, *, force: bool) -> None:
    """Write the borings of a site as an AGS4 log, or print it where no file is named, and say what of them has no place in it."""
    from methodpick.formats.log_ags4 import borings_ags4

    log = borings_ags4(site.borings)
    if output is None:
        print_file(log.text)
    else:
        write_new_file(output, log.text, force=force)
    for dropped in log.dropped:
        echo_line(f"- left out, {dropped}", err=True)
    echo(f"{output or 'standard output'}: {how_many(len(site.borings), 'boring')} written.", err=True)


def _write_site_tables(output: Path | None, site: Site, units: UnitSystem, *, force: bool) -> None:
    """Write a site as tables, a workbook to standard output where no file is named, and say what of it has no place in them."""
    from methodpick.formats.site_yaml import whole_site_yaml
    from methodpick.imports.filled_tables import filled_tables
    from methodpick.strict_yaml import read

    tables = filled_tables(read(whole_site_yaml(site, units)).value, units)
    if output is None:
        _print_workbook(tables.sheets)
    else:
        _write_form(output, tables.sheets, force=force)
    for dropped in tables.dropped:
        echo_line(f"- left out, {dropped}", err=True)
    echo(
        f"{output or 'standard output'}: {how_many(len(site.borings), 'boring')} and {how_many(len(site.shafts), 'shaft')} written.",
        err=True,
    )


def _print_workbook(sheets: Sequence[FormSheet]) -> None:
    """Write a workbook to standard output. Raises InputError where that is a terminal, which a workbook would only garble."""
    from methodpick.formats.sheets import form_workbook

    print_file(form_workbook(sheets))


# ---- ``methodpick schema``: the JSON Schemas of the site file, of rule files and of overlays


Described = Literal["site", "rules", "overlay"]


def schema(kind: Annotated[Described, typer.Argument(help="Of the site file, of a rule file, or of an overlay.")] = "site") -> None:
    """Print a JSON Schema."""
    import json

    if kind == "site":
        from methodpick.imports.site_keys import site_schema

        found = site_schema()
    else:
        from methodpick.cli.options import load_rulebook
        from methodpick.engine.read import overlay_schema, rules_schema

        found = (rules_schema if kind == "rules" else overlay_schema)(load_rulebook(None, "fhwa"))
    print_file(json.dumps(found, indent=1, ensure_ascii=False) + "\n")


# ---- ``methodpick check``


MOST_ALIKE = 3
"""Doubts of one wording that are printed in full before the rest is only counted."""

Strict = Annotated[bool, typer.Option("--strict", help="Exit with 1 where anything is doubtful or serious; notes do not count.")]


@record
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


def check(file: File, strict: Strict = False, pager: Pager = True, quiet: Quiet = False) -> None:
    """Read a file, print its doubts in order of the file and how many rows of each group are used; exit 2 where it cannot be read."""
    from methodpick.imports.input_formats import read_file

    read = read_file(file)
    lines = doubt_lines(read, str(file))
    shafts = f", {how_many(len(read.site.shafts), 'shaft')}" if read.site.shafts else ""
    head = f"{name_of(file)}: {how_many(len(read.site.borings), 'boring')}{shafts}."
    page = [head, *count_lines(read), *printed(lines)] if lines else [head, *count_lines(read), "Nothing is doubtful."]
    if not quiet:
        show_page(on_terminal("\n".join(map(one_line, page))), pager=pager)
    if strict and any(line.severity != "note" for line in lines):
        raise typer.Exit(1)


def count_lines(read: Imported) -> list[str]:
    """Return a line for each group of the file that is read, and one for all that are not."""
    used = [count for count in read.counts if count.rows and not count.left_alone]
    rest: dict[str, list[str]] = {}
    for count in read.counts:
        if count.rows and count.left_alone:
            rest.setdefault(count.set_aside[0][0], []).append(f"{count.group} {count.rows}")
    lines = [count.render() for count in used]
    return [*lines, *(f"Not read ({why}), with their rows: {', '.join(groups)}" for why, groups in rest.items())]


def doubt_lines(read: Imported, file: str) -> list[DoubtLine]:
    """Return the doubts of the reader and those about the ground, in order of the file, each once."""
    from methodpick.errors import Place
    from methodpick.ground.check import check as find
    from methodpick.units import write_number

    units = read.units
    found: dict[tuple[str, str], DoubtLine] = {}
    told: set[tuple[str, str]] = set()
    for doubt in read.doubts:
        depth = "" if doubt.depth_m is None else f", {write_number(doubt.depth_m, 'm', units)}"
        quoted = f" ('{doubt.quoted}')" if doubt.quoted else ""
        subject = f"boring {doubt.boring}{depth}" if doubt.boring else ""
        line = DoubtLine(_as_named(doubt.place, file), doubt.severity, subject, f"{doubt.message}{quoted}", doubt.action, doubt.message)
        found.setdefault((f"{doubt.place.line} {subject}", line.message), line)
        told.add((subject, doubt.message))
    for about in find(
        read.site, say_m=lambda value: write_number(value, "m", units), say_kpa=lambda value: write_number(value, "kPa", units)
    ):
        if (about.where, about.message) in told:
            continue
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
    from methodpick.input_files import read_bytes
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
    from methodpick.input_files import not_utf8

    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise not_utf8(data, error.start, name) from None


def _site(path: Path) -> Site:
    from methodpick.imports.input_formats import read_file

    return read_file(path).site
