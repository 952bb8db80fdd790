"""Nothing written is lost: whole files or none, none over an input or over what somebody changed, and an orderly end."""

import errno
import os
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from command_line import run, run_as_process

from methodpick.cli import output
from methodpick.cli.output import MANIFEST, refuse_clashes, write_files
from methodpick.errors import InputError
from methodpick.resources import folder

SITE = folder("profiles") / "caving-lens.yaml"


@pytest.fixture
def site(tmp_path):
    path = tmp_path / "site.yaml"
    path.write_bytes(SITE.read_bytes())
    return path


def left_in(place):
    return sorted(path.name for path in place.iterdir())


OUTPUTS = [["plan", "--json"], ["takeoff", "--csv"], ["takeoff", "--json"], ["report", "-o"], ["draw", "-o"]]


@pytest.mark.parametrize("words", OUTPUTS, ids=" ".join)
@pytest.mark.parametrize("name", ["link", "hard link"])
def test_an_output_is_never_the_input_under_another_name(site, words, name):
    other = site.with_name(f"out{ {'report': '.html', 'draw': '.svg'}.get(words[0], '.yaml') }")
    (other.symlink_to if name == "link" else other.hardlink_to)(site)
    found = run(words[0], site, *words[1:], other)
    assert found.returncode == 2
    assert "this file is read by the same command" in found.stderr
    assert site.read_bytes() == SITE.read_bytes()


@pytest.mark.parametrize("words", OUTPUTS[:3], ids=" ".join)
@pytest.mark.parametrize("name", ["site.yaml", "sub/../site.yaml", "SITE.yaml"])
def test_an_output_is_never_the_input_itself(site, words, name):
    (site.parent / "sub").mkdir()
    assert run(words[0], site, *words[1:], site.parent / name).returncode == 2
    assert left_in(site.parent) == ["site.yaml", "sub"]
    assert site.read_bytes() == SITE.read_bytes()


def test_an_output_is_never_an_overlay(site, tmp_path):
    overlay = tmp_path / "county.yaml"
    overlay.write_text("overlay: county\nset: {stick_up_m: 1.2}\n")
    assert run("plan", site, "--overlay", overlay, "--json", overlay).returncode == 2
    assert overlay.read_text().startswith("overlay: county")


@pytest.mark.parametrize("second", ["out.json", "OUT.json", "./out.json"])
def test_two_outputs_never_go_into_one_file(site, tmp_path, second):
    found = run("takeoff", site, "--csv", "out.json", "--json", second, cwd=tmp_path)
    assert found.returncode == 2
    assert "two outputs cannot go into one file" in found.stderr
    assert left_in(tmp_path) == ["site.yaml"]


def test_what_nobody_changed_is_written_anew_and_what_somebody_changed_is_kept(site, tmp_path):
    out = tmp_path / "plan.json"
    assert run("plan", site, "--json", out).returncode == 0
    assert run("plan", site, "--json", out, "--no-assumptions").returncode == 0
    out.write_text("mine")
    found = run("plan", site, "--json", out)
    assert found.returncode == 2
    assert "no longer, what methodpick wrote" in found.stderr
    assert out.read_text() == "mine"
    assert run("plan", site, "--json", out, "--force").returncode == 0
    assert out.read_text().startswith("{")


@pytest.mark.parametrize("words", [["report", "-o", "notes.md"], ["draw", "-o", "notes.svg"], ["takeoff", "--csv", "notes.csv"]])
def test_somebody_elses_file_is_kept(site, tmp_path, words):
    path = tmp_path / words[-1]
    path.write_text("a day's work")
    assert run(words[0], site, *words[1:-1], path).returncode == 2
    assert path.read_text() == "a day's work"


def test_one_changed_sheet_keeps_the_whole_folder_as_it_is(site, tmp_path):
    place = tmp_path / "sheets"
    assert run("sheets", site, "-o", place).returncode == 0
    (place / "takeoff.csv").write_text("my prices")
    before = {path.name: path.read_bytes() for path in place.iterdir()}
    assert run("sheets", site, "-o", place, "--units", "us").returncode == 2
    assert {path.name: path.read_bytes() for path in place.iterdir()} == before


