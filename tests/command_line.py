"""Run the command line for a test: in this process (fast), or as a program of its own where the process is the point."""

import io
import subprocess
import sys
from contextlib import ExitStack, chdir, contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from subprocess import CompletedProcess
from unittest.mock import patch

from shared_plans import flips_within_range_once, plan_site_once
from shipped import load_shipped_once
from typer.testing import CliRunner

from methodpick.cli.app import app, main
from methodpick.engine import load
from methodpick.site import planning
from methodpick.why import within_range


@contextmanager
def kept_from_run_to_run():
    """Let commands share the shipped rulebook and the plans of sites that are the same by content."""
    with ExitStack() as stack:
        stack.enter_context(patch.object(load, "load_rulebook", load_shipped_once))
        stack.enter_context(patch.object(planning, "plan_site", plan_site_once))
        stack.enter_context(patch.object(within_range, "flips_within_range", flips_within_range_once))
        yield


def run(*words, cwd=None, piped=b"", encoding="utf-8"):
    """Run ``methodpick`` in this process, ``piped`` as its standard input; return exit code and both outputs as a process would.

    The outputs are in ``encoding``, and what is printed as a file is not: where it cannot be read as such it is read as UTF-8.
    """
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="") for _ in range(2))
    arguments = ["methodpick", *map(str, words)]
    code = 0
    standard_input = patch.object(sys, "stdin", io.TextIOWrapper(io.BytesIO(piped)))
    with (
        patch.object(sys, "argv", arguments),
        standard_input,
        kept_from_run_to_run(),
        redirect_stdout(out),
        redirect_stderr(err),
        chdir(cwd or Path.cwd()),
    ):
        try:
            main()
        except SystemExit as stop:
            code = stop.code or 0
    for stream in (out, err):
        stream.flush()
    return CompletedProcess(arguments, code, *(_read(stream.buffer.getvalue(), encoding) for stream in (out, err)))


def _read(written, encoding):
    try:
        return written.decode(encoding)
    except UnicodeDecodeError:
        return written.decode("utf-8")


def output_of(*words):
    """Run ``methodpick`` with these words in this process; return what it prints. Raises the error that a user would read."""
    with kept_from_run_to_run():
        done = CliRunner().invoke(app, [str(word) for word in words])
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.output


def run_as_process(*words, **more):
    """Run ``python -m methodpick`` with these words as a program of its own, reading its outputs through pipes."""
    return subprocess.run(
        [sys.executable, "-m", "methodpick", *map(str, words)],
        capture_output=True,
        text=True,
        timeout=120,
        encoding="utf-8",
        check=False,
        **more,
    )
