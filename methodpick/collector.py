"""The collector of cycles, paused while many records are made: there is hardly a cycle among them, and looking through them takes long."""

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
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
