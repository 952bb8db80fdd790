"""Other words of the trade for keys and values of a site file, for the hint of a message; a site file itself has one word for each."""

from __future__ import annotations

from methodpick.imports.table_columns import column_named, sheets
from methodpick.strict_yaml import KeyPath

_OF_VALUES: dict[str, dict[str, str]] = {
    "units": {"metric": "si", "m": "si", "imperial": "us", "english": "us", "customary": "us", "ft": "us"},
    "reading": {
        "static": "settled",
        "standing": "settled",
        "stabilized": "settled",
        "stabilised": "settled",
        "24h": "settled",
        "strike": "while_drilling",
        "struck": "while_drilling",
        "encountered": "while_drilling",
        "first_encountered": "while_drilling",
        "atd": "while_drilling",
        "at_time_of_drilling": "while_drilling",
        "during_drilling": "while_drilling",
        "completion": "end_of_drilling",
        "at_completion": "end_of_drilling",
        "eod": "end_of_drilling",
        "dry": "none_met",
        "none": "none_met",
        "not_encountered": "none_met",
        "artesian": "confined",
        "standpipe": "piezometer",
        "well": "piezometer",
    },
    "technique": {
        "hsa": "hollow_stem_auger",
        "cfa": "solid_auger",
        "ssa": "solid_auger",
        "cp": "cable_percussion",
        "shell_and_auger": "cable_percussion",
        "rotary_wash": "mud_rotary",
        "wash_boring": "wash",
        "diamond_core": "core",
    },
}
"""By key: the word of a site file for what people write; common practice, no source."""


def hint_for_key(path: KeyPath, keys: object) -> str:
    """Return the hint for an unknown key that is another word for a known one, empty where it is none.

    >>> hint_for_key(("borings", 0, "layers", 2, "bottom"), {"top": 0, "base": 0}), hint_for_key(("shafts", 0, "colour"), {"tip": 0})
    ("write 'base' for 'bottom'", '')
    """
    word = str(path[-1])
    known = keys if isinstance(keys, dict) else {}
    name, equals, value = word.partition("=")
    if equals and name.strip().lower() in known and value.strip():
        return f"write '{name.strip().lower()}: {value.strip()}'"
    if word.lower() == "thickness" and "base" in known:
        return "write 'base', the depth of the bottom of the layer, for its thickness"
    sheet = sheets().get(str(path[-3])) if len(path) > 2 else None
    column = column_named(sheet, word) if sheet is not None else None
    if column is None or len(column.path) != 1 or column.path[0] not in known:
        return ""
    return f"write '{column.name}' for '{word}'"


def hint_for_value(key: str, value: object) -> str:
    """Return the hint for a value that is another word for a known one, empty where it is none.

    >>> hint_for_value("reading", "Static"), hint_for_value("units", "metric"), hint_for_value("units", "cubits")
    ("write 'settled' for 'Static'", "write 'si' for 'metric'", '')
    """
    plain = str(value).strip().casefold().replace(" ", "_").replace("-", "_")
    meant = _OF_VALUES.get(key, {}).get(plain)
    return f"write '{meant}' for '{value}'" if meant else ""
