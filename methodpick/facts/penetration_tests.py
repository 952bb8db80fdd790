"""What standard penetration tests say: blow counts of density, friction and strength, as ranges.

Counts of granular ground are set to one overburden, since what they say of density hangs on the stress at their depth; those of clay
stand beside its words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from methodpick.facts.aquifer import Aquifer
from methodpick.facts.sheet import FactSheet, Frame, by_table
from methodpick.facts.strata import Stratum, average, blow_counts, consistency_table, counted, graded, is_fill, span_of
from methodpick.mechanics.clay import normally_consolidated_strength
from methodpick.mechanics.earth_pressure import effective_stress, hydrostatic, total_stress
from methodpick.mechanics.penetration_tests import n60, overburden_factor, phi_fhwa, phi_hatanaka_uchida, phi_wolff, strength_by_count
from methodpick.records import record
from methodpick.terms import COHESIVE, CONSISTENCIES, DENSITIES, GRANULAR, GRAVEL
from methodpick.vocabulary.values import Basis, Choice, Span, Value, from_bool, ordered, point

# ---- blow counts


LEAST_STRESS_KPA = 1.0
"""Stress below which the factor of a count stays what it is; it is at its greatest long before."""


@record
class Overburden:
    """The ground and water over the tests of a boring. ``in_water`` says that the boring starts at the bed of open water."""

    strata: Sequence[Stratum]
    limits: Mapping[str, float]
    in_water: bool

    def total_kpa(self, depth_m: float) -> Span:
        """Return the total vertical stress at a depth; weights that the log does not give are those of unknown ground."""
        totals = (0.0, 0.0, 0.0)
        for stratum in self.strata:
            thick = min(stratum.base_m, depth_m) - stratum.top_m
            if thick > 0.0:
                low, likely, high = _ends(self._weight(stratum))
                totals = total_stress(totals[0], low, thick), total_stress(totals[1], likely, thick), total_stress(totals[2], high, thick)
        return Span(totals[0], totals[2], totals[1])

    def effective_kpa(self, depth_m: float, aquifer: Aquifer) -> Span:
        """Return the effective vertical stress at a depth, with the water of an aquifer."""
        totals = _ends(self.total_kpa(depth_m))
        levels = (max(0.0, level) if self.in_water else level for level in _ends(aquifer.level_m))
        pores = (hydrostatic(depth_m - level) for level in levels)
        return ordered(*(max(LEAST_STRESS_KPA, effective_stress(total, pore)) for total, pore in zip(totals, pores, strict=True)))

    def of_fill_kpa(self, aquifer: Aquifer) -> float:
        """Return the likely effective stress under the fill that the boring begins with; nothing where it begins in natural ground."""
        base_m = 0.0
        for stratum in self.strata:
            if not is_fill(stratum):
                break
            base_m = stratum.base_m
        return self.effective_kpa(base_m, aquifer).likely_or_middle if base_m > 0.0 else 0.0

    def _weight(self, stratum: Stratum) -> Span:
        given = stratum.layer.unit_weight_kn_m3
        if given is not None:
            return span_of(given)
        low, likely, high = (self.limits[f"unit_weight_unknown_{end}_kn_m3"] for end in ("low", "likely", "high"))
        return Span(low, high, likely)


@record
class Surroundings:
    """What lies over and around a stratum: ground and water over its tests, and the aquifer that it belongs to."""

    over: Overburden
    aquifer: Aquifer


def _ends(span: Span) -> tuple[float, float, float]:
    """Return the low, the likely (or middle) and the high value."""
    return span.low, span.likely_or_middle, span.high


def put_counts(frame: Frame, sheet: FactSheet, stratum: Stratum, around: Surroundings) -> None:
    """Write what the penetration tests met, and their counts at 60 % energy and at 100 kPa of overburden."""
    refused = any(test.refusal for test in stratum.spt)
    if stratum.spt:
        sheet.put("refusal", from_bool(refused), "tested", "penetration tests")
        sheet.put("weight_of_hammer", from_bool(any(t.weight_of_hammer for t in stratum.spt)), "tested", "penetration tests")
    limits, efficiency = frame.limits, frame.profile.hammer_efficiency_percent
    counts = average(blow_counts(stratum), limits["n_spread"], limits["n_refusal_factor"] if refused else 1.0)
    if counts is None:
        return
    if efficiency is None:
        low, high, region = limits["hammer_low_percent"], limits["hammer_high_percent"], ""
        if stratum.words.british:
            low, high, region = limits["hammer_british_low_percent"], limits["hammer_british_high_percent"], " as of a British log"
        share = Span(low, high, limits["hammer_likely_percent"])
        energy = f"hammer energy not reported, {share.low:g} to {share.high:g} % taken{region}"
    else:
        share = point(efficiency)
        energy = f"{efficiency:.0f} % hammer"
    span = ordered(n60(counts.low, share.low), n60(counts.likely or 0.0, share.likely_or_middle), n60(counts.high, share.high))
    sheet.put("n60", span, "tested", f"layer average of {len(blow_counts(stratum))} tests, {energy}", (), ("n60",))
    if stratum.soils & GRANULAR:
        corrected = corrected_counts(stratum, around.over, around.aquifer, share)
        sheet.put("n1_60", corrected, "derived", "counts at 100 kPa of overburden", ("n60",), ("n60", "overburden_factor"))


def corrected_counts(stratum: Stratum, over: Overburden, aquifer: Aquifer, energy_percent: Span) -> Span | None:
    """Return the layer average of counts at 60 % energy and 100 kPa of overburden; None where no test gives a count.

    Each count is corrected by the stress at its depth, one of the layer as a whole by that in its middle. Gravel raises counts.
    """
    limits, likely = over.limits, energy_percent.likely_or_middle
    counts = counted(stratum)
    if not counts:
        return None
    stresses = [over.effective_kpa(depth, aquifer) for depth, _ in counts]
    usual = [overburden_factor(stress.likely_or_middle) for stress in stresses]
    at_likely = [count * factor for (_, count), factor in zip(counts, usual, strict=True)]
    refused = any(test.refusal for test in stratum.spt)
    mean = average(at_likely, limits["n_spread"], limits["n_refusal_factor"] if refused else 1.0)
    if mean is None:
        return None
    low = _off([stress.high for stress in stresses], usual)  # much stress, a low count
    high = _off([stress.low for stress in stresses], usual)
    stones = [limits[f"gravel_count_share_{end}"] for end in ("low", "likely")] if stratum.likely in GRAVEL else [1.0, 1.0]
    return ordered(
        n60(mean.low * low * stones[0], energy_percent.low),
        n60((mean.likely or 0.0) * stones[1], likely),
        n60(mean.high * high, energy_percent.high),
    )


def _off(stresses_kpa: Sequence[float], usual: Sequence[float]) -> float:
    """Return by how much the factors at one end of the stresses differ from the usual ones."""
    shares = [overburden_factor(stress) / factor for stress, factor in zip(stresses_kpa, usual, strict=True)]
    return sum(shares) / len(shares)


def put_grades(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write consistency and density: the words of the log, met with the blow counts where both agree."""
    soils = stratum.soils
    if soils & (COHESIVE | {"silt"}):
        _grade(frame, sheet, "consistency", graded(stratum.words.consistency, CONSISTENCIES), (consistency_table(stratum.words), "n60"))
    if soils & GRANULAR:
        _grade(frame, sheet, "density", graded(stratum.words.density, DENSITIES), ("density_by_corrected_n", "n1_60"))


