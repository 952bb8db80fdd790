"""The command-line program: the commands, and what an error becomes."""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from importlib import import_module
from io import TextIOWrapper
from typing import Annotated, Any, TextIO

import typer
from typer.core import TyperGroup
from typer.main import get_group

from methodpick import __version__
from methodpick.cli.output import STOPPED
from methodpick.collector import collector_paused, leave_uncollected
from methodpick.errors import IN_PLAIN_LETTERS, MethodpickError

COMMANDS = {
    "plan": ("plan:plan", "Plan the construction method of the shafts."),
    "programme": ("programme:programme", "Plan, take off or verify many sites in parallel. A run that was stopped goes on."),
    "takeoff": ("report:takeoff", "Take off quantities, casing strings, hours and cost of a site."),
    "compare": ("compare:compare", "Set the ways to build a site side by side, or two revisions."),
    "sheets": ("report:sheets", "Make every sheet of a site. Schedules, control sheets, takeoff, hold points and a workbook."),
    "report": (
        "report:report",
        "Write the report, or the draft of the installation plan. The report as HTML or PDF, the draft as Markdown.",
    ),
    "draw": (
        "report:draw",
        "Draw a picture of a plan. The strip log, the slurry window, the depth-volume curve, the site section or the calendar.",
    ),
    "why": ("plan:why", "Say why a depth is held as it is. Also why not otherwise, and what would change it."),
    "verify": ("site_files:verify", "Verify a written plan against its ground, the rules and itself."),
    "check": ("site_files:check", "List what is doubtful in a site file or a boring log."),
    "convert": ("site_files:convert", "Turn a log or tables into a site file, or a site into them."),
    "new": ("site_files:new", "Write a commented site file, or tables, to start from."),
    "schema": ("site_files:schema", "Print the JSON Schema of a file, for editors. Of the site file, of rule files or of overlays."),
    "formulas": ("rules:formulas", "List the formulas, or print one. With its source, range and example."),
    "rules": ("rules:app", "Look at the rulebook and check it."),
}
"""The commands: the file in this folder and the function in it that each one is, and its help."""


@cache
def command_named(name: str) -> Any:
    """Return a command with its options, which are put together when it is called for, once however often a process runs it.

    Raises KeyError where there is none of that name.
    """
    place, text = COMMANDS[name]
    module, _, function = place.partition(":")
    found = getattr(import_module(f"methodpick.cli.{module}"), function)
    holder = typer.Typer(rich_markup_mode=None)
    if isinstance(found, typer.Typer):
        holder.add_typer(found, name=name, help=text)
    else:
        holder.command(name, help=text)(found)
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


def main() -> None:
    """Run the program; what goes wrong becomes text on standard error and an exit code, never a traceback.

    A reader who closes the pipe has read enough: that ends with 0. A device that takes no more is told in one line.
    """
    with _orderly_end(), collector_paused():
        try:
            _run()
        except BrokenPipeError:
            _drop_output()
            sys.exit(0)
        except OSError as error:
            _drop_output()
            sys.stderr.write(f"{error.filename or 'standard output'}: {error.strerror or error}\n")
            sys.exit(2)
        except MethodpickError as error:
            sys.stderr.write(error.render() + "\n")
            sys.exit(error.exit_code)
        except KeyboardInterrupt:
            sys.stderr.write("stopped; no file was left half written\n")
            sys.exit(STOPPED)
        finally:
            leave_uncollected()


@cache
def commands() -> Callable[[], object]:
    """Return the program as one command, put together once however often a process runs it."""
    return typer.main.get_command(app)


def _run() -> None:
    """Run the commands and bring out what they print. Raises the error of a closed pipe, which the command line turns into an exit."""
    if sys.stdout is None:
        raise OSError(errno.EBADF, "standard output is closed")
    for stream in (sys.stdout, sys.stderr):
        _spell_in_plain_letters(stream)
    try:
        commands()()
    except SystemExit as stop:
        cause: BaseException | None = stop
        while cause is not None and not isinstance(cause, (BrokenPipeError, KeyboardInterrupt)):
            cause = cause.__cause__ if cause.__suppress_context__ else cause.__context__
        if cause is not None:
            raise cause from None
        sys.stdout.flush()
        raise


def _spell_in_plain_letters(stream: TextIO | None) -> None:
    """Let what the encoding of a terminal or a pipe cannot hold be spelled in letters that it can; UTF-8 holds all."""
    if isinstance(stream, TextIOWrapper) and not stream.encoding.lower().startswith("utf"):
        stream.reconfigure(errors=IN_PLAIN_LETTERS)


def _drop_output() -> None:
    """Let what is left for standard output go nowhere, so that the interpreter does not fail on it again at its end."""
    with suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


@contextmanager
def _orderly_end() -> Iterator[None]:
    """Let a signal to end unwind the program, so that no half-written file stays behind."""

    def end(number: int, _: object) -> None:
        sys.exit(128 + number)

    names = [name for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    try:
        before = {name: signal.signal(getattr(signal, name), end) for name in names}
    except ValueError:  # not in the main thread, which alone may do so
        before = {}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)
