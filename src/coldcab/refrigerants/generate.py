"""Write the property tables from CoolProp: ``python -m coldcab.refrigerants.generate``.

Run by a developer after a change of grid.py or of CoolProp. CoolProp (I. H. Bell et al., Ind. Eng. Chem.
Res. 53, 2014, 2498) evaluates the published equations of state named in SOURCES; the tables hold its values
at nodes.
"""

import argparse
import math
from pathlib import Path
from typing import Any

import numpy as np

from . import grid

FLUIDS = {"R-12": "R12", "R-134a": "R134a", "R-152a": "R152A", "R-1234yf": "R1234yf"}
# Authors and years as CoolProp names its sources; journal, volume and page from memory.
SOURCES = {
    "R-12": "Marx, Pruss and Wagner 1992",
    "R-134a": "Tillner-Roth and Baehr 1994, J. Phys. Chem. Ref. Data 23, 657",
    "R-152a": "Outcalt and McLinden 1996, J. Phys. Chem. Ref. Data 25, 605",
    "R-1234yf": "Lemmon and Akasaka 2022, Int. J. Thermophys. 43, 119",
}
ICE_POINT = 273.15  # K, where saturated liquid has 200 kJ/kg and 1 kJ/(kg K)


def nodes(designation: str) -> dict[str, np.ndarray]:
    """All arrays of one table, SI units, enthalpy and entropy from the IIR reference state."""
    import CoolProp
    from CoolProp import CoolProp as cp

    fluid: Any = cp.AbstractState("HEOS", FLUIDS[designation])
    fluid.update(cp.QT_INPUTS, 0, ICE_POINT)
    shift_h, shift_s = 200e3 - fluid.hmass(), 1000.0 - fluid.smass()

    def at(inputs: int, first: float, second: float) -> tuple[float, float, float, float]:
        fluid.update(inputs, first, second)
        return fluid.T(), 1 / fluid.rhomass(), fluid.hmass() + shift_h, fluid.smass() + shift_s

    critical = fluid.T_critical(), fluid.p_critical(), fluid.rhomass_critical()
    low = grid.LOWEST_PRESSURE
    fluid.update(cp.QT_INPUTS, 1, grid.HIGHEST_REDUCED_TEMPERATURE * critical[0])
    high = fluid.p()
    scale = grid.PressureScale(math.log(critical[1]), math.log(low), math.log(high))
    coldest = at(cp.PQ_INPUTS, low, 0)[0]
    liquid_edge, vapor_edge = coldest - grid.LIQUID_MARGIN, grid.HIGHEST_TEMPERATURE

    def line(log_pressure: float) -> list[float]:
        """The saturation functions at one pressure, in the order of fluid_table.SaturationLine."""
        p = math.exp(log_pressure)
        temperature, vf, hf, sf = at(cp.PQ_INPUTS, p, 0)
        _, vg, hg, sg = at(cp.PQ_INPUTS, p, 1)
        _, _, h_hot, s_hot = at(cp.PT_INPUTS, p, vapor_edge)
        _, _, h_cold, _ = at(cp.PT_INPUTS, p, liquid_edge)
        return [temperature, vf, p * vg, hf, hg, sf, sg, h_hot - hg, s_hot - sg, hf - h_cold]

    saturation = np.array([line(x) for x in scale.nodes(grid.SATURATION_NODES)]).T

    warmest = grid.HIGHEST_REDUCED_TEMPERATURE * critical[0]
    log_pressure = []
    for temperature in np.linspace(coldest, warmest, grid.TEMPERATURE_NODES):
        fluid.update(cp.QT_INPUTS, 1, temperature)
        log_pressure.append(math.log(fluid.p()))

    rows, columns = grid.VAPOR_NODES
    vapor, vapor_by_t, vapor_by_s = (np.zeros((k, rows, columns)) for k in (3, 1, 1))
    for i, x in enumerate(scale.nodes(rows)):
        p = math.exp(x)
        temperature, _, pvg, _, hg, _, sg, span_h, span_s, _ = line(x)
        # The first column is the saturation line itself: differences from it are zero.
        for j, share in list(enumerate(grid.shares(columns, grid.SUPERHEAT_BEND)))[1:]:
            t, v, _, s = at(cp.HmassP_INPUTS, hg + share * span_h - shift_h, p)
            vapor[:, i, j] = t - temperature, p * v - pvg, s - sg
            h = at(cp.PT_INPUTS, p, temperature + share * (vapor_edge - temperature))[2]
            vapor_by_t[0, i, j] = h - hg
            h = at(cp.PSmass_INPUTS, p, sg + share * span_s - shift_s)[2]
            vapor_by_s[0, i, j] = h - hg

    rows, columns = grid.LIQUID_NODES
    liquid, liquid_by_t = (np.zeros((k, rows, columns)) for k in (3, 1))
    for i, x in enumerate(scale.nodes(rows)):
        p = math.exp(x)
        temperature, vf, _, hf, _, sf, _, _, _, span_h = line(x)
        for j, share in list(enumerate(grid.shares(columns, grid.SUBCOOLING_BEND)))[1:]:
            t, v, _, s = at(cp.HmassP_INPUTS, hf - share * span_h - shift_h, p)
            liquid[:, i, j] = t - temperature, v - vf, s - sf
            h = at(cp.PT_INPUTS, p, temperature - share * (temperature - liquid_edge))[2]
            liquid_by_t[0, i, j] = h - hf

    return {
        "designation": np.array(designation),
        "coolprop_version": np.array(CoolProp.__version__),
        "source": np.array(SOURCES[designation]),
        "molar_mass": np.array(fluid.molar_mass()),
        "critical": np.array(critical),
        "limits": _limits(fluid),
        "pressure_range": np.array([low, high]),
        "temperature_range": np.array([coldest, warmest]),
        "edges": np.array([liquid_edge, vapor_edge]),
        "saturation": saturation,
        "log_pressure": np.array(log_pressure),
        "vapor": vapor,
        "vapor_by_temperature": vapor_by_t,
        "vapor_by_entropy": vapor_by_s,
        "liquid": liquid,
        "liquid_by_temperature": liquid_by_t,
    }


def _limits(fluid: Any) -> np.ndarray:
    """The numbers of ranges.FluidLimits."""
    from CoolProp import CoolProp as cp

    fluid.update(cp.QT_INPUTS, 1, fluid.Tmin())
    lowest_pressure = fluid.p()
    return np.array([fluid.Tmin(), fluid.T_critical(), fluid.Tmax(), lowest_pressure, fluid.p_critical(), fluid.pmax()])


def main(arguments: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description="Write the property tables from CoolProp.")
    parser.add_argument("--to", type=Path, default=Path(__file__).parent / "tables", help="folder for the tables")
    folder = parser.parse_args(arguments).to
    folder.mkdir(parents=True, exist_ok=True)
    for designation in FLUIDS:
        target = folder / f"{designation}.npz"
        np.savez(target, **nodes(designation))  # type: ignore[arg-type]  # names of arrays, not its own options
        print(f"{designation}: {target.stat().st_size / 1024:.0f} kB")


if __name__ == "__main__":
    main()
