"""Logs in a folder of tables: their borings are those of the site, and the tables add shafts, stock and rates.

The tables are read with a stand-in for each boring of a log, which holds what levels and shafts ask of it; the boring itself takes its
place when the site is made.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from methodpick.errors import InputError, Place, Problem
from methodpick.ground.doubt import Doubt, Subject
from methodpick.ground.site import Site
from methodpick.imports.input_formats import AGS3, AGS4, DIGGS, Imported, read_file
from methodpick.records import record

SUFFIXES = frozenset(suffix for known in (AGS3, AGS4, DIGGS) for suffix in known.suffixes)
MOST_LOGS = 200


@record
class LogBeside:
    """A log in a folder of tables, and what was read of it."""

    path: Path
    read: Imported


def logs_beside(source: Path | str) -> tuple[LogBeside, ...]:
    """Return the logs in a folder of tables, nothing for a file or a text.

    Raises InputError where one cannot be read, a boring stands in two of them, or they are too many.
    """
    if isinstance(source, str) or not source.is_dir():
        return ()
    paths = sorted(path for path in source.iterdir() if path.suffix.lower() in SUFFIXES)
    if len(paths) > MOST_LOGS:
        raise InputError(Problem(f"{source}: {len(paths)} logs lie in the folder", expected=f"{MOST_LOGS} at most"))
    logs = tuple(LogBeside(path, read_file(path)) for path in paths)
    seen: dict[str, Path] = {}
    for log in logs:
        for boring in log.read.profiles:
            if boring.id in seen:
                message = f"{log.path}: boring {boring.id} stands in {seen[boring.id].name} too"
                raise InputError(Problem(message, hint="leave one of the files out of the folder"))
            seen[boring.id] = log.path
    return logs


def stand_ins(logs: tuple[LogBeside, ...]) -> list[tuple[dict[str, Any], Place]]:
    """Return an entry for each boring, as a site file has it, with what tables ask of it, and the file of its log."""
    found = []
    for log in logs:
        for boring in log.read.profiles:
            level = {} if boring.ground_elevation_m is None else {"ground_elevation": f"{boring.ground_elevation_m} m"}
            found.append(({"id": boring.id, **level}, Place(str(log.path), 1, 1)))
    return found


def with_borings(site: Site, logs: tuple[LogBeside, ...]) -> Site:
    """Return a site with the borings of the logs in the place of their stand-ins."""
    logged = {boring.id: boring for log in logs for boring in log.read.profiles}
    return site.model_copy(update={"borings": tuple(logged.get(boring.id, boring) for boring in site.borings)}) if logged else site


def places_in(logs: tuple[LogBeside, ...], otherwise: Callable[[Doubt], Place | None]) -> Callable[[Doubt], Place | None]:
    """Return what finds the place of a doubt: that of the log where it is about one of its borings."""
    by_boring = {Subject("boring", boring.id): log for log in logs for boring in log.read.profiles}

    def place_of(doubt: Doubt) -> Place | None:
        log = by_boring.get(doubt.subject)
        return otherwise(doubt) if log is None else log.read.place_of(doubt)

    return place_of
