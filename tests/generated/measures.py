"""What a survey keeps of a plan, and what it says of all of them and against an earlier survey."""

import hashlib
import json
from collections import Counter
from collections.abc import Iterable

from compare import plain

FALLBACK = ("unknown", "unlikely", "ruled_out")
"""Verdicts of states that are used only for want of a better one."""
ORDER = ("allowed", "discouraged", "doubtful", "unknown", "unlikely", "ruled_out")
OTHER_EACH_TIME = ("ground",)
"""Parts of a shaft's plan that only repeat the input."""

Record = dict


def measured(shaft: object) -> Record:
    """Give what a survey keeps of the plan of a shaft."""
    lengths: Counter[str] = Counter()
    standing: Counter[str] = Counter()
    confidence: Counter[str] = Counter()
    placement = None if shaft.placement is None else shaft.placement.state
    way = [shaft.method, placement]
    for one in shaft.intervals:
        length = round(one.base_m - one.top_m, 6)
        lengths[one.support] += length
        confidence[one.confidence] += length
        standing[worst_verdict(one)] += length
        way.append([round(one.top_m, 2), round(one.base_m, 2), one.support, one.fluid, one.drilled_in, list(one.later_in)])
    way += [[casing.kind, round(casing.outside_diameter_m, 3), round(casing.base_m, 2)] for casing in shaft.casings]
    whole = {name: value for name, value in plain(shaft).items() if name not in OTHER_EACH_TIME}
    return {
        "method": shaft.method,
        "placement": placement,
        "supports_m": dict(lengths),
        "confidence_m": dict(confidence),
        "verdicts_m": dict(standing),
        "undecided": all(one.support == "undecided" for one in shaft.intervals),
        "way": way,
        "plan": hashlib.sha256(json.dumps(_short(whole), default=str).encode()).hexdigest()[:16],
    }


def worst_verdict(interval: object) -> str:
    """Give the worst verdict among the states that a length is drilled in and stands in afterwards."""
    states = [state for state in (interval.drilled_in, interval.fluid, *interval.later_in) if state]
    return max((interval.verdicts[state].state for state in states), key=ORDER.index, default="undecided")


