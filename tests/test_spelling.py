import pytest

from methodpick.errors import did_you_mean


@pytest.mark.parametrize(
    ("word", "words", "hint"),
    [
        ("gravle", ["sand", "gravel"], "did you mean 'gravel'?"),
        ("CLAY", ["clay"], "did you mean 'clay'?"),
        ("dpeth", ["Depth"], "did you mean 'Depth'?"),
        ("xyz", ["sand"], ""),
        ("", ["sand"], ""),
        ("sand", [], ""),
        ("5", [5, 50], "did you mean '5'?"),
    ],
)
def test_a_hint_only_where_a_word_is_alike(word, words, hint):
    assert did_you_mean(word, words) == hint
