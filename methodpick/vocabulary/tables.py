"""Class tables: what a class of ground means in numbers or other classes. Rows are proved to exclude one another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from math import inf
from typing import Any

from methodpick.records import record
from methodpick.strict_yaml import YamlDocument
from methodpick.terms import CONFIDENCES
from methodpick.vocabulary.catalogue import Catalogue, FactSpec, Reader, value_of
from methodpick.vocabulary.limits import Source, unknown_source
from methodpick.vocabulary.values import EITHER, Choice, Span, Value

_KEYS = ("table", "title", "inputs", "outputs", "policy", "rows", "otherwise")
_MOST_KEPT = 4096
_ROW_KEYS = ("when", "then", "source", "where", "confidence", "note")


@record
class ClassRow:
    """A row: a box over the inputs (number ranges are half open, [low, high)) and what it says of the outputs."""

    when: Mapping[str, Value]
    then: Mapping[str, Value]
    source: str
    where: str
    confidence: str
    note: str

    def possible(self, values: Mapping[str, Value]) -> bool:
        """Return whether the row may hold on the known sets; a missing input may be anything."""
        return all(name not in values or _meets(values[name], wanted) for name, wanted in self.when.items())


@record
class ClassTable:
    """A class table whose rows never overlap."""

    id: str
    title: str
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    rows: tuple[ClassRow, ...]
    _found: dict[tuple[Value | None, ...], Mapping[str, Value]] = field(default_factory=dict, compare=False, repr=False)

    def look_up(self, values: Mapping[str, Value]) -> Mapping[str, Value]:
        """Return the hull of all rows that may hold; the likely value is that of the row at the likely inputs.

        Nothing is given where no row may hold; the house tests prove that the shipped tables leave no gap. What was
        looked up once is kept: layers, slices and changed sites ask the same again and again.
        """
        key = tuple(map(values.get, self.inputs))
        found = self._found.get(key)
        if found is None:
            if len(self._found) >= _MOST_KEPT:
                self._found.clear()
            found = self._found[key] = self._look_up(values)
        return found

    def _look_up(self, values: Mapping[str, Value]) -> dict[str, Value]:
        held = [row for row in self.rows if row.possible(values)]
        if not held:
            return {}
        likely = held
        if len(held) > 1:
            at = {name: values[name].at_likely for name in self.inputs if name in values}
            likely = [row for row in held if row.possible(at)]
        result: dict[str, Value] = {}
        for name in self.outputs:
            parts = [row.then[name] for row in held if name in row.then]
            if len(parts) == len(held):
                result[name] = _joined(parts, [row.then[name] for row in likely])
        return result


def _meets(known: Value, wanted: Value) -> bool:
    if isinstance(known, Span) and isinstance(wanted, Span):
        return known.low < wanted.high and known.high >= wanted.low
    return isinstance(known, Choice) and isinstance(wanted, Choice) and bool(known.values & wanted.values)


def _joined(parts: list[Value], likely: list[Value]) -> Value:
    likely_values = {value.likely for value in likely}
    single = next(iter(likely_values)) if len(likely_values) == 1 else None
    if isinstance(parts[0], Span):
        spans = [part for part in parts if isinstance(part, Span)]
        low, high = min(span.low for span in spans), max(span.high for span in spans)
        return Span(low, high, single if isinstance(single, (int, float)) else None)
    words: frozenset[str] = frozenset().union(*(part.values for part in parts if isinstance(part, Choice)))
    return Choice(words, single if isinstance(single, str) else None)


def table_of(document: YamlDocument, catalogue: Catalogue, sources: Mapping[str, Source] | None = None) -> ClassTable:
    """Return the table of a file; raises RuleError with every problem, overlapping rows included."""
    reader = Reader(document)
    top = reader.mapping((), document.value, _KEYS, ("table", "inputs", "outputs", "rows"))
    listed = top.get("inputs")
    inputs = tuple(str(name) for name in reader.items(("inputs",), listed))
    reader.word(("policy",), top.get("policy", "unique"), ("unique",), "unique")
    reader.word(("otherwise",), top.get("otherwise", "unknown"), ("unknown",), "unknown")
    for name in inputs:
        if name not in catalogue:
            reader.word(("inputs",), name, catalogue.facts, "")
    outputs = top.get("outputs")
    if not isinstance(outputs, dict):
        reader.wrong(("outputs",), "a table names its outputs with their units", "outputs: {name: unit}")
        outputs = {}
    rows = tuple(
        _row(reader, ("rows", index), entry, inputs, outputs=outputs, catalogue=catalogue)
        for index, entry in enumerate(reader.items(("rows",), top.get("rows")))
    )
    for index, row in enumerate(rows):
        if sources is not None and row.source not in sources:
            reader.wrong(("rows", index), unknown_source(row.source), hint=reader.near(row.source, sources))
    if not reader.problems:
        _prove_unique(reader, rows)
    reader.done()
    return ClassTable(
        id=reader.text(("table",), top.get("table")),
        title=reader.text(("title",), top.get("title")),
        inputs=inputs,
        outputs=tuple(outputs),
        rows=rows,
    )


def _row(
    reader: Reader, path: tuple[str | int, ...], entry: Any, inputs: tuple[str, ...], *, outputs: Mapping[str, Any], catalogue: Catalogue
) -> ClassRow:
    entry = reader.mapping(path, entry, _ROW_KEYS, ("when", "then"))
    when = {}
    for name, written in reader.mapping((*path, "when"), entry.get("when", {}), inputs).items():
        if name in catalogue:
            spec = catalogue.facts[name]
            when[name] = _open_top(value_of(reader, (*path, "when", name), spec, written, beyond=True), spec)
    then = {}
    for name, written in reader.mapping((*path, "then"), entry.get("then", {}), outputs).items():
        spec = catalogue.facts.get(name) or _output_spec(name, str(outputs[name]))
        then[name] = value_of(reader, (*path, "then", name), spec, written)
    confidence = reader.word((*path, "confidence"), entry.get("confidence", "own"), CONFIDENCES, "own")
    return ClassRow(
        when=when,
        then=then,
        source=reader.text(path, entry.get("source")),
        where=reader.text(path, entry.get("where")),
        confidence=confidence,
        note=reader.text(path, entry.get("note")),
    )


def _open_top(value: Value, spec: FactSpec) -> Value:
    """Let the highest row hold at the end of the domain too: only ends that two rows share are half open."""
    top = spec.domain.high if isinstance(spec.domain, Span) else None
    return Span(value.low, inf) if isinstance(value, Span) and top is not None and value.high >= top else value


def _output_spec(name: str, unit: str) -> FactSpec:
    """Return the spec of an output that is no fact of the catalogue: any number."""
    if unit == "yes/no":
        return FactSpec(
            name=name,
            kind="boolean",
            unit="1",
            domain=EITHER,
            words=("no", "yes"),
            resolution=0.0,
            scope="slice",
            origin="derived",
            meaning="",
            ask="",
            changeable=False,
        )
    return FactSpec(
        name=name,
        kind="number",
        unit=unit,
        domain=Span(-1e12, 1e12),
        words=(),
        resolution=0.0,
        scope="slice",
        origin="derived",
        meaning="",
        ask="",
        changeable=False,
    )


def _prove_unique(reader: Reader, rows: tuple[ClassRow, ...]) -> None:
    for first in range(len(rows)):
        for second in range(first + 1, len(rows)):
            shared: list[str] = []
            for name in {**rows[first].when, **rows[second].when}:
                common = _common(name, rows[first].when, rows[second].when)
                if common is None:
                    break
                shared.append(common)
            else:
                witness = ", ".join(sorted(shared))
                reader.wrong(
                    ("rows", second),
                    f"this row overlaps row {first + 1} of the table",
                    "rows that exclude one another",
                    f"both hold for {witness or 'everything'}",
                )


def _common(name: str, first: Mapping[str, Value], second: Mapping[str, Value]) -> str | None:
    """Return a value of one input that both rows hold for, None where there is none."""
    upper, lower = first.get(name), second.get(name)
    if isinstance(upper, Choice) and isinstance(lower, Choice):
        both = sorted(upper.values & lower.values)
        return f"{name} = {both[0]}" if both else None
    if isinstance(upper, Span) and isinstance(lower, Span):
        low, high = max(upper.low, lower.low), min(upper.high, lower.high)
        return f"{name} = {low:g}" if low < high else None
    only = upper or lower
    return f"{name} = {min(only.values)}" if isinstance(only, Choice) else f"{name} in {only}"
