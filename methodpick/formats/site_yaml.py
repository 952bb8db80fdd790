"""Borings and shafts as the text of a site file, ``methodpick: 1``, with comments for whoever goes on with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any, NamedTuple

from methodpick import units as unit_factors
from methodpick.ground.profile import Profile, Spt
from methodpick.ground.quantity import Band, Model, QuantityKind, quantity_of
from methodpick.ground.site import Shaft, Site, SiteConditions
from methodpick.patterns import pattern_of
from methodpick.terms import UnitSystem

_PLAIN = pattern_of(r"[A-Za-z][A-Za-z0-9_]*(?:-[A-Za-z0-9_]+)*")
_RESERVED = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n", "nan", "inf", "infinity"})
_LISTS = ("water", "remarks", "layers", "spt", "cores", "cone")
_LIST_NOTES = {
    "water": "a list without entries would say nothing: water not read is not a dry hole",
    "remarks": "what the driller saw, quoted; the tag says what it is evidence of",
    "layers": "top and base below the ground at the boring",
    "spt": "blows as counted; at refusal blows and penetration, never scaled",
    "cores": "recovery, solid recovery and RQD in percent",
    "cone": "resistance in MPa or tsf, friction and pore pressure (u2) in kPa or psf",
}
_DECIMALS = 6


def site_yaml(profiles: Sequence[Profile], shafts: Sequence[Shaft] = (), units: UnitSystem = "si", title: str = "") -> str:
    """Return a site file with these borings and shafts; reading it back gives the same borings.

    Depths and sizes are written in the units of the file, unrounded values with a unit of their own.

    >>> print(site_yaml([Profile(id="B-1", depth_m=3.048)], units="us"))
    methodpick: 1
    site:
      name: ""
      units: us   # bare lengths are ft, sizes in, stresses psf
    ...
    borings:
      - id: B-1
        depth: 10
    ...
    """
    conditions = SiteConditions(name=title, units=units)
    return whole_site_yaml(Site.model_construct(site=conditions, borings=tuple(profiles), shafts=tuple(shafts)), units)


def whole_site_yaml(site: Site, units: UnitSystem) -> str:
    """Return a whole site as the text of a site file; reading it back gives the same site."""
    profiles, shafts = site.borings, site.shafts
    others = [pair for pair in _entries(site.site, units) if pair[0] not in ("name", "units")]
    lines = [
        "methodpick: 1",
        "site:",
        f"  name: {quoted(site.site.name)}",
        f"  units: {units}   # {_UNIT_NOTES[units]}",
        *(f"  {word}: {value}" for word, value in others),
        *([] if others else ["  # what the site is like decides too: see 'methodpick new' for the other keys of 'site'"]),
        "borings:",
    ]
    for profile in profiles:
        lines += _boring(profile, units)
    lines += _shafts(shafts, profiles, units)
    for word, entries in (("assume", site.assume), ("stock", site.stock)):
        if entries:
            lines += [f"{word}:", *(f"  - {_flow(entry, units)}" for entry in entries)]
    for word, whole in (("rates", site.rates), ("pay", site.pay)):
        if whole is not None and (pairs := list(_entries(whole, units))):
            lines += [f"{word}:", *(f"  {key}: {value}" for key, value in pairs)]
    return "\n".join(lines) + "\n"


def _shafts(shafts: Sequence[Shaft], profiles: Sequence[Profile], units: UnitSystem) -> list[str]:
    """Return the lines of the shafts, or a comment that shows how one is written."""
    if shafts:
        return ["shafts:", *(f"  - {_flow(shaft, units)}" for shaft in shafts)]
    boring = profiles[0].id if profiles else "B-1"
    size, tip = ("1200", "20") if units == "si" else ("48", "65")
    example = f"#   - {{id: P1, boring: {quoted(boring)}, diameter: {size}, tip: {tip}}}"
    return ["# name the shafts and plan them:", "# shafts:", example]


_UNIT_NOTES: dict[UnitSystem, str] = {
    "si": "bare lengths are m, sizes mm, stresses kPa",
    "us": "bare lengths are ft, sizes in, stresses psf",
}


def _boring(profile: Profile, units: UnitSystem) -> Iterator[str]:
    mark = "  - "
    for word, value in _entries(profile, units):
        if word not in _LISTS:
            yield f"{mark}{word}: {value}"
            mark = "    "
    for word in _LISTS:
        entries = getattr(profile, word)
        if entries:
            yield f"    {word}:   # {_LIST_NOTES[word]}"
            yield from (f"      - {_flow(entry, units)}" for entry in entries)


def _flow(model: Model, units: UnitSystem) -> str:
    pairs = _test(model, units) if isinstance(model, Spt) else _entries(model, units)
    return "{" + ", ".join(f"{word}: {value}" for word, value in pairs) + "}"


def _test(test: Spt, units: UnitSystem) -> Iterator[tuple[str, str]]:
    """Write a penetration test; a refusal as 50/75mm where it reads back as it is."""
    for word, value in _entries(test, units):
        if word == "n" and test.penetration_m is not None and round(test.penetration_m, 4) == test.penetration_m:
            short = f"{test.n}/{_number(test.penetration_m * 1000)}mm"
            if test.text:
                yield "n", short
                continue
        if word == "penetration" and test.text and test.n is not None:
            continue
        if word == "text" and test.penetration_m is not None and test.text == f"{test.n}/{_mm(test)}mm":
            continue
        yield word, value


def _mm(test: Spt) -> str:
    return _number((test.penetration_m or 0.0) * 1000)


def _entries(model: Model, units: UnitSystem) -> Iterator[tuple[str, str]]:
    """Return the keys of a model that differ from what is taken without them, with their values as text."""
    for key in _keys_of(type(model)):
        value = getattr(model, key.attribute)
        if value is not None and (key.needed or value != key.default):
            yield key.word, _value(value, key.quantity, units)


class _Key(NamedTuple):
    """A key of the site file: the attribute that it fills, its word, its quantity, and what is taken without it."""

    attribute: str
    word: str
    quantity: QuantityKind | None
    needed: bool
    default: Any


@cache
def _keys_of(kind: type[Model]) -> tuple[_Key, ...]:
    """Return the keys of a kind of map."""
    return tuple(
        _Key(name, info.alias or name, quantity_of(info), info.is_required(), info.get_default(call_default_factory=True))
        for name, info in kind.model_fields.items()
    )


def _value(value: Any, quantity: QuantityKind | None, units: UnitSystem) -> str:
    if isinstance(value, Band):
        return _band(value, quantity, units)
    if isinstance(value, Model):
        return _flow(value, units)
    if isinstance(value, dict):
        return "{" + ", ".join(f"{quoted(str(word))}: {_value(item, None, units)}" for word, item in value.items()) + "}"
    if isinstance(value, (tuple, list)):
        return "[" + ", ".join(_value(item, quantity, units) for item in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return _measure(float(value), quantity, units) if quantity else _number(value)
    return quoted(str(value))


def _band(band: Band, quantity: QuantityKind | None, units: UnitSystem) -> str:
    low, high = (_value(end, quantity, units) for end in (band.low, band.high))
    if band.likely is None:
        return f"[{low}, {high}]"
    if band.low == band.high == band.likely:
        return low
    return f"{{low: {low}, likely: {_value(band.likely, quantity, units)}, high: {high}}}"


def _measure(value: float, quantity: QuantityKind, units: UnitSystem) -> str:
    """Write a number in the file's unit, or with the unit kept inside where that one would not read back."""
    unit = quantity.us if units == "us" else quantity.si
    size = unit_factors.restore(value, unit, quantity.inside)
    snap = {"length": 3, "size": 4}.get(quantity.name)
    for decimals in range(_DECIMALS + 1):
        back = unit_factors.convert(round(size, decimals), unit, quantity.inside)
        if (back if snap is None else round(back, snap)) == value:
            return _number(round(size, decimals))
    return f"{repr(value).removesuffix('.0')} {quantity.inside}"


def _number(value: float) -> str:
    """Write a number as short as it can be read back.

    >>> _number(3.0), _number(0.1 + 0.2), _number(1.5e-09)
    ('3', '0.3', '1.5e-09')
    """
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    short = round(value, _DECIMALS + 3)
    return repr(short if short and "e" not in repr(short) else value)


def quoted(text: str) -> str:
    r"""Write a text so that YAML reads it back: bare where it is a plain word, else in double quotes.

    >>> quoted("alluvial"), quoted("no"), quoted('50/3"')
    ('alluvial', '"no"', '"50/3\\""')
    """
    if _PLAIN.fullmatch(text) and text.lower() not in _RESERVED:
        return text
    if text.isprintable() and '"' not in text and "\\" not in text:
        return f'"{text}"'
    return '"' + "".join(_escaped(letter) for letter in text) + '"'


def _escaped(letter: str) -> str:
    if letter in '"\\':
        return "\\" + letter
    if letter.isprintable() and ord(letter) != 0xFEFF:
        return letter
    code = ord(letter)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
