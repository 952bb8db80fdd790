"""Make a counterexample small: ``python tests/generated/minimise.py RELATION SEED NUMBER`` prints it as a file of counterexamples.

A site that violates a relation is made smaller as long as it violates it in the same way: keys, layers, tests and readings are left
out one by one, then numbers are rounded.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from copy import deepcopy
from random import Random

from judgements import Found
from relations import RELATIONS, Relation, Tree
from sites import numbered_site, text_of

from methodpick.errors import InputError

KEPT = {"methodpick", "borings", "shafts", "site", "id", "top", "base", "diameter", "tip", "reading", "layers", "units", "n"}
"""Keys that a site cannot do without."""
INDEXED = {"reading": ("water", "readings"), "test": ("spt",), "layer": ("layers",), "number": ("remarks",)}

Case = tuple[Tree, dict]


def minimised(relation: Relation, tree: Tree, particulars: dict) -> Case:
    """Give a small site and the particulars of the change with which it violates the relation in the same way as the given one."""
    wanted = way(relation.violations(tree, particulars))
    case, smaller = (tree, particulars), True
    while smaller:
        smaller = False
        for candidate in _smaller(*case):
            if way(_tried(relation, candidate)) == wanted:
                case, smaller = candidate, True
                break
    return case


def way(found: Found) -> str:
    """Give what kind of violation is found first: the words without their numbers."""
    return " ".join(word for word in found[0].split(" and ")[0].split() if not any(letter.isdigit() for letter in word)) if found else ""


def _tried(relation: Relation, case: Case) -> Found:
    try:
        return relation.violations(*case)
    except (InputError, IndexError, KeyError):
        return []


def _smaller(tree: Tree, particulars: dict) -> Iterator[Case]:
    """Give the site with one thing less, the large ones first."""
    boring = tree["borings"][0]
    yield from _bare(tree, particulars)
    for key in ("layers", "spt", "cores", "remarks", "water"):
        for index in reversed(range(len(boring.get(key, ())))):
            shifted = _shifted(particulars, key, index)
            if shifted is not None and (key != "layers" or len(boring[key]) > 1):
                yield _without(tree, key, index), shifted
    for place in (
        tree,
        tree["site"],
        boring,
        tree["shafts"][0],
        *(one for key in ("layers", "water", "spt", "cores") for one in boring.get(key, ())),
    ):
        for key in [key for key in place if key not in KEPT]:
            copy, value = deepcopy(tree), place[key]
            del _twin(copy, tree, place)[key]
            yield copy, particulars
            if isinstance(value, (list, dict)) and len(value) > 1 and key in ("features", "absent", "equipment", "allowed"):
                for inner in list(value) if isinstance(value, dict) else range(len(value)):
                    copy = deepcopy(tree)
                    del _twin(copy, tree, place)[key][inner]
                    yield copy, particulars
    yield from _rounder(tree, particulars)


def _bare(tree: Tree, particulars: dict) -> Iterator[Case]:
    """Give the tree without everything that a part of it can do without, all parts at once, then one part at a time."""
    parts = (lambda t: [t], lambda t: [t["site"]], lambda t: t["shafts"], lambda t: t["borings"], lambda t: t["borings"][0]["layers"])
    for chosen in (parts, *((part,) for part in parts)):
        copy = deepcopy(tree)
        for place in (one for part in chosen for one in part(copy)):
            for key in place.keys() - KEPT - {"water", "symbol"}:
                del place[key]
        if copy != tree:
            yield copy, particulars


def _without(tree: Tree, key: str, index: int) -> Tree:
    """Give the tree without an entry of the boring; a neighbour takes the depths of a layer that is left out."""
    copy = deepcopy(tree)
    entries = copy["borings"][0][key]
    if key == "layers":
        if index:
            entries[index - 1]["base"] = entries[index]["base"]
        else:
            entries[1]["top"] = entries[0]["top"]
    del entries[index]
    if not entries:
        del copy["borings"][0][key]
    return copy


def _shifted(particulars: dict, key: str, index: int) -> dict | None:
    """Give the particulars with their number moved up where an entry before it goes; None where it is the entry itself."""
    name = next((name for name, keys in INDEXED.items() if key in keys and name in particulars), None)
    if key == "remarks" and particulars.get("kind") != "remarks":
        name = None
    if key == "layers" and particulars.get("kind") in ("features", "seams"):
        name = "number"
    if name is None or particulars[name] < index:
        return particulars
    return None if particulars[name] == index else particulars | {name: particulars[name] - 1}


def _twin(copy: object, tree: object, place: object) -> dict:
    """Find in a copy what stands where a part stands in its original."""
    if tree is place:
        return copy
    pairs = (
        zip(copy.values(), tree.values(), strict=True)
        if isinstance(tree, dict)
        else zip(copy, tree, strict=True)
        if isinstance(tree, list)
        else ()
    )
    return next(
        (found for one, other in pairs if isinstance(other, (dict, list)) and (found := _twin(one, other, place)) is not None), None
    )


def _rounder(tree: Tree, particulars: dict) -> Iterator[Case]:
    """Give the tree with one number rounded further, wherever it stands."""
    for value in sorted(set(_numbers(tree)) - {round(one) for one in _numbers(tree)}, key=str):
        for digits in (0, 1, 2):
            short = round(value, digits)
            if short != value and short > 0:
                yield _replaced(tree, value, short), _replaced(particulars, value, short)
                break


def _numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for inner in value:
            yield from _numbers(inner)
    elif isinstance(value, float):
        yield value


def _replaced(value: object, old: float, new: float) -> object:
    if isinstance(value, dict):
        return {key: _replaced(inner, old, new) for key, inner in value.items()}
    if isinstance(value, list):
        return [_replaced(inner, old, new) for inner in value]
    return new if isinstance(value, float) and value == old else value


def written(relation: Relation, tree: Tree, particulars: dict) -> str:
    """Write a counterexample: the relation, the change, the site, and what was found when it was written."""
    found = relation.violations(tree, particulars)
    lines = [f"# {line}" for line in found[:3]]
    return "\n".join([*lines, text_of({"relation": relation.name, "change": particulars, "site": tree})])


def drawn(relation: Relation, seed: int, number: int) -> tuple[Tree, dict | None]:
    """Give the site of a number in the series of a seed, with the particulars of a change, or None where it does not apply."""
    tree = numbered_site(seed, number, 1, relation.detail).tree
    return tree, relation.draw(Random(f"{relation.name}/{seed}/{number}"), tree)  # noqa: S311 (no secret)


def main() -> None:
    """Make the counterexample of a relation that a number in the series of a seed is."""
    name, seed, number = sys.argv[1:]
    tree, particulars = drawn(RELATIONS[name], int(seed), int(number))
    if particulars is None or not RELATIONS[name].violations(tree, particulars):
        sys.exit("no violation")
    print(written(RELATIONS[name], *minimised(RELATIONS[name], tree, particulars)))


if __name__ == "__main__":
    main()
