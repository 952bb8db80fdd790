"""Plans that tests share: each is made once in a process, however many tests and commands ask for it. All of it is frozen.

That the same site and rules give the same plan, to the byte and in any process, is held by ``tests/laws`` and ``tests/cli``.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path

from shipped import shipped_rulebook

from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.plan.result import InputStamp
from methodpick.resources import folder
from methodpick.site import planning
from methodpick.site.site_takeoff import take_off
from methodpick.why import within_range

HERE = Path(__file__).parent
MANY = 10
"""Sites with more shafts are planned as the command line plans them, with a plan for all shafts alike."""
plan_site = planning.plan_site
flips_within_range = within_range.flips_within_range
"""Both as they are before the command line is given those of this file."""
plans = {}
ranges = {}


def path_of(name):
    """Return the file of an example or of a site of the tests."""
    return next(path for path in (folder("profiles") / f"{name}.yaml", HERE / "sites" / f"{name}.yaml") if path.exists())


@cache
def site_of(name):
    """Return a site by its name."""
    return read_site(path_of(name))[0]


@cache
def plan_of(name):
    """Return the plan of a site by its name."""
    site = site_of(name)
    if len(site.shafts) > MANY:
        return site_plan_of(name).plan
    return plan(site, shipped_rulebook(), path=f"{name}.yaml", digest="0" * 64)


@cache
def site_plan_of(name):
    """Return the plan of a site by its name, every shaft with the borings that decide for it."""
    return plan_site_once(site_of(name), shipped_rulebook(), stamp=InputStamp(f"{name}.yaml", "0" * 64))


@cache
def takeoff_of(name):
    """Return the takeoff of a site by its name."""
    return take_off(site_of(name), site_plan_of(name), shipped_rulebook())


def plan_site_once(site, book, *, stamp=planning.NO_FILE, shafts=None, assumptions=True, tell=None):
    """Plan a site as ``plan_site`` does, the same site and rules once; the stamp is that of who asks."""
    key = content_of(site, book), assumptions, None if shafts is None else tuple(shafts)
    if key not in plans:
        plans[key] = plan_site(site, book, shafts=shafts, assumptions=assumptions, tell=tell)
    made = plans[key]
    return replace(made, plan=replace(made.plan, input=replace(stamp, assumptions=assumptions)))


def flips_within_range_once(site, book, shaft, *, assumptions=True):
    """Return what changes a plan within its stated range, for the same site, rules and shaft once."""
    key = content_of(site, book), shaft.id, assumptions
    if key not in ranges:
        ranges[key] = flips_within_range(site, book, shaft, assumptions=assumptions)
    return ranges[key]


def content_of(site, book):
    """Return what a plan follows from, in words: ground and design, and the rules with what they loosen."""
    return site.model_dump_json(), book.digest, book.overlays, book.loosened
