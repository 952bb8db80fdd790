"""A doubt over less than 0.1 m in a row does not choose a method (own definition of the hazard lengths)."""

import pytest

from methodpick.plan.sequence.search_input import ALLOWED, DISCOURAGED, DOUBTFUL, RULED_OUT, UNLIKELY, SearchSlice, without_short_hazards
from methodpick.terms import STATES


def cut(top, base, rank, *, counts=()):
    ranks = dict.fromkeys(STATES, ALLOWED) | {"dry": rank}
    none = dict.fromkeys(STATES, 0)
    return SearchSlice(top, base, True, ranks, none, none, 24.0, 24.0, 2.0, frozenset(), ALLOWED, ALLOWED, short_counts=frozenset(counts))


@pytest.mark.parametrize(
    ("pieces", "wanted"),
    [
        ([cut(5.0, 5.09, DOUBTFUL)], [DISCOURAGED]),
        ([cut(5.0, 5.11, DOUBTFUL)], [DOUBTFUL]),
        ([cut(5.0, 5.06, DOUBTFUL), cut(5.06, 5.12, UNLIKELY)], [DOUBTFUL, UNLIKELY]),
        ([cut(5.0, 5.04, DOUBTFUL), cut(5.04, 5.08, UNLIKELY)], [DISCOURAGED, DISCOURAGED]),
        ([cut(5.0, 5.05, RULED_OUT)], [RULED_OUT]),
        ([cut(5.0, 5.05, DOUBTFUL), cut(5.05, 5.07, RULED_OUT)], [DOUBTFUL, RULED_OUT]),
        ([cut(5.0, 5.05, UNLIKELY, counts=("dry",))], [UNLIKELY]),
        ([cut(5.0, 5.05, UNLIKELY, counts=("water",))], [DISCOURAGED]),
    ],
)
def test_short_doubts_do_not_count(pieces, wanted):
    slices = [cut(0.0, 5.0, ALLOWED), *pieces, cut(pieces[-1].base_m, 12.0, ALLOWED)]
    found = without_short_hazards(slices, 0.1)
    assert [piece.rank["dry"] for piece in found[1:-1]] == wanted
    assert all(piece.rank["water"] == ALLOWED for piece in found)
