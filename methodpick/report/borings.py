"""Which boring decided for each shaft: distance, level difference and method always, then what is flagged."""

from __future__ import annotations

from methodpick.report.voice import SUPPORT, Voice
from methodpick.site.result import Assignment, SitePlan


def borings_of_shafts(planned: SitePlan, voice: Voice) -> None:
    """Write the table of shafts and borings and the flags, alike flags together."""
    voice.head("Borings of the shafts")
    methods = {one.id: one.method for one in planned.plan.shafts}
    rows = [(one.shaft, one.boring, voice.n(one.distance_m, "m"), _level(one, voice), SUPPORT[methods[one.shaft]], _others(one, voice))
            for one in planned.assignments]
    voice.table(("shaft", "boring", "away", "ground", "method", "other borings"), rows, right=(2, 3))
    voice.say("Ground: how far the ground at the shaft lies above (+) or below (-) that at the boring; where both levels are known, "
              "layers and water are set over by elevation.")
    for way in dict.fromkeys(one.said for one in planned.assignments):
        mine = [one.shaft for one in planned.assignments if one.said == way]
        voice.say(f"By {way}: {_some(mine)}.")
    flags: dict[str, list[str]] = {}
    for one in planned.assignments:
        for flag in one.flags:
            if flag.severity == "caution":
                flags.setdefault(flag.text, []).append(one.shaft)
    for text, shafts in flags.items():
        voice.item("!", f"{_some(shafts)}: {text}", style="yellow")


def _level(one: Assignment, voice: Voice) -> str:
    if one.level_m is None:
        return "-"
    return ("+" if one.level_m > 0 else "") + voice.n(one.level_m, "m")


def _others(one: Assignment, voice: Voice) -> str:
    return ", ".join(f"{other.boring} {SUPPORT[other.method]}, {voice.n(other.distance_m, 'm')}" for other in one.weighed
                     if other.boring != one.boring and other.method)


def _some(names: list[str]) -> str:
    return ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
