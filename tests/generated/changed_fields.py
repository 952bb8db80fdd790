"""Change every number, word and answer of a written plan, one at a time, and tell which changes ``verify`` does not notice.

``python tests/generated/changed_fields.py [PROFILE ...] [--most N] [--json FILE]`` prints, for each field (the places of a list are one
field), how many of its changes were tried and how many were accepted. ``--most`` bounds the changes tried of each field.
"""

from __future__ import annotations

import argparse
import copy
import json
import re
import sys
from collections import Counter
from collections.abc import Iterator
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from methodpick.engine.load import load_rulebook
from methodpick.errors import InputError, RuleError
from methodpick.formats.json import plan_json
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder
from methodpick.review import verify as verifying
from methodpick.review.verify import verify

Path_ = tuple[str | int, ...]
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
METHOD_WORDS = {
    "dry": "wet",
    "polymer fluid": "mineral slurry",
    "mineral slurry": "polymer fluid",
    "plain water": "polymer fluid",
    "temporary": "permanent",
    "permanent": "temporary",
    "stays": "is pulled",
    "tremie": "free fall",
    "drop pipe": "tremie",
    "Bail": "Fill",
    "Drill": "Core",
    "drill": "core",
    "Core": "Drill",
    "Set": "Vibrate",
    "Advance": "Set",
    "advance": "set",
    "above": "below",
    "below": "above",
    "twisting": "driving",
    "oscillating": "twisting",
    "rotating": "twisting",
    "vibrating": "driving",
    "driving": "vibrating",
    "vibration": "driving",
    "seal": "leave",
    "Pull": "Leave",
    "pull": "leave",
    "raise": "lower",
    "Fill": "Bail",
    "starter": "liner",
    "plug": "gap",
    "ahead": "behind",
    "inside": "outside",
    "base": "top",
    "casing": "hole",
    "tool": "bucket",
    "core barrel": "tool",
    "cage": "casing",
    "concrete": "grout",
}
"""Words of a method, and others that make another of it."""


def leaves(tree: Any, path: Path_ = ()) -> Iterator[tuple[Path_, Any]]:
    """Give every number, word and answer of a tree with its path; what is not known (null) is left out."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from leaves(value, (*path, key))
    elif isinstance(tree, list):
        for index, value in enumerate(tree):
            yield from leaves(value, (*path, index))
    elif tree is not None:
        yield path, tree


def field_of(path: Path_) -> str:
    """Return the field of a path: the places of a list are one."""
    return ".".join("*" if isinstance(part, int) else part for part in path)


def changes_of(value: Any, seen: set[Any]) -> Iterator[Any]:
    """Give what else a leaf could say; ``seen`` are all values of its field."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int):
        yield value + 1
    elif isinstance(value, float):
        yield round(value + max(0.06 * abs(value), 0.07), 6)
    elif " " in value or not seen - {value}:
        yield from _other_words(value)
    else:
        yield min(seen - {value})


def _other_words(text: str) -> Iterator[str]:
    """Give a text with each of its numbers and each of its method words changed, and one that says the contrary."""
    for found in NUMBER.finditer(text):
        first = found[0][0]
        yield text[: found.start()] + str((int(first) + 1) % 10 or 1) + text[found.start() + 1 :]
    for word, other in METHOD_WORDS.items():
        for found in re.finditer(rf"\b{word}\b", text):
            yield text[: found.start()] + other + text[found.end() :]
    yield f"not {text}"


def changed(tree: Any, path: Path_, value: Any) -> Any:
    """Return a tree with another value at a path; what lies beside the path is shared."""
    made = copy.copy(tree)
    made[path[0]] = changed(tree[path[0]], path[1:], value) if len(path) > 1 else value
    return made


@cache
def rulebook() -> Any:
    """Return the rulebook."""
    return load_rulebook(folder("rules"))


@lru_cache(maxsize=4)
def written(profile: str) -> Any:
    """Return the written plan of a profile."""
    site, digest = read_site((folder("profiles") / f"{profile}.yaml").read_text(encoding="utf-8"), f"{profile}.yaml")
    return json.loads(plan_json(plan(site, rulebook(), path=f"{profile}.yaml", digest=digest)))


def keep_the_ground(patch: Any = setattr) -> None:
    """Let the verifier derive equal grounds once: the changes of one plan share theirs."""
    kept: dict[Any, Any] = {}
    anew = verifying.ground_anew

    def ground_anew(basis: Any, shaft: Any, levels: Any, cuts_m: Any, drawdown: Any = None) -> Any:
        key = basis.site.model_dump_json(), len(basis.assumptions), shaft.id, shaft.boring, repr(levels), tuple(cuts_m), repr(drawdown)
        if key not in kept:
            kept[key] = anew(basis, shaft, levels, cuts_m, drawdown)
        return kept[key]

    patch(verifying, "ground_anew", ground_anew)


def is_noticed(tree: Any) -> bool:
    """Return whether a plan is found to contradict itself, or refused; a traceback is no answer."""
    try:
        return bool(verify(tree, rulebook()))
    except (InputError, RuleError):
        return True
    except Exception:  # noqa: BLE001 (a plan that is wrong must not end in a traceback: it counts as not noticed)
        return False


def accepted(
    tree: Any, most: int | None = None, within: tuple[str, ...] = ("",), step: int = 1
) -> tuple[Counter[str], dict[str, list[tuple[Any, Any]]]]:
    """Return by field how many changes were tried, and those that nobody noticed; of fields that begin with one of ``within``.

    One that begins with "=" is the whole name. Of each field one in ``step`` changes is tried, ``most`` at most, spread over its places.
    """
    places: dict[str, list[tuple[Path_, Any]]] = {}
    for path, value in leaves(tree):
        places.setdefault(field_of(path), []).append((path, value))
    tried: Counter[str] = Counter()
    found: dict[str, list[tuple[Any, Any]]] = {}
    for name, each in places.items():
        if not name.startswith(within) and f"={name}" not in within:
            continue
        seen = {value for _, value in each if isinstance(value, str)}
        every = [(path, value, other) for path, value in each for other in changes_of(value, seen)]
        apart = step if most is None else max(1, len(every) // most)
        for path, value, other in every[::apart][:most]:
            tried[name] += 1
            if not is_noticed(changed(tree, path, other)):
                found.setdefault(name, []).append((value, other))
    return tried, found


def main() -> None:
    """Print what nobody notices."""
    asked = argparse.ArgumentParser(description="Change every field of a written plan and tell what verify does not notice.")
    asked.add_argument("profiles", nargs="*", default=["caving-lens", "karst", "river-crossing"])
    asked.add_argument("--most", type=int, help="changes tried of each field")
    asked.add_argument("--within", nargs="*", default=[""], help="the beginnings of the fields that are tried")
    asked.add_argument("--json", type=Path)
    options = asked.parse_args()
    keep_the_ground()
    every = {}
    for profile in options.profiles:
        tried, found = accepted(written(profile), options.most, tuple(options.within))
        print(f"# {profile}: {tried.total()} changes of {len(tried)} fields, {sum(map(len, found.values()))} of {len(found)} not noticed")
        for name, each in found.items():
            print(f"{name}: {len(each)} of {tried[name]}; {str(each[0][0])[:60]!r} -> {str(each[0][1])[:60]!r}")
        every[profile] = {name: [tried[name], each] for name, each in found.items()}
    if options.json:
        options.json.write_text(json.dumps(every, indent=0), encoding="utf-8")


if __name__ == "__main__":
    main()
