"""The platform that a shaft is drilled from: as the site has it, or raised by fill where water below rises above what casing can hold."""

from __future__ import annotations

from methodpick.ground.profile import Profile
from methodpick.ground.site import Shaft
from methodpick.plan.fluid.levels import chosen_raise
from methodpick.plan.plan_context import PlanBasis, PlanContext


def shaft_context(basis: PlanBasis, profile: Profile, shaft: Shaft) -> PlanContext:
    """Return what the plans of a shaft are made from, on a platform of fill where that is what builds it.

    A head that the highest stick-up does not hold is held by a casing that stands on a higher platform. The platform is raised only
    where no way is proven from the ground, and one is from the fill; or where nothing at all can be built from the ground.
    """
    on_ground = PlanContext(basis, profile, shaft)
    raise_m = chosen_raise(basis.site.site, on_ground.levels.head_missing_m, on_ground.limits)
    if raise_m <= 0 or on_ground.best_proven() is not None:
        return on_ground
    on_fill = PlanContext(basis, profile, shaft, raise_m)
    opens = on_fill.best_proven() is not None or (on_ground.best() is None and on_fill.best() is not None)
    return on_fill if opens else on_ground