def _short(value: object) -> object:
    if isinstance(value, dict):
        return {key: _short(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_short(inner) for inner in value]
    return round(value, 6) if isinstance(value, float) else value


# ---- tables


def summary(records: list[Record]) -> str:
    """Write the counts of a survey."""
    planned = [one for one in records if one["result"] == "planned"]
    parts = [_results(records), _shares(planned), _undecided(planned), _by(planned, "ground"), _by(planned, "water"), _times(planned)]
    return "\n\n".join(part for part in parts if part)


def _results(records: list[Record]) -> str:
    lines = ["## Results"]
    for name, chosen in _groups(records, "series"):
        counts = Counter(one["result"] for one in chosen)
        lines.append(f"{name}: {len(chosen)} shafts, " + ", ".join(f"{counts[word]} {word}" for word in sorted(counts)))
    for word in ("refused", "exception"):
        reasons: dict[str, list[str]] = {}
        for one in records:
            if one["result"] == word:
                reasons.setdefault(one["reason"], []).append(one["id"])
        lines += [f"- {word}, {len(ids)}: {reason} ({', '.join(ids[:3])})" for reason, ids in sorted(reasons.items())]
    found = [one for one in records if one.get("contradictions")]
    if any("contradictions" in one for one in records):
        lines.append(f"verified: {len(found)} plans with contradictions")
        lines += [f"- {one['id']}: {text}" for one in found[:50] for text in one["contradictions"][:3]]
    return "\n".join(lines)


def _shares(planned: list[Record]) -> str:
    lines = ["## Shares of length"]
    for name, chosen in [*_groups(planned, "series"), ("all", planned)]:
        total = sum(sum(one["supports_m"].values()) for one in chosen) or 1.0
        keys = ("supports_m", "confidence_m", "verdicts_m")
        lines += [f"{name}, {key.removesuffix('_m')}: {_percents(_added(chosen, key), total)}" for key in keys]
        lines.append(f"{name}: {100 * fallback_share(chosen):.2f} % of the length stands on a fallback state, of {total:.0f} m")
    return "\n".join(lines)


def fallback_share(planned: list[Record]) -> float:
    """Give the share of the length that is drilled in or stands in a state that no rule lets stand firmly, or in none."""
    found = _added(planned, "verdicts_m")
    return sum(found[word] for word in (*FALLBACK, "undecided")) / (sum(found.values()) or 1.0)


def _undecided(planned: list[Record]) -> str:
    lines = ["## Wholly undecided shafts"]
    for name, chosen in [*_groups(planned, "series"), ("all", planned)]:
        reached = [one for one in chosen if one["log_reaches_tip"]]
        open_, here = sum(one["undecided"] for one in chosen), sum(one["undecided"] for one in reached)
        lines.append(
            f"{name}: {open_} of {len(chosen)}; where the log reaches the tip {here} of {len(reached)} ({_percent(here, len(reached))})"
        )
        lines += [f"{name}: {line}" for line in _excluded(reached)]
        lines.append(f"{name}: {sum(not one.get('proven', True) for one in chosen)} of {len(chosen)} not proven, and say so")
    return "\n".join(lines)


def _excluded(reached: list[Record]) -> list[str]:
    """Say how many of the undecided shafts the lines of their site file leave no way, and how many are left beside."""
    excluded = [one["excluded_by"] for one in reached if one["undecided"] and one.get("excluded_by")]
    if not excluded:
        return []
    lines = Counter(words.partition(":")[0].partition(",")[0] for one in excluded for words in one)
    left = sum(one["undecided"] for one in reached) - len(excluded)
    named = ", ".join(f"{words} {count}" for words, count in lines.most_common())
    return [f"{len(excluded)} of them excluded by their own site file ({named}); {left} left ({_percent(left, len(reached))})"]


def _by(planned: list[Record], key: str) -> str:
    chosen = [one for one in planned if one["series"] == "generated"]
    words = sorted({one["method"] for one in chosen})
    lines = [f"## Method by {key}, generated sites", f"| {key} | " + " | ".join(words) + " | fallback % |", "|---" * (len(words) + 2) + "|"]
    for name, some in _groups(chosen, key):
        counts = Counter(one["method"] for one in some)
        lines.append(f"| {name} | " + " | ".join(str(counts[word]) for word in words) + f" | {100 * fallback_share(some):.1f} |")
    return "\n".join(lines) if chosen else ""


def _times(planned: list[Record]) -> str:
    times = sorted(one["seconds"] for one in planned)
    if not times:
        return ""
    middle, late = times[len(times) // 2], times[int(0.95 * (len(times) - 1))]
    slowest = max(planned, key=lambda one: one["seconds"])
    return f"## Seconds of CPU a shaft\np50 {middle:.3f}, p95 {late:.3f}, max {times[-1]:.3f} ({slowest['id']}), sum {sum(times):.0f}"


# ---- against an earlier survey


def against(records: list[Record], before: list[Record]) -> str:
    """Write what changed since an earlier survey, for shafts whose input is the same."""
    old = {one["id"]: one for one in before}
    pairs = [(old[one["id"]], one) for one in records if one["id"] in old and old[one["id"]]["input"] == one["input"]]
    both = [(first, last) for first, last in pairs if first["result"] == last["result"] == "planned"]
    changed = [(first, last) for first, last in both if first["way"] != last["way"]]
    lines = [
        "## Against the earlier survey",
        f"{len(pairs)} shafts with the same input; now {len(records) - len(pairs)} others, then {len(before) - len(pairs)} others",
        f"built in another way: {len(changed)} of {len(both)} ({_percent(len(changed), len(both))})",
        f"anything else in the plan differs: {_percent(sum(a['plan'] != b['plan'] for a, b in both), len(both))}",
        f"another method: {_moves((a['method'], b['method']) for a, b in both)}",
        f"another result: {_moves((a['result'], b['result']) for a, b in pairs)}",
    ]
    for name, measure in (
        ("fallback share %", lambda some: 100 * fallback_share(some)),
        ("wholly undecided", lambda some: sum(one["undecided"] for one in some)),
    ):
        lines.append(f"{name}: {measure([a for a, _ in both]):.2f} before, {measure([b for _, b in both]):.2f} now")
    seconds = [sum(one["seconds"] for one in some) for some in zip(*both, strict=True)] if both else [0.0, 0.0]
    lines.append(f"CPU: {seconds[0]:.0f} s before, {seconds[1]:.0f} s now")
    lines += [f"- {a['id']}: {a['way']} -> {b['way']}" for a, b in changed[:10]]
    return "\n".join(lines)


def _moves(pairs: Iterable[tuple[str, str]]) -> str:
    counts = Counter(f"{first} to {last}" for first, last in pairs if first != last)
    return ", ".join(f"{count} {words}" for words, count in counts.most_common()) or "none"


def _groups(records: list[Record], key: str) -> list[tuple[str, list[Record]]]:
    return [(name, [one for one in records if one[key] == name]) for name in dict.fromkeys(one[key] for one in records)]


def _added(records: list[Record], key: str) -> Counter:
    total: Counter = Counter()
    for one in records:
        total.update(one[key])
    return total


def _percents(lengths: Counter, total: float) -> str:
    return ", ".join(f"{name} {100 * length / total:.1f} %" for name, length in lengths.most_common())


def _percent(part: float, whole: float) -> str:
    return f"{100 * part / whole:.1f} %" if whole else "of none"
