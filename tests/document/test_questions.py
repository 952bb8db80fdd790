"""What each reader asks first, the section of their page that answers, and the words of the line that does.

The lists were written down before the pages, from what specifications for installation plans, review checklists and pay items ask
(handbooks of highway agencies; common practice where none says it). A question without an answer on its page fails.
"""

import pytest

from methodpick.document.cautions import LOG_DOUBTS, QUESTIONS
from methodpick.document.engineer_page import engineer_page
from methodpick.document.foreman_page import foreman_page
from methodpick.document.model import TextTable
from methodpick.document.pages import group_shafts
from methodpick.document.report import estimator_pages
from methodpick.document.shaft import answer_page
from methodpick.document.takeoff import HOURS_TITLE, STRINGS, SUMS
from methodpick.plan.reasons.notes import FIRST_SIGN
from methodpick.unit_markup import spell

CONTRACTOR = {
    "How is the hole drilled and held?": ("Decision", "Drill dry to"),
    "Which casings, of which size, from where to where?": ("Decision", "Casing 2, temporary: 54 x 0.500 in, -3.5 to"),
    "In what does the shoe stand, and does it seal?": ("Decision", "to 32.9 ft in very stiff grey fat clay, sealed"),
    "What is pulled, what stays?": ("Stages, about 15 h by planning rates, 1 night in stage 8", "pull casings 2 and 1"),
    "What has the plant to lift and to pull?": ("Decision", "heaviest casing"),
    "Which fluid, over which length, at which level?": ("Decision", "Polymer fluid: "),
    "What may the fluid weigh?": ("Decision", "density 62.4 to"),
    "How is the concrete placed, and which rise of water changes that?": ("Decision", "Concrete, dry: Water rises slower than 12 in/h"),
    "Which boring is it read from, of when, how far away?": ("head", "boring B-3 of 2026-03-16, 5.0 ft away"),
    "Which water and which drilling grade is the price for?": ("Decision", "grade at the ground"),
    "What is not in it?": ("Decision", "Left out: obstructions"),
    "In which order, and how long does it take?": ("Stages, about 15 h by planning rates, 1 night in stage 8", "Stages, about 15 h"),
    "What is it closest to failing by?": ("What it hangs on", "Length of shoe in clay"),
    "What is dangerous here?": ("Dangerous here", "Water was struck below tight ground"),
    "What comes next if this cannot be done, and at what price?": ("What it hangs on", "Next best:"),
}
FOREMAN = {
    "What do we build?": ("Do", "Drill dry to"),
    "In which order?": ("Stages, about 15 h by planning rates", "Set casing 1 (starter)"),
    "What is the ground on the way down?": ("Strip, conditional all the way", "clean sand"),
    "Which casing, with what room for the tool?": ("Casings", "Inside 53 in"),
    "How heavy is it on the hook?": ("Casings", " lb"),
    "Where does the shoe have to stand?": ("Casings", "to 32.9 ft in very stiff grey fat clay"),
    "How high does the fluid stand?": ("Fluid", "hold the level at"),
    "What may it weigh?": ("Fluid", "density 62.4 to 64.0 pcf"),
    "When is it tested?": ("Fluid", "mid-height"),
    "When do we stop and call?": ("Stop, make safe and call the engineer", f"{FIRST_SIGN}loosening or inflow, stop"),
    "May it stay open over night?": ("Stages, about 15 h by planning rates", "Stop over night only"),
    "How many trucks, how far apart?": ("Concrete and pulls", "trucks of 9.0 yd3"),
    "How long does the concrete have to flow?": ("Concrete and pulls", "concrete must flow for"),
    "How high is the concrete before each pull?": ("Concrete and pulls", "fill to"),
    "What do I write down?": ("As built", "tip as drilled, ground at the tip"),
}
ENGINEER = {
    "What am I asked to approve?": ("Decision", "Drill dry to"),
    "By which method in each stratum?": ("Strip, conditional all the way", "then held by"),
    "From which boring, how far off?": ("Basis", "Distance of the boring"),
    "Does it reach below the tip?": ("Basis", "Boring below the tip"),
    "Which water was read, and which level is taken?": ("Basis", "Levels taken"),
    "Is the seat long enough?": ("Checks", "length of shoe in clay"),
    "Is the base safe against uplift?": ("Checks", "base lifts by water below"),
    "Does the fluid hold the wall, and not open the ground?": ("Checks", "fluid opening the ground"),
    "Does the wall of the casing bear the water?": ("Checks", "wall against pressure"),
    "Can it be pulled, and is the concrete balanced?": ("Checks", "balance at the shoe"),
    "What is assumed?": ("Holds only if", "Holds only if"),
    "Which side friction does the casing change?": ("Basis", "the designer decides"),
    "Where must the inspector be asked?": ("Hold points", "Hold points"),
    "What should the owner be asked?": (QUESTIONS, QUESTIONS),
    "What is doubtful in the log?": (LOG_DOUBTS, "caved in at"),
}
ESTIMATOR = {
    "How much concrete by the drawings?": ("Concrete, net and ordered", "by the drawing"),
    "How much to order?": ("Concrete, net and ordered", "to order"),
    "In how many trucks?": ("Concrete, net and ordered", "trucks of"),
    "What is paid, what is not?": (SUMS, "pay"),
    "How much casing, of which size?": (STRINGS, "outside x wall"),
    "What must be bought or rented?": (STRINGS, "to get"),
    "How often is a string used?": (STRINGS, "uses"),
    "How much fluid?": (SUMS, "fluid"),
    "How much spoil?": (SUMS, "spoil"),
    "How far do the sums spread?": (SUMS, "low to high"),
    "How many hours for a shaft?": (HOURS_TITLE, HOURS_TITLE),
    "By whose rates?": (HOURS_TITLE, "planning hours of this tool's own"),
    "What has no price?": ("Not priced yet", "No money: the site file gives no rates"),
    "What if the ground disagrees?": ("If the ground disagrees, each shaft", "If the ground disagrees"),
    "Where is every line with its formula?": ("last", "methodpick takeoff FILE --shaft ID"),
}


@pytest.fixture(scope="module")
def pages(takeoff):
    made = takeoff("caving-lens")
    (group,) = group_shafts(made.site.plan.shafts)
    (estimator,) = estimator_pages(made).pages
    return {"contractor": answer_page(group), "foreman": foreman_page(group), "engineer": engineer_page(group), "estimator": estimator}


def lines_of(page):
    """Return the lines of a page by section: each entry of a list, each row with the heads of its table, each paragraph."""
    found = {"head": [page.title, *page.lines]}
    for part in page.sections:
        lines = found.setdefault(part.title or "last", [part.title])
        for block in part.blocks:
            if isinstance(block, TextTable):
                lines += [" ".join((*block.heads, *row)) for row in block.rows]
            else:
                lines += getattr(block, "entries", None) or [block.text]
    return {title: [" ".join(spell(line, "us").split()) for line in lines] for title, lines in found.items()}


@pytest.mark.parametrize(
    ("reader", "question", "section", "words"),
    [
        (reader, question, *answer)
        for reader, asked in (("contractor", CONTRACTOR), ("foreman", FOREMAN), ("engineer", ENGINEER), ("estimator", ESTIMATOR))
        for question, answer in asked.items()
    ],
)
def test_a_line_of_the_page_answers(pages, reader, question, section, words):
    assert any(words in line for line in lines_of(pages[reader])[section]), f"{reader}: {question}"


def test_each_reader_has_fifteen_questions():
    assert [len(asked) for asked in (CONTRACTOR, FOREMAN, ENGINEER, ESTIMATOR)] == [15] * 4
