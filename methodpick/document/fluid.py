"""The support fluid on the page of a shaft: its window, what to do when it is empty, and the fluid programme."""

from __future__ import annotations

from methodpick.document import fluid_programme as told
from methodpick.document import fluid_window as window
from methodpick.document.model import Part, Pen, Section
from methodpick.drawings.window_chart import draw_window
from methodpick.plan.result import FluidProgramme, ShaftPlan, Slurry


def fluid(shaft: ShaftPlan, pen: Pen, prefix: str) -> list[Section]:
    """Return the slurry window with its pictures, and the fluid programme; nothing where the plan uses no fluid."""
    found = []
    if shaft.slurry is not None:
        picture = pen.picture(draw_window(shaft, pen.units, f"{prefix}b"), "")
        found.append(Section("Slurry window", (*_window(shaft.slurry, pen), picture, *_depths(shaft.slurry, pen))))
    if shaft.fluid_programme is not None:
        found.append(Section("Fluid programme", tuple(_programme(shaft.fluid_programme, pen))))
    return found


def _window(one: Slurry, pen: Pen) -> list[Part]:
    parts = [pen.text(window.held(one, pen))]
    if one.density_target_kg_m3 is not None:
        parts.append(pen.strong(window.of_the_hole(one, pen)))
    else:
        parts += [
            pen.strong(window.of_the_hole(one, pen)),
            pen.text("What to do, in this order:"),
            pen.steps([remedy.text for remedy in one.remedies]),
        ]
    parts += [pen.text(text) for text in window.beside(one, pen)]
    needs = window.needs(one.needed, pen)
    return [*parts, pen.items(needs)] if needs else parts


def _depths(one: Slurry, pen: Pen) -> list[Part]:
    rows = window.depth_rows(one, pen)
    return [pen.table(window.DEPTH_HEADS, rows, (0, 1, 2, 4))] if rows else []


def _programme(one: FluidProgramme, pen: Pen) -> list[Part]:
    parts = [
        pen.strong(told.stock(one, pen)),
        pen.head("Why this fluid"),
        pen.items(told.choice(one)),
        pen.head("Water and mix"),
        pen.text(told.water(one)),
        *mix(one, pen),
        pen.text(told.sand(one)),
        pen.head("Control of the fluid"),
        pen.table(told.CONTROL_HEADS, told.control_rows(one, pen)),
        pen.text(told.control_sources(one)),
        pen.items([time.text for time in one.times]),
        pen.head("Loss and reserve"),
        pen.text(told.losses(one, pen)),
    ]
    return [part for part in parts if part.kind != "items" or part.entries]


def mix(one: FluidProgramme, pen: Pen) -> list[Part]:
    """Return what goes into the water, other grades, and what the fresh density means."""
    lead, items, others = told.mix_lead(one.mix, pen), told.mix_items(one.mix, pen), told.other_grades(one.mix, pen)
    parts = [pen.text(lead), pen.items(items)] if lead else []
    if others:
        parts.append(pen.text(others))
    return [*parts, pen.items(list(one.mix.checks))] if one.mix.checks else parts
