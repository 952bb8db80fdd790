"""Slips of the pen: the words that decide, written with a letter lost, twice, wrong, or two that changed places."""

from __future__ import annotations

from methodpick.ground.descriptions.nouns import INCLUSIONS, NOUNS, QUALIFIERS, STOP_WORDS


def _listed(words: str) -> frozenset[str]:
    return frozenset(words.split())


_TARGETS = _listed(
    "gravel gravelly cobbles boulders limestone sandstone mudstone siltstone claystone concrete topsoil alluvium colluvium ground medium "
    "weathered organic fissured masonry cemented granite basalt residual laminated saturated decomposed dolomite hardcore tarmac asphalt"
)
_SHORT_TARGETS = _listed(
    "clay silt sand peat chalk sandy silty stiff dense loose clayey shale rubble timber brick cavity soft firm hard very weak strong"
)
"""Words in which a letter lost or written twice, or two that changed places, are a slip: a wrong letter makes another word."""
_GRADES = _listed("dense loose stiff firm")
"""Words with no other ending of their own, so that one with a letter at its end is a slip."""
_OTHER_WORDS = _listed(
    "gravels grounds grounded organics fissures weathers laminate laminates cobbled cobbly bouldery granites limestones sandstones "
    "mudstones siltstones claystones concretes concreted topsoils organism asphaltic slit basalts fissure saturate decompose "
    "lay cay sit sad pat pet calk tiff dene lose fir had sale sting veer stong wek car cavit rick tier time rubbe"
)
_NO_SLIPS = _listed("grave gavel basal")
"""Words of five letters that are other words with a letter more."""
_KNOWN = frozenset(NOUNS) | INCLUSIONS | QUALIFIERS | STOP_WORDS | _TARGETS | _SHORT_TARGETS | _OTHER_WORDS


def _without_a_letter(word: str) -> set[str]:
    return {word[:place] + word[place + 1 :] for place in range(len(word))}


_BY_LOST_LETTER: dict[str, list[str]] = {}
for _target in _TARGETS:
    for _part in {_target, *_without_a_letter(_target)}:
        _BY_LOST_LETTER.setdefault(_part, []).append(_target)


def _slips_of(target: str) -> set[str]:
    """Return the short word with a letter written twice, two letters changed, or one letter but the first lost."""
    places = range(len(target))
    doubled = {target[:place] + target[place] + target[place:] for place in places}
    swapped = {target[:place] + target[place + 1] + target[place] + target[place + 2 :] for place in places[:-1]}
    lost = {target[:place] + target[place + 1 :] for place in places[1:]}
    ended = {target + "s", target + "d"} if target in _GRADES else set()
    return (doubled | swapped | lost | ended) - {target}


_SHORT_SLIPS = {slip: target for target in sorted(_SHORT_TARGETS) for slip in _slips_of(target)}


def corrected(word: str) -> str | None:
    """Return the word that a lower-case word with one slip stands for, None where it is a word itself or nothing is near.

    >>> corrected("caly"), corrected("gravle"), corrected("grave"), corrected("travel")
    ('clay', 'gravel', None, None)
    """
    if word in _KNOWN:
        return None
    if (target := _SHORT_SLIPS.get(word)) is not None:
        return target
    if len(word) < 5 or word in _NO_SLIPS:
        return None
    near = {target for part in {word, *_without_a_letter(word)} for target in _BY_LOST_LETTER.get(part, ())}
    return next(
        (
            target
            for target in sorted(near, key=lambda near: (near[-1] != word[-1], near))
            if word[0] == target[0] and _is_one_slip(word, target) and (len(word) > 5 or len(target) > 5)
        ),
        None,
    )


def _is_one_slip(word: str, target: str) -> bool:
    """Return whether one letter lost, added or wrong, or two that changed places, part a word from its target."""
    start = 0
    while start < min(len(word), len(target)) and word[start] == target[start]:
        start += 1
    rest, wanted = word[start:], target[start:]
    swapped = len(rest) > 1 and len(wanted) > 1 and rest[1] + rest[0] + rest[2:] == wanted
    return swapped or rest[1:] == wanted[1:] or rest == wanted[1:] or rest[1:] == wanted
