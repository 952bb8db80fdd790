"""The commands as a program of typer: the help, and the reading of options and arguments."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from functools import cache
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import typer
from typer.core import TyperGroup
from typer.main import get_group

from methodpick import __version__
from methodpick.cli.commands import COMMANDS, function_of
from methodpick.cli.declared import Declared


def read_by_typer(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a command with its options and arguments as typer takes them, in place of how they are declared."""
    hints = get_type_hints(function, include_extras=True)
    given = inspect.signature(function)
    parameters = [
        each.replace(annotation=_taken_by_typer(each.annotation if get_origin(each.annotation) is Annotated else hints.get(name, Any)))
        for name, each in given.parameters.items()
    ]

    def run(**values: Any) -> Any:
        return function(**values)

    run.__doc__ = function.__doc__
    vars(run)["__signature__"] = given.replace(parameters=parameters)
    run.__annotations__ = {each.name: each.annotation for each in parameters}
    return run


def _taken_by_typer(annotation: Any) -> Any:
    if get_origin(annotation) is not Annotated:
        return annotation
    kind, *notes = get_args(annotation)
    taken = [getattr(typer, note.kind)(*note.names, **note.more) if isinstance(note, Declared) else note for note in notes]
    return Annotated[(kind, *taken)]


def command_in(group: typer.Typer, name: str, text: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return what makes a function, whose options are declared without typer, a command of a group; the function stays as it is."""

    def noted(function: Callable[..., Any]) -> Callable[..., Any]:
        group.command(name, help=text)(read_by_typer(function))
        return function

    return noted


@cache
def command_named(name: str) -> Any:
    """Return a command with its options, which are put together when it is called for, once however often a process runs it.

    Raises KeyError where there is none of that name.
    """
    found, text = function_of(name), COMMANDS[name][1]
    holder = typer.Typer(rich_markup_mode=None)
    if isinstance(found, typer.Typer):
        holder.add_typer(found, name=name, help=text)
    else:
        command_in(holder, name, text)(found)
    return get_group(holder).commands[name]


class CommandGroup(TyperGroup):
    """The commands as the help lists them; the one that is called for takes its place with its options."""

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Return the name of the command that is called for, the command, and the arguments that are left."""
        name, listed, left = super().resolve_command(ctx, args)
        return name, listed and command_named(listed.name or ""), left


app = typer.Typer(
    name="methodpick",
    cls=CommandGroup,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="From boring logs to a construction method for every drilled shaft.",
)
for _name, (_, _help) in COMMANDS.items():
    app.command(_name, help=_help)(lambda: None)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"methodpick {__version__}")
        raise typer.Exit


@app.callback()
def start(
    version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")] = False,
) -> None:
    """From boring logs to a construction method for every drilled shaft."""
    del version


@cache
def commands() -> Callable[[], object]:
    """Return the program as one command, put together once however often a process runs it."""
    return typer.main.get_command(app)
