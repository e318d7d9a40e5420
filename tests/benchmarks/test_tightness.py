"""How well the rise test tells four kinds of rises apart.

``pytest tests/benchmarks/test_tightness.py`` prints the table. The curves are synthetic (`rise_curves`): shares in a
shop will be lower.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable

import pytest

from coldcab.machine.transients import rise_pattern
from coldcab.service.rise_test import CANNOT_TELL, CLASSES, judge
from rise_curves import Rise, rises

COUNT = 2000


@pytest.fixture
def say(capsys: pytest.CaptureFixture) -> Callable[[str], None]:
    def print_(text: str) -> None:
        with capsys.disabled():
            print(f"\n  {text}", end="")

    return print_


@pytest.fixture(scope="module")
def curves() -> list[Rise]:
    return rises(COUNT, seed=2026)


def confusion(curves: list[Rise], answer: Callable[[Rise], str]) -> Counter:
    return Counter((one.truth, answer(one)) for one in curves)


def shares(table: Counter) -> tuple[float, float]:
    """Share judged, and share right of those judged."""
    judged = sum(count for (_, verdict), count in table.items() if verdict != CANNOT_TELL)
    return judged / table.total(), sum(table[one, one] for one in CLASSES) / max(judged, 1)


def printed(table: Counter, say: Callable[[str], None]) -> None:
    answers = (*CLASSES, CANNOT_TELL)
    say(f"{'truth':22}" + "".join(f"{one:>22}" for one in answers))
    for truth in CLASSES:
        say(f"{truth:22}" + "".join(f"{table[truth, one]:>22}" for one in answers))
    judged, right = shares(table)
    say(f"judged {100 * judged:.1f} %, right of those {100 * right:.1f} %")


@pytest.mark.parametrize("warmth", ["temperature not given", "temperature given"])
def test_two_thousand_rises(curves: list[Rise], warmth: str, say: Callable[[str], None]) -> None:
    given = warmth == "temperature given"
    start = time.perf_counter()
    table = confusion(
        curves,
        lambda one: (
            judge(
                one.time,
                one.pressure,
                resolution=one.resolution,
                noise=one.noise,
                temperature=one.temperature if given else None,
            ).verdict
        ),
    )
    each = (time.perf_counter() - start) / COUNT
    say(f"{COUNT} rises, {warmth}, {1e3 * each:.1f} ms each")
    printed(table, say)
    judged, right = shares(table)
    assert judged >= 0.80
    assert right >= 0.95


def test_gauge_not_known(curves: list[Rise], say: Callable[[str], None]) -> None:
    """The usual scatter and last digit are taken for every gauge, whatever it really has: printed, no limit set."""
    table = confusion(curves, lambda one: judge(one.time, one.pressure).verdict)
    say("scatter and last digit not given")
    printed(table, say)
    assert table.total() == COUNT


def test_by_the_bend_alone(curves: list[Rise], say: Callable[[str], None]) -> None:
    """What a rule of first and last quarter gives on the same curves: it never abstains."""
    table = confusion(curves, lambda one: rise_pattern(one.time, one.pressure, resolution=one.resolution))
    say("by the bend alone")
    printed(table, say)
    judged, right = shares(table)
    fitted = shares(
        confusion(curves, lambda one: judge(one.time, one.pressure, resolution=one.resolution, noise=one.noise).verdict)
    )
    say(
        f"wrong answers: {100 * judged * (1 - right):.1f} % of all rises, "
        f"fitted {100 * fitted[0] * (1 - fitted[1]):.1f} %"
    )
    assert judged * (1 - right) > fitted[0] * (1 - fitted[1])
