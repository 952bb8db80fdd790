"""How a page is shown: help by -h, no escape codes without colour, a pager on a terminal for what is longer than the screen."""

import os
import pty
import re
import sys
import warnings

import pytest
from command_line import kept_from_run_to_run, run

from methodpick.cli.app import main
from methodpick.resources import folder

LENS = folder("profiles") / "caving-lens.yaml"


@pytest.mark.parametrize("command", [(), ("plan",), ("rules",), ("rules", "show")])
def test_h_is_help(command):
    shown = run(*command, "-h")
    assert shown.returncode == 0
    assert "--help" in shown.stdout
    assert shown.stdout == run(*command, "--help").stdout


def on_terminal(*words, **environment):
    """Run the program in a child of this process on a pseudo-terminal of 24 lines and 80 columns; return what it wrote there."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # of forking beside threads: those of the test runner hold nothing here
        child, end = pty.fork()
    if child == 0:
        os.environ |= {"TERM": "xterm", "COLUMNS": "80", "LINES": "24", "PAGER": "sed s/^/paged:/", **environment}
        run_in_child(*words)
    written = b""
    try:
        while chunk := os.read(end, 65536):
            written += chunk
    except OSError:
        pass  # the other end is closed when the program has ended
    os.waitpid(child, 0)
    os.close(end)
    return written.decode()


def run_in_child(*words):
    """Run the program with the terminal as its three files, and end the process."""
    code = 1
    try:
        sys.stdin, sys.stdout, sys.stderr = (os.fdopen(number, mode) for number, mode in ((0, "r"), (1, "w"), (2, "w")))
        sys.argv = ["methodpick", *map(str, words)]
        with kept_from_run_to_run():
            main()
        code = 0
    finally:
        sys.stdout.flush()
        os._exit(code)


@pytest.fixture(scope="module", autouse=True)
def planned_before():
    """Plan once here, so that no child has to."""
    assert run("plan", LENS).returncode == 0


def test_a_long_page_goes_through_the_pager_of_a_terminal():
    written = on_terminal("plan", LENS)
    assert "paged:" in written
    assert "paged:" not in on_terminal("plan", LENS, "--no-pager")
    assert "paged:" not in run("plan", LENS).stdout, "nobody pages into a pipe"


def test_without_colour_nothing_is_bold_either():
    assert "\x1b[1" in on_terminal("plan", LENS, "--no-pager")
    for words, environment in ((("--no-color",), {}), ((), {"NO_COLOR": "1"})):
        assert re.search("\x1b\\[[0-9;]*m", on_terminal("plan", LENS, "--no-pager", *words, **environment)) is None
    assert "\x1b[1" in on_terminal("plan", LENS, "--no-pager", "--color", NO_COLOR="1"), "who asks for colour gets it"


def test_two_pages_at_once_are_refused():
    refused = run("plan", LENS, "--full", "--letter")
    assert refused.returncode == 2
    assert "name different pages" in refused.stderr
