"""How a page is shown: help by -h, no escape codes without colour, a pager on a terminal for what is longer than the screen."""

import os
import pty
import re
import sys
import warnings

import pytest
from command_line import kept_from_run_to_run, run

from methodpick.cli.app import COMMANDS, main
from methodpick.resources import folder

LENS = folder("profiles") / "caving-lens.yaml"


@pytest.mark.parametrize("command", [(), ("plan",), ("rules",), ("rules", "show")])
def test_h_is_help(command):
    shown = run(*command, "-h")
    assert shown.returncode == 0
    assert "--help" in shown.stdout
    assert shown.stdout == run(*command, "--help").stdout


@pytest.mark.parametrize("command", [(name,) for name in COMMANDS] + [("rules", name) for name in ("list", "show", "diff", "cover")])
def test_help_names_what_an_option_takes_and_no_type_of_the_language(command):
    options = [line for line in run(*command, "-h").stdout.splitlines() if line.startswith("  -")]
    assert not [line for line in options for type_of_the_language in ("list[", "int range") if type_of_the_language in line]


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


@pytest.mark.parametrize("pager", ["no-such-program", "no-such-program --wrap", ""])
def test_without_a_pager_that_runs_the_page_is_printed_all_the_same(pager):
    written = on_terminal("plan", LENS, "--no-color", PAGER=pager)
    assert run("plan", LENS).stdout in written.replace("\r\n", "\n")


def test_a_pager_that_is_left_early_is_no_error():
    assert on_terminal("plan", LENS, "--full", PAGER="head -1 | sed s/^/first:/").count("\n") == 1


def test_pages_of_the_rulebook_go_through_the_pager_too():
    for words in (("rules", "list"), ("formulas",), ("rules", "show", "casing-suits-all-ground", "--pager")):
        assert ("paged:" in on_terminal(*words)) == (run(*words).stdout.count("\n") >= 24)


def test_a_terminal_without_a_cursor_gets_its_width_and_no_escape_code_and_no_pager():
    written = on_terminal("plan", LENS, TERM="dumb", COLUMNS="60").replace("\r\n", "\n")
    assert "\x1b" not in written
    assert "paged:" not in written
    assert written == run("plan", LENS, "--width", 60).stdout


def test_no_line_of_the_rulebook_is_wider_than_a_page():
    for words in (("rules", "show", "fluid_head_least_m"), ("rules", "diff", "wsdot"), ("formulas",), ("rules", "list")):
        assert max(map(len, run(*words).stdout.splitlines())) <= 80


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
@pytest.mark.parametrize("command", [("plan",), ("plan", "--full"), ("takeoff", "--calendar"), ("check",), ("sheets",)])
def test_signs_that_a_terminal_does_not_know_are_spelled_in_letters(tmp_path, encoding, command):
    """A pier, a description and a boring with signs: on no line is a unit lost, and no page ends half way."""
    site = tmp_path / "site.yaml"
    words = LENS.read_text(encoding="utf-8").replace("Mill Road bridge", "Mühle – 3 m³ Straße").replace("stiff", "“stiff” ½")
    site.write_text(words, encoding="utf-8")
    whole, spelled = run(command[0], site, *command[1:]), run(command[0], site, *command[1:], encoding=encoding)
    assert (spelled.returncode, spelled.stderr) == (whole.returncode, whole.stderr)
    assert abs(spelled.stdout.count("\n") - whole.stdout.count("\n")) <= 3, "wider words wrap once more"
    assert spelled.stdout.count("?") == whole.stdout.count("?")
    if "Mühle" in whole.stdout:
        assert ("Muhle - 3 m3 Strasse" if encoding == "ascii" else "Mühle - 3 m³ Straße") in spelled.stdout


def test_a_file_on_standard_output_is_the_file_that_would_be_written(tmp_path):
    site = tmp_path / "site.yaml"
    site.write_text(LENS.read_text(encoding="utf-8").replace("Mill Road", "Mühle"), encoding="utf-8")
    written = tmp_path / "report.html"
    assert run("report", site, "-o", written).returncode == 0
    printed = run("report", site, "-o", "-", encoding="ascii")
    assert printed.stdout == written.read_text(encoding="utf-8")


def test_what_is_stopped_from_the_keyboard_says_so_in_a_line(monkeypatch):
    def stop(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("methodpick.cli.options.plan_file", stop)
    stopped = run("plan", LENS)
    assert (stopped.returncode, stopped.stdout) == (130, "")
    assert stopped.stderr == "stopped; no file was left half written\n"


def test_two_pages_at_once_are_refused():
    refused = run("plan", LENS, "--full", "--letter")
    assert refused.returncode == 2
    assert "name different pages" in refused.stderr


@pytest.mark.parametrize(
    "words", [("plan",), ("takeoff",), ("compare",), ("check",), ("sheets",), ("why", "--shaft", "P4", "--depth", "24ft")]
)
def test_quiet_prints_no_page_and_keeps_the_exit_code(words):
    loud, quiet = (run(words[0], LENS, *words[1:], *more) for more in ((), ("--quiet",)))
    assert loud.stdout.strip()
    assert (quiet.stdout, quiet.stderr) == ("", "")
    assert quiet.returncode == loud.returncode == 0
