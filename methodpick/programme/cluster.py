"""Map a function over many tasks on a cluster of Dask, where one machine is not enough; which machines work and how is left to Dask."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any

from methodpick.errors import InputError, Problem
from methodpick.programme.workers import WAITING, Answer, Died, Task, answer_of
from methodpick.resources import need

PATIENCE_S = 10
"""So long is a cluster waited for."""


def run_on_cluster(work: Callable[[Task], Answer], tasks: Iterable[Task], address: str) -> Iterator[tuple[Task, Answer | Died]]:
    """Return each task with its answer as soon as that is there, in no certain order, as ``run_all`` of ``workers.py`` does.

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