def test_a_link_is_followed_and_the_mode_of_a_file_is_kept(tmp_path):
    real, link = tmp_path / "real.txt", tmp_path / "link.txt"
    real.touch()
    real.chmod(0o640)
    link.symlink_to(real)
    write_files({link: "text"})
    assert (link.is_symlink(), real.read_text(), real.stat().st_mode & 0o777) == (True, "text", 0o640)


@pytest.mark.parametrize("broken", ["{", "[]", '{"format": "methodpick-files/1", "files": 3}', '{"files": {}}', "\x00"])
def test_a_broken_manifest_makes_nothing_overwritten(tmp_path, broken):
    write_files({tmp_path / "a.txt": "one"})
    (tmp_path / MANIFEST).write_text(broken)
    with pytest.raises(InputError, match="--force"):
        write_files({tmp_path / "a.txt": "two"})


def disk_full(real, after):
    """Give a function that writes so many files and then finds no room."""
    calls = []

    def write(*arguments):
        calls.append(arguments)
        if len(calls) > after:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(*arguments)

    return write


@pytest.mark.parametrize("after", [0, 1, 4])
def test_a_full_disk_leaves_the_old_files(tmp_path, monkeypatch, after):
    files = {tmp_path / f"{number}.csv": "old" for number in range(5)}
    write_files(files)
    monkeypatch.setattr(output.os, "fsync", disk_full(os.fsync, after))
    with pytest.raises(InputError, match=r"0|1|4.*No space left on device") as found:
        write_files(dict.fromkeys(files, "new"))
    assert "Nothing was changed" in found.value.render()
    assert {path.read_text() for path in files} == {"old"}
    assert left_in(tmp_path) == [MANIFEST, *(path.name for path in files)]


@pytest.mark.ci_only("starts a process")
def test_a_limit_on_the_size_of_files_leaves_the_old_plan(site, tmp_path):
    """As a full disk does it: the system takes the first bytes and refuses the rest."""
    out = tmp_path / "plan.json"
    assert run("plan", site, "--json", out).returncode == 0
    before = out.read_bytes()
    limit = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))  # noqa: E731
    found = run_as_process("plan", site, "--json", out, "--no-assumptions", preexec_fn=limit)
    assert (found.returncode, found.stderr.count("\n")) == (2, 2)
    assert "cannot be written: File too large" in found.stderr
    assert out.read_bytes() == before
    assert left_in(tmp_path) == [MANIFEST, "plan.json", "site.yaml"]


def test_a_folder_that_takes_no_file_is_told(site):
    found = run("plan", site, "--json", "/proc/plan.json")
    assert found.returncode == 2
    assert found.stderr.startswith("/proc/plan.json: the file cannot be written: ")


@pytest.mark.parametrize("words", [["plan", "--json"], ["report", "-o"], ["sheets", "-o"], ["draw", "-o"]], ids=" ".join)
def test_a_name_that_no_system_takes_is_told_shortly(site, tmp_path, words):
    name = "n" * 300 + {"report": ".md", "draw": ".svg"}.get(words[0], "")
    found = run(words[0], site, *words[1:], name, cwd=tmp_path)
    assert found.returncode == 2
    assert "File name too long" in found.stderr
    assert "Traceback" not in found.stderr
    assert len(found.stderr) < 700


def test_a_zero_byte_in_a_name_is_told(tmp_path):
    with pytest.raises(InputError, match="not the name of a file"):
        write_files({tmp_path / "a\0b": "text"})
    with pytest.raises(InputError, match="not the name of a file"):
        refuse_clashes(["a\0b"], [tmp_path])


