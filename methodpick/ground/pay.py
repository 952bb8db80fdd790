"""Who pays: for every quantity of the takeoff paid, incidental or not known, and from where the length is measured."""

from __future__ import annotations

from typing import Literal

from methodpick.ground.quantity import Model, key

PayWord = Literal["paid", "incidental", "unknown"]


class Pay(Model):
    """What the contract pays for; what is not said stays unknown, since practice differs from one agency to the next."""

    measured_from: Literal["ground", "drilling_grade", "cutoff"] | None = key("measured_from")
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
        """Return who pays for a key, unknown for one that is not of the list.

        >>> Pay(temporary_casing="incidental").of("temporary_casing"), Pay().of("drilling"), Pay().of("trucks")
        ('incidental', 'unknown', 'unknown')
        """
        said: PayWord = getattr(self, word) if word in type(self).model_fields and word != "measured_from" else "unknown"
        return said
