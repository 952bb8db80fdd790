"""Map a function over many tasks in parallel processes: results as they come, and a process that dies takes only its own task with it."""

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
from typing import Generic, TypeVar

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