def test_a_reader_who_has_read_enough_is_no_error():
    """The rulebook as a page is longer than any pipe holds, so that it meets the closed end."""
    program = subprocess.Popen([sys.executable, "-m", "methodpick", "rules", "docs"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    program.stdout.read(1)
    program.stdout.close()
    assert (program.wait(60), program.stderr.read()) == (0, b"")
    program.stderr.close()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize(
    "words",
    [
        ["--help"],
        ["check", SITE],
        pytest.param(["plan", SITE], marks=pytest.mark.ci_only("starts one more process")),
        pytest.param(["plan", SITE, "--json", "-"], marks=pytest.mark.ci_only("starts one more process")),
    ],
    ids=str,
)
def test_standard_output_on_a_full_device_is_one_line(words):
    with Path("/dev/full").open("w") as full:
        found = subprocess.run(
            [sys.executable, "-m", "methodpick", *map(str, words)], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert (found.returncode, found.stderr) == (2, "standard output: No space left on device\n")


def test_a_closed_standard_output_is_one_line():
    found = subprocess.run(["sh", "-c", f"{sys.executable} -m methodpick plan {SITE} >&-"], capture_output=True, text=True, check=False)
    assert (found.returncode, found.stderr) == (2, "standard output: standard output is closed\n")


SLOW = """
import os, signal, sys, time
from methodpick.cli import app, output
signal.signal(signal.SIGINT, signal.default_int_handler)  # a run in the background begins with it ignored
real = os.fsync
def fsync(number):
    print("writing", flush=True)
    time.sleep(30)
os.fsync = fsync
sys.argv = ["methodpick", "new", sys.argv[1], "--force"]
app.main()
"""


@pytest.mark.parametrize(
    ("number", "left"),
    [
        (signal.SIGTERM, []),
        (signal.SIGKILL, [".part"]),
        pytest.param(signal.SIGINT, [], marks=pytest.mark.ci_only("starts one more process")),
        pytest.param(signal.SIGHUP, [], marks=pytest.mark.ci_only("starts one more process")),
    ],
)
def test_a_signal_leaves_the_old_file(tmp_path, number, left):
    out = tmp_path / "site.yaml"
    out.write_text("before")
    program = subprocess.Popen([sys.executable, "-c", SLOW, out], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    program.stdout.readline()
    time.sleep(0.05)
    program.send_signal(number)
    program.communicate(timeout=20)
    assert out.read_text() == "before"
    assert [Path(name).suffix for name in left_in(tmp_path) if name != "site.yaml"] == left
    if number != signal.SIGKILL:
        assert program.returncode in {128 + number, 130}


KILLED = """
import os, signal, sys
from pathlib import Path
from methodpick.cli.output import write_files
rename, done = Path.replace, []
def replace(part, target):
    if Path(target).suffix == ".csv":
        if len(done) == int(sys.argv[2]):
            os.kill(os.getpid(), signal.SIGKILL)
        done.append(target)
    return rename(part, target)
Path.replace = replace
write_files({Path(sys.argv[1]) / f"{name}.csv": "new" for name in "abc"})
"""


@pytest.mark.parametrize("renamed", [0, 1, 2])
def test_a_kill_between_two_renames_leaves_each_file_whole_and_can_be_run_again(tmp_path, renamed):
    paths = [tmp_path / f"{name}.csv" for name in "abc"]
    write_files(dict.fromkeys(paths, "old"))
    assert subprocess.run([sys.executable, "-c", KILLED, tmp_path, str(renamed)], check=False).returncode == -signal.SIGKILL
    assert [path.read_text() for path in paths] == ["new"] * renamed + ["old"] * (3 - renamed)
    write_files(dict.fromkeys(paths, "newer"))
    assert [path.read_text() for path in paths] == ["newer"] * 3
    paths[0].write_text("mine")
    with pytest.raises(InputError, match="no longer"):
        write_files(dict.fromkeys(paths, "newest"))


TWICE = """
import sys
from pathlib import Path
from methodpick.cli.output import write_files
for _ in range(60):
    write_files({Path(sys.argv[1]): sys.argv[2] * 200_000}, force=True)
"""


@pytest.mark.ci_only("starts two processes that write for a while")
def test_two_writers_leave_the_whole_file_of_one(tmp_path):
    out = tmp_path / "plan.json"
    writers = [subprocess.Popen([sys.executable, "-c", TWICE, out, letter]) for letter in "ab"]
    while any(writer.poll() is None for writer in writers):
        if out.exists():
            found = out.read_text()
            assert found in {"a" * 200_000, "b" * 200_000}
    assert [writer.returncode for writer in writers] == [0, 0]
    assert left_in(tmp_path) == [MANIFEST, "plan.json"]
