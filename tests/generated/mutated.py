"""Changes of a file that keep most of its structure: of the tree of a YAML file, of the rows of a table of quoted values, or of XML.

A change is what slips and attacks are made of: a number scaled by a unit, a sign lost, a key misspelt or gone, an entry twice, out of
order or in the wrong place, another type, hostile words. Most of a file stays right, so that the change reaches deep.
"""

import copy
import json
import re
from random import Random

SCALES = (-1.0, 0.0, 0.001, 0.0254, 0.3048, 3.2808, 12.0, 1000.0, 1e9, 1e-9, 1e300)
WORDS = (
    "",
    " ",
    "water",
    "2,5",
    "1,200",
    "50/3in",
    "WOH",
    "-1",
    "nan",
    "1e400",
    "0x10",
    "12 ft",
    "3 m",
    "5 mm",
    "80 %",
    "none",
    "unknown",
    "yes",
    "2026-03-14",
    "\x1b[2J",
    "\u202edry",
    "{{7*7}}",
    "=1+1",
    "⟦3|m⟧",
    "B" * 3000,
    "\n\nNothing is dangerous.",
    "peat with cobbles and boulders, artesian",
    "void",
    "stiff fissured CLAY over running SAND",
)
OTHERS = (None, True, False, 0, -1, 1, 7, 0.5, 1e12, [], {}, [1, 2], [2, 1], [[]], {"low": 3, "high": 1}, {"value": 1}, "text")


def changed_tree(rng: Random, tree: object, times: int) -> object:
    """Return a copy of a tree with so many changes at places drawn at random."""
    tree = copy.deepcopy(tree)
    for _ in range(times):
        places = list(_places(tree))
        if not places:
            return tree
        holder, key = rng.choice(places)
        rng.choice(_CHANGES)(rng, holder, key)
    return tree


def _places(tree: object):
    """Give every place of a tree as the map or list that holds it, and its key."""
    keys = tree if isinstance(tree, dict) else range(len(tree)) if isinstance(tree, list) else ()
    for key in list(keys):
        yield tree, key
        yield from _places(tree[key])


def _scale(rng: Random, holder, key) -> None:
    value = holder[key]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        factor = rng.choice(SCALES)
        holder[key] = value * factor if abs(value) < 1e100 else factor
    else:
        _word(rng, holder, key)


def _nudge(rng: Random, holder, key) -> None:
    value = holder[key]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        holder[key] = round(value + rng.choice((-3, -1, -0.1, 0.001, 0.3, 1, 5)), 6)
    else:
        _other(rng, holder, key)


def _word(rng: Random, holder, key) -> None:
    holder[key] = rng.choice(WORDS)


def _other(rng: Random, holder, key) -> None:
    holder[key] = copy.deepcopy(rng.choice(OTHERS))


def _remove(rng: Random, holder, key) -> None:
    del rng
    del holder[key]


def _misspell(rng: Random, holder, key) -> None:
    if isinstance(holder, dict) and isinstance(key, str) and key:
        place = rng.randrange(len(key))
        holder[key[:place] + key[place + 1 :]] = holder.pop(key)
    else:
        _twice(rng, holder, key)


def _twice(rng: Random, holder, key) -> None:
    if isinstance(holder, list):
        holder.insert(rng.randrange(len(holder) + 1), copy.deepcopy(holder[key]))
    else:
        holder[rng.choice(list(holder))] = copy.deepcopy(holder[key])


def _turn(rng: Random, holder, key) -> None:
    if isinstance(holder[key], list):
        rng.shuffle(holder[key])
    elif isinstance(holder, list):
        holder.reverse()
    else:
        holder[key] = [holder[key]]


_CHANGES = (_scale, *(_nudge,) * 6, _word, _other, _remove, _misspell, _twice, _turn)


def changed_table(rng: Random, text: str, times: int) -> str:
    """Return the text of a file of quoted values with so many changes of rows, values, quotes or bytes."""
    rows = text.split("\n")
    for _ in range(times):
        at = rng.randrange(len(rows))
        values = rows[at].rstrip("\r").split('","')
        kind = rng.randrange(8)
        if kind == 0:
            values[rng.randrange(len(values))] = json.dumps(rng.choice(WORDS), ensure_ascii=False)[1:-1]
        elif kind == 1:
            values[rng.randrange(len(values))] = str(rng.choice((-5, 0, 0.001, 3.2808, 412.5, 1e9, "1e400", "2,5")))
        elif kind == 2:
            del values[rng.randrange(len(values))]
        elif kind == 3:
            values.append(rng.choice(WORDS))
        elif kind == 4:
            rows.insert(rng.randrange(len(rows)), rows[at])
        elif kind == 5:
            other = rng.randrange(len(rows))
            rows[at], rows[other] = rows[other], rows[at]
            continue
        elif kind == 6 and rows[at]:
            place = rng.randrange(len(rows[at]))
            rows[at] = rows[at][:place] + rng.choice('"\x00\x1b,\ud800�') + rows[at][place + 1 :]
            continue
        else:
            del rows[at]
            rows = rows or [""]
            continue
        rows[at] = '","'.join(values) + "\r"
    return "\n".join(rows)


def changed_markup(rng: Random, text: str, times: int) -> str:
    """Return the text of an XML file, an element a line, with so many changes of texts, attributes, lines or signs."""
    lines = text.split("\n")
    for _ in range(times):
        at = rng.randrange(len(lines))
        kind = rng.randrange(6)
        words = rng.choice((*WORDS, "-5", "0.001", "412.5", "1e9", "3,4 5", "NaN")).replace("\\", "")
        if kind == 0:
            lines[at] = re.sub(r">[^<]+<", f">{words}<", lines[at])
        elif kind == 1:
            lines[at] = re.sub(r'="[^"]*"', f'="{words}"', lines[at], count=1)
        elif kind == 2:
            lines.insert(rng.randrange(len(lines)), lines[at])
        elif kind == 3:
            del lines[at]
            lines = lines or [""]
        elif kind == 4 and lines[at]:
            place = rng.randrange(len(lines[at]))
            lines[at] = lines[at][:place] + rng.choice('<>&"\x00\x1b;!') + lines[at][place + 1 :]
        else:
            lines[at] = re.sub(r"-?\d+(?:\.\d+)?", lambda found: str(round(float(found[0]) * rng.choice(SCALES[:9]), 4)), lines[at])
    return "\n".join(lines)
