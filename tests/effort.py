"""How hard a property test tries: a quick profile by default, a thorough one in ``.ci/run``.

``pytest --hypothesis-profile thorough`` chooses a profile: ``quick`` and ``thorough`` try the same examples on every run,
``random`` twice as many as the thorough one, and others each time.
"""

from hypothesis import HealthCheck, settings

QUICK_SHARE = 5
"""The quick profile tries one example where the thorough one tries five."""
LEAST = 5
"""Fewer examples than these would not vary enough to be a test."""
MOST = 100
"""Examples of a test that names no number, in the random profile."""
THOROUGH = MOST // 2
"""The same in the thorough profile, which is to take minutes."""


def register_profiles():
    """Register the three profiles and load the quick one; the command line may load another afterwards."""
    settings.register_profile(
        "thorough",
        max_examples=THOROUGH,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
    )
    settings.register_profile("quick", settings.get_profile("thorough"), max_examples=MOST // QUICK_SHARE)
    settings.register_profile("random", settings.get_profile("thorough"), max_examples=MOST, derandomize=False, print_blob=True)
    settings.load_profile("quick")


def examples(most, least=LEAST, share=QUICK_SHARE):
    """Return how many examples a test tries: all in the random profile, half in the thorough one, else one in ``share``."""
    if settings.default.max_examples >= MOST:
        return most
    if settings.default.max_examples >= THOROUGH:
        return min(most, max(least, most // 2))
    return min(most, max(least, most // share))
