"""Count the methods of generated sites by ground and water: ``python tests/generated/distribution.py [COUNT] [--seed N]``.

The expected way of the first shaft of each site is searched; no page, other way or takeoff is made, so that 400 sites take well under a
minute. Printed is a table in Markdown: a row for each ground and each kind of water knowledge, a column for each method.
"""

from __future__ import annotations

import argparse
from collections import Counter

from sites import numbered_site

from methodpick.engine.load import load_rulebook
from methodpick.errors import InputError
from methodpick.imports.site_file import read_site
from methodpick.resources import folder
from methodpick.why.flips import shaft_question

METHODS = ("dry", "slurry", "temporary_casing", "permanent_casing", "combination", "undecided")
SEED = 12


def methods(count: int, seed: int) -> dict[tuple[str, str], Counter[str]]:
    """Return the counts of the methods by ground and water."""
    book = load_rulebook(folder("rules"))
    found: dict[tuple[str, str], Counter[str]] = {}
    for number in range(count):
        made = numbered_site(seed, number)
        try:
            site = read_site(made.text, f"{seed}/{number}")[0]
        except InputError:
            continue
        question = shaft_question(site, book, site.shafts[0].id)
        context = question.context(question.site)
        path = context.best()
        method = "undecided" if path is None else context.method_of(path)
        found.setdefault((made.ground, made.water), Counter())[method] += 1
    return found


def table(found: dict[tuple[str, str], Counter[str]]) -> str:
    """Write the counts as a table, the sums of each ground first."""
    heads = [method.replace("_", " ") for method in METHODS]
    lines = [f"| ground | water | {' | '.join(heads)} |", "|---|---|" + "---:|" * len(heads)]
    for ground in sorted({ground for ground, _ in found}):
        waters = sorted(water for other, water in found if other == ground)
        total = sum((found[ground, water] for water in waters), Counter[str]())
        lines.append(_row(ground, "all", total))
        lines += [_row("", water, found[ground, water]) for water in waters if len(waters) > 1]
    return "\n".join(lines)


def _row(ground: str, water: str, counts: Counter[str]) -> str:
    return f"| {ground} | {water} | {' | '.join(str(counts[method] or '') for method in METHODS)} |"


def main() -> None:
    """Run from the command line."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("count", nargs="?", type=int, default=400)
    asked.add_argument("--seed", type=int, default=SEED)
    options = asked.parse_args()
    print(table(methods(options.count, options.seed)))


if __name__ == "__main__":
    main()
