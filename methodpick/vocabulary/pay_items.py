"""How shafts are paid, by ``rules/pay_items.yaml``: the items that are measured, from where, after which source.

An overlay has the items of its agency.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, cast, get_args

from methodpick.records import record
from methodpick.strict_yaml import KeyPath, YamlDocument
from methodpick.terms import CONFIDENCES
from methodpick.vocabulary.catalogue import Reader
from methodpick.vocabulary.limits import Source, unknown_source

PayMeasure = Literal[
    "mobilisation",
    "shaft",
    "socket",
    "excavation",
    "permanent_casing",
    "temporary_casing",
    "concrete",
    "obstruction_hours",
    "trial_shaft",
    "tubes",
]
"""What may be measured: sums, lengths by diameter, volume, hours, pieces; ``excavation`` parts the hole from the shaft that fills it."""
PAY_MEASURES: tuple[PayMeasure, ...] = get_args(PayMeasure)
MeasuredFrom = Literal["ground", "drilling_grade", "cutoff"]
MEASURED_FROM: tuple[MeasuredFrom, ...] = get_args(MeasuredFrom)
_PAY_KEYS = ("measured_from", "items", "source", "where", "edition", "confidence", "note")


@record
class PayGrouping:
    """The items that are measured, in the order of the bid, and where lengths begin. ``origin`` is the base rulebook or an overlay."""

    measured_from: MeasuredFrom
    items: tuple[PayMeasure, ...]
    source: str
    where: str
    edition: str
    confidence: str
    note: str
    origin: str = "base"


def pay_items_of(document: YamlDocument, sources: Mapping[str, Source]) -> PayGrouping:
    """Return the grouping of ``rules/pay_items.yaml``; raises RuleError with every problem."""
    reader = Reader(document)
    grouping = pay_grouping_of(reader, ("pay_items",), reader.section("pay_items", dict), sources)
    reader.done()
    return grouping


def pay_grouping_of(reader: Reader, path: KeyPath, entry: Any, sources: Mapping[str, Source]) -> PayGrouping:
    """Return a grouping; what is wrong with it is noted by the reader at its place."""
    entry = reader.mapping(path, entry, _PAY_KEYS, ("measured_from", "items", "source", "confidence"))
    source = reader.text((*path, "source"), entry.get("source"))
    if source and source not in sources:
        reader.wrong((*path, "source"), unknown_source(source), hint=reader.near(source, sources))
    items: list[PayMeasure] = []
    for index, word in enumerate(reader.items((*path, "items"), entry.get("items"))):
        place = (*path, "items", index)
        item = cast("PayMeasure", reader.word(place, word, PAY_MEASURES, "shaft"))
        if item in items:
            reader.wrong(place, f"'{item}' stands twice, and would be paid twice", "each item once")
        items.append(item)
    if not {"shaft", "concrete"} & set(items):
        reader.wrong((*path, "items"), "nothing pays for the shaft itself", "'shaft', or 'concrete' with 'excavation'")
    return PayGrouping(
        measured_from=cast("MeasuredFrom", reader.word((*path, "measured_from"), entry.get("measured_from"), MEASURED_FROM, "cutoff")),
        items=tuple(dict.fromkeys(items)),
        source=source,
        where=reader.text((*path, "where"), entry.get("where")),
        edition=reader.text((*path, "edition"), entry.get("edition")),
        confidence=reader.word((*path, "confidence"), entry.get("confidence"), CONFIDENCES, "own"),
        note=reader.text((*path, "note"), entry.get("note")),
    )
