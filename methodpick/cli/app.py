"""The command-line program: a call with a file alone, or by typer, and what an error becomes."""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from inspect import Parameter, isfunction, signature
from pathlib import Path

from methodpick.cli.commands import COMMANDS, function_of
from methodpick.collector import collector_paused, leave_uncollected
from methodpick.errors import MethodpickError


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
            sys.exit(130)
        except UnicodeEncodeError:
            sys.stderr.write("the output's encoding cannot hold this text; set PYTHONIOENCODING=utf-8\n")
            sys.exit(2)
        finally:
            leave_uncollected()


WILD = frozenset("*?[]~$%")
"""Letters of a file's name that some shells leave to the program."""


def call_with_a_file(words: Sequence[str]) -> Callable[[], object] | None:
    """Return the call of a command with nothing but a file, None where anything else is on the command line.

    There is nothing to convert and nothing to refuse then, for which typer and the library of models that it uses would be imported and
    prepared: a third of the time of a plan.

    >>> call_with_a_file(["check", "bridge.yaml"]) is None, call_with_a_file(["check", "--help"]) is None
    (False, True)
    """
    if len(words) != 2 or words[0] not in COMMANDS or words[1].startswith("-") or not WILD.isdisjoint(words[1]):
        return None
    function = function_of(words[0])
    if not isfunction(function):
        return None
    needed = [name for name, parameter in signature(function).parameters.items() if parameter.default is Parameter.empty]
    return partial(function, file=Path(words[1])) if needed == ["file"] else None


def _run() -> None:
    """Run the commands and bring out what they print. Raises the error of a closed pipe, which the command line turns into an exit."""
    if sys.stdout is None:
        raise OSError(errno.EBADF, "standard output is closed")
    try:
        (call_with_a_file(sys.argv[1:]) or _commands())()
        sys.stdout.flush()
    except SystemExit as stop:
        if isinstance(stop.__context__, (BrokenPipeError, KeyboardInterrupt)):
            raise stop.__context__ from None
        sys.stdout.flush()
        raise


def _commands() -> Callable[[], object]:
    from methodpick.cli.program import commands

    return commands()


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
