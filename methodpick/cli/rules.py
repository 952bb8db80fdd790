"""``methodpick rules``: list, show, compare, cover, print and check the rulebook; ``methodpick formulas``: what the numbers rest on."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from methodpick.cli.options import Force, Pager, RulesFolder, load_rulebook
from methodpick.cli.output import echo, folded, print_file, show_page, write_new_file
from methodpick.errors import InputError, Problem, on_terminal
from methodpick.terms import CONFIDENCE_WORDS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from methodpick.engine.rulebook import Rulebook
    from methodpick.mechanics.registry import Argument, Formula

# ---- ``methodpick formulas``: each with source, range and example


EVIDENCE = {
    **CONFIDENCE_WORDS,
    "digest": "read in a digest or transcription",
    "memory": "recalled from the cited text, to be checked there",
    "own": "own derivation",
}
SIGNS = {"+": ", the result grows with it", "-": ", the result falls with it", "": ""}


def formulas(
    name: Annotated[str | None, typer.Argument(help="A formula; without one all are listed.")] = None, pager: Pager = True
) -> None:
    """List the formulas, or print one with source, range and an example with the numbers put in."""
    from methodpick.errors import did_you_mean, no_such
    from methodpick.mechanics.registry import all_formulas

    known = all_formulas()
    if name is None:
        show_page(_list(known), pager=pager)
        return
    if name not in known:
        raise InputError(
            Problem(no_such("formula", name), expected="a name that 'methodpick formulas' lists", hint=did_you_mean(name, known))
        )
    show_page(text_of(known[name]), pager=pager)


def _list(known: Mapping[str, Formula]) -> str:
    parts: dict[str, list[Formula]] = {}
    for record in known.values():
        parts.setdefault(record.call.__module__.rpartition(".")[2], []).append(record)
    lines: list[str] = []
    for part in sorted(parts):
        lines += [part, *(f"  {record.name:<30} {record.standing:<5} {record.title}" for record in parts[part])]
    return folded([*lines, f"{len(known)} formulas; 'methodpick formulas NAME' prints one with its source, range and example"])


def text_of(record: Formula) -> str:
    """Write a formula out for a reader.

    >>> from methodpick.mechanics.registry import all_formulas
    >>> print(text_of(all_formulas()["hydrostatic"]).splitlines()[1])
      u = gw h   [kPa]
    >>> [line for line in text_of(all_formulas()["phi_wolff"]).splitlines() if "no plan uses it yet" in line]
    []
    """
    arguments, result = record.example
    put_in = ", ".join(f"{argument} = {value:g}{_unit(record.arguments.get(argument))}" for argument, value in arguments.items())
    lines = [f"{record.name}: {record.title}"]
    lines += _entry("", f"{record.symbols}   [{record.unit}]", 0)
    lines += _entry("source", record.source) + _entry("evidence", EVIDENCE[record.evidence])
    lines += _entry("standing", record.standing + (", a fit to data" if record.empirical else ""))
    if record.waits_for:
        lines += _entry("waits for", f"{record.waits_for}; no plan uses it yet")
    lines += [f"  {argument:<22} {_range(limits)}{SIGNS[limits.sign]}" for argument, limits in record.arguments.items()]
    lines += _entry("example", put_in) + _entry("", f"gives {result:.5g}{'' if record.unit == '1' else ' ' + record.unit}")
    return "\n".join(lines)


def _entry(head: str, text: str, column: int = 10) -> list[str]:
    from textwrap import wrap

    return wrap(text, 80, initial_indent=f"  {head:<{column}}", subsequent_indent="  " + " " * (column or 2), break_long_words=False)


def _range(argument: Argument) -> str:
    return f"{argument.low:g} to {argument.high:g}{_unit(argument)}"


def _unit(argument: Argument | None) -> str:
    return "" if argument is None or argument.unit == "1" else f" {argument.unit}"


# ---- ``methodpick rules``


app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)
AgencyName = Annotated[str, typer.Option("--agency", help="The agency overlay.")]


@app.command("list", help="List the rules.")
def list_rules(
    topic: Annotated[str | None, typer.Option("--topic", help="Only this topic.")] = None,
    level: Annotated[str | None, typer.Option("--level", help="Only this level: must, should, may.")] = None,
    status: Annotated[str | None, typer.Option("--status", help="Only this status.")] = None,
    source: Annotated[str | None, typer.Option("--source", help="Only rules that rest on this source, or on a limit from it.")] = None,
    confidence: Annotated[
        str | None,
        typer.Option("--confidence", help="Only rules whose weakest limit or source is known so: read, digest, secondary, memory, own."),
    ] = None,
    rules: RulesFolder = None,
    agency: AgencyName = "fhwa",
    pager: Pager = True,
) -> None:
    """List the rules by topic."""
    from methodpick.cli.rule_page import list_text, parts_text, rests_on_source
    from methodpick.engine.interpret import weakest_confidence
    from methodpick.engine.rule import LEVELS, STATUSES
    from methodpick.terms import CONFIDENCES

    book = load_rulebook(rules, agency)
    for option, word, known in (
        ("--topic", topic, {rule.topic for rule in book.rules}),
        ("--level", level, LEVELS),
        ("--status", status, STATUSES),
        ("--source", source, book.sources),
        ("--confidence", confidence, CONFIDENCES),
    ):
        _among(option, word, sorted(known) if option == "--topic" else list(known))
    shown = [
        rule
        for rule in book.rules
        if topic in {None, rule.topic}
        and level in {None, rule.level}
        and status in {None, rule.status}
        and (source is None or rests_on_source(rule, source, book))
        and confidence in {None, weakest_confidence(rule, book)}
    ]
    listed = [list_text(shown, book)] if shown else []
    count = f"{len(shown)} rules, {parts_text(book)}; rulebook {book.digest[:12]}"
    show_page(on_terminal("\n".join([*listed, count])), pager=pager)


def _among(option: str, word: str | None, known: list[str]) -> None:
    """Raise InputError where a word is not known."""
    from methodpick.errors import did_you_mean, one_of

    if word is not None and word not in known:
        raise InputError(Problem(f"{option} {word}: no rule has it", expected=one_of(known), hint=did_you_mean(word, known)))


@app.command("show", help="Show one rule, limit, fact or list of trade sizes whole.")
def show(
    rule_id: Annotated[str, typer.Argument(metavar="ID", help="The id of the rule, or the name of a limit, a fact or a list of sizes.")],
    rules: RulesFolder = None,
    agency: AgencyName = "fhwa",
    pager: Pager = True,
) -> None:
    """Show a rule with its limits, sources and cases, a limit or a fact with the rules that name it, or a list of trade sizes."""
    from methodpick.cli.rule_page import fact_page, limit_page, rule_text, sizes_text
    from methodpick.errors import did_you_mean, no_such

    book = load_rulebook(rules, agency)
    pages: tuple[tuple[Mapping[str, Any], Callable[[Any, Rulebook], str]], ...] = (
        (book.by_id, rule_text),
        (book.limits, limit_page),
        (book.catalogue.facts, fact_page),
        (book.sizes, sizes_text),
    )
    for known, text_of in pages:
        if rule_id in known:
            show_page(on_terminal(text_of(known[rule_id], book)), pager=pager)
            return
    names = [name for known, _ in pages for name in known]
    raise InputError(Problem(no_such("rule, limit, fact or list of sizes", rule_id), hint=did_you_mean(rule_id, names)))


@app.command("diff", help="Show what an agency's or your own overlay changes.")
def diff(
    overlay: Annotated[str, typer.Argument(help="The name of an agency, or an overlay file.")],
    rules: RulesFolder = None,
    pager: Pager = True,
) -> None:
    """Show the limits and rules that an overlay changes, with what becomes looser."""
    from methodpick.cli.rule_page import diff_text

    file = Path(overlay)
    is_file = file.suffix in {".yaml", ".yml"}
    changed = load_rulebook(rules, "fhwa" if is_file else overlay, [file] if is_file else [])
    show_page(on_terminal(diff_text(load_rulebook(rules, "fhwa"), changed)), pager=pager)


@app.command("cover", help="Show which rules fire on which example.")
def cover(
    files: Annotated[list[Path] | None, typer.Argument(help="Site files; else the examples that came along.")] = None,
    never: Annotated[bool, typer.Option("--never", help="Only the rules that hold nowhere, with the reason.")] = False,
    rules: RulesFolder = None,
    agency: AgencyName = "fhwa",
    pager: Pager = True,
) -> None:
    """Judge every rule over the shafts of the examples."""
    from methodpick.cli.rule_page import count_firings, cover_text
    from methodpick.imports.input_formats import read_file
    from methodpick.resources import folder

    sites = {path.stem: read_file(path).site for path in files or sorted(folder("profiles").glob("*.yaml"))}
    book = load_rulebook(rules, agency)
    show_page(on_terminal(cover_text(count_firings(sites, book), book, len(sites), silent_only=never)), pager=pager)


@app.command("docs", help="Write the rulebook as one page.")
def docs(
    output: Annotated[Path | None, typer.Option("--output", "-o", help="The file to write; else standard output.")] = None,
    html: Annotated[bool, typer.Option("--html", help="One self-contained HTML file in place of Markdown.")] = False,
    force: Force = False,
    rules: RulesFolder = None,
    agency: AgencyName = "fhwa",
) -> None:
    """Write rules, limits, class tables, assumptions and sources as one page."""
    from methodpick.cli.rule_page import page_html, page_markdown

    book = load_rulebook(rules, agency)
    text = page_html(book) if html else page_markdown(book)
    if output is None:
        print_file(text)
    else:
        write_new_file(output, text, force=force)


@app.command("check", help="Check a rulebook as a program is checked.")
def check(
    folder: Annotated[Path | None, typer.Argument(help="The rulebook folder; else the one that came along.")] = None,
    agency: AgencyName = "fhwa",
    quiet: Annotated[bool, typer.Option("--quiet", help="Print errors only, and the count.")] = False,
) -> None:
    """Check a rulebook; exit 3 on errors."""
    from methodpick.engine.check import check_rulebook
    from methodpick.engine.load import overlay_path
    from methodpick.resources import folder as find

    home = folder or find("rules")
    of_agency = overlay_path(home, agency) if home.is_dir() else None
    findings = check_rulebook(home, [] if of_agency is None else [of_agency], None if folder else read_by_the_program)
    for finding in findings:
        if not quiet or finding.severity == "error":
            echo(finding.render())
    errors = sum(1 for finding in findings if finding.severity == "error")
    echo(f"{errors} errors, {len(findings) - errors} warnings")
    if errors:
        raise typer.Exit(3)


def read_by_the_program(names: Iterable[str]) -> set[str]:
    """Return those names that the program itself reads: they stand in its source as texts, whole or with a part put in."""
    import re

    import methodpick

    home = Path(methodpick.__file__).parent
    text = "".join(
        path.read_text(encoding="utf-8")
        for part in ("vocabulary", "facts", "plan", "mechanics", "site", "why")
        for path in (home / part).rglob("*.py")
    )
    written = set(re.findall(r'(?<!put\()"([a-z][a-z0-9_{}-]*)"', text))
    parts = [re.compile(re.sub(r"\{[^}]*\}", "[a-z0-9_]+", text)) for text in written if "{" in text and text.strip("{}_") != ""]
    return {name for name in names if name in written or any(part.fullmatch(name) for part in parts)}
