"""What to watch and what to ask: open hazards, assumptions, warnings, questions, doubts, and the safety page.

Of the hazards that stay open on the planned support: where, what may happen, and what to do; those with one answer in one sentence.
"""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.checks import numbers_of
from methodpick.document.model import Items, Paragraph, Section, Tone, section
from methodpick.document.pages import ROOMS, Room, and_more, how_many_fit
from methodpick.document.record import caution_sources, plain_name
from methodpick.patterns import pattern_of
from methodpick.plan.reasons.notes import ASKED_FOR, joined_lengths
from methodpick.plan.result import Caution, Gap, OpenHazard, ShaftPlan, TakenAssumption
from methodpick.records import record
from methodpick.terms import STATE_NAMES, CautionReach, Severity
from methodpick.unit_markup import SAME_LENGTH_M, all_of, first_sentence, number_span, spell

# ---- cautions

QUESTIONS = "Questions to the owner"
"""The title over what the log and the drawings leave open, on every page and sheet."""


_CLAUSE_END = pattern_of(r"[;:,](?= )")
_BRACKET_OR_END = pattern_of(r"[;:,](?= )| \(")
TITLES: dict[Severity, str] = {"danger": "Dangers", "caution": "Cautions", "note": "Notes"}
TONES: dict[Severity, Tone] = {"danger": "danger", "caution": "caution", "note": ""}


def assumptions(shaft: ShaftPlan) -> Section:
    """Return what the plan holds under."""
    places: dict[tuple[str, str], list[str]] = {}
    for assumption in shaft.assumptions:
        places.setdefault((assumption_words(assumption), assumption.source), []).append(assumption.where)
    entries = tuple(f"{words} ({'; '.join(lengths)}; {source})" for (words, source), lengths in places.items())
    nothing = "Nothing is assumed. What the log does not say stays open; the questions name it." if shaft.gaps else "Nothing is assumed."
    return section("Holds only if", Items(entries) if entries else Paragraph(nothing))


def assumption_words(assumption: TakenAssumption) -> str:
    """Describe what is assumed and why."""
    return f"{plain_name(assumption.fact)}: {assumption.assumed}. {assumption.why}"


def warnings(shaft: ShaftPlan, severity: Severity) -> Section | None:
    """Return the warnings of one severity that this ground and method add; what holds at every shaft is on the safety page."""
    found = (caution for caution in shaft.cautions if caution.severity == severity and caution.reach != "every_shaft")
    entries = tuple(map(warning_words, found))
    return section(TITLES[severity], Items(entries), tone=TONES[severity]) if entries else None


def warning_words(caution: Caution) -> str:
    """Describe a warning, where it holds, and by which rule and sources."""
    return f"{placed(caution, caution.text)} [{caution.rule}; {caution_sources(caution)}]"


def placed(caution: Caution, text: str) -> str:
    """Return the words of a caution, all or a part of them, with the depths where it holds."""
    return f"{text} ({caution.where})" if caution.where else text


def questions(shaft: ShaftPlan, most: int | None = None, *, reasons: bool = True) -> Section | None:
    """Return what to ask, no more than the first ``most`` where that is given, and with ``reasons`` why it matters."""
    entries = tuple(question_words(gap) if reasons else gap.question for gap in shaft.gaps)[:most]
    return section(QUESTIONS, Items(entries, numbered=True)) if entries else None


def question_words(gap: Gap) -> str:
    """Return a question, and why it matters."""
    return f"{gap.question} {gap.why}"


LOG_DOUBTS, READING_DOUBTS = "Doubts of the log", "Doubts in reading the file"


def log_doubts(shaft: ShaftPlan) -> Section | None:
    """Return the doubts of the log that a shaft is planned with."""
    return doubts(LOG_DOUBTS, tuple(doubt.words for doubt in shaft.doubts))


def doubts(title: str, texts: tuple[str, ...]) -> Section | None:
    """Return doubts of the log, or of the reader that turned a file into one."""
    return section(title, Items(texts)) if texts else None


# ---- what is dangerous here: the page of the answer has the gravest in short, the foreman's sheet all of them, by number


