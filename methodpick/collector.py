"""The collector of cycles, paused while modules are read and many records made: there is hardly a cycle in them, and looking takes long."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Pause the collector of cycles in a block, or in a function where it decorates one; what is paused already stays so.

    A plan of many shafts takes a third of its time otherwise. No block may make much garbage that holds itself: it is kept to the end.

    >>> with collector_paused():
    ...     gc.isenabled()
    False
    """
    with _collector(running=False):
        yield


@contextmanager
def collector_running() -> Iterator[None]:
    """Let the collector run in a block inside one that pauses it, for work that is long or done many times over."""
    with _collector(running=True):
        yield


def leave_uncollected() -> None:
    """Take all that is there out of the collector's sight: what stays for good, or everything as a program ends."""
    gc.freeze()


@contextmanager
def _collector(*, running: bool) -> Iterator[None]:
    was_running = gc.isenabled()
    (gc.enable if running else gc.disable)()
    try:
        yield
    finally:
        (gc.enable if was_running else gc.disable)()
