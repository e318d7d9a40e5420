"""Worked examples by their name alone: ``worked.sick_loops()``; each lies in the folder of its lesson."""

from __future__ import annotations

from importlib import import_module
from typing import Any

EXAMPLES = {
    "cycle-1": (
        "air_pressure_table",
        "tank_pressure_table",
        "tank_pressure_chart",
        "yard_step_by_step",
        "parked_step_by_step",
    ),
    "cycle-2": (
        "before_and_after_lunch",
        "compressors_by_the_chart",
        "three_refrigerants",
        "sick_loops",
    ),
    "cycle-3": (
        "coil_step_by_step",
        "cab_step_by_step",
        "lost_cold_step_by_step",
        "signs_of_the_air_side",
        "in_order_today",
        "cab_categories",
    ),
    "cycle-4": (
        "superheat_step_by_step",
        "block_step_by_step",
        "faults_side_by_side",
    ),
    "retrofit-1": (
        "specific_gravity",
        "cylinder_step_by_step",
        "air_limits",
        "recovery_depths",
        "gas_left_behind",
        "facts",
        "law_of_today",
        "what_may_be_changed",
        "fittings_of_each",
        "findings",
        "recovery_over_time",
    ),
    "retrofit-2": (
        "boiling_water",
        "printed_pumping_times",
        "flushes_step_by_step",
        "water_that_stays",
        "nitrogen_over_night",
    ),
    "retrofit-3": (
        "measured_conversion",
        "conversion_step_by_step",
        "liquid_densities",
        "decisions",
        "label_fields",
        "example_label",
        "fittings",
        "changes",
        "warming_potentials",
        "leak_history",
    ),
    "leak-1": (
        "published_leaks",
        "what_can_remain",
        "sums_step_by_step",
        "one_hunt_step_by_step",
        "years_of_leaking",
    ),
    "retrofit-4": (
        "plateau_measured",
        "missing_charge_measured",
        "densities",
        "cans_step_by_step",
        "missing_charge_elsewhere",
    ),
    "rebuild-1": (
        "deaths_of_compressors",
        "belt_step_by_step",
        "ring_step_by_step",
        "oil_for_the_new_compressor",
        "torques_by_thread",
    ),
    "oil-1": (
        "ten_tins_for_the_tractor",
        "ten_tins_for_the_electric_loader",
        "water_by_the_hour",
        "oil_and_refrigerant_table",
        "drier_table",
        "seal_table",
        "oil_by_weight_table",
        "flush_table",
    ),
    "oil-2": (
        "retained_oil_table",
        "leak_step_by_step",
        "clerk_step_by_step",
        "one_swap_step_by_step",
    ),
    "faults-1": (
        "circuit_under_load",
        "coil_by_temperature",
        "sensor_step_by_step",
    ),
    "faults-2": (
        "three_combines",
        "without_a_glass",
    ),
    "faults-3": (
        "one_job",
        "by_hand",
    ),
    "faults-4": ("manual_symptoms",),
    "capstone": (
        "readings_beside_the_healthy",
        "oil_of_a_job",
        "night_and_pump",
        "scale_of_a_job",
        "water_vapor_pressure",
    ),
}
"""The examples of each lesson, in a list, so that a page loads the few it shows."""


def __getattr__(name: str) -> Any:
    for lesson, names in EXAMPLES.items():
        if name in names:
            return getattr(import_module(f"coldcab.lessons.{lesson.replace('-', '_')}.worked"), name)
    raise AttributeError(f"coldcab.worked has no example {name!r}.")
