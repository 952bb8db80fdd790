"""Many files of one kind of work: results in whole lines that survive any kill, and tasks over processes, each answered once whatever dies.

Tasks are Python expressions, worked on by ``eval``.
"""

import json
from itertools import count, islice

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.errors import InputError
from methodpick.programme import WAITING, Died, digest_of, find_files, open_results, run_all

HEAD = {"did": "plan", "rules": "abc"}
ROWS = [{"file": f"{letter}.yaml", "result": "done"} for letter in "abc"]


def written(path, rows=ROWS, head=HEAD, anew=False):
    with open_results(path, head, anew=anew) as results:
        before = dict(results.before)
        for row in rows:
            results.write(row)
    return before


def test_a_second_run_knows_the_first(tmp_path):
    path = tmp_path / "results.jsonl"
    assert written(path) == {}
    assert written(path, [{"file": "d.yaml", "result": "done"}]) == {row["file"]: row for row in ROWS}
    lines = [json.loads(line) for line in path.read_text().splitlines()]
    assert lines[0] == {"format": "methodpick-programme/1", **HEAD}
    assert [line["file"] for line in lines[1:]] == ["a.yaml", "b.yaml", "c.yaml", "d.yaml"]


@settings(max_examples=40)
@given(st.integers(1, 200))
def test_what_a_kill_leaves_of_the_last_line_is_cut_off(tmp_path_factory, lost):
    path = tmp_path_factory.mktemp("cut") / "results.jsonl"
    written(path)
    whole = path.read_bytes()
    head = whole.index(b"\n") + 1
    left = max(head, len(whole) - lost)
    path.write_bytes(whole[:left])
    complete = whole[head:left].count(b"\n")
    assert list(written(path, [])) == [row["file"] for row in ROWS[:complete]]
    assert path.read_bytes() == whole[: whole[:left].rindex(b"\n") + 1]


def test_the_plans_of_an_earlier_run_are_not_kept_in_memory(tmp_path):
    path = tmp_path / "results.jsonl"
    written(path, [{**ROWS[0], "plan": {"shafts": []}}])
    assert written(path, []) == {"a.yaml": ROWS[0]}
    assert '"plan"' in path.read_text()


def test_of_two_lines_of_a_file_the_last_counts(tmp_path):
    path = tmp_path / "results.jsonl"
    written(path, [*ROWS, {"file": "a.yaml", "result": "refused"}])
    assert written(path, [])["a.yaml"]["result"] == "refused"


@pytest.mark.parametrize("text", ["mine\n", "{}\n", '{"format": "methodpick-programme/1", "did": "plan"', "[1]\n"])
def test_what_holds_no_results_is_not_written_over_unless_told(tmp_path, text):
    path = tmp_path / "results.jsonl"
    path.write_text(text)
    with pytest.raises(InputError, match="holds no results of a programme"):
        written(path)
    assert path.read_text() == text
    assert written(path, anew=True) == {}
    assert len(path.read_text().splitlines()) == 4


def test_results_by_other_rules_are_not_mixed(tmp_path):
    path = tmp_path / "results.jsonl"
    written(path)
    with pytest.raises(InputError, match="made otherwise: rules differ"):
        written(path, head={**HEAD, "rules": "xyz"})


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(InputError, match="cannot be written: No such file"):
        written(tmp_path / "none" / "results.jsonl")


def test_files_folders_and_patterns_are_found_once(tmp_path):
    for name in ("a.yaml", "b.yml", "deep/c.yaml", ".hidden/d.yaml", "notes.txt"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(name)
    kinds = frozenset({".yaml", ".yml"})
    names = [str(tmp_path), str(tmp_path / "*.yaml"), str(tmp_path / "a.yaml"), str(tmp_path / "notes.txt")]
    found = find_files(names, kinds)
    assert [path.relative_to(tmp_path).as_posix() for path in found] == ["a.yaml", "b.yml", "deep/c.yaml", "notes.txt"]
    with pytest.raises(InputError) as told:
        find_files([str(tmp_path / "*.ags"), str(tmp_path / "none")], kinds)
    assert len(told.value.problems) == 2


def test_the_digest_is_that_of_the_standard_library(tmp_path):
    """SHA-256 of "abc" (FIPS 180-4, example 1)."""
    path = tmp_path / "abc"
    path.write_bytes(b"abc")
    assert digest_of(path) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert digest_of(tmp_path / "none") == ""


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
