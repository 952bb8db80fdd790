"""Time general rule engines beside our own on the same forty rules: python tests/peers/bench.py

Prints a table for DEVELOPERS.md. The engines take turns round by round, so that all meet the same moods of the machine; of a
place the shortest of all rounds counts, of an engine the median and the 95th percentile of the places. Engines that are
not installed are left out: pip install -e '.[peers]'
"""

import gc
from statistics import median, quantiles
from time import perf_counter

from engines import PEERS, Bare, Ours, Twofold
from forty import facts_used, forty_rules, plain_places, wide_places

from methodpick import __version__
from methodpick.engine.load import load_rulebook
from methodpick.resources import folder

PLACES, ROUNDS, IN_A_ROW = 100, 15, 5


def installed(rules, catalogue):
    """Give the engines that are there, those that are not by name."""
    made, absent = [], []
    for kind in (*PEERS, Bare):
        try:
            made.append(kind(rules, catalogue))
        except ImportError:
            absent.append(kind.package)
    return made, absent


def once(engine, place):
    """Give the seconds of one decision, the mean of a few in a row."""
    start = perf_counter()
    for _ in range(IN_A_ROW):
        engine.fired(place)
    return (perf_counter() - start) / IN_A_ROW


def built(engine, rules, catalogue, places):
    """Give the shortest seconds of five builds, each with a first look at every place: some work is put off until then."""
    times = []
    for _ in range(5):
        start = perf_counter()
        new = type(engine)(rules, catalogue)
        for place in places:
            new.fired(place)
        times.append(perf_counter() - start)
    return min(times)


def timed(engines, places):
    """Give for every engine the shortest seconds of every place."""
    best = {engine.name: [float("inf")] * len(places[engine.name]) for engine in engines}
    gc.disable()
    for _ in range(ROUNDS):
        for engine in engines:
            engine.start()
            times = best[engine.name]
            for index, place in enumerate(places[engine.name]):
                times[index] = min(times[index], once(engine, place))
        gc.collect()
    gc.enable()
    return best


def main():
    book = load_rulebook(folder("rules"))
    rules, catalogue = forty_rules(book), book.catalogue
    names = facts_used(rules)
    ours, twofold = Ours(rules, catalogue), Twofold(rules, catalogue)
    ours.version = twofold.version = __version__
    others, absent = installed(rules, catalogue)
    engines = (ours, twofold, *others)
    plain, wide = plain_places(book, names, PLACES), wide_places(book, names, PLACES)
    places = {engine.name: wide if engine is twofold else plain for engine in engines}
    best = timed(engines, places)
    unit = median(best[ours.name])
    print(f"{len(rules)} rules, {len(names)} facts, {PLACES} places, shortest of {ROUNDS} rounds\n")
    print("| engine | version | build and first 100, ms | us a place, median | p95 | times ours on points | times ours twice on sets |")
    print("|---|---|---:|---:|---:|---:|---:|")
    for engine in engines:
        times = best[engine.name]
        middle, build = median(times), built(engine, rules, catalogue, places[engine.name])
        print(
            f"| {engine.name} | {engine.version} | {build * 1e3:.1f} | {middle * 1e6:.1f} | "
            f"{quantiles(times, n=20)[-1] * 1e6:.1f} | {middle / unit:.1f} | {middle / median(best[twofold.name]):.1f} |"
        )
    for package in sorted(set(absent)):
        print(f"\nnot installed: {package}")


if __name__ == "__main__":
    main()
