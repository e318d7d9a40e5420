"""What the property tables save against calling CoolProp, measured side by side in one run.

``pytest tests/benchmarks/test_properties.py`` prints times and ratios. Times depend on the machine and are no
tests; what is asserted is that both ways give the same numbers.
"""

import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np
import pytest
from CoolProp import CoolProp as cp

from coldcab import cycle, refrigerants

MANY = 1_000_000
SOME = 4_000  # calls of PropsSI that are really made; its time for MANY is extrapolated from them


def least_time(call: Callable[[], object], repeats: int = 5) -> float:
    """Seconds: the least of several runs is the one least disturbed by others on the machine."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.fixture
def say(capsys: pytest.CaptureFixture) -> Callable[[str], None]:
    def print_(text: str) -> None:
        with capsys.disabled():
            print(f"\n  {text}", end="")

    return print_


def test_fresh_process(say: Callable) -> None:
    """From the start of Python to the first saturation pressure; the aim is 0.25 s."""
    ours = "import coldcab; print(coldcab.refrigerants.saturation_pressure('R-134a', 280.0))"
    theirs = "from CoolProp.CoolProp import PropsSI; print(PropsSI('P', 'T', 280.0, 'Q', 1, 'R134a'))"
    answers = []

    def run(code: str) -> None:
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        answers.append(float(done.stdout))

    empty = least_time(lambda: run("print(0)"))
    table, engine = least_time(lambda: run(ours)), least_time(lambda: run(theirs), 3)
    say(f"fresh process to first answer: tables {table:.2f} s, CoolProp {engine:.2f} s ({engine / table:.0f} x);")
    say(f"  of both, Python alone {empty:.2f} s")
    assert answers[-1] == pytest.approx(answers[-4], rel=1e-4)


def test_a_million_saturation_pressures(say: Callable) -> None:
    """One call with an array against a loop of PropsSI; the aim is 50 times."""
    t = np.random.default_rng(1).uniform(233, 355, MANY)
    refrigerants.saturation_pressure("R-134a", t[:10])
    table = least_time(lambda: refrigerants.saturation_pressure("R-134a", t))

    def loop() -> list[float]:
        return [cp.PropsSI("P", "T", x, "Q", 1, "R134a") for x in t[:SOME]]

    loop()
    engine = least_time(loop, 3) * MANY / SOME
    say(
        f"{MANY} saturation pressures: tables {table:.3f} s, PropsSI {engine:.1f} s "
        f"(extrapolated from {SOME} calls): {engine / table:.0f} x"
    )
    np.testing.assert_allclose(refrigerants.saturation_pressure("R-134a", t[:SOME]), loop(), rtol=1e-4)


def test_one_at_a_time(say: Callable) -> None:
    """Single numbers, as a slider needs them, against PropsSI and CoolProp's low-level interface."""
    engine = cp.AbstractState("HEOS", "R134a")

    def low_level() -> float:
        engine.update(cp.PT_INPUTS, 3e5, 300.0)
        return engine.hmass()

    ways = {
        "tables, saturation pressure": lambda: refrigerants.saturation_pressure("R-134a", 280.0),
        "PropsSI, saturation pressure": lambda: cp.PropsSI("P", "T", 280.0, "Q", 1, "R134a"),
        "tables, state at p and T": lambda: refrigerants.state("R-134a", pressure=3e5, temperature=300.0),
        "PropsSI, enthalpy at p and T": lambda: cp.PropsSI("H", "P", 3e5, "T", 300.0, "R134a"),
        "CoolProp low level, state at p and T": low_level,
    }
    for name, call in ways.items():
        call()
        micro = least_time(lambda call=call: [call() for _ in range(500)]) / 500 * 1e6
        say(f"{name}: {micro:.1f} microseconds")
    ours = refrigerants.state("R-134a", pressure=3e5, temperature=300.0).enthalpy
    zero = refrigerants.state("R-134a", pressure=3e5, quality=0.0).enthalpy
    assert ours - zero == pytest.approx(low_level_difference(engine), rel=1e-4)


def low_level_difference(engine: object) -> float:
    """Enthalpy of vapour at 3 bar and 300 K above that of saturated liquid, J/kg."""
    engine.update(cp.PQ_INPUTS, 3e5, 0)
    liquid = engine.hmass()
    engine.update(cp.PT_INPUTS, 3e5, 300.0)
    return engine.hmass() - liquid


def test_whole_cycles(say: Callable) -> None:
    """A cycle with superheat, subcooling and efficiency: one, ten thousand at once, and by PropsSI."""
    rng = np.random.default_rng(2)
    cold, warm = rng.uniform(255, 285, 10_000), rng.uniform(305, 335, 10_000)

    def ours(one: float | np.ndarray, two: float | np.ndarray) -> cycle.Cycle:
        return cycle.vapor_compression(
            "R-134a",
            evaporating_temperature=one,
            condensing_temperature=two,
            superheat=5.0,
            subcooling=3.0,
            isentropic_efficiency=0.7,
        )

    def theirs(one: float, two: float) -> float:
        low, high = (cp.PropsSI("P", "T", t, "Q", 1, "R134a") for t in (one, two))
        h1, s1 = (cp.PropsSI(k, "P", low, "T", one + 5, "R134a") for k in "HS")
        work = (cp.PropsSI("H", "P", high, "S", s1, "R134a") - h1) / 0.7
        cp.PropsSI("T", "P", high, "H", h1 + work, "R134a")
        return (h1 - cp.PropsSI("H", "P", high, "T", two - 3, "R134a")) / work

    ours(cold[:2], warm[:2])
    single = (
        least_time(lambda: [ours(a, b) for a, b in zip(cold[:100].tolist(), warm[:100].tolist(), strict=True)]) / 100
    )
    many = least_time(lambda: ours(cold, warm)) / cold.size
    engine = least_time(lambda: [theirs(a, b) for a, b in zip(cold[:100], warm[:100], strict=True)], 3) / 100
    say(f"one cycle: PropsSI {engine * 1e6:.0f}, tables {single * 1e6:.0f} ({engine / single:.0f} x),")
    say(f"  tables in arrays of 10000: {many * 1e6:.1f} microseconds ({engine / many:.0f} x)\n")
    found = ours(cold[:20], warm[:20]).cop
    np.testing.assert_allclose(found, [theirs(a, b) for a, b in zip(cold[:20], warm[:20], strict=True)], rtol=2e-4)
