"""The pages of an answer: shafts whose plan is the same word for word share one, and how much room it has.

Shafts that share a page differ in name, number, place and distance only. What is told in full where the page stays short is told in fewer
words where it does not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil
from textwrap import wrap
from typing import Any

from methodpick.document.model import Blanks, Block, Items, Page, Paragraph, TextTable
from methodpick.patterns import pattern_of
from methodpick.plan.result import RangeFlip, ShaftPlan
from methodpick.records import record
from methodpick.unit_markup import SAME_LENGTH_M, number_span, spell

# ---- which shafts share a page


@record
class ShaftGroup:
    """Shafts that share a page, in the order of the file.

    ``within_range`` is what changes their plan within the stated ranges; None where it was not looked for.
    """

    shafts: tuple[ShaftPlan, ...]
    within_range: tuple[RangeFlip, ...] | None = None

    @property
    def first(self) -> ShaftPlan:
        """Return the shaft that stands for all."""
        return self.shafts[0]

    @property
    def count(self) -> int:
        """Count the shafts, those that each stands for included."""
        return sum(shaft.count for shaft in self.shafts)

    @property
    def ids(self) -> tuple[str, ...]:
        """Return the names of all shafts."""
        return tuple(shaft.id for shaft in self.shafts)

    @property
    def names(self) -> str:
        """Name all shafts; a run of neighbours in the file is not shortened, so that each can be searched for."""
        return ", ".join(self.ids)

    @property
    def title(self) -> str:
        """Return the title of the page."""
        if len(self.shafts) > 1:
            return f"Shaft {self.first.id} and {len(self.shafts) - 1} alike"
        return f"Shaft {self.first.id}" + (f" ({self.count} of this kind)" if self.count > 1 else "")

    @property
    def boring(self) -> str:
        """Name the boring and when it was drilled, with how far away it is from the nearest and the farthest shaft, where that is known."""
        known = sorted(shaft.boring_distance_m for shaft in self.shafts if shaft.boring_distance_m is not None)
        if not known:
            return self.first.dated_boring
        return f"{self.first.dated_boring}, " + (
            "at the shaft" if known[-1] < SAME_LENGTH_M else f"{number_span(known[0], known[-1], 'm')} away"
        )


def over_shafts(groups: Sequence[ShaftGroup], amount: Callable[[ShaftPlan], float]) -> float:
    """Return the sum of an amount over all shafts of some groups."""
    return sum(amount(group.first) * group.count for group in groups)


def group_shafts(shafts: Sequence[ShaftPlan]) -> list[ShaftGroup]:
    """Gather the shafts that share a page, in the order of the first of each."""
    found: list[tuple[ShaftPlan, list[ShaftPlan]]] = []
    for shaft in shafts:
        stripped = _without_names(shaft)
        members = next((members for pattern, members in found if pattern == stripped), None)
        if members is None:
            found.append((stripped, [shaft]))
        else:
            members.append(shaft)
    return [ShaftGroup(tuple(members)) for _, members in found]


def _without_names(shaft: ShaftPlan) -> ShaftPlan:
    """Return a plan without what tells shafts of one kind apart."""
    return replace(shaft.named(""), count=0, boring_distance_m=None, design=shaft.design.placed_at(None))


# ---- how much room a page has


LINES = 60
"""Lines of a page of the answer at 80 columns, the closing included."""
COLUMNS = 78
"""Letters of a line of a paragraph; a list has two less."""
CLOSING_LINES = 4
"""Lines of the closing words with the empty one before them, and the line that says with what the page was made."""


@record
class Room:
    """How many rows the strip has, and what else is told.

    ``treated`` open hazards stand with what to do; so many hazards and dangers as ``told`` with their words; of names as many as have
    ``names`` letters, then how many more there are; ``densities`` of all fluids, else of mineral slurry only, whose density is a choice;
    ``shortfalls`` the numbers by which open hazards are short. ``in_print`` is a report, with as much room as its words take.
    """

    strip_rows: int
    treated: int
    told: int
    names: int
    densities: bool
    shortfalls: bool = True
    in_print: bool = False

    def page_of(self, reader: str) -> str:
        """Return where the page of a reader stands: by the option that shows it, in print by its name."""
        called = "sheet" if reader == "foreman" else "page"
        return f"{reader}'s {called}" if self.in_print else f"--for {reader}"


ROOMS = (
    Room(strip_rows=8, treated=2, told=4, names=400, densities=True),
    Room(strip_rows=7, treated=2, told=3, names=240, densities=True),
    Room(strip_rows=6, treated=1, told=2, names=118, densities=True),
    Room(strip_rows=5, treated=1, told=1, names=84, densities=False),
    Room(strip_rows=5, treated=1, told=1, names=48, densities=False, shortfalls=False),
    Room(strip_rows=4, treated=0, told=0, names=48, densities=False, shortfalls=False),
)
"""From the most room to the least; the first in which a page stays short is taken, else the last."""


PRINTED = Room(strip_rows=30, treated=3, told=4, names=400, densities=True, in_print=True)
"""The room of a page in a report, which stands beside its strip log and the safety page."""


def how_many_fit(names: Sequence[Any], letters: int, least: int = 1, said: Callable[[Sequence[Any]], str] = "; ".join) -> int:
    """Return how many of some names have room in so many letters as they are ``said``, counted from the first; ``least`` in any case.

    >>> how_many_fit(["pull", "torque", "crowd"], 12), how_many_fit(["pull", "torque"], 3), how_many_fit([], 9, least=0)
    (2, 1, 0)
    """
    return next((count for count in range(len(names), least, -1) if len(said(names[:count])) <= letters), least)


def and_more(count: int) -> str:
    """Return the words for so many that are not named, nothing where all are.

    >>> and_more(3), and_more(0), and_more(-2)
    (' and 3 more', '', '')
    """
    return f" and {count} more" if count > 0 else ""


def having_once(sentences: Sequence[str]) -> str:
    """Return sentences one after the other; what neighbours begin with up to their first half stop, which is what there is, stands once.

    >>> having_once(["There is 2; a takes 3.", "There is 2; b takes 4. Take more.", "Ask."])
    'There is 2; a takes 3; b takes 4. Take more. Ask.'
    """
    told: list[str] = []
    for sentence in sentences:
        there_is = "".join(told[-1].partition("; ")[:2]) if told else ""
        shared = there_is.endswith("; ") and sentence.startswith(there_is)
        told.append(f"{told.pop().removesuffix('.')}; {sentence.removeprefix(there_is)}" if shared else sentence)
    return " ".join(told)


SAYS_SOMETHING = 30
"""Letters from the last stop or colon to a comma that say something without what follows the comma."""
_CUT = pattern_of(r"[.;:,] ")
_EXCEPTS = pattern_of(r"(?:though|unless|but|never|only|except|else|not|and (?:never|nobody|no|not))\b")
"""How a clause begins that takes back what stands before it, or forbids something."""


def cut_to(text: str, letters: int) -> str:
    """Return a text, cut at the end of a sentence or clause where it has more letters, and never before what takes it back.

    The first clause stands in any case.

    >>> cut_to("Turn it now and then, though never while it is sealed.", 30)
    'Turn it now and then, though never while it is sealed.'
    >>> cut_to("It sticks soon. Turn it now and then, though never while it is sealed.", 45)
    'It sticks soon ...'
    """
    cuts, clause = [], 0
    for found in _CUT.finditer(text):
        is_comma = text[found.start()] == ","
        if not _EXCEPTS.match(text, found.end()) and not (is_comma and found.start() - clause < SAYS_SOMETHING):
            cuts.append(found.start())
        clause = clause if is_comma else found.end()
    if len(spell(text, "us")) <= letters or not cuts:
        return text
    fitting = [cut for cut in cuts if len(spell(text[:cut], "us")) <= letters - 4] or cuts[:1]
    return f"{text[: fitting[-1]]} ..."


def is_short(page: Page) -> bool:
    """Return whether a page has room on one sheet."""
    return lines_of(page) <= LINES


def lines_of(page: Page) -> int:
    """Return how many lines a page takes at 80 columns with the closing; of a table that is too wide, about how many."""
    lines = ceil(len(page.title) / COLUMNS) + sum(_wrapped(line, COLUMNS + 2) for line in page.lines) + CLOSING_LINES
    return lines + sum(1 + _wrapped(section.title, COLUMNS) + sum(map(_lines, section.blocks)) for section in page.sections)


def _lines(block: Block) -> int:
    if isinstance(block, Paragraph):
        return _wrapped(block.text, COLUMNS)
    if isinstance(block, Items):
        return sum(_wrapped(entry, COLUMNS - (4 if block.numbered else 2)) for entry in block.entries)
    if isinstance(block, Blanks):
        return len(block.entries)
    return _rows(block) if isinstance(block, TextTable) else 0


def _rows(table: TextTable) -> int:
    """Return the lines of a table: where it is too wide its widest column gives way, and its longest cells are wrapped."""
    columns = [[len(spell(cell, "us")) for cell in column] for column in zip(table.heads, *table.rows, strict=True)]
    widths = [max(column) for column in columns]
    over = sum(widths) + 2 * len(widths) - COLUMNS
    if over <= 0:
        return 1 + len(table.rows)
    widest = widths.index(max(widths))
    return sum(ceil(letters / max(1, widths[widest] - over)) if letters else 1 for letters in columns[widest])


def _wrapped(text: str, columns: int) -> int:
    return len(wrap(spell(text, "us"), columns, break_on_hyphens=False)) if text else 0
