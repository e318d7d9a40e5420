"""Write the property nodes of R-12 in R-134a from CoolProp: ``python -m coldcab.machine.generate_blend``.

Run by a developer after a change of CoolProp (needs SciPy, a test dependency; about a minute). CoolProp's binary model
of the pair is not checked against measured mixtures. The blend is treated as one pseudo-pure fluid: at each pressure
the liquid is that of the bubble point, the vapour that of the dew point, and the temperature of the two-phase region
is the mean of both (they lie at most about 1.5 K apart).
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any, cast

import numpy as np

from coldcab.refrigerants import grid

SHARES = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5)  # mass shares of R-12
SATURATION_NODES, TEMPERATURE_NODES = 60, 60
VAPOR_NODES, LIQUID_NODES = (24, 20), (20, 14)
LOWEST_PRESSURE = 8e3  # Pa
WARMEST = 355.0  # K, dew point at the top; CoolProp finds no saturated states of the half-and-half blend above 357 K
LINE_NODES = 120
VAPOR_EDGE = 470.0  # K
PURE = ("R134a", "R12")


def nodes(share: float) -> dict[str, np.ndarray]:
    """All arrays of one composition in the layout of `coldcab.refrigerants.FluidTable`."""
    import CoolProp
    from CoolProp import CoolProp as cp
    from scipy.interpolate import CubicSpline  # type: ignore[import-untyped]

    fluid = cp.AbstractState("HEOS", "&".join(PURE)) if share else cp.AbstractState("HEOS", PURE[0])
    if share:
        fluid.set_mass_fractions([1.0 - share, share])
    tops = [cp.PropsSI("Tcrit", name) for name in PURE], [cp.PropsSI("pcrit", name) for name in PURE]
    critical_temperature, critical_pressure = ((1.0 - share) * a + share * b for a, b in tops)

    def at(inputs: Any, first: float, second: float, phase: Any = None) -> tuple[float, ...]:
        if phase is not None:
            fluid.specify_phase(phase)
        fluid.update(inputs, first, second)
        if phase is not None:
            fluid.unspecify_phase()
        return fluid.T(), 1.0 / fluid.rhomass(), fluid.hmass(), fluid.smass()

    at(cp.QT_INPUTS, 0.0, 273.15)
    shift_h, shift_s = 200e3 - fluid.hmass(), 1000.0 - fluid.smass()

    # The bubble and the dew line over ln p. Flashes at a given temperature are the ones that CoolProp solves up to the
    # top; the lines between them are splines.
    lines = []
    for quality, coldest_flash in ((0.0, 190.0), (1.0, 190.0)):
        flashes, pressures = [], []
        for temperature in np.linspace(coldest_flash, WARMEST, LINE_NODES):
            flashes.append(at(cp.QT_INPUTS, quality, temperature))
            pressures.append(math.log(fluid.p()))
        t, v, h, s = np.array(flashes).T
        lines.append(CubicSpline(pressures, np.array([t, np.log(v), h, s]), axis=1))

    def both(p: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
        found = []
        for line in lines:
            t, log_v, h, s = line(math.log(p)).tolist()
            found.append((t, math.exp(log_v), h, s))
        return found[0], found[1]

    highest = math.exp(lines[1].x[-1])
    scale = grid.PressureScale(math.log(critical_pressure), math.log(LOWEST_PRESSURE), math.log(highest))
    coldest, warmest = (0.5 * sum(side[0] for side in both(p)) for p in (LOWEST_PRESSURE, highest))
    liquid_edge = coldest - grid.LIQUID_MARGIN

    def single(p: float, temperatures: np.ndarray, phase: int) -> np.ndarray:
        return np.array([at(cp.PT_INPUTS, p, t, phase) for t in temperatures]).T

    def sides(p: float) -> tuple[np.ndarray, np.ndarray, tuple[float, ...], tuple[float, ...]]:
        """Liquid and vapour away from saturation, and the two saturated states."""
        liquid, vapor = both(p)
        spread = np.sinh(2.5 * np.linspace(0, 1, 40)) / math.sinh(2.5)
        hot = single(p, vapor[0] + (VAPOR_EDGE - vapor[0]) * spread[1:], cp.iphase_gas)
        cold = single(p, liquid[0] - (liquid[0] - liquid_edge) * spread[1:], cp.iphase_liquid)
        return np.column_stack([liquid, cold]), np.column_stack([vapor, hot]), liquid, vapor

    table: list[list[float]] = []
    for x in scale.nodes(SATURATION_NODES):
        p = math.exp(x)
        liquid, vapor = both(p)
        hot = at(cp.PT_INPUTS, p, VAPOR_EDGE, cp.iphase_gas)
        cold = at(cp.PT_INPUTS, p, liquid_edge, cp.iphase_liquid)
        table.append(
            [
                0.5 * (liquid[0] + vapor[0]),
                liquid[1],
                p * vapor[1],
                liquid[2] + shift_h,
                vapor[2] + shift_h,
                liquid[3] + shift_s,
                vapor[3] + shift_s,
                hot[2] - vapor[2],
                hot[3] - vapor[3],
                liquid[2] - cold[2],
            ]
        )
    saturation = np.array(table).T
    by_temperature = CubicSpline(saturation[0], scale.nodes(SATURATION_NODES))

    rows, columns = VAPOR_NODES
    vapor_nodes, vapor_by_t, vapor_by_s = (np.zeros((k, rows, columns)) for k in (3, 1, 1))
    shares = grid.shares(columns, grid.SUPERHEAT_BEND)
    for i, x in enumerate(scale.nodes(rows)):
        p = math.exp(x)
        _, (t, v, h, s), liquid, vapor = sides(p)
        mean = 0.5 * (liquid[0] + vapor[0])
        of_h = CubicSpline(h - h[0], np.array([t - mean, p * (v - v[0]), s - s[0]]), axis=1)
        vapor_nodes[:, i] = of_h(shares * (h[-1] - h[0]))
        asked = mean + shares * (VAPOR_EDGE - mean)
        vapor_by_t[0, i] = CubicSpline(t, h - h[0])(asked)
        vapor_by_s[0, i] = CubicSpline(s - s[0], h - h[0])(shares * (s[-1] - s[0]))

    rows, columns = LIQUID_NODES
    liquid_nodes, liquid_by_t = (np.zeros((k, rows, columns)) for k in (3, 1))
    shares = grid.shares(columns, grid.SUBCOOLING_BEND)
    for i, x in enumerate(scale.nodes(rows)):
        p = math.exp(x)
        (t, v, h, s), _, liquid, vapor = sides(p)
        mean = 0.5 * (liquid[0] + vapor[0])
        of_h = CubicSpline(h[0] - h, np.array([t - mean, v - v[0], s - s[0]]), axis=1)
        liquid_nodes[:, i] = of_h(shares * (h[0] - h[-1]))
        asked = mean - shares * (mean - liquid_edge)
        liquid_by_t[0, i] = CubicSpline(t[::-1], (h - h[0])[::-1])(asked)

    return {
        "designation": np.array(f"R-134a/R-12 ({100 - 100 * share:g}/{100 * share:g})"),
        "coolprop_version": np.array(CoolProp.__version__),
        "source": np.array("CoolProp binary model of R-134a and R-12"),
        "molar_mass": np.array(fluid.molar_mass()),
        "critical": np.array([critical_temperature, critical_pressure, 530.0]),
        "limits": np.array([200.0, critical_temperature, VAPOR_EDGE, LOWEST_PRESSURE, critical_pressure, 1e7]),
        "pressure_range": np.array([LOWEST_PRESSURE, highest]),
        "temperature_range": np.array([coldest, warmest]),
        "edges": np.array([liquid_edge, VAPOR_EDGE]),
        "saturation": saturation,
        "log_pressure": by_temperature(np.linspace(coldest, warmest, TEMPERATURE_NODES)),
        "vapor": vapor_nodes,
        "vapor_by_temperature": vapor_by_t,
        "vapor_by_entropy": vapor_by_s,
        "liquid": liquid_nodes,
        "liquid_by_temperature": liquid_by_t,
    }


def main() -> None:
    """Write all compositions into one file beside this one."""
    found = [nodes(share) for share in SHARES]
    numbers = [name for name in found[0] if found[0][name].dtype.kind == "f"]
    stacked = {name: np.array([one[name] for one in found]) for name in numbers}
    target = Path(__file__).parent / "r12_in_r134a.npz"
    np.savez_compressed(
        target,
        shares=np.array(SHARES),
        coolprop_version=found[0]["coolprop_version"],
        source=found[0]["source"],
        **cast(Any, stacked),
    )
    print(f"{target.name}: {target.stat().st_size / 1024:.0f} kB")


if __name__ == "__main__":
    main()