def put_tested_consistency(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Make that consistency likely which has the tested strength, where words and counts leave more than one; none is taken away.

    A clay that is called firm to stiff, tested as 110 kPa, is likely stiff.
    """
    tested = stratum.layer.su_kpa
    if tested is None or "consistency" not in sheet.facts:
        return
    known, strength = sheet.choice("consistency"), span_of(tested).likely_or_middle
    if _is_of_strength(frame, sheet, known.likely, strength):
        return
    fitting = next((word for word in sorted(known.values) if _is_of_strength(frame, sheet, word, strength)), None)
    if fitting is not None:
        sheet.put("consistency", Choice(known.values, fitting), "tested", "its words, and its tested strength", ("su_kpa",))


def _is_of_strength(frame: Frame, sheet: FactSheet, consistency: str | None, strength_kpa: float) -> bool:
    """Return whether clay of a strength has a consistency, in the words of its log."""
    if consistency is None:
        return False
    usual = frame.tables["strength_of_clay"].look_up(
        {"consistency": Choice(frozenset({consistency}), consistency), "british_words": sheet.value("british_words")}
    )
    span = usual.get("su_kpa")
    return isinstance(span, Span) and span.low <= strength_kpa < span.high


def _grade(frame: Frame, sheet: FactSheet, fact: str, described: Choice | None, by: tuple[str, str]) -> None:
    """Write the grade of the words, met with that of the counts; ``by`` is the class table and its count."""
    table, count = by
    counted = frame.tables[table].look_up({count: sheet.value(count)}).get(fact) if count in sheet.facts else None
    if described is None:
        if isinstance(counted, Choice):
            sheet.put(fact, counted, "derived", f"class table '{table}'", (count,))
        return
    if isinstance(counted, Choice):
        met = described.meet(counted)
        described = met or Choice(described.values | counted.values, described.likely)
    sheet.put(fact, described, "logged", "description")


WOLFF_MOST = 60.0
"""Corrected count at which the curve of Wolff ends."""


def friction_of_sand(corrected: Span) -> Span:
    """Return the friction angle of sand by corrected counts: after Wolff, the ends by the lowest and the highest of three correlations.

    >>> friction_of_sand(Span(10.0, 20.0, 15.0))
    Span(low=30.0..., high=39.4..., likely=31.4...)
    """
    low = min(phi_wolff(corrected.low), phi_hatanaka_uchida(corrected.low))
    high = max(phi_fhwa(corrected.high), phi_hatanaka_uchida(corrected.high))
    return ordered(low, phi_wolff(min(corrected.likely_or_middle, WOLFF_MOST)), high)


_SAND = frozenset({"silty_sand", "clean_sand"})


def put_friction(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write the friction angle: the class of the density, narrowed in sand by the corrected counts, widened where both contradict."""
    by_table(sheet, frame.tables["friction"])
    if "n1_60" not in sheet.facts or stratum.likely not in _SAND:
        return
    by_count, known = friction_of_sand(sheet.span("n1_60")), sheet.facts.get("phi_deg")
    met = by_count
    if known is not None and isinstance(known.value, Span):
        met = known.value.meet(by_count) or _hull(known.value, by_count)
    sheet.put("phi_deg", met, "derived", "corrected blow count and density", ("n1_60", "density"), ("phi_wolff",))


def put_strength(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write the undrained strength: the class of the words, narrowed by the blow counts where both agree, widened where not."""
    basis: Basis = "derived"
    if "consistency" in sheet.facts:
        by_table(sheet, frame.tables["strength_of_clay"])
    if "n60" not in sheet.facts:
        return
    count = sheet.span("n60")
    plastic = sheet.facts.get("pi_percent")
    pi = plastic.value.likely if plastic is not None and isinstance(plastic.value, Span) else None
    plastic_clay = pi is not None and pi >= frame.limits["su_plastic_pi_percent"]
    by_count = clay_strength(frame.limits, count, plastic=plastic_clay, british=stratum.words.british)
    known = sheet.facts.get("su_kpa")
    met = by_count
    if known is not None and isinstance(known.value, Span):
        apart = _are_apart(frame, sheet, stratum)
        met = _hull(known.value, by_count) if apart else meet_or_widen(known.value, by_count)
    if met is not None:
        sheet.put("su_kpa", met, basis, "blow count and consistency", ("n60", "consistency"), ("strength_by_count",))


def strength_under(frame: Frame, stratum: Stratum, effective_kpa: float) -> float:
    """Return the strength in kPa of clay that was never loaded by more than a stress, by its plasticity, tested or usual."""
    plastic = stratum.layer.pi_percent
    pi = frame.limits["pi_of_clay_percent"] if plastic is None else span_of(plastic).likely_or_middle
    return normally_consolidated_strength(effective_kpa, pi)


def put_overburden_strength(frame: Frame, sheet: FactSheet, stratum: Stratum, around: Surroundings) -> None:
    """Write what clay without a grade has at its top where it carries its overburden, at usual weights and the likely water."""
    if "clay" not in stratum.soils or "consistency" in sheet.facts:
        return
    strength = strength_under(frame, stratum, around.over.effective_kpa(stratum.top_m, around.aquifer).likely_or_middle)
    source = "Skempton (1957), at usual weights and the likely water"
    sheet.put("overburden_strength_kpa", point(strength), "derived", source, (), ("normally_consolidated_strength",))


def put_carried_strength(frame: Frame, sheet: FactSheet, stratum: Stratum, over: Overburden, aquifer: Aquifer) -> None:
    """Raise the likely strength of clay of few blows to what the natural ground over its top gives it; its low end stays.

    A sampler sinks into soft clay at any depth, but clay that carries its overburden is stronger below. What fill gives is left out, since
    clay may still settle under it; so is fill itself, and clay that is called sensitive.
    """
    known, counted_as = sheet.facts.get("su_kpa"), sheet.facts.get("n60")
    if known is None or counted_as is None or stratum.likely != "clay" or is_fill(stratum) or sheet.choice("sensitive").values == {"yes"}:
        return
    strength, count = known.value, counted_as.value
    if not (isinstance(strength, Span) and isinstance(count, Span)) or count.likely_or_middle >= frame.limits["su_few_blows"]:
        return
    carried = over.effective_kpa(stratum.top_m, aquifer).likely_or_middle - over.of_fill_kpa(aquifer)
    given = strength_under(frame, stratum, max(carried, LEAST_STRESS_KPA))
    if strength.likely is None or given <= strength.likely:
        return
    raised = Span(strength.low, max(strength.high, given), given)
    source = "few blows, and what its overburden gives at its top (Skempton 1957)"
    sheet.put("su_kpa", raised, "derived", source, ("n60", "consistency"), ("normally_consolidated_strength",))


def _are_apart(frame: Frame, sheet: FactSheet, stratum: Stratum) -> bool:
    """Return whether the consistency of the words and that of the blow counts have no grade in common."""
    described, counted = graded(stratum.words.consistency, CONSISTENCIES), _counted_consistency(frame, sheet, stratum)
    return described is not None and counted is not None and described.meet(counted) is None


def _counted_consistency(frame: Frame, sheet: FactSheet, stratum: Stratum) -> Choice | None:
    """Return the consistency that the blow counts alone give; None where none were counted."""
    found = frame.tables[consistency_table(stratum.words)].look_up({"n60": sheet.value("n60")}) if "n60" in sheet.facts else {}
    counted = found.get("consistency")
    return counted if isinstance(counted, Choice) else None


def put_consistency_as_driven(frame: Frame, sheet: FactSheet, stratum: Stratum) -> None:
    """Write the consistency that a casing meets: likely that of the blow counts where they are harder than the words.

    Where words and counts contradict each other the softer one likely holds the wall, since that is the worse; a casing that
    is pushed, twisted or shaken through the clay fails by the harder one.
    """
    if "consistency" not in sheet.facts:
        return
    known, counted = sheet.choice("consistency"), _counted_consistency(frame, sheet, stratum)
    likely = known.likely
    if likely is not None and counted is not None and counted.likely in known.values:
        likely = max(likely, counted.likely, key=CONSISTENCIES.index)
    sheet.put("consistency_as_driven", Choice(known.values, likely), "derived", "words and blow counts", ("consistency", "n60"))


def meet_or_widen(known: Value | None, test: Span) -> Span:
    """Return what is known and a test both allow; the range that holds both where they contradict each other, the test where nothing is."""
    if not isinstance(known, Span):
        return test
    return known.meet(test) or _hull(known, test)


def _hull(words: Span, counts: Span) -> Span:
    """Return the range that holds two ranges which contradict each other, the lower of their likely values with it."""
    likely = [value for value in (words.likely, counts.likely) if value is not None]
    return Span(min(words.low, counts.low), max(words.high, counts.high), min(likely, default=None))


def clay_strength(limits: Mapping[str, float], n60: Span, *, plastic: bool, british: bool = False) -> Span:
    """Return the undrained strength by blow count; plastic clay has less for each blow, and few blows say little.

    Clay of a British log likely has what Stroud found in such clay for each blow, plastic or not.
    """
    few = limits["su_few_more_kpa"] if n60.high < limits["su_few_blows"] else 0.0
    most = limits["su_per_blow_plastic_high_kpa" if plastic else "su_per_blow_high_kpa"]
    usual = limits["su_per_blow_plastic_likely_kpa" if plastic or british else "su_per_blow_likely_kpa"]
    low = strength_by_count(n60.low, limits["su_per_blow_low_kpa"], limits["su_by_count_low_kpa"])
    high = strength_by_count(n60.high, most, limits["su_by_count_high_kpa"], few)
    likely = None if n60.likely is None else strength_by_count(n60.likely, usual, limits["su_by_count_likely_kpa"])
    return ordered(low, likely, high)
