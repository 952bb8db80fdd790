"""The sizes of casing and tools on the market, by ``rules/trade_sizes.yaml``, which an overlay replaces or adds to.

The lists go by the kind of casing and by the units of the site: ``pipe_si``, ``segmental_si``, ``pipe_us``, ``segmental_us``. Casing that
is oscillated or rotated is segmental, its walls are double, and the list gives its inside as well. Beyond a list, and where the rulebook
has none, casing goes on in steps (``casing_step_m``, ``casing_step_metric_m``), as tools do (``tool_step_m``, ``tool_step_metric_m``).
"""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, floor
from typing import Any

from methodpick.records import record
from methodpick.strict_yaml import KeyPath, YamlDocument
from methodpick.terms import CONFIDENCES, UnitSystem
from methodpick.units import INCH_M
from methodpick.vocabulary.catalogue import Reader
from methodpick.vocabulary.limits import Source, unknown_source

# ---- the lists of the rulebook


LIST_NAMES = ("pipe_si", "segmental_si", "pipe_us", "segmental_us")
"""The lists that a rulebook may have."""
SEGMENTAL_WAY = "oscillated"
"""The way of advancing casing that takes segmental casing, by an oscillator or a rotator."""
SAME_OUTSIDE_M = 5e-4
"""Outside diameters closer than this are one size: lists round to the millimetre."""
PLAUSIBLE_M = (0.1, 6.0)
"""Diameters that casing can have; it catches slips of units."""
_SIZE_KEYS = ("unit", "sizes", "source", "where", "edition", "confidence", "note")
UNITS_OF_SIZES: Mapping[str, float] = {"mm": 0.001, "in": INCH_M}
"""The units in which lists may be written, in metres."""


@record
class ListedSize:
    """A size of the trade; the inside is given for segmental casing only, whose double wall is the maker's."""

    outside_m: float
    inside_m: float | None = None

    @property
    def lengths_m(self) -> tuple[float, ...]:
        """Return the outside, and the inside where it is given."""
        return (self.outside_m,) if self.inside_m is None else (self.outside_m, self.inside_m)


@record
class SizeList:
    """Outside diameters on the market, from small to large. ``origin`` names the file that gave them: the base rulebook or an overlay."""

    name: str
    sizes: tuple[ListedSize, ...]
    unit: str
    source: str
    where: str
    edition: str
    confidence: str
    note: str
    origin: str = "base"

    def numbers(self) -> str:
        """Write the sizes as they stand in the file.

        >>> sizes = (ListedSize(0.62, 0.54), ListedSize(0.75, 0.67))
        >>> SizeList("segmental_si", sizes, "mm", "practice", "", "", "memory", "").numbers()
        '620/540, 750/670 mm'
        """
        factor = UNITS_OF_SIZES[self.unit]
        written = ("/".join(f"{length_m / factor:g}" for length_m in size.lengths_m) for size in self.sizes)
        return f"{', '.join(written)} {self.unit}"


def size_lists_of(document: YamlDocument, sources: Mapping[str, Source]) -> dict[str, SizeList]:
    """Return the lists of ``rules/trade_sizes.yaml``; raises RuleError with every problem."""
    reader = Reader(document)
    lists = {}
    for name, entry in reader.section("trade_sizes", dict).items():
        if name not in LIST_NAMES:
            reader.unknown(("trade_sizes", name), f"there is no list '{name}'", str(name), LIST_NAMES, key=True)
        lists[name] = size_list_of(reader, ("trade_sizes", name), name, entry, sources)
    reader.done()
    return lists


def size_list_of(reader: Reader, path: KeyPath, name: str, entry: Any, sources: Mapping[str, Source]) -> SizeList:
    """Return one list; what is wrong with it is noted by the reader, each size at its place."""
    entry = reader.mapping(path, entry, _SIZE_KEYS, ("unit", "sizes", "source", "confidence"))
    unit = reader.word((*path, "unit"), entry.get("unit"), UNITS_OF_SIZES, "mm")
    source = reader.text((*path, "source"), entry.get("source"))
    if source and source not in sources:
        reader.wrong((*path, "source"), unknown_source(source), hint=reader.near(source, sources))
    return SizeList(
        name=name,
        sizes=_sizes(reader, (*path, "sizes"), entry.get("sizes"), unit, double=name.startswith("segmental")),
        unit=unit,
        source=source,
        where=reader.text((*path, "where"), entry.get("where")),
        edition=reader.text((*path, "edition"), entry.get("edition")),
        confidence=reader.word((*path, "confidence"), entry.get("confidence"), CONFIDENCES, "own"),
        note=reader.text((*path, "note"), entry.get("note")),
    )


