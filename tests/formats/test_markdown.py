"""A document as Markdown: blanks that can be searched for, and foreign text that stays text."""

import os
import re
from pathlib import Path

from effort import examples
from hostile import HOSTILE, spoilt
from hypothesis import given, settings
from markdown_it import MarkdownIt

from methodpick.document.installation_plan import installation_plan
from methodpick.formats.report import document_markdown

GOLDEN = Path(__file__).parents[1] / "golden" / "sample.md"


def drafted(plan, units="us"):
    return document_markdown(installation_plan(plan), units)


def test_the_sample_is_the_golden_one(sample):
    """After a wanted change: METHODPICK_GOLDEN=write pytest tests/formats, then read the page."""
    shown = document_markdown(sample, "us")
    if os.environ.get("METHODPICK_GOLDEN") == "write":
        GOLDEN.write_text(shown, encoding="utf-8")
    assert shown == GOLDEN.read_text(encoding="utf-8")


def test_every_blank_can_be_searched_for(planned):
    text = drafted(planned("caving-lens"))
    assert re.search(r"\*\*BLANK\*\* superintendent: name and experience: ______", text)
    assert int(re.search(r"(\d+) blanks are left", text)[1]) == text.count("* **BLANK** ")
    assert text.startswith("# Drilled shaft installation plan")
    assert "⟦" not in text


def test_the_draft_is_the_same_twice(planned):
    assert drafted(planned("karst")) == drafted(planned("karst"))


@given(words=HOSTILE)
@settings(max_examples=examples(40))
def test_foreign_text_stays_text(planned, words):
    def kinds(text):
        tokens = MarkdownIt("commonmark", {"html": True}).enable("table").parse(text)
        inside = [child.type for token in tokens for child in token.children or ()]
        return {token.type for token in tokens} | set(inside), sum(token.type == "heading_open" for token in tokens)

    shown, headings = kinds(drafted(spoilt(planned("caving-lens"), words)))
    fine, wanted = kinds(drafted(planned("caving-lens")))
    assert headings == wanted
    assert shown <= fine | {"text_special"}
