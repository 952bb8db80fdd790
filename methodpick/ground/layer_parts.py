"""Layers parted at the depths that their own words name, before any fact is made of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Any, NamedTuple, get_args

from methodpick.ground.descriptions.main_soil import read_main_soil
from methodpick.ground.descriptions.named_depths import Statement, statements_in
from methodpick.ground.descriptions.part_words import Said, WordsByDepth, is_bed_of_soil, reading_of, words_by_depth
from methodpick.ground.descriptions.reader import Description, read_description
from methodpick.ground.fitted_boring import join_equal_layers, tile
from methodpick.ground.profile import Layer, Origin, Profile, Seam

LEAST_PART_M = 0.15
"""A length named by words that is thinner than this parts nothing: it stays with its layer (own value)."""
THICKEST_SEAM_M = 0.3
"""A bed of soil inside a layer that is thinner than this is a seam of it (own value)."""
_KEPT_OF_BED = frozenset({"karst", "mined", "slide", "contaminated", "gas", "frozen"})
"""Features stated of a layer as a whole that a bed of another soil in it has too."""
_SLACK_M = 0.005
_BLANK = {name: info.get_default() for name, info in Layer.model_fields.items() if name not in ("top_m", "base_m")}
"""What a bed of another soil has of its layer's tests: nothing."""


class LayerPart(Layer):
    """A part of a layer that its words tell of; ``description`` holds what they say of it, ``log_words`` all of them as logged."""

    log_words: str = ""

    @property
    def described(self) -> Description:
        """Return what the words of the part allow it to be; the log as a whole tells whose words of strength it uses."""
        read = super().described
        if self.description == self.log_words:
            return read
        british = read.british or read_description(self.log_words, self.symbol, self.origin).british
        return replace(read, british=british, evidence=f"{read.evidence}, at a depth named in the words of the log")


def at_named_depths(profile: Profile) -> Profile:
    """Return a boring whose layers are parted where their words name depths; the boring itself where no words do.

    >>> layer = Layer(top_m=3, base_m=9, description="Stiff CLAY, becoming very stiff below 6.2 m")
    >>> [(part.top_m, part.base_m, part.description) for part in at_named_depths(Profile(id="B", layers=(layer,))).layers[1:]]
    [(3.0, 6.2, 'Stiff CLAY'), (6.2, 9.0, 'very stiff CLAY')]
    """
    if not any(words_by_depth(layer.description).said for layer in profile.layers if not isinstance(layer, LayerPart)):
        return profile
    joined = join_equal_layers(profile)
    return joined.model_copy(update={"layers": tuple(part for layer in tile(joined) for part in parts_of(layer))})


def parts_of(layer: Layer) -> tuple[Layer, ...]:
    """Return the parts of a layer from the top down, one where its words tell of none; thin beds of soil as its seams.

    A layer whose words name depths is a part in any case, so that moved to another ground it is not read again.
    """
    taken = words_by_depth(layer.description)
    if isinstance(layer, LayerPart) or not taken.said:
        return (layer,)
    layer = LayerPart.model_construct(**{name: getattr(layer, name) for name in Layer.model_fields}, log_words=layer.description)
    seams = tuple(seam for said in taken.said if (seam := _seam(said, layer)) is not None)
    if seams:
        layer = layer.model_copy(update={"seams": (*layer.seams, *seams)})
    parts = _told_apart(layer, taken)
    if len(parts) < 2:
        return (layer,)
    return tuple(layer.model_copy(update={**part.update, "top_m": part.top_m, "base_m": part.base_m}) for part in parts)


def count_of_parts(layer: Layer) -> int:
    """Return into how many parts :func:`parts_of` parts a layer, without making them.

    >>> count_of_parts(Layer(top_m=3, base_m=9, description="Stiff CLAY, becoming very stiff below 6.2 m"))
    2
    """
    taken = words_by_depth(layer.description)
    return 1 if isinstance(layer, LayerPart) or not taken.said else max(1, len(_told_apart(layer, taken)))


class _ToldApart(NamedTuple):
    """A length of a layer, what is other of it than of the layer, and all that tells it from the length above."""

    top_m: float
    base_m: float
    update: dict[str, Any]
    key: tuple[object, ...]


def _told_apart(layer: Layer, words: WordsByDepth) -> list[_ToldApart]:
    """Return the lengths of a layer that its words tell apart, none where no statement parts it."""
    parting = tuple(said for said in words.said if _parts(said, layer, words))
    taken = words if parting == words.said else WordsByDepth(words.text, parting)
    parts: list[_ToldApart] = []
    for top_m, base_m in pairwise(_cuts(layer, taken)) if taken.said else ():
        middle_m = (top_m + base_m) / 2
        holds = tuple(start < middle_m < end for said in taken.said for start, end in (_length(said, layer),))
        update = _part(layer, taken, holds)
        symbol, origin = update.get("symbol", layer.symbol), update.get("origin", layer.origin)
        su_kpa = update.get("su_kpa", layer.su_kpa)
        key = (*reading_of(update["description"], symbol, origin), symbol, origin, su_kpa is None)
        if parts and parts[-1].key == key:
            parts[-1] = parts[-1]._replace(base_m=base_m)
        else:
            parts.append(_ToldApart(top_m, base_m, update, key))
    return parts


