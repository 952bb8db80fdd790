"""Score the reading of words against the labelled descriptions of layers and print the tables in Markdown.

``python tests/ground/descriptions/score_labels.py [--set NAME]``, open, former, aside, fourth to ninth. The labels and their words
are explained at the head of ``labelled_open.yaml``; the reader is ``methodpick.ground.descriptions.reader.read_description``. All sets but
the open one were kept from the reader until one run; they are spent, and errors are listed for all.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import get_args

import yaml

sys.path.insert(0, str(Path(__file__).resolve().parents[3]))

from methodpick.ground.descriptions.reader import Description, read_description
from methodpick.ground.profile import Feature
from methodpick.terms import SLOW_DRAINING, SOIL_CLASSES

FOLDER = Path(__file__).parent
NONE, UNDECIDED = "none", "undecided"
CLASSES = (*SOIL_CLASSES, NONE, UNDECIDED)
"""Columns of the confusion table: the classes, no soil read, and several classes of which none is the likeliest."""
FLAGS = tuple(sorted(get_args(Feature)))


@dataclass(frozen=True)
class Reading:
    """What the reader makes of a text, in the words of the labels."""

    main: str
    grade: str
    flags: frozenset[str]
    origin: str
    cementation: str
    chalk_grade: str


@dataclass(frozen=True)
class Entry:
    """A labelled text with its reading."""

    text: str
    labels: dict
    reading: Reading
    symbol: str | None = None

    def answers(self, key: str) -> list[str]:
        """Return the acceptable answers of a label, the likeliest first."""
        given = self.labels.get(key, NONE)
        return given if isinstance(given, list) else [given]

    def is_right(self, key: str) -> bool:
        """Return whether the reading is one of the acceptable answers; a text without the label may be read as of any origin but fill."""
        if key == "origin" and "origin" not in self.labels:
            return self.reading.origin != "fill"
        if key == "cementation" and key not in self.labels:
            return self.reading.cementation == NONE or "cemented" in self.labels.get("either", ())
        return getattr(self.reading, key) in self.answers(key)

    @property
    def missed(self) -> list[str]:
        """Return the flags that the text states and the reader misses."""
        return sorted(set(self.labels["flags"]) - self.reading.flags)

    @property
    def false_alarms(self) -> list[str]:
        """Return the flags that the reader raises and the text does not."""
        return sorted(self.reading.flags - set(self.labels["flags"]) - set(self.labels.get("either", ())))


def reading_of(text: str, symbol: str | None = None) -> Reading:
    """Return what the reader makes of a text."""
    words = read_description(text, symbol)
    flags = set(words.features)
    if "weakly_cemented" in flags:
        flags |= {"cemented"}
    if words.soils == {"void"}:
        flags |= {"cavities"}
    main = NONE if words.slab else words.likely or (UNDECIDED if words.soils else NONE)
    return Reading(
        main=main,
        grade=_grade(words),
        flags=frozenset(flags.intersection(FLAGS)),
        origin=NONE if words.origin == "unknown" else words.origin,
        cementation=_cementation(words),
        chalk_grade=words.chalk_grade or NONE,
    )


def _grade(words: Description) -> str:
    """Return the grade of the likely soil, the other kind of grade where the text gives none of its own."""
    grades = [words.consistency, words.density]
    if words.likely is not None and words.likely not in SLOW_DRAINING:
        grades.reverse()
    low, high = grades[0] or grades[1] or (NONE, NONE)
    return low if low == high else f"{low} to {high}"


def _cementation(words: Description) -> str:
    """Return the degree of cementation as the facts of the ground have it."""
    if "weakly_cemented" in words.features:
        return "slight"
    if "cemented" in words.features:
        return "moderate"
    return "uncemented" if "cemented" in words.absent else NONE


@lru_cache(maxsize=5)
def read_set(name: str) -> tuple[Entry, ...]:
    """Read a labelled set and run the reader on all its texts."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    entries = yaml.load((FOLDER / f"labelled_{name}.yaml").read_text("utf-8"), loader)  # noqa: S506 - a safe loader
    return tuple(Entry(one["text"], one["labels"], reading_of(one["text"], one.get("symbol")), one.get("symbol")) for one in entries)


