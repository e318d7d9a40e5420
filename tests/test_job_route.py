"""The plan follows from the finding: only the steps that this job needs, in its order."""

import pytest

from coldcab import job
from coldcab.faults import Suggestion, catalogue, measurements
from coldcab.job import contradictions, page, route, stages
from coldcab.job.as_found import Cause, Finding


def told(**entries):
    one = job.Job()
    for key, text in entries.items():
        one = one.having(key.replace("__", "."), text)
    return one


def finding(*names, blocked=False):
    return Finding("", (Cause(names, 0.9, "", ""),), (), blocked, 0.0, 1)


NOT_COLD = told(work__complaint="not cold")


@pytest.mark.parametrize(
    ("one", "found", "kind", "first"),
    [
        (told(work__complaint="lost its charge"), None, "open", ("before", "leak", "recover")),
        (told(work__complaint="compressor failed"), None, "open", ("before", "leak", "recover", "debris")),
        (told(work__findings="condenser dirty"), None, "cause", ("before", "outside")),
        (NOT_COLD, finding("condenser blocked", "hot air recirculated"), "cause", ("before", "outside")),
        (NOT_COLD, finding("clutch does not engage"), "cause", ("before", "outside")),
        (NOT_COLD, finding("charge high"), "fill", ("before", "recover", "vacuum", "charge")),
        (NOT_COLD, finding("valve stuck shut"), "open", ("before", "leak", "recover")),
        (NOT_COLD, Finding("", (), (), True, 9.0, empty=True), "open", ("before", "leak", "recover")),
        (told(work__complaint="cools at times"), None, "watch", ("before", "watch")),
        (told(found__comes_and_goes="yes"), finding("clutch does not engage"), "watch", ("before", "watch")),
        (NOT_COLD, finding("charge low", blocked=True), "measure", ("before", "measure")),
        (told(), None, "measure", ("before", "measure")),
        (NOT_COLD, finding("charge low", "condenser blocked"), "cause", ("before", "outside", "measure")),
        (told(work__replaced="compressor"), finding("condenser blocked"), "open", ("before", "leak", "recover")),
    ],
)
def test_the_route_of_a_finding(one, found, kind, first):
    way = route.route(one, found)
    assert way.kind == kind
    assert way.sections[: len(first)] == first


def test_nothing_inside_is_not_an_unknown_gas():
    said = " ".join(job.plan(told(work__inside="nothing", work__complaint="lost its charge")).sections[0].steps)
    assert "flammable" not in said.lower()
    assert "Nothing is inside" in said


def test_a_machine_born_with_its_refrigerant_gets_no_retrofit_label():
    made = job.plan(told(machine__original_refrigerant="R-134a", work__complaint="lost its charge"))
    assert made.label is None
    assert "retrofitted" not in page.html(made).lower()


def test_what_comes_and_goes_is_not_recharged():
    made = job.plan(told(work__complaint="cools at times", machine__charge="2 lb"))
    assert "charge" not in [section.key for section in made.sections]
    assert any("Ice" in step for step in made.sections[1].steps)


def test_no_label_where_the_circuit_stays_shut():
    born = told(machine__original_refrigerant="R-12", work__refrigerant="R-134a", work__inside="R-134a")
    assert job.plan(born.having("work.complaint", "cools at times")).label is None
    assert job.plan(born.having("work.complaint", "lost its charge")).label is not None


def test_low_charge_by_the_readings_is_a_leak_to_find():
    assert route.leak(NOT_COLD, finding("charge low")).steps == route.LEAK
    assert route.leak(NOT_COLD, finding("valve stuck shut")) is None


@pytest.mark.parametrize(
    ("one", "says"),
    [
        (told(machine__original_refrigerant="R-12", work__refrigerant="R-1234yf"), "newly made machines only"),
        (told(machine__original_refrigerant="R-1234yf", work__refrigerant="R-134a"), "its ports fit nothing else"),
        (told(work__inside="R-1234yf", work__refrigerant="R-134a"), "its ports fit nothing else"),
        (told(machine__like="compact loader", work__inside="R-134a"), ""),
        (told(machine__original_refrigerant="R-1234yf", work__inside="R-134a"), "mixed up a cylinder"),
        (told(work__inside="R-1234yf", work__new_oil="mineral"), "does not mix with R-1234yf"),
    ],
)
def test_the_newest_refrigerant_stays_with_its_machines(one, says):
    said = contradictions.contradictions(one)
    assert any(says in each for each in said) if says else said == ()


def test_what_burns_is_said_where_it_is_inside():
    made = job.plan(told(work__inside="R-1234yf", work__complaint="lost its charge", machine__charge="1 lb 6 oz"))
    assert made.label is None
    assert "compact loader" in made.about
    for key in ("before", "charge"):
        assert any("R-1234yf" in one for one in made.section(key).cautions)
    assert any("A2L" in one for one in made.section("before").cautions)
    assert not stages.burning(told(work__inside="R-134a"))


@pytest.mark.parametrize("condenser", ["parallel flow", "serpentine"])
def test_parts_and_flushes_agree(condenser):
    made = job.plan(
        told(
            machine__condenser=condenser, machine__original_refrigerant="R-12", work__complaint="compressor failed",
            work__replaced="compressor, receiver-drier", work__rinsed="condenser, evaporator",
        )
    )  # fmt: skip
    flushed = [one.label for one in made.section("rinse").figures]
    said = " ".join(step for key in ("debris", "parts") for step in made.section(key).steps).lower()
    if condenser == "parallel flow":
        assert not any("condenser" in label for label in flushed)
        assert "parallel-flow condenser: replace it" in said
        assert "condenser: inspect" not in said
    else:
        assert any("condenser" in label for label in flushed)


def test_causes_that_cannot_be_told_apart_are_separated_before_the_circuit_is_opened():
    causes = Cause(("charge low",), 0.6, "", ""), Cause(("drier restricted",), 0.3, "", "")
    step = Suggestion(measurements["glass"], 1.0, 0.5, "")
    found = Finding("", causes, (step,), False, 0.0, 2)
    assert route.route(NOT_COLD, found).sections[:4] == ("before", "measure", "leak", "recover")
    assert "look at the sight glass" in route.measure(found).steps[0]


def test_nobody_spoke_of_a_conversion():
    assert not stages.converts(NOT_COLD)
    assert stages.converts(told(work__inside="R-12"))


def test_every_step_outside_the_circuit_belongs_to_a_fault():
    assert set(route.OUTSIDE_STEPS) == route.AIR_SIDE | route.DRIVE
    assert set(route.OUTSIDE_STEPS) | route.FILL <= set(catalogue)