def parts_at_most(description: str, top_m: float, base_m: float) -> int:
    """Return into how many parts the depths that words name may part a layer between two depths: no part is read, so more than do.

    >>> parts_at_most("Stiff CLAY, very stiff below 6.2 m, loose sand lens at 7.0 to 7.1 m", 3.0, 9.0), parts_at_most("CLAY", 3.0, 9.0)
    (2, 1)
    """
    lengths = (_within(statement, top_m, base_m) for statement in statements_in(description))
    return len(_cuts_at(top_m, base_m, (length for length in lengths if _is_part(length, base_m - top_m)))) - 1


def depths_outside(layer: Layer) -> Iterator[tuple[str, float]]:
    """Return the words of a layer with the depth in m that they name where it lies outside the layer."""
    for said in words_by_depth(layer.description).said:
        top_m, base_m = said.statement.length_in(layer.top_m, layer.base_m)
        named = [depth for depth in (said.statement.top_m, said.statement.base_m) if depth is not None]
        if named and (top_m > layer.base_m + _SLACK_M or base_m < layer.top_m - _SLACK_M):
            yield said.words, named[0]


def _length(said: Said, layer: Layer) -> tuple[float, float]:
    return _within(said.statement, layer.top_m, layer.base_m)


def _within(statement: Statement, top_m: float, base_m: float) -> tuple[float, float]:
    """Return the ends of what a statement is about, inside a layer between two depths."""
    start_m, end_m = statement.length_in(top_m, base_m)
    return max(start_m, top_m), min(end_m, base_m)


def _is_part(length: tuple[float, float], whole_m: float) -> bool:
    """Return whether a length of a layer is long enough to part it, and less than the whole."""
    part_m = length[1] - length[0]
    return part_m >= LEAST_PART_M and whole_m - part_m >= LEAST_PART_M


def _parts(said: Said, layer: Layer, words: WordsByDepth) -> bool:
    """Return whether a statement among the words of a layer parts it: long enough, less than the whole, and of no seam."""
    if not _is_part(_length(said, layer), layer.thickness_m):
        return False
    alone = words if len(words.said) == 1 else WordsByDepth(words.text, (said,))
    only = alone.at((True,))
    if not read_main_soil(only, None if said.own else layer.symbol, layer.origin).soils and layer.main_soil.soils:
        return False
    return _seam(said, layer) is None


def _seam(said: Said, layer: Layer) -> Seam | None:
    """Return the seam that a thin bed of soil makes, None where the statement tells of another thing."""
    top_m, base_m = _length(said, layer)
    if not (said.own and said.statement.bounded and 0 < base_m - top_m < THICKEST_SEAM_M and is_bed_of_soil(said.words)):
        return None
    wet = True if "wet" in said.words.lower() or "saturated" in said.words.lower() else None
    return Seam(material=f"{said.words} at {top_m:.2f} m", thickness_m=round(base_m - top_m, 4), wet=wet)


def _cuts(layer: Layer, taken: WordsByDepth) -> list[float]:
    """Return the ends of the parts, no two of them nearer than the least part."""
    return _cuts_at(layer.top_m, layer.base_m, (_length(said, layer) for said in taken.said))


def _cuts_at(top_m: float, base_m: float, lengths: Iterable[tuple[float, float]]) -> list[float]:
    """Return the ends of lengths in a layer, its own included, no two of them nearer than the least part."""
    ends = [top_m]
    for depth in sorted(round(end, 3) for length in lengths for end in length):
        if depth - ends[-1] >= LEAST_PART_M and base_m - depth >= LEAST_PART_M:
            ends.append(depth)
    return [*ends, base_m]


def _part(layer: Layer, taken: WordsByDepth, holds: tuple[bool, ...]) -> dict[str, Any]:
    """Return what is other of one part than of its layer; ground of another class has none of the layer's symbol and tests."""
    words = taken.at(holds)
    update: dict[str, Any] = {"description": words, "log_words": layer.description}
    if not any(said.own for said, here in zip(taken.said, holds, strict=True) if here):
        return update
    rest = read_main_soil(taken.rest, layer.symbol, layer.origin)
    kind = read_main_soil(words)
    if kind.likely == rest.likely and kind.soils & rest.soils:
        return update
    origin = layer.origin if layer.origin != "unknown" else ORIGIN_OF_WORD.get(rest.origin, "unknown")
    bare = {
        "symbol": None,
        "origin": "unknown" if kind.origin != "unknown" else origin,
        "features": tuple(name for name in layer.features if name in _KEPT_OF_BED),
    }
    return _BLANK | bare | update


ORIGIN_OF_WORD: dict[str, Origin] = {origin: origin for origin in get_args(Origin)}
