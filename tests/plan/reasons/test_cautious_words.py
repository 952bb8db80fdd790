"""What the cautious plan hangs on and when it is gone over to: what is asked before work begins gives no sign on site."""

from methodpick.plan.reasons.cautious_words import LET_GO, hangs_on, open_proofs, trigger
from methodpick.plan.reasons.notes import ANY_SIGN, WALL_MAY_NOT_STAND
from methodpick.plan.result import Check, Ends

NOTHING = Ends(None, None, None)


def check(name, result, what):
    return Check(name, 4, what, NOTHING, NOTHING, NOTHING, "1", None, {}, (), None, (), result, 3.0, 5.0)


OPENWORK = check("bare-openwork", "open_range", "The ground may take the mortar.")
PLATFORM = check("platform-bearing", "unknown", "The platform is not known.")
SEAL = check("emptied-seal-length", "open_range", "The seal is short at worst.")


def test_a_plan_under_fluid_does_not_hang_on_a_dry_stage():
    """Gravel that may take the concrete is what the plan hangs on, not the time that a dry wall stands."""
    assert hangs_on([], [PLATFORM, OPENWORK]) == "The ground may take the mortar."
    assert LET_GO in trigger([], [PLATFORM, OPENWORK])
    assert hangs_on([], [PLATFORM]) == WALL_MAY_NOT_STAND


def test_rules_go_before_proofs():
    assert hangs_on(["The sand runs."], [OPENWORK]) == "The sand runs."
    assert trigger(["caving", "uplift", "caving"], [OPENWORK]).startswith("On the first sign of caving or uplift, stop")
    assert ANY_SIGN in trigger([], [OPENWORK, SEAL])


def test_a_specification_is_no_sign_on_site():
    assert trigger(["specification"], []) == "If the specification does not allow it, build the cautious plan from the start."
    assert trigger(["specification", "fluid-loss"], []).startswith("On the first sign of fluid loss, stop")


def test_the_rig_and_its_platform_decide_no_way():
    assert open_proofs([PLATFORM, OPENWORK, check("pull", "holds", "It comes out.")]) == [OPENWORK]