MOST_TOLD = 4
"""So many cautions stand with their words where nothing endangers."""
ONE_LINE = 76
TWO_LINES = 144
"""Letters of one line and of two lines of a list at 80 columns."""
THREE_LINES = 200
"""Letters of three lines of a list; what to do about a hazard stands in as many, and in more where one measure alone takes them."""
EVERYWHERE = "Safety page, every shaft: fall protection, no entry, gas, hanging loads, power lines, buried services, spoil, fluid."
_ORDER: tuple[tuple[Severity, CautionReach], ...] = (("danger", "here"), ("danger", "method"), ("caution", "here"), ("caution", "method"))


def cares(shaft: ShaftPlan) -> tuple[Caution, ...]:
    """Return the dangers and cautions that this ground and method add, the dangers of the place first."""
    found = [caution for caution in shaft.cautions if (caution.severity, caution.reach) in _ORDER]
    return tuple(sorted(found, key=lambda caution: _ORDER.index((caution.severity, caution.reach))))


def dangers_here(shaft: ShaftPlan, room: Room = ROOMS[0]) -> Section:
    """Return every open hazard, the first dangers of the place in two lines each, and the other dangers by name.

    Without a hazard or a danger the first cautions stand here. The foreman's sheet has all of them, with what to do.
    """
    named = named_dangers(shaft, room)
    entries = (*gravest_dangers(shaft, room), *((f"Keep in mind: {named}.",) if named else ()))
    return section("Dangerous here", Items(entries), Paragraph(_all_of_it(room)), tone="danger")


def _all_of_it(room: Room) -> str:
    if room.in_print:
        return f"All of it, with what to do: {room.page_of('foreman')}. {EVERYWHERE}"
    return f"All of it, and the safety page (falls, gas, loads, lines): {room.page_of('foreman')}."


def gravest_dangers(shaft: ShaftPlan, room: Room = ROOMS[0]) -> tuple[str, ...]:
    """Return the open hazards, and the dangers or cautions that stand with their words on the page of the answer."""
    hazards = hazards_in_short([shaft], room.treated, numbers=room.shortfalls)
    return tuple(dict.fromkeys((*hazards, *dangers_of_place(shaft, room))))


def dangers_of_place(shaft: ShaftPlan, room: Room = ROOMS[0]) -> tuple[str, ...]:
    """Return the dangers of the place as far as there is room for their words, or the first cautions where nothing endangers."""
    return tuple(in_two_lines(caution.text, caution.where) for caution in _cares_shown(shaft, room))


def named_dangers(shaft: ShaftPlan, room: Room = ROOMS[0]) -> str:
    """Return by name the dangers that have no room for their words: as many as there is room for, then how many more there are."""
    shown = _cares_shown(shaft, room)
    names = [_name(caution.rule) for caution in cares(shaft) if caution.severity == "danger" and caution not in shown]
    told = how_many_fit(names, room.names, least=0)
    return "; ".join(names[:told]) + and_more(len(names) - told)


def _cares_shown(shaft: ShaftPlan, room: Room) -> tuple[Caution, ...]:
    """Return the dangers of the place as far as there is room beside the open hazards; the first cautions where nothing endangers."""
    every, hazards = cares(shaft), hazards_in_short([shaft], room.treated)
    here = [caution for caution in every if caution.is_danger_here]
    if hazards or any(caution.severity == "danger" for caution in every):
        return tuple(here[: max(0 if hazards else 1, room.told - len(hazards))])
    return every[:MOST_TOLD]


def in_two_lines(text: str, where: str = "") -> str:
    """Return the first sentence of a text, cut before the clause that would take a third line, and where it holds.

    >>> in_two_lines("Keep it full. Watch it at night.", "3 m")
    'Keep it full. (3 m)'
    """
    place = f" ({where})" if where else ""
    return in_lines(text, TWO_LINES - len(spell(place, "us"))) + place


def in_lines(text: str, letters: int, *, brackets: bool = False) -> str:
    """Return the first sentence of a text, cut at the end of a clause where it has more letters; the first clause stands in any case.

    ``brackets`` lets it be cut before a bracket as well.

    >>> in_lines("The hole closes, and what stands beside it falls in, so fill it at once, whatever the hour.", 60)
    'The hole closes, and what stands beside it falls in ...'
    >>> in_lines("It rises slower than 12 in/h (likely 0.3, 0 to 13 in/h).", 40, brackets=True)
    'It rises slower than 12 in/h ...'
    """
    sentence = first_sentence(text)
    found = (place.start() for place in (_BRACKET_OR_END if brackets else _CLAUSE_END).finditer(sentence))
    cuts = [cut for cut in found if sentence.count("(", 0, cut) == sentence.count(")", 0, cut)]
    if len(spell(sentence, "us")) <= letters or not cuts:
        return sentence
    fitting = [cut for cut in cuts if len(spell(sentence[:cut], "us")) <= letters - 4] or cuts[:1]
    return f"{sentence[: fitting[-1]]} ..."


