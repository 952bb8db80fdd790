"""What each reader asks first, and the words by which their page answers.

The lists were written down before the pages, from what specifications for installation plans, review checklists and pay items ask
(handbooks of highway agencies; common practice where none says it). A question without an answer on its page fails.
"""

import pytest

from methodpick.document.grouping import group_shafts
from methodpick.document.model import Document, texts_of
from methodpick.document.reader_pages import engineer_page, foreman_page
from methodpick.document.report import estimator_pages
from methodpick.document.shaft import answer_page

CONTRACTOR = {
    "How is the hole drilled and held?": "Drill dry to",
    "Which casings, of which size, from where to where?": "Casing 2, temporary: 54 x 0.500 in, -3.5 to",
    "In what does the shoe stand, and does it seal?": "shoe in very stiff grey fat clay, sealed",
    "What is pulled, what stays?": "; pulled.",
    "What has the plant to lift and to pull?": "heaviest casing",
    "Which fluid, over which length, at which level?": "Polymer fluid: ",
    "What may the fluid weigh?": "density 62.4 to",
    "How is the concrete placed, and which rise of water changes that?": "Concrete, dry: Water rises slower than 12.0 in/h",
    "Which boring is it read from, how far away?": "boring B-3, 5.0 ft away",
    "Which water and which drilling grade is the price for?": "drilling grade",
    "What is not in it?": "Left out: obstructions",
    "In which order, and how long does it take?": "h in all",
    "What is it closest to failing by?": "a seal asks for",
    "What is dangerous here?": "Water was struck below tight ground",
    "What comes next if this cannot be done, and at what price?": "Next best:",
}
FOREMAN = {
    "What do we build?": "Drill dry to",
    "In which order?": "Set casing 1, the starter",
    "What is the ground on the way down?": "clean sand",
    "Which casing, with what room for the tool?": "Inside 53 in",
    "How heavy is it on the hook?": " lb",
    "Where does the shoe have to stand?": "shoe in very stiff grey fat clay",
    "How high does the fluid stand?": "Hold the level at",
    "What may it weigh?": "density 62.4 pcf to",
    "When is it tested?": "mid-height",
    "When do we stop and call?": "On the first sign of loosening or inflow, stop",
    "May it stay open over night?": "Stop over night only",
    "How many trucks, how far apart?": "trucks of 9.0 yd3",
    "How long does the concrete have to flow?": "concrete must flow for",
    "How high is the concrete before each pull?": "fill to",
    "What do I write down?": "tip as drilled, ground at the tip",
}
ENGINEER = {
    "What am I asked to approve?": "Drill dry to",
    "By which method in each stratum?": "held by",
    "From which boring, how far off?": "distance of the boring",
    "Does it reach below the tip?": "boring below the tip",
    "Which water was read, and which level is taken?": "levels taken",
    "Is the seat long enough?": "emptied seal length",
    "Is the base safe against uplift?": "base lifts by water below",
    "Does the fluid hold the wall, and not open the ground?": "fluid opening",
    "Does the wall of the casing bear the water?": "casing wall pressure",
    "Can it be pulled, and is the concrete balanced?": "pull balance",
    "What is assumed?": "Holds only if",
    "Which side friction does the casing change?": "the designer decides",
    "Where must the inspector be asked?": "Hold points",
    "What should the owner be asked?": "Questions to ask",
    "What is doubtful in the log?": "caved in at",
}
ESTIMATOR = {
    "How much concrete by the drawings?": "by the drawing",
    "How much to order?": "to order",
    "In how many trucks?": "trucks of",
    "What is paid, what is not?": "pay",
    "How much casing, of which size?": "outside x wall",
    "What must be bought or rented?": "to get",
    "How often is a string used?": "uses",
    "How much fluid?": "fluid",
    "How much spoil?": "spoil",
    "How far do the sums spread?": "low to high",
    "How many hours for a shaft?": "Hours of each shaft",
    "By whose rates?": "planning hours of this tool's own",
    "What has no price?": "No money: the site file gives no rates",
    "What if the ground disagrees?": "If the ground disagrees",
    "Where is every line with its formula?": "methodpick takeoff FILE --shaft ID",
}


@pytest.fixture(scope="module")
def pages(takeoff):
    made = takeoff("caving-lens")
    (group,) = group_shafts(made.site.plan.shafts)
    each = {"contractor": answer_page(group), "foreman": foreman_page(group), "engineer": engineer_page(group)}
    found = {name: texts_of(Document("", (page,), ""), "us") for name, page in each.items()}
    return {**found, "estimator": texts_of(estimator_pages(made), "us")}


@pytest.mark.parametrize(
    ("reader", "question", "words"),
    [
        (reader, question, words)
        for reader, asked in (("contractor", CONTRACTOR), ("foreman", FOREMAN), ("engineer", ENGINEER), ("estimator", ESTIMATOR))
        for question, words in asked.items()
    ],
)
def test_the_page_answers(pages, reader, question, words):
    assert words in pages[reader], f"{reader}: {question}"


def test_each_reader_has_fifteen_questions():
    assert [len(asked) for asked in (CONTRACTOR, FOREMAN, ENGINEER, ESTIMATOR)] == [15] * 4
