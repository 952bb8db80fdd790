"""Judge plans against published case histories: what was built, what failed, what should be said. Used by ``tests/agreement.py``.

It knows the tool by its command line, ``methodpick plan FILE --json -``, and by the rule files, read as data.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise
from pathlib import Path

import yaml
from command_line import run

TOP = Path(__file__).parents[2]
CASES = Path(__file__).parent / "cases"
METRES = {"m": 1.0, "ft": 0.3048}
CASED = ["cased_dry", "cased_balanced", "cased_plug"]
STATES = {"dry": ["dry"], "temporary_casing": CASED, "permanent_casing": CASED}
GROUND = {**dict.fromkeys(("clay", "organic"), "clay"), **dict.fromkeys(("rock", "weathered_rock", "intermediate", "void"), "rock")}
"""Kinds of ground; every other class is granular."""
REFUSED = ("ruled_out", "unlikely", "unknown")
GRADES = ("refused", "danger", "discouraged", "open", "caution", "avoided", "missed")
"""Answers to a recorded failure, the strongest first; all before "avoided" name its mechanism."""
NAMED = GRADES[:5]
STRONG = GRADES[:2]
HALF = 0.5
"""Share of the length of a failure over which the answer must hold."""
SLACK_M = 1e-6


@dataclass
class Share:
    """Lengths in metres: built and worked, and of these what each plan agrees with."""

    built: float = 0.0
    expected: float = 0.0
    one: float = 0.0
    any: float = 0.0
    refused: float = 0.0

    def add(self, other: Share, weight: float = 1.0) -> None:
        for name in vars(self):
            setattr(self, name, getattr(self, name) + weight * getattr(other, name))

    def percent(self, name: str) -> float:
        return 100.0 * getattr(self, name) / self.built if self.built else float("nan")


@dataclass
class Answer:
    """What the tool said to one case."""

    case: str
    record: dict
    share: Share
    failures: list[tuple[dict, str]] = field(default_factory=list)
    dry_where_dry_failed: float = 0.0
    missing: list[str] = field(default_factory=list)
    said: int = 0
    casing: str = ""


def records() -> dict[str, dict]:
    """Give what was built, by case, depths in metres (to 1 mm, as in plans)."""
    cases = yaml.load((CASES / "built.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)["cases"]
    for record in cases.values():
        for part in (*record["built"], *record["failed"]):
            part["top"], part["base"] = (round(METRES[record["unit"]] * part[end], 3) for end in ("top", "base"))
    return dict(sorted(cases.items()))


@cache
def rules() -> dict[str, dict]:
    """Give hazard and question of every rule, read as data."""
    found = {}
    for path in (TOP / "rules").glob("*/*.yaml"):
        if path.parent.name not in ("agencies", "tables"):
            for rule in yaml.load(path.read_text(encoding="utf-8"), yaml.CSafeLoader).get("rules") or []:
                found[rule["id"]] = {"hazard": rule["hazard"], "need": (rule.get("ask") or {}).get("need")}
    return found


@cache
def planned(case: str) -> dict:
    """Plan a case with the command line, as a user would. Raises RuntimeError with its words where that fails."""
    done = run("plan", CASES / f"{case}.yaml", "--json", "-", cwd=TOP)
    if done.returncode:
        raise RuntimeError(f"{case}: {done.stdout}{done.stderr}")
    return json.loads(done.stdout)


def states_of(support: str, fluid: str | None) -> list[str]:
    if support == "slurry":
        return [fluid] if fluid else ["polymer", "mineral"]
    return STATES[support]


def words(value: str | list[str]) -> list[str]:
    return value if isinstance(value, list) else [value]


def overlap(one: dict, top: float, base: float) -> float:
    return max(0.0, min(one["base_m"], base) - max(one["top_m"], top))


def starter_m(shaft: dict) -> float:
    return max((one["base_m"] for one in shaft["casings"] if one["kind"] == "starter"), default=0.0)


def supports_of(intervals: list[dict], starter: float) -> list[tuple[float, float, set[str]]]:
    """Give the supports of a plan by depth; within the starter casing that of the length below it counts as well."""
    below = next((one["support"] for one in intervals if one["base_m"] > starter + 0.01), None)
    return [(one["top_m"], one["base_m"], {one["support"]} | ({below} if one["base_m"] <= starter + 0.01 else set())) for one in intervals]


def agreement(built: list[dict], shaft: dict) -> Share:
    """Compare the lengths that worked with the expected plan, the cautious one and the alternates."""
    others = [one["intervals"] for one in (*([shaft["cautious"]] if shaft["cautious"] else []), *shaft["alternates"])]
    plans = [supports_of(intervals, starter_m(shaft)) for intervals in (shaft["intervals"], *others) if intervals]
    worked = [one for one in built if one["worked"]]
    ends = {end for plan in plans for top, base, _ in plan for end in (top, base)} | {one[end] for one in worked for end in ("top", "base")}
    share, single = Share(), [0.0] * len(plans)
    for top, base in pairwise(sorted(ends)):
        here = [one for one in worked if one["top"] - SLACK_M <= top and base <= one["base"] + SLACK_M]
        if not here:
            continue
        said = {
            word
            for one in here
            for low in (one, *(worked if one.get("starter") else ()))
            if low is one or low["top"] >= one["base"]
            for word in words(low["support"])
        }
        agree = [any(t - SLACK_M <= top and base <= b + SLACK_M and said & supports for t, b, supports in plan) for plan in plans]
        share.built += base - top
        share.expected += (base - top) * agree[0]
        share.any += (base - top) * any(agree)
        share.refused += (base - top) * all(is_out(one, shaft, top, base) for one in here)
        single = [length + (base - top) * yes for length, yes in zip(single, agree, strict=True)]
    share.one = max(single, default=0.0)
    return share


def is_out(built: dict, shaft: dict, top: float, base: float) -> bool:
    """Tell whether every state that the built support may have is ruled out at a depth."""
    here = next(one for one in shaft["intervals"] if one["top_m"] - SLACK_M <= top and base <= one["base_m"] + SLACK_M)
    states = [state for word in words(built["support"]) for state in states_of(word, built.get("fluid"))]
    return all(here["verdicts"][state]["state"] == "ruled_out" for state in states)


def meant(failure: dict, rule: str) -> bool:
    return rule in failure.get("rules", ()) or rules().get(rule, {}).get("hazard") in failure.get("hazards", ())


def _over_a_length(failure: dict, shaft: dict, top: float, base: float) -> dict[str, float]:
    """Give the shares of a length over which the method of a failure is refused, discouraged or left open by its own
    mechanism, or is not planned for whatever reason.
    """
    length, found = 0.0, dict.fromkeys(("refused", "discouraged", "open", "avoided"), 0.0)
    for one in shaft["intervals"]:
        part = overlap(one, top, base)
        length += part
        if not part or failure["method"] is None:
            continue
        verdicts = [one["verdicts"][state] for state in states_of(failure["method"], failure.get("fluid"))]
        named = [verdict["state"] for verdict in verdicts if any(meant(failure, rule) for rule in verdict["rules"])]
        if len(named) == len(verdicts):
            found["refused"] += part * all(state in REFUSED for state in named)
            found["discouraged"] += part * all(state in (*REFUSED, "discouraged") for state in named)
            found["open"] += part * all(state != "allowed" for state in named)
        other_fluid = failure["method"] == "slurry" and failure.get("fluid") not in (None, one["fluid"])
        found["avoided"] += part * (one["support"] != failure["method"] or other_fluid)
    return {name: value / length if length else 0.0 for name, value in found.items()}


def _at_depth(where: str, top: float, base: float) -> bool:
    """Tell whether the depths that a caution names ("3.00 m to 9.14 m") meet a length; without depths it names none."""
    depths = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?(?= m)", where)]
    return any(low < base + 0.01 and high > top - 0.01 for low, high in zip(depths[::2], depths[1::2], strict=False))


def grade(failure: dict, shaft: dict, top: float, base: float) -> str:
    """Give the strongest answer to a failure over a length. A caution of its hazard must name the depth, a rule of its own need not."""
    shares = _over_a_length(failure, shaft, top, base)
    cautions = {
        one["severity"]
        for one in shaft["cautions"]
        if one["rule"] in failure.get("rules", ()) or (meant(failure, one["rule"]) and _at_depth(one["where"], top, base))
    }
    holds = {**{name: share >= HALF for name, share in shares.items()}, "danger": "danger" in cautions, "caution": "caution" in cautions}
    return next((name for name in GRADES if holds.get(name)), "missed")


def rules_said(shaft: dict) -> set[str]:
    """Give every rule that a plan names: cautions, hazards left open, reasons, verdicts that are not plain, questions."""
    said = {one["rule"] for part in ("cautions", "open_hazards") for one in shaft[part]}
    for one in shaft["intervals"]:
        said |= {reason["rule"] for reason in one["reasons"]}
        said |= {rule for verdict in one["verdicts"].values() if verdict["state"] != "allowed" for rule in verdict["rules"]}
    needs = {gap["need"] for gap in shaft["gaps"]}
    return said | {name for name, rule in rules().items() if rule["need"] in needs}


def planned_dry(shaft: dict, top: float, base: float) -> float:
    """Give the length that is held or drilled dry, the zone of the starter casing left out."""
    top = max(top, starter_m(shaft))
    return sum(overlap(one, top, base) for one in shaft["intervals"] if "dry" in (one["support"], one["drilled_in"])) if base > top else 0.0


def judge(case: str, record: dict) -> Answer:
    """Plan a case and compare; a case of several shafts counts with the mean of their lengths."""
    shafts = planned(case)["shafts"]
    answer = Answer(case, record, Share())
    for shaft in shafts:
        built = [one for one in record["built"] if one.get("shaft", shaft["id"]) == shaft["id"]]
        if record["measured"]:
            answer.share.add(agreement(built, shaft), 1 / len(shafts))
        answer.casing = casing_depths(built, shaft) or answer.casing
    shaft = shafts[0]
    for failure in record["failed"]:
        answer.failures.append((failure, grade(failure, shaft, failure["top"], failure["base"])))
        if failure["method"] == "dry":
            answer.dry_where_dry_failed += planned_dry(shaft, failure["top"], failure["base"])
    said = rules_said(shaft)
    asked = [one for one in record["cautions"] if "any" in one]
    answer.missing = [one["what"] for one in asked if not said & set(one["any"])]
    answer.said = len(asked) - len(answer.missing)
    return answer


def casing_depths(built: list[dict], shaft: dict) -> str:
    """Give how deep casing went from the top and how deep it is planned, in metres; nothing where none was built."""
    cased = [one["base"] for one in built if one["worked"] and "casing" in str(one["support"]) and not one.get("starter")]
    deep = [one["base_m"] for one in shaft["casings"] if one["kind"] != "starter"]
    return f"{max(cased):.1f} / {max(deep):.1f}" if cased and deep else f"{max(cased):.1f} / none" if cased else ""


def answers_for(which: str, only: list[str] | None = None) -> list[Answer]:
    """Judge the cases of a set: open, aside or all."""
    return [judge(case, record) for case, record in records().items() if which in ("all", record["set"]) and (not only or case in only)]


def kinds(shaft: dict, top: float, base: float) -> list[tuple[str, float, float]]:
    """Give the runs of clay, granular ground and rock between two depths."""
    found: list[tuple[str, float, float]] = []
    for one in shaft["intervals"]:
        kind, start, end = GROUND.get(one["soil_class"], "granular"), max(one["top_m"], top), min(one["base_m"], base)
        if end - start <= 0.01:
            continue
        if found and found[-1][0] == kind:
            found[-1] = (kind, found[-1][1], end)
        else:
            found.append((kind, start, end))
    return found


def same_alarm(answer: Answer, failure: dict, found: str, others: list[Answer]) -> tuple[list[str], int]:
    """Set an alarm against the successes with the same method in the same kind of ground: the cases that raise it too, and how many
    successes there are.
    """
    ground = {kind for kind, _, _ in kinds(planned(answer.case)["shafts"][0], failure["top"], failure["base"])}
    raised: dict[str, bool] = {}
    for other in others:
        shaft = planned(other.case)["shafts"][0]
        for one in other.record["built"]:
            if (
                other is answer
                or not one["worked"]
                or failure["method"] not in words(one["support"])
                or failure.get("fluid") not in (None, one.get("fluid"))
                or one.get("shaft", shaft["id"]) != shaft["id"]
            ):
                continue
            for kind, top, base in kinds(shaft, one["top"], one["base"]):
                if kind in ground and base - top >= 1.0:
                    alarm = grade(failure, shaft, top, base)
                    raised[other.case] = raised.get(other.case, False) or GRADES.index(alarm) <= GRADES.index(found)
    return [case for case, yes in raised.items() if yes], len(raised)
