"""Worked examples: what a lesson shows beside a published answer."""

from importlib import import_module
from inspect import isfunction

import pytest

from coldcab import published, worked


@pytest.mark.parametrize("example", [worked.tank_pressure_chart, worked.tank_pressure_table, worked.three_refrigerants])
def test_every_example_has_a_text_alternative(example):
    bundle = example()._repr_mimebundle_()
    assert len(bundle["text/plain"]) > 80
    assert "<table" in bundle["text/html"] or f'aria-label="{bundle["text/plain"]}"' in bundle["text/html"]


def test_a_chart_is_drawn_the_same_twice():
    assert worked.tank_pressure_chart().html == worked.tank_pressure_chart().html


def test_published_rows_are_the_printed_ones():
    assert published.rows("ncg_r12")[0]["limit_psig"] == "74"
    with pytest.raises(FileNotFoundError):
        published.rows("nothing")


@pytest.mark.parametrize(
    ("cell", "first"),
    [
        ("65.1 Btu/lb (151 kJ/kg)", "151 kJ/kg (65.1 Btu/lb)"),
        ("-4.2 F (-2.3 K)", "-2.3 K (-4.2 F)"),
        ("19,720 Btu/h (5.78 kW)", "5.78 kW (19,720 Btu/h)"),
        ("44.2 psia", "44.2 psia"),
        ("Moran (2010) example 10.1", "Moran (2010) example 10.1"),
        ("reader: 44.2 psia and 56 F", "reader: 44.2 psia and 56 F"),
    ],
)
def test_tables_obey_the_switch_of_units(monkeypatch, cell, first):
    from coldcab.lessons.example import example_table

    assert cell in example_table(("what",), [(cell,)], "shown").text
    monkeypatch.setattr("coldcab.learner.units", lambda: "si")
    assert first in example_table(("what",), [(cell,)], "shown").text


def test_every_example_is_on_the_list_of_its_lesson():
    """A page finds an example by the list, so one that is not on it would be lost."""
    for lesson, names in worked.EXAMPLES.items():
        module = import_module(f"coldcab.lessons.{lesson.replace('-', '_')}.worked")
        made = {
            name: one for name, one in vars(module).items() if isfunction(one) and one.__module__ == module.__name__
        }
        assert {name for name, one in made.items() if one.__annotations__.get("return") == "Example"} == set(names)
    assert len({name for names in worked.EXAMPLES.values() for name in names}) == sum(
        map(len, worked.EXAMPLES.values())
    )
