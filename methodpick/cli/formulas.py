"""``methodpick formulas``: the formulas under the numbers, each with source, range and example."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from methodpick.errors import InputError, Problem
from methodpick.terms import CONFIDENCE_WORDS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from methodpick.mechanics.registry import Argument, Formula

EVIDENCE = {
    **CONFIDENCE_WORDS,
    "digest": "read in a digest or transcription",
    "memory": "recalled from the cited text, to be checked there",
    "own": "own derivation",
}
SIGNS = {"+": ", the result grows with it", "-": ", the result falls with it", "": ""}


def formulas(name: Annotated[str | None, typer.Argument(help="A formula; without one all are listed.")] = None) -> None:
    """List the formulas, or print one with source, range and an example with the numbers put in."""
    from methodpick.mechanics.registry import all_formulas
    from methodpick.spelling import did_you_mean, no_such

    known = all_formulas()
    if name is None:
        _list(known)
        return
    if name not in known:
        raise InputError(
            Problem(no_such("formula", name), expected="a name that 'methodpick formulas' lists", hint=did_you_mean(name, known))
        )
    typer.echo(text_of(known[name]))


def _list(known: Mapping[str, Formula]) -> None:
    parts: dict[str, list[Formula]] = {}
    for record in known.values():
        parts.setdefault(record.call.__module__.rpartition(".")[2], []).append(record)
    for part in sorted(parts):
        typer.echo(part)
        for record in parts[part]:
            typer.echo(f"  {record.name:<25} {record.standing:<6} {record.title}")
    typer.echo(f"{len(known)} formulas; 'methodpick formulas NAME' prints one with its source, range and example")


def text_of(record: Formula) -> str:
    """Write a formula out for a reader.

    >>> from methodpick.mechanics.registry import all_formulas
    >>> print(text_of(all_formulas()["hydrostatic"]).splitlines()[1])
      u = gw h   [kPa]
    >>> [line for line in text_of(all_formulas()["phi_wolff"]).splitlines() if "no plan uses it yet" in line] != []
    True
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