def _sizes(reader: Reader, path: KeyPath, written: Any, unit: str, *, double: bool) -> tuple[ListedSize, ...]:
    """Return the sizes of a list that is written in a unit; ``double`` ones have an outside and an inside."""
    found: list[ListedSize] = []
    for index, entry in enumerate(reader.items(path, written)):
        lengths = entry if double and isinstance(entry, list) else [entry]
        if len(lengths) != 1 + double or any(type(length) not in {int, float} for length in lengths):
            expected = f"outside and inside in {unit}: [1200, 1120]" if double else f"an outside diameter in {unit}: 1219"
            reader.wrong((*path, index), "this is no size of such casing", expected)
            continue
        size = ListedSize(*(_metres(length, unit) for length in lengths))
        if not all(PLAUSIBLE_M[0] <= length_m <= PLAUSIBLE_M[1] for length_m in size.lengths_m):
            expected = f"{PLAUSIBLE_M[0]:g} to {PLAUSIBLE_M[1]:g} m"
            reader.wrong((*path, index), f"no casing is {max(lengths):g} {unit} wide", expected, f"is it in {unit}?")
        elif size.inside_m is not None and size.inside_m >= size.outside_m:
            reader.wrong((*path, index), "the inside is not less than the outside", "the outside diameter first, then the inside")
        elif found and size.outside_m <= found[-1].outside_m:
            reader.wrong((*path, index), "this size is not wider than the one before it", "sizes from small to large, each once")
        else:
            found.append(size)
    if written == []:
        reader.wrong(path, "the list has no size", "one outside diameter or more", "leave the list out where casing goes by steps")
    return tuple(found)


def _metres(length: float, unit: str) -> float:
    return length / 1000.0 if unit == "mm" else length * UNITS_OF_SIZES[unit]


# ---- Sizes chosen from the lists, or by steps


@record
class TradeSizes:
    """What a site can have on its market: its units, the lists of the rulebook, and the limits with the steps."""

    units: UnitSystem
    limits: Mapping[str, float]
    lists: Mapping[str, SizeList]

    def outside_from(self, least_m: float, way: str | None = None, inside_m: float = 0.0) -> float:
        """Return the least outside diameter of the trade that is no less than ``least_m``.

        Segmental casing also lets ``inside_m`` pass between its double walls; that of pipe goes by its wall, which is chosen afterwards.

        >>> limits = {"casing_step_m": 0.1524, "casing_step_metric_m": 0.1}
        >>> pipe = tuple(ListedSize(outside_m) for outside_m in (1.168, 1.219, 1.321))
        >>> lists = {"pipe_si": SizeList("pipe_si", pipe, "mm", "practice", "", "", "memory", "")}
        >>> TradeSizes("us", limits, lists).outside_from(1.25)
        1.3716
        >>> TradeSizes("si", limits, lists).outside_from(1.25), TradeSizes("si", limits, lists).outside_from(2.6)
        (1.321, 2.6)
        """
        for size in self._listed(way):
            if size.outside_m >= least_m - SAME_OUTSIDE_M and (size.inside_m is None or size.inside_m >= inside_m - 1e-6):
                return size.outside_m
        return _step_up(max(least_m, inside_m), self._step_m)

    def next_outside(self, outside_m: float, way: str | None = None) -> float:
        """Return the next wider outside diameter of the trade.

        >>> TradeSizes("us", {"casing_step_m": 0.1524}, {}).next_outside(1.2192)
        1.3716
        """
        if not self._listed(way) and self.units == "us":
            return round(outside_m + self._step_m, 4)
        return self.outside_from(outside_m + 0.002, way)

    def tool_to(self, most_m: float, least_m: float) -> float:
        """Return the widest tool of the trade up to a diameter; where none is as wide as ``least_m``, that diameter itself.

        >>> TradeSizes("us", {"tool_step_m": 0.0508}, {}).tool_to(1.4716, 1.3716)
        1.4224
        >>> TradeSizes("si", {"tool_step_metric_m": 0.05}, {}).tool_to(1.319, 1.219)
        1.3
        """
        tool = round(floor(round(most_m / self._tool_step_m, 6)) * self._tool_step_m, 4)
        return tool if tool >= least_m - 1e-6 else most_m

    def tool_from(self, least_m: float) -> float:
        """Return the narrowest tool of the trade that is no less than a diameter.

        >>> TradeSizes("us", {"tool_step_m": 0.0508}, {}).tool_from(1.397)
        1.4224
        >>> TradeSizes("si", {"tool_step_metric_m": 0.05}, {}).tool_from(1.0414)
        1.05
        """
        return _step_up(least_m, self._tool_step_m)

    def is_metric_on_us_site(self, way: str | None) -> bool:
        """Return whether casing for a way of advancing it comes in millimetres, and the site is drawn in feet and inches.

        >>> segmental = SizeList("segmental_us", (ListedSize(1.2, 1.12),), "mm", "practice", "", "", "memory", "")
        >>> trade = TradeSizes("us", {}, {"segmental_us": segmental})
        >>> trade.is_metric_on_us_site("oscillated"), trade.is_metric_on_us_site("driven")
        (True, False)
        """
        listed = self._list_for(way)
        return self.units == "us" and listed is not None and listed.unit == "mm"

    def _listed(self, way: str | None) -> tuple[ListedSize, ...]:
        listed = self._list_for(way)
        return () if listed is None else listed.sizes

    def _list_for(self, way: str | None) -> SizeList | None:
        """Return the list for a way of advancing casing; segmental casing goes by the list of pipe where it has none."""
        kinds = ("segmental", "pipe") if way == SEGMENTAL_WAY else ("pipe",)
        return next((self.lists[name] for kind in kinds if (name := f"{kind}_{self.units}") in self.lists), None)

    @property
    def _step_m(self) -> float:
        return self.limits["casing_step_m" if self.units == "us" else "casing_step_metric_m"]

    @property
    def _tool_step_m(self) -> float:
        return self.limits["tool_step_m" if self.units == "us" else "tool_step_metric_m"]


def _step_up(value_m: float, step_m: float) -> float:
    return round(ceil(round(value_m / step_m, 6)) * step_m, 4)
