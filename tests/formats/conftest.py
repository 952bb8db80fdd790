"""A small document that holds everything a document can hold."""

import pytest

from methodpick.document.model import Blanks, Document, Figure, Items, Page, Paragraph, Subheading, TextTable, section


@pytest.fixture
def sample():
    figure = Figure(
        lambda units, prefix: f'<svg xmlns="http://www.w3.org/2000/svg"><title>{prefix}, {units}</title></svg>',
        "A strip.",
        lambda numbers, _: ([f"depth in {numbers.unit('m')}"], ["| wall"]),
    )
    sections = (
        section("Decision", Paragraph("Drill dry to ⟦6.096|m⟧.", "strong"), Paragraph("Dry & clean."), tone="decision"),
        section("Strip log", figure),
        section("Dangers", Items(("An open hole kills.",)), tone="danger"),
        section(
            "Stages", Items(("Drill.", "Pour."), numbered=True), Subheading("Times"), Items(("by day",)), Items(("NO",), tone="danger")
        ),
        section("Sizes", TextTable(("no.", "depth, ⟦0|m|unit⟧"), (("1", "⟦3.048|m|bare⟧"), ("2", "-")), (1,))),
        section("Why", Items(("dry", "clay", "N = 11"), levels=(0, 1, 2)), Paragraph("Empty.", "danger")),
        section("To fill in", Blanks(("drill rigs: make, model",))),
    )
    return Document("Plan <P1>", (Page("Shaft P1", ("48 in",), sections), Page("Record", ("End.",), ())), "The engineer decides.")
