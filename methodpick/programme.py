"""Many files of one kind of work: over parallel processes, with a file of results that a run which was stopped goes on from.

The results begin with a head that says what was done; then comes a line a site, as it is done. A line is written whole and at once; what a
kill leaves of the last one is cut off when the programme goes on. A site whose line is there with the digest of its present content is not
worked on again.

The tasks go to parallel processes of this machine, of which one that dies takes only its own task with it, or to a cluster of Dask where
one machine is not enough; which machines work there, and how, is left to Dask.
"""

from __future__ import annotations

import gc
import hashlib
import json
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from itertools import islice
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait as wait_for
from pathlib import Path
from typing import IO, Any, Generic, TypeVar

from methodpick.collector import leave_uncollected
from methodpick.errors import InputError, Problem
from methodpick.records import record
from methodpick.resources import need

# ---- sites


_PIECE = 1 << 20
_SPECIAL = frozenset("*?[")


def find_files(names: Iterable[str], suffixes: frozenset[str]) -> tuple[Path, ...]:
    """Return the files that are named, those of these suffixes in folders and below them, and those that patterns match, each once.

    Raises InputError with every name under which there is nothing.
    """
    found: dict[Path, None] = {}
    problems = []
    for name in names:
        files = sorted(_files(name, suffixes))
        if not files:
            what = "no file matches" if _is_pattern(name) else "there is no such file, or no file to read in the folder"
            problems.append(Problem(f"{name}: {what}", expected=f"files ending in {', '.join(sorted(suffixes))}"))
        found |= dict.fromkeys(files)
    if problems:
        raise InputError(problems)
    return tuple(found)


def _is_pattern(name: str) -> bool:
    return bool(_SPECIAL & set(name)) and not Path(name).exists()


def _files(name: str, suffixes: frozenset[str]) -> Iterator[Path]:
    path = Path(name)
    if path.is_dir():
        yield from (file for file in path.rglob("*") if file.suffix.lower() in suffixes and file.is_file() and not _is_hidden(file, path))
    elif _is_pattern(name):
        anchor = Path(path.anchor)
        yield from (file for file in anchor.glob(str(path.relative_to(anchor))) if file.is_file())
    elif path.exists():
        yield path


def _is_hidden(file: Path, folder: Path) -> bool:
    return any(part.startswith(".") for part in file.relative_to(folder).parts)


def digest_of(path: Path) -> str:
    """Return the SHA-256 digest of a file as hexadecimal digits, an empty text where it cannot be read."""
    digest = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while piece := file.read(_PIECE):
                digest.update(piece)
    except OSError:
        return ""
    return digest.hexdigest()


def digest_of_all(paths: Iterable[Path]) -> str:
    """Return one digest over the content of several files in their order."""
    return hashlib.sha256("".join(map(digest_of, paths)).encode()).hexdigest()


# ---- results


FORMAT = "methodpick-programme/1"
ANEW = "name another file; --force begins the results anew"
Row = dict[str, Any]


@record(frozen=False)
class ResultFile:
    """The file that results go to; ``before`` holds the rows of an earlier run by the name of their file, without the plans."""

    stream: IO[str]
    before: Mapping[str, Row]

    def write(self, row: Row) -> None:
        """Write one row to the disk."""
        self.stream.write(_line(row))
        self.stream.flush()


@contextmanager
def open_results(path: Path, head: Mapping[str, Any], *, anew: bool) -> Iterator[ResultFile]:
    """Open the results at a place to go on with them, or begin them where there are none or with ``anew``.

    ``head`` says what is done and with which rulebook. Raises InputError where something else stands there, or results of other work.
    """
    try:
        before = {} if anew or not path.exists() or not path.stat().st_size else _earlier(path, head)
        with path.open("a" if before or _has_head(path, anew=anew) else "w", encoding="utf-8", newline="\n") as stream:
            if not stream.tell():
                stream.write(_line({"format": FORMAT, **head}))
                stream.flush()
            yield ResultFile(stream, before)
    except OSError as error:
        raise InputError(Problem(f"{path}: the results cannot be written: {error.strerror}")) from None


def _has_head(path: Path, *, anew: bool) -> bool:
    return not anew and path.exists() and path.stat().st_size > 0


def _line(row: Mapping[str, Any]) -> str:
    return json.dumps(row, ensure_ascii=True, allow_nan=False) + "\n"


def _earlier(path: Path, head: Mapping[str, Any]) -> dict[str, Row]:
    """Return the rows of an earlier run, after cutting off a last line that is not whole."""
    rows: dict[str, Row] = {}
    with path.open("rb+") as file:
        first = _row(file.readline())
        if first is None or first.get("format") != FORMAT:
            raise InputError(
                Problem(f"{path}: this file holds no results of a programme", expected=f"{FORMAT} in its first line", hint=ANEW)
            )
        if other := [name for name, value in head.items() if first.get(name) != value]:
            message = f"{path}: these results were made otherwise: {', '.join(other)} differ"
            raise InputError(Problem(message, hint=ANEW))
        whole = file.tell()
        while line := file.readline():
            row = _row(line)
            if row is None or not isinstance(row.get("file"), str):
                break
            rows[row["file"]] = {name: value for name, value in row.items() if name != "plan"}  # which may be long, and is not asked for
            whole = file.tell()
        file.truncate(whole)
    return rows


def _row(line: bytes) -> Row | None:
    if not line.endswith(b"\n"):
        return None
    try:
        row = json.loads(line)
    except ValueError:
        return None
    return row if isinstance(row, dict) else None


# ---- tasks over processes


Task = TypeVar("Task")
Answer = TypeVar("Answer")
WAITING = 4
"""So many tasks a process are handed out ahead, so that the memory does not grow with their number."""