OPEN_HAZARDS = "Open hazards on the planned support"
MOST_LENGTHS = 3
"""So many lengths are told one by one; on the page of the answer one, and of more from where to where they lie."""

# ---- on the full page and on the pages of engineer and foreman: each with its words


def hazards(shaft: ShaftPlan) -> Section | None:
    """Return the hazards that stay open on the planned support."""
    if not shaft.open_hazards:
        return None
    entries = []
    for hazard in shaft.open_hazards:
        lengths = length_words(_lengths([hazard]))
        ends = f"{lengths}, " if lengths else ""
        entries.append(f"{ends}{STATE_NAMES.get(hazard.state, hazard.state)}: {_hazard_words(hazard)} [{hazard.rule}]")
    return section(OPEN_HAZARDS, Items(tuple(entries)), tone="danger")


def _hazard_words(hazard: OpenHazard) -> str:
    return f"{hazard.text} What to do: {hazard.treatment}"


def hazards_in_words(hazards: Sequence[OpenHazard]) -> tuple[str, ...]:
    """Describe hazards that stay open, each rule once: the depths, what may happen, and what to do in each state of the hole.

    Of several lengths the words are those of the longest.
    """
    return tuple(map(_of_one_rule, _by_rule(hazards).values()))


def _by_rule(hazards: Sequence[OpenHazard]) -> dict[str, list[OpenHazard]]:
    by_rule: dict[str, list[OpenHazard]] = {}
    for hazard in hazards:
        by_rule.setdefault(hazard.rule, []).append(hazard)
    return by_rule


def _of_one_rule(hazards: Sequence[OpenHazard]) -> str:
    longest = max(hazards, key=lambda hazard: sum(base_m - top_m for top_m, base_m in _lengths([hazard])))
    states: dict[str, list[str]] = {}
    for hazard in hazards:
        states.setdefault(hazard.treatment, []).append(STATE_NAMES.get(hazard.state, hazard.state))
    measures = next(iter(states)) if len(states) == 1 else " ".join(f"{' or '.join(names)}: {what}" for what, names in states.items())
    return f"Not ruled out{_after_comma(_lengths(hazards))}: {longest.text} What to do: {measures}"


# ---- on the page of the answer: by name, with the numbers at worst


@record
class _OpenRule:
    """A must rule that is open: its name with its numbers, at which kinds of shaft and where, what to do, and how grave it is.

    ``gravity`` is whether a check of it is short at the likely values, whether it is more than a question, and over what length it is
    open: what a log does not rule out over most of the hole goes before what is short at worst over a foot.
    """

    name: str
    place: str
    treatments: tuple[str, ...]
    gravity: tuple[bool, bool, float]


def hazards_in_short(
    shafts: Sequence[ShaftPlan], treated: int = ROOMS[0].treated, *, numbers: bool = True, whole: bool = False
) -> tuple[str, ...]:
    """Return the must rules that are open on the planned support: those that ask for the same, or lie at the same place, together.

    Each stands by its name, with its numbers likely and at worst, and, of several kinds of shaft, with the kinds that it is open at.
    The gravest, as many as ``treated``, stand with what to do, the others by name in one sentence; the foreman's sheet has what to do about
    all of them. Without ``numbers`` it is told what is open, and not by how much; ``whole`` has every measure, however long.
    """
    together = sorted(
        _answered_together(_open_rules(shafts, numbers=numbers)), key=lambda held: max(rule.gravity for rule in held), reverse=True
    )
    rest = [rule for held in together[treated:] for rule in held]
    named = f"Open{' as well' if treated else ''}: {_placed_names(rest)}."
    return (
        *(_with_treatment(held, THREE_LINES if len(shafts) == 1 and not whole else None) for held in together[:treated]),
        *([named] if rest else []),
    )


def _answered_together(rules: Sequence[_OpenRule]) -> list[list[_OpenRule]]:
    """Gather the rules that ask for the same, or for a part of it, then those that lie at the same place."""
    found: list[list[_OpenRule]] = []
    for rule in sorted(rules, key=lambda each: -len(each.treatments)):
        held = next((held for held in found if set(rule.treatments) <= set(held[0].treatments)), None)
        if held is None:
            found.append([rule])
        else:
            held.append(rule)
    by_place: dict[object, list[_OpenRule]] = {}
    for held in found:
        by_place.setdefault(held[0].place if _at_one_place(held) else held[0].name, []).extend(held)
    return list(by_place.values())


