"""Tasks over a local cluster of two workers: every task is answered once, whatever dies. Tasks are Python expressions for ``eval``."""

import json
import os

import pytest
from command_line import run

from methodpick.errors import InputError
from methodpick.programme import Died, run_on_cluster
from methodpick.resources import folder

END = "__import__('os').kill(__import__('os').getpid(), 9)"
distributed = pytest.importorskip("distributed", reason="the extra 'dask' is not installed")


@pytest.fixture(scope="module")
def cluster():
    import dask

    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 1, "distributed.worker.daemon": False}),
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as started,
    ):
        yield started


def test_nothing_is_lost_when_a_worker_is_killed_in_the_middle(cluster):
    pids = [worker.process.process.pid for worker in cluster.workers.values()]
    tasks = [f"(__import__('time').sleep(0.02), {number})[1]" for number in range(60)]
    answers = run_on_cluster(eval, tasks, cluster.scheduler_address)
    found = [next(answers) for _ in range(10)]
    os.kill(pids[0], 9)
    found += answers
    assert sorted(task for task, _ in found) == sorted(tasks)
    assert dict(found) == dict(zip(tasks, range(60), strict=True))


def test_a_task_that_kills_its_workers_takes_no_other_with_it(cluster):
    found = dict(run_on_cluster(eval, ["1", END, *map(str, range(2, 12))], cluster.scheduler_address))
    assert isinstance(found.pop(END), Died)
    assert found == {task: int(task) for task in found}
    assert len(found) == 11


def test_a_programme_gives_the_same_lines_as_on_this_machine(cluster, tmp_path):
    site, broken = folder("profiles") / "stiff-clay.yaml", tmp_path / "broken.yaml"
    broken.write_text("methodpick: 1\nsite: [\n")
    rows = []
    for name, where in (("here", ("--processes", 1)), ("there", ("--cluster", cluster.scheduler_address))):
        out = tmp_path / f"{name}.jsonl"
        done = run("programme", site, broken, "-o", out, *where)
        assert done.returncode == 1, done.stderr
        assert "2 sites: 1 done, 1 refused" in done.stdout
        lines = sorted(out.read_text().splitlines())
        rows.append([{key: value for key, value in json.loads(line).items() if key != "seconds"} for line in lines])
    assert rows[0] == rows[1]


def test_work_that_a_cluster_cannot_do_is_told(cluster):
    with pytest.raises(InputError, match="cannot do this work: NameError"):
        list(run_on_cluster(eval, ["no_such_name"], cluster.scheduler_address))


def test_a_scheduler_that_does_not_answer_is_told(monkeypatch):
    monkeypatch.setattr("methodpick.programme.PATIENCE_S", 0.3)
    with pytest.raises(InputError, match="no cluster answers there"):
        list(run_on_cluster(eval, ["1"], "tcp://127.0.0.1:9"))
