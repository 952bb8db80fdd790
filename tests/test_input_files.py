"""What is no regular file is refused before it is read: a device gives bytes without end, a pipe may give none for ever."""

import os
import shutil
import signal
import socket
from pathlib import Path

import pytest
from command_line import run

from methodpick.engine.load import load_rulebook
from methodpick.errors import InputError, MethodpickError, RuleError
from methodpick.imports import log_tables
from methodpick.imports.ags4 import read_ags4_tables as read_tables
from methodpick.imports.site_file import read_site
from methodpick.input_files import read_beginning, read_bytes
from methodpick.resources import folder
from methodpick.strict_yaml import read

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes and devices have names only on POSIX systems")
DOORS = {"YAML": read, "site file": read_site, "AGS4": read_tables, "overlay": lambda path: load_rulebook(folder("rules"), [path])}


@pytest.fixture(autouse=True)
def _never_for_ever():
    """A reader that waits for a pipe fails here instead of standing still."""
    before = signal.signal(signal.SIGALRM, lambda *_: pytest.fail("still waiting after 20 s"))
    signal.alarm(20)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture
def pipe(tmp_path):
    path = tmp_path / "log.yaml"
    os.mkfifo(path)
    return path


@pytest.mark.parametrize("door", DOORS)
def test_a_pipe_is_refused_at_every_door(door, pipe):
    with pytest.raises(MethodpickError, match=r"log\.yaml: this is a pipe") as caught:
        DOORS[door](pipe)
    (problem,) = caught.value.problems
    assert problem.expected == "a regular file"
    assert "into a file" in problem.hint


@pytest.mark.skipif(not Path("/dev/zero").is_char_device(), reason="this system has no /dev/zero")
@pytest.mark.parametrize("door", DOORS)
def test_a_device_is_refused_at_every_door(door):
    with pytest.raises(MethodpickError, match="dev/zero: this is a device"):
        DOORS[door](Path("/dev/zero"))


def test_a_socket_is_refused(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # the name of a socket must be short
    with socket.socket(socket.AF_UNIX) as door:
        door.bind("s")
        with pytest.raises(InputError, match="s: this is a socket"):
            read_bytes(Path("s"), "s", 10)


def test_a_pipe_inside_a_rulebook_folder_is_refused_with_its_name(tmp_path):
    own = tmp_path / "rules"
    shutil.copytree(folder("rules"), own)
    os.mkfifo(own / "method" / "more.yaml")
    with pytest.raises(RuleError, match=r"rules/method/more\.yaml: this is a pipe"):
        load_rulebook(own)


def _waited(_number, _frame):
    raise TimeoutError("the command waits for somebody to write into the pipe")


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["plan", "{}"], 2),
        (["check", "{}"], 2),
        (["why", "{}", "--depth", "3m"], 2),
        (["convert", "{}.ags"], 2),
        (["plan", "{}", "--overlay", "{}"], 2),
        (["rules", "diff", "{}"], 3),
    ],
)
def test_a_command_says_so_and_ends(words, code, pipe):
    os.mkfifo(f"{pipe}.ags")
    previous = signal.signal(signal.SIGALRM, _waited)
    signal.alarm(15)
    try:
        done = run(*(word.format(pipe) for word in words))
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, previous)
    assert (done.returncode, "this is a pipe" in done.stdout + done.stderr) == (code, True), done
    assert "Traceback" not in done.stderr


def test_what_stands_behind_a_link_is_read(tmp_path):
    (tmp_path / "site.yaml").write_text("a: 1\n")
    (tmp_path / "link.yaml").symlink_to(tmp_path / "site.yaml")
    assert read(tmp_path / "link.yaml").value == {"a": 1}


def test_a_file_is_read_up_to_its_limit_and_refused_beyond(tmp_path, monkeypatch):
    path = tmp_path / "log.ags"
    path.write_bytes(b"x" * 10)
    assert read_bytes(path, "log", 10) == b"x" * 10
    with pytest.raises(InputError, match="log: the file has 10 bytes; the most read is 9"):
        read_bytes(path, "log", 9)
    monkeypatch.setattr(log_tables, "MOST_BYTES", 9)
    with pytest.raises(InputError, match="the most read is 9"):
        read_tables(path)


def test_names_that_cannot_be_files_are_refused():
    for path, said in ((Path("no\0name"), "not the name of a file"), (Path("x" * 5000), "cannot be read")):
        with pytest.raises(InputError, match=said):
            read_bytes(path, str(path), 10)


def test_the_beginning_of_what_is_no_file_is_nothing(pipe, tmp_path):
    (tmp_path / "a").write_bytes(b"abcdef")
    assert read_beginning(tmp_path / "a", 4) == b"abcd"
    assert {read_beginning(path, 4) for path in (pipe, tmp_path, tmp_path / "none", Path("no\0name"))} == {b""}


def test_a_folder_is_named_as_one(tmp_path):
    with pytest.raises(InputError, match=r"logs/: this is a folder, not a file"):
        read_bytes(tmp_path, "logs", 10)
    with pytest.raises(InputError, match=r"^logs/: this is a folder"):
        read_bytes(tmp_path, "logs/", 10)
