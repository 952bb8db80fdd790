"""A page of the answer says nothing twice: no sentence of six words or more stands on it a second time."""

import re
from collections import Counter

import pytest

from methodpick.document.model import Items, Paragraph, Section
from methodpick.document.report import plan_pages
from methodpick.unit_markup import spell

EXAMPLES = ("artesian-sand", "caving-lens", "karst", "river-crossing", "saturated-sand", "stiff-clay", "viaduct")
A_SENTENCE = 6


def texts_of(section: Section):
    for block in section.blocks:
        if isinstance(block, Paragraph):
            yield block.text
        elif isinstance(block, Items):
            yield from block.entries


def sentences(texts):
    """Return the sentences of texts; the parts before and after a colon or a semicolon count as sentences of their own."""
    for text in texts:
        yield from (part for part in re.split(r"(?<=[.:;?!])\s+", spell(text, "us")) if len(part.split()) >= A_SENTENCE)


def test_sentences_are_told_apart():
    assert list(sentences(["Hold the level at ⟦1|m⟧ below the ground; stop. Fill it up."])) == [
        "Hold the level at 3.3 ft below the ground;"
    ]


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_sentence_stands_twice_on_a_page_of_the_answer(name, planned):
    for page in plan_pages(planned(name)).pages:
        told = Counter(sentence for section in page.sections for sentence in sentences(texts_of(section)))
        assert [sentence for sentence, times in told.items() if times > 1] == [], page.title
