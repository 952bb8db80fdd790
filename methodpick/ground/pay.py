"""Who pays: what the contract measures and pays for, of what is taken off."""

from __future__ import annotations

from typing import Annotated, Literal

from methodpick.ground.quantity import HOURS, Model, key

PayWord = Literal["paid", "incidental", "unknown"]
HoursOfBid = Annotated[float, HOURS]
NO_PAY_WORDS = frozenset({"measured_from", "obstruction_hours", "trial_shafts"})
"""Keys under ``pay:`` that say something else than who pays."""


class Pay(Model):
    """What the contract pays for; what the file does not say stays unknown, since practice differs between agencies.

    ``obstruction_hours`` and ``trial_shafts`` are quantities of the bid schedule, which nobody can take off.
    """

    measured_from: Literal["ground", "drilling_grade", "cutoff"] | None = key("measured_from")
    obstruction_hours: HoursOfBid | None = key("obstruction_hours", ge=0)
    trial_shafts: int | None = key("trial_shafts", ge=0, le=1000)
    drilling: PayWord = key("drilling", "unknown")
    empty_bore: PayWord = key("empty_bore", "unknown")
    temporary_casing: PayWord = key("temporary_casing", "unknown")
    permanent_casing: PayWord = key("permanent_casing", "unknown")
    fluid: PayWord = key("fluid", "unknown")
    disposal: PayWord = key("disposal", "unknown")
    concrete: PayWord = key("concrete", "unknown")
    method_overrun: PayWord = key("method_overrun", "unknown")
    overbreak: PayWord = key("overbreak", "unknown")
    overpour: PayWord = key("overpour", "unknown")
    spoil: PayWord = key("spoil", "unknown")
    tubes: PayWord = key("tubes", "unknown")

    def of(self, word: str) -> PayWord:
        """Return who pays for a key, "unknown" for a key that is not of the list.

        >>> Pay(temporary_casing="incidental").of("temporary_casing"), Pay().of("drilling"), Pay().of("trucks")
        ('incidental', 'unknown', 'unknown')
        """
        if word not in type(self).model_fields or word in NO_PAY_WORDS:
            return "unknown"
        pays: PayWord = getattr(self, word)
        return pays
