"""Worked examples: what a lesson shows beside a published answer."""

import re
from importlib import import_module
from inspect import isfunction

import pytest

from coldcab import published, worked
from coldcab.lessons.example import Sum
from coldcab.units import in_order
from test_units_order import PAIR, TRADE, same, trade_alone


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
        ("44.2 psia", "305 kPa absolute (44.2 psia)"),
        ("8 K (15 F)", "8 K (15 F)"),
        ("9 oz × 28.35", "9 oz × 28.35"),
        ("36.0 lb ÷ (38.0 lb × 1.109)", "16.3 kg ÷ (17.2 kg × 1.109); 36.0 lb ÷ (38.0 lb × 1.109)"),
        ("Moran (2010) example 10.1", "Moran (2010) example 10.1"),
        ("reader: 44.2 psia and 56 F", "reader: 305 kPa absolute (44.2 psia) and 13.3 C (56 F)"),
    ],
)
def test_tables_obey_the_switch_of_units(monkeypatch, cell, first):
    from coldcab.lessons.example import example_table

    assert cell in example_table(("what",), [(cell,)], "shown").text
    monkeypatch.setattr("coldcab.learner.units", lambda: "si")
    assert first in example_table(("what",), [(cell,)], "shown").text


def test_a_difference_a_column_that_repeats_and_a_bare_sum_in_si(monkeypatch):
    from coldcab.lessons.example import in_si

    head, rows = in_si(("air", "metric", "superheat"), [("50 F", "10 C", "9 F"), ("59 F", "15 C", "18 F")])
    assert head == ("metric", "air", "superheat")
    assert rows == [("10 C", "50 F", "5.0 K (9 F)"), ("15 C", "59 F", "10.0 K (18 F)")]
    assert in_si(("what", "how", "so"), [("air", "144.2 − 128.6", "15.6 psi")])[1] == [
        ("air", "994.2 − 886.7 (144.2 − 128.6)", "108 kPa (15.6 psi)")
    ]
    assert in_si(("what", "how", "so"), [("evening", "70 F + 459.7", "529.7")])[1] == [
        ("evening", "21.1 C + 273.1 (70 F + 459.7)", "294.3")
    ]


@pytest.mark.parametrize("lesson", worked.EXAMPLES)
def test_examples_read_in_si(monkeypatch, lesson):
    """Metric first or, where a column of its own repeats it, beside; each pair says the same. Of a sum the metric one
    comes first."""
    monkeypatch.setattr("coldcab.learner.units", lambda: "si")
    for name in worked.EXAMPLES[lesson]:
        for line in getattr(worked, name)()._repr_mimebundle_()["text/plain"].splitlines():
            cells = [cell.strip() for cell in re.split(r" {2,}", line)]
            metric = [cell for cell in cells if re.search(r"\d (?:kPa|C|g/yr)\b", cell) and "(" not in cell]
            for cell in cells:
                assert metric or not trade_alone(cell.partition("; ")[0]), f"{name}: {cell}"
                for pair in PAIR.finditer(cell):
                    close = same(pair["metric"], pair["trade"]) or same(f"{pair['metric']} gauge", pair["trade"])
                    assert close or not TRADE.match(pair["trade"]), f"{name}: {cell}"


PIECES = re.compile(r"(?<![A-Za-z\d.])\d+/\d+|(?<![A-Za-z\d.])[\d.]+|[×÷−()+]|(?<= )-(?= )")
STEPS = ("coil_step_by_step", "cab_step_by_step", "sums_step_by_step", "cans_step_by_step", "belt_step_by_step")


def value_of(words):
    """What a sum comes to: of its words the numbers and the signs between them."""
    return eval("".join(PIECES.findall(words.replace(",", ""))).translate(str.maketrans("×÷−", "*/-")))


def test_the_metric_sum_comes_to_the_same(monkeypatch):
    """Both sums of a step, and what the step says comes of them, worked out from the words themselves."""
    tables = []
    monkeypatch.setattr("coldcab.learner.units", lambda: "si")
    monkeypatch.setattr("coldcab.lessons.example.in_si", lambda head, body, _: tables.append(body) or (head, body))
    for name in STEPS:
        getattr(worked, name)()
    sums = [(row[1], row[2]) for table in tables for row in table if isinstance(row[1], Sum)]
    for how, result in sums:
        metric = in_order(result, "si").partition(" (")[0]
        for words, said in ((how.metric, metric), (how, result.partition(" (")[0])):
            shown = said.split()[0].replace(",", "")
            off = min(abs(value_of(words) / size - float(shown)) for size in (1, 1000))
            assert off <= 0.51 * 10 ** -len(shown.partition(".")[2]) + 0.006 * float(shown), f"{words} gives no {said}"
    assert len(sums) >= 13


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