def share(entries: list[Entry], key: str) -> tuple[int, int]:
    """Return how many of the entries are read right, and how many there are."""
    return sum(entry.is_right(key) for entry in entries), len(entries)


def groups(entries: tuple[Entry, ...]) -> dict[str, tuple[str, list[Entry]]]:
    """Return what is scored: the label and the entries that count, by the name of the line."""
    soils = [entry for entry in entries if len(entry.answers("main")) == 1]
    stated = [entry for entry in entries if entry.answers("grade") != [NONE]]
    chalk = [entry for entry in entries if "chalk_grade" in entry.labels]
    hardened = [entry for entry in entries if "cementation" in entry.labels or entry.reading.cementation != NONE]
    return {
        "main soil": ("main", list(entries)),
        "main soil, one answer only": ("main", soils),
        "consistency or density": ("grade", list(entries)),
        "consistency or density, where stated": ("grade", stated),
        "origin": ("origin", list(entries)),
        "cementation, where stated or read": ("cementation", hardened),
        "chalk grade, of chalk": ("chalk_grade", chalk),
    }


def scores(entries: tuple[Entry, ...]) -> str:
    """Write the table of scores."""
    lines = ["| what is read | right | of | % |", "|---|---:|---:|---:|"]
    for name, (key, counted) in groups(entries).items():
        right, all_of = share(counted, key)
        lines.append(f"| {name} | {right} | {all_of} | {100 * right / max(all_of, 1):.1f} |")
    return "\n".join(lines)


def confusion(entries: tuple[Entry, ...]) -> str:
    """Write the confusion table: rows are labels (the answer that was read, where it is acceptable, else the likeliest)."""
    cells: Counter[tuple[str, str]] = Counter()
    for entry in entries:
        read = entry.reading.main
        cells[read if entry.is_right("main") else entry.answers("main")[0], read] += 1
    lines = [f"| label | {' | '.join(CLASSES)} |", "|---|" + "---:|" * len(CLASSES)]
    lines += [f"| {label} | " + " | ".join(str(cells[label, read] or "") for read in CLASSES) + " |" for label in CLASSES[:-1]]
    return "\n".join(lines)


def flag_table(entries: tuple[Entry, ...]) -> str:
    """Write the table of flags: how often stated, missed, and raised without being stated."""
    lines = ["| flag | stated | missed | false alarms |", "|---|---:|---:|---:|"]
    for flag in FLAGS:
        stated = sum(flag in entry.labels["flags"] for entry in entries)
        missed = sum(flag in entry.missed for entry in entries)
        alarms = sum(flag in entry.false_alarms for entry in entries)
        lines.append(f"| {flag} | {stated} | {missed} | {alarms} |")
    return "\n".join(lines)


def errors(entries: tuple[Entry, ...]) -> str:
    """List every error with its text."""
    lines = []
    for key in ("main", "grade", "origin", "cementation", "chalk_grade"):
        lines += ["", f"{key}:"]
        for entry in entries:
            if not entry.is_right(key):
                wanted = " | ".join(entry.answers(key)) if key in entry.labels else NONE
                lines.append(f"  read {getattr(entry.reading, key)}, not {wanted}: {entry.text}")
    for name in ("missed", "false_alarms"):
        lines += ["", f"flags, {name.replace('_', ' ')}:"]
        lines += [f"  {', '.join(getattr(entry, name))}: {entry.text}" for entry in entries if getattr(entry, name)]
    return "\n".join(lines)


def main() -> None:
    """Print the scores of a set, and its errors."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument(
        "--set", choices=("open", "former", "aside", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"), default="open", dest="name"
    )
    name = parser.parse_args().name
    entries = read_set(name)
    tables = [f"{len(entries)} descriptions, set {name}", scores(entries), confusion(entries), flag_table(entries)]
    print("\n\n".join([*tables, errors(entries)]))


if __name__ == "__main__":
    main()
