"""The command-line program: the commands, and what an error becomes."""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from typing import Annotated

import typer

from methodpick import __version__
from methodpick.cli import compare, plan, programme, report, rules, site_files
from methodpick.errors import MethodpickError

app = typer.Typer(
    name="methodpick",
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="From boring logs to a construction method for every drilled shaft.",
)
app.command("plan", help="Plan the construction method of the shafts.")(plan.plan)
app.command("programme", help="Plan, take off or verify many sites in parallel, and go on where a run was stopped.")(programme.programme)
app.command("takeoff", help="Take off quantities, casing strings, hours and cost of a site.")(report.takeoff)
app.command("compare", help="Set the ways to build a site side by side, or two revisions of it.")(compare.compare)
app.command("sheets", help="Make every sheet of a site: schedules, control sheets, takeoff, hold points, workbook.")(report.sheets)
app.command("report", help="Write the report as HTML or PDF, or the draft of the installation plan as Markdown.")(report.report)
app.command("draw", help="Draw the strip log, the slurry window, the depth-volume curve or the site section.")(report.draw)
app.command("why", help="Say why a depth is held as it is, why not otherwise, and what would change it.")(plan.why)
app.command("verify", help="Verify a written plan against its ground, the rules and itself.")(site_files.verify)
app.command("check", help="Read a site file or a boring log and list what is doubtful in it.")(site_files.check)
app.command("convert", help="Turn a boring log into a site file.")(site_files.convert)
app.command("new", help="Write a commented site file to start from.")(site_files.new)
app.command("schema", help="Print the JSON Schema of the site file, of rule files or of overlays, for editors.")(site_files.schema)
app.command("formulas", help="List the formulas, or print one with its source, range and example.")(rules.formulas)
app.add_typer(rules.app, name="rules", help="Look at the rulebook and check it.")


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
    with _orderly_end():
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
            sys.exit(130)
        except UnicodeEncodeError:
            sys.stderr.write("the output's encoding cannot hold this text; set PYTHONIOENCODING=utf-8\n")
            sys.exit(2)


@cache
def commands() -> Callable[[], object]:
    """Return the commands with their options, put together once however often a process runs them."""
    return typer.main.get_command(app)


def _run() -> None:
    """Run the commands and bring out what they print. Raises the error of a closed pipe, which the command line turns into an exit."""
    if sys.stdout is None:
        raise OSError(errno.EBADF, "standard output is closed")
    try:
        commands()()
    except SystemExit as stop:
        if isinstance(stop.__context__, (BrokenPipeError, KeyboardInterrupt)):
            raise stop.__context__ from None
        sys.stdout.flush()
        raise


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
