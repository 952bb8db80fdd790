"""Many sites at once: a line each, a summary, what cannot be read stops nothing, and a run that was stopped goes on."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from command_line import run, run_as_process

from methodpick import programme
from methodpick.resources import folder


@pytest.fixture
def sites(tmp_path):
    """Two sites that can be planned, and one that cannot be read."""
    home = tmp_path / "sites"
    home.mkdir()
    for name in ("caving-lens", "river-crossing"):
        (home / f"{name}.yaml").write_bytes((folder("profiles") / f"{name}.yaml").read_bytes())
    (home / "broken.yaml").write_text("methodpick: 1\nsite: [\n")
    return home


@pytest.fixture
def in_this_process(monkeypatch):
    """Let the work be done without processes, where they are not the point."""
    monkeypatch.setattr(programme, "run_all", lambda work, tasks, processes: ((task, work(task)) for task in tasks if processes))


def rows(path):
    return {row["file"].rpartition("/")[2]: row for row in map(json.loads, path.read_text().splitlines()[1:])}


def test_what_cannot_be_read_stops_nothing_and_is_listed(sites, tmp_path, planned):
    out = tmp_path / "results.jsonl"
    done = run("programme", sites, "-o", out, "--processes", 2)
    assert done.returncode == 1
    found = rows(out)
    assert {name: row["result"] for name, row in found.items()} == {
        "broken.yaml": "refused", "caving-lens.yaml": "done", "river-crossing.yaml": "done",
    }  # fmt: skip
    assert "broken.yaml:3:" in found["broken.yaml"]["problem"]
    (shaft,) = planned("caving-lens").shafts
    (row,) = found["caving-lens.yaml"]["shafts"]
    assert (row["decision"], row["method"], row["count"]) == (shaft.decision, shaft.method, 4)
    assert sum(row["held_m"].values()) == pytest.approx(shaft.tip_depth_m, abs=0.01)
    assert "3 sites: 2 done, 1 refused" in done.stdout
    assert "broken.yaml:3:" in done.stdout


@pytest.mark.usefixtures("in_this_process")
def test_a_run_goes_on_where_it_was_stopped(sites, tmp_path):
    """Of two lines the second is cut in the middle; one site was changed since: both are done again, the third is not."""
    out = tmp_path / "results.jsonl"
    words = ("programme", sites / "caving-lens.yaml", sites / "river-crossing.yaml", "-o", out, "--processes", 1)
    assert run(*words).returncode == 0
    before = rows(out)
    lines = out.read_text().splitlines(keepends=True)
    kept = json.loads(lines[1])["file"].rpartition("/")[2]
    out.write_text("".join(lines[:2]) + lines[2][:50])
    assert run(*words).returncode == 0
    after = rows(out)
    assert after.keys() == before.keys()
    assert after[kept] == before[kept]
    (sites / kept).write_text((sites / kept).read_text() + "# changed\n")
    assert run(*words).returncode == 0
    assert rows(out)[kept]["digest"] != before[kept]["digest"]
    assert len(out.read_text().splitlines()) == 4


@pytest.mark.usefixtures("in_this_process")
def test_a_takeoff_answers_in_lines_on_standard_output(sites):
    """In a process: the lines on standard output, the summary on standard error."""
    site = sites / "caving-lens.yaml"
    done = run("programme", site, "--do", "takeoff", "--full", "--processes", 1)
    (row,) = map(json.loads, done.stdout.splitlines())
    assert {"drilling", "concrete"} <= {line["group"] for line in row["totals"]}
    assert row["plan"]["format"].startswith("methodpick-plan/")
    assert "1 site: 1 done" in done.stderr


@pytest.mark.usefixtures("in_this_process")
def test_verifying_answers_in_lines_on_standard_output(sites):
    done = run("programme", sites / "caving-lens.yaml", "--do", "verify", "--processes", 1)
    (row,) = map(json.loads, done.stdout.splitlines())
    assert (row["contradictions"], done.returncode) == ([], 0)
    assert row["checks"] > 10


@pytest.mark.usefixtures("in_this_process")
def test_other_rules_begin_anew_only_when_told(sites, tmp_path):
    out = tmp_path / "results.jsonl"
    site = sites / "caving-lens.yaml"
    assert run("programme", site, "-o", out, "--processes", 1).returncode == 0
    told = run("programme", site, "-o", out, "--processes", 1, "--agency", "txdot")
    assert told.returncode == 2
    assert "made otherwise: agency differ" in told.stderr
    assert run("programme", site, "-o", out, "--processes", 1, "--agency", "txdot", "--force").returncode == 0


@pytest.mark.parametrize(("output", "to_go_on"), [("out.jsonl", "give the same command again to go on"), ("-", "name a file with -o")])
def test_a_run_that_is_stopped_from_the_keyboard_says_how_far_it_came(sites, tmp_path, monkeypatch, output, to_go_on):
    def interrupted(work, tasks, processes):
        assert processes == 1
        yield tasks[0], work(tasks[0])
        raise KeyboardInterrupt

    monkeypatch.setattr(programme, "run_all", interrupted)
    stopped = run("programme", sites, "-o", output if output == "-" else tmp_path / output, "--processes", 1)
    assert stopped.returncode == 130
    assert f"stopped: 1 of 3 sites done; {to_go_on}" in stopped.stderr


def test_a_cluster_without_its_library_is_told(sites, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    told = run("programme", sites, "--cluster", "tcp://127.0.0.1:8786")
    assert told.returncode == 2
    assert "pip install 'methodpick[dask]'" in told.stderr
    assert "leave --processes out" in run("programme", sites, "--cluster", "tcp://127.0.0.1:8786", "--processes", 2).stderr


def alive(pid):
    """Return whether a process runs; one that ended and waits for its parent does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


@pytest.mark.ci_only("plans two dozen sites in processes that are killed")
@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="needs /proc to see the processes")
def test_a_killed_run_leaves_whole_lines_and_no_processes(tmp_path):
    home = tmp_path / "sites"
    home.mkdir()
    text = (folder("profiles") / "caving-lens.yaml").read_text()
    for number in range(24):
        (home / f"{number:03}.yaml").write_text(f"{text}# {number}\n")
    out = tmp_path / "results.jsonl"
    words = [sys.executable, "-m", "methodpick", "programme", str(home), "-o", str(out), "--processes", "2"]
    program = subprocess.Popen(words, stdout=subprocess.DEVNULL)
    while not (out.exists() and out.read_text().count("\n") > 5):
        time.sleep(0.1)
    children = Path(f"/proc/{program.pid}/task/{program.pid}/children").read_text().split()
    assert len(children) >= 2
    os.kill(program.pid, signal.SIGKILL)
    program.wait()
    for _ in range(100):
        if not any(map(alive, children)):
            break
        time.sleep(0.1)
    assert not any(map(alive, children))
    assert run_as_process("programme", home, "-o", out, "--processes", "2").returncode == 0
    assert len(rows(out)) == 24
