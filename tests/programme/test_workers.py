"""Tasks over processes: every task is answered once, whatever dies. Tasks are Python expressions, worked on by ``eval``."""

from itertools import count, islice

import pytest

from methodpick.programme.workers import WAITING, Died, run_all

END = "__import__('os').kill(__import__('os').getpid(), 9)"


def test_each_task_is_answered_once():
    found = dict(run_all(eval, [f"{number} + 1" for number in range(40)], 2))
    assert found == {f"{number} + 1": number + 1 for number in range(40)}


def test_a_process_that_dies_takes_only_its_own_task_with_it():
    tasks = ["1", "2", END, *map(str, range(3, 30))]
    found = dict(run_all(eval, tasks, 2))
    assert found.keys() == set(tasks)
    assert isinstance(found.pop(END), Died)
    assert found == {task: int(task) for task in found}


def test_a_task_whose_process_is_killed_once_is_done_all_the_same(tmp_path):
    mark = tmp_path / "killed"
    once = f"__import__('pathlib').Path({str(mark)!r}).exists() or (open({str(mark)!r}, 'w').close(), {END})"
    assert dict(run_all(eval, ["1", once, "2"], 2)) == {"1": 1, once: True, "2": 2}


def test_no_more_tasks_are_handed_out_than_wait_for_their_turn():
    """From endless tasks three answers are taken; only what waits for its turn was drawn beyond them."""
    drawn = []

    def endless():
        for number in count():
            drawn.append(number)
            yield str(number)

    answers = run_all(eval, endless(), 1)
    assert len(list(islice(answers, 3))) == 3
    answers.close()
    assert len(drawn) <= 3 + 2 * WAITING


def test_what_a_task_leaves_in_cycles_is_gone_before_the_next():
    """Five thousand lists that hold themselves, made while the collector is off; the next task finds hardly any of them left."""
    leaves = "(__import__('gc').disable(), [each.append(each) for each in [[] for _ in range(5000)]], 1)[2]"
    found = dict(run_all(eval, [leaves, "__import__('gc').collect()"], 1))
    assert found.pop(leaves) == 1
    assert found.popitem()[1] < 1000


@pytest.mark.parametrize("tasks", [[], ["7"]])
def test_few_tasks_end(tasks):
    assert list(run_all(eval, tasks, 3)) == [(task, 7) for task in tasks]
