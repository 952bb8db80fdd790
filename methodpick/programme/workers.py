"""Map a function over many tasks: results as they come, and a process that dies takes only its own task with it.

The tasks go to parallel processes of this machine, or to a cluster of Dask where one machine is not enough; which machines work there,
and how, is left to Dask.
"""

from __future__ import annotations

import gc
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait as wait_for
from typing import Any, Generic, TypeVar

from methodpick.errors import InputError, Problem
from methodpick.resources import need

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
    """Return the answer to a task; what it leaves in cycles is dropped before the next, or a process would grow from task to task."""
    try:
        return work(task)
    finally:
        gc.collect()


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
