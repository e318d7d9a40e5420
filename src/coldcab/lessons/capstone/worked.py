"""Worked examples of the capstone: the figures of a job, and at which pressure water boils."""

from __future__ import annotations

from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING
from coldcab.words import _


def figures_of_a_job() -> Example:
    """The figures of one invented job, each with what it rests on."""
    from coldcab.course import folder
    from coldcab.job import filling, read_job, stages

    job = read_job(folder() / "refresher" / "jobs" / "seal-leak.toml")
    around = stages.atmosphere(job)
    sections = (stages.recover(job), stages.oil(job), stages.pressure_test(job), filling.charge(job))
    body = [
        (section.title, one.label, one.words(atmosphere=around), one.basis)
        for section in sections
        for one in section.figures
    ]
    caption = _("Unit 12, an invented orchard sprayer: the seal let go")
    return example_table((_("step"), _("what"), _("figure"), _("rests on")), body, caption)


def water_vapor_pressure() -> Example:
    """Pressure at which water boils, from a cold morning to a hot day."""
    from coldcab import units
    from coldcab.service.evacuation import boiling_pressure

    body = []
    for fahrenheit in (40, 50, 60, 70, 80, 84, 88, 92, 95, 98, 102, 106, 110):
        kelvin = units.from_unit(fahrenheit, "temperature", "F")
        pressure = float(boiling_pressure(kelvin))
        body.append(
            (
                f"{fahrenheit} F ({kelvin - FREEZING:.1f} C)",
                f"{units.convert(pressure, 'pressure', 'inHg abs'):.2f} inHg",
                f"{units.convert(pressure, 'pressure', 'micron'):,.0f} micron",
                f"{pressure / 1e3:.2f} kPa",
            )
        )
    head = (_("water at"), _("boils at or below"), _("on a micron gauge"), _("metric"))
    return example_table(head, body, _("Vapor pressure of water, absolute"))