class Died(Exception):  # noqa: N818 (what became of a task, not what a caller did wrong)
    """The process that worked on a task died: it was killed, or the memory did not suffice."""


def run_all(work: Callable[[Task], Answer], tasks: Iterable[Task], processes: int) -> Iterator[tuple[Task, Answer | Died]]:
    """Return each task with its answer as soon as that is there, in no certain order.

    ``work`` is a function of a module and answers for everything that a task can end in. Where a process dies, the tasks that were on
    are tried once more, each by itself; the one whose process dies again is returned with :class:`Died`.
    """
    coming = iter(tasks)
    while True:
        pool = _Pool(work, processes)
        try:
            yield from pool.run(coming)
        finally:
            pool.stop()
        if not pool.unanswered:
            return
        for task in pool.unanswered:
            yield task, _alone(work, task)


def _alone(work: Callable[[Task], Answer], task: Task) -> Answer | Died:
    with _executor(1) as executor:
        try:
            return executor.submit(answer_of, work, task).result()
        except BrokenProcessPool:
            return Died()


def answer_of(work: Callable[[Task], Answer], task: Task) -> Answer:
    """Return the answer to a task; what it leaves in cycles is dropped before the next, or a process would grow from task to task.

    What stays, such as the rulebook, is not looked through again after the next task.
    """
    try:
        return work(task)
    finally:
        gc.collect()
        leave_uncollected()


class _Pool(Generic[Task, Answer]):
    """Processes with the tasks that are handed out to them; ``unanswered`` are those that were on when a process died."""

    def __init__(self, work: Callable[[Task], Answer], processes: int) -> None:
        self.work = work
        self.most = processes * WAITING
        self.executor = _executor(processes)
        self.handed_out: dict[Future[Answer], Task] = {}
        self.unanswered: list[Task] = []

    def run(self, coming: Iterator[Task]) -> Iterator[tuple[Task, Answer]]:
        """Hand out tasks and return their answers until there are no more, or a process has died."""
        self._hand_out(coming)
        while self.handed_out:
            for future in wait(self.handed_out, return_when=FIRST_COMPLETED).done:
                task = self.handed_out.pop(future)
                try:
                    answer = future.result()
                except BrokenProcessPool:
                    self.unanswered.append(task)
                    continue
                yield task, answer
            if not self.unanswered:
                self._hand_out(coming)

    def _hand_out(self, coming: Iterator[Task]) -> None:
        for task in islice(coming, self.most - len(self.handed_out)):
            try:
                self.handed_out[self.executor.submit(answer_of, self.work, task)] = task
            except BrokenProcessPool:
                self.unanswered.append(task)
                return

    def stop(self) -> None:
        """Let no process outlive the run, whatever ended it."""
        self.executor.shutdown(wait=False, cancel_futures=True)


def _executor(processes: int) -> ProcessPoolExecutor:
    """Return processes that begin empty, so that they are the same on every system and hold nothing of the caller's threads."""
    return ProcessPoolExecutor(processes, get_context("spawn"), _begin)


def _begin() -> None:
    """Leave an interrupt from the keyboard to the caller, and end with the caller, even where that is killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    caller = parent_process()
    if caller is not None:
        threading.Thread(target=_end_with, args=(caller.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait_for([sentinel])
    os._exit(1)


PATIENCE_S = 10
"""So long is a cluster waited for."""


def run_on_cluster(work: Callable[[Task], Answer], tasks: Iterable[Task], address: str) -> Iterator[tuple[Task, Answer | Died]]:
    """Return each task with its answer as soon as that is there, in no certain order, as ``run_all`` does.

    ``work`` is a function of a module and answers for everything that a task can end in. What a process had on that dies is done
    again by another. Tasks that were on when several processes died are tried once more, each by itself at the end; the one whose
    processes die again is returned with :class:`Died`. Raises InputError where the extra is not
    installed, no cluster answers, or one that answers cannot work.
    """
    distributed = need("distributed", "dask", "a programme on a cluster")
    try:
        client = distributed.Client(address, timeout=PATIENCE_S, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        message = f"{address}: no cluster answers there: {error}"
        raise InputError(Problem(message, expected="the address of a scheduler, such as tcp://10.0.0.5:8786")) from None
    with client:
        yield from _answers(distributed, client, work, iter(tasks))


def _answers(distributed: Any, client: Any, work: Callable[[Task], Answer], coming: Iterator[Task]) -> Iterator[tuple[Task, Answer | Died]]:
    """Hand out as many tasks as wait for their turn, and one more for each that is answered, so that the memory does not grow."""
    threads = sum(client.nthreads().values())
    if not threads:
        raise InputError(Problem(f"the cluster at {client.scheduler.address} has no workers", hint="start workers, then call again"))
    completed, handed_out, unanswered = distributed.as_completed(loop=client.loop), {}, []

    def hand_out(count: int) -> None:
        for task in islice(coming, count):
            future = client.submit(answer_of, work, task, pure=False)
            handed_out[future.key] = task
            completed.add(future)

    hand_out(threads * WAITING)
    while handed_out:
        future = next(completed)
        task, answer = handed_out.pop(future.key), _answer_of(distributed, future)
        del future
        hand_out(1)
        if isinstance(answer, Died):
            unanswered.append(task)
        else:
            yield task, answer
    for task in unanswered:
        yield task, _answer_of(distributed, client.submit(answer_of, work, task, pure=False))


def _answer_of(distributed: Any, future: Any) -> Any:
    try:
        return future.result()
    except distributed.KilledWorker:
        return Died()
    except Exception as error:
        hint = "each worker needs the same version of methodpick as this machine"
        raise InputError(Problem(f"the cluster cannot do this work: {type(error).__name__}: {error}", hint=hint)) from error