def _at_one_place(held: Sequence[_OpenRule]) -> bool:
    return len({rule.place for rule in held}) == 1


def _with_treatment(held: Sequence[_OpenRule], letters: int | None) -> str:
    """Return open rules with what to do; of several measures as many as there is room for, and dots where more follow."""
    treatments = dict.fromkeys(treatment for rule in held for treatment in rule.treatments)
    where = f", {held[0].place}" if _at_one_place(held) and held[0].place else ""
    names = "; ".join(rule.name for rule in held) if _at_one_place(held) else _placed_names(held)
    told = f"Open{where}: {names}."
    for place, treatment in enumerate(treatments):
        if place and letters is not None and len(spell(f"{told} {treatment}", "us")) > letters:
            return f"{told} ..."
        told = f"{told} {treatment}"
    return told


def _placed_names(held: Sequence[_OpenRule]) -> str:
    """Return rules with their places, those at one place with it once."""
    by_place: dict[str, list[str]] = {}
    for rule in held:
        by_place.setdefault(rule.place, []).append(rule.name)
    return "; ".join(", ".join(filter(None, (*names, place))) for place, names in by_place.items())


def _open_rules(shafts: Sequence[ShaftPlan], *, numbers: bool) -> list[_OpenRule]:
    found = []
    for rule in dict.fromkeys(hazard.rule for shaft in shafts for hazard in shaft.open_hazards):
        open_at = [shaft for shaft in shafts if any(hazard.rule == rule for hazard in shaft.open_hazards)]
        hazards = [hazard for shaft in open_at for hazard in shaft.open_hazards if hazard.rule == rule]
        kinds = "" if len(shafts) == 1 else "all kinds" if len(open_at) == len(shafts) else ", ".join(shaft.id for shaft in open_at)
        lengths = _lengths(hazards)
        short = any(check.is_short for shaft in open_at for check in shaft.checks if check.rule == rule)
        treatments = tuple(dict.fromkeys(first_sentence(hazard.treatment) for hazard in hazards))
        length_m = sum(base_m - top_m for top_m, base_m in lengths)
        found.append(
            _OpenRule(
                name=f"{_name(rule)}{numbers_of(open_at, rule) if numbers else ''}",
                place=", ".join(filter(None, (f"at {kinds}" if kinds else "", length_words(lengths, 1)))),
                treatments=treatments,
                gravity=(short, not {*treatments} <= {*ASKED_FOR.values()}, length_m),
            )
        )
    return found


def hazards_by_name(shaft: ShaftPlan) -> str:
    """Return the must rules that are open on the planned support in one sentence, each with its place; nothing without one."""
    found = _by_rule(shaft.open_hazards)
    named = (f"{_name(rule)}{_after_comma(_lengths(hazards))}{numbers_of([shaft], rule)}" for rule, hazards in found.items())
    return f"Open: {'; '.join(named)}." if found else ""


def _name(rule: str) -> str:
    """Return the name of an open rule: what nobody has said is allowed or not is not named as if it were forbidden."""
    return rule.replace("-", " ").replace(" not allowed", " perhaps not allowed")


def _lengths(hazards: Sequence[OpenHazard]) -> tuple[tuple[float, float], ...]:
    """Return the lengths over which hazards are open, joined; one that was read from a plan without them has its ends."""
    lengths = [length for hazard in hazards for length in hazard.lengths_m]
    lengths += [
        (hazard.top_m, hazard.base_m)
        for hazard in hazards
        if not hazard.lengths_m and hazard.top_m is not None and hazard.base_m is not None
    ]
    return joined_lengths(lengths, SAME_LENGTH_M)


def length_words(lengths: Sequence[tuple[float, float]], most: int = MOST_LENGTHS) -> str:
    """Return lengths one by one, of more than so many from where to where they lie."""
    if len(lengths) > most:
        return f"parts of {number_span(lengths[0][0], lengths[-1][1], 'm')}"
    return all_of(number_span(top_m, base_m, "m") for top_m, base_m in lengths)


def _after_comma(lengths: Sequence[tuple[float, float]]) -> str:
    return f", {length_words(lengths)}" if lengths else ""
