"""States straight from CoolProp, for refrigerants and states outside the tables.

CoolProp is imported on first use only. It works on one state at a time. Its own messages name quantities the
user never gave, so every failure becomes one sentence of ours.
"""

import functools
import math

from coldcab.quantities import FREEZING, SI, show
from coldcab.words import _

from .names import engine_name
from .ranges import FluidLimits, RangeError

# Phases by CoolProp's numbers: 0 liquid, 1 supercritical, 2 gas above the critical temperature,
# 3 liquid above the critical pressure, 4 critical point, 5 gas, 6 two-phase.
PHASES = {
    0: "subcooled liquid",
    1: "supercritical fluid",
    2: "superheated vapor",
    3: "compressed liquid",
    4: "critical point",
    5: "superheated vapor",
    6: "two-phase",
}


class ExactFluid:
    """One fluid or blend in CoolProp, in SI units with 200 kJ/kg and 1 kJ/(kg K) for liquid at 0 C."""

    def __init__(self, designation: str):
        try:
            import CoolProp
            from CoolProp import CoolProp as cp
        except ImportError:  # as in a browser, which has the tables alone
            raise RangeError(
                _(
                    "The course in a browser knows nothing of {designation} there; choose another state, or use the "
                    "course that is installed on a computer."
                ).format(designation=designation)
            ) from None
        name, fractions = engine_name(designation)
        self.designation, self._cp = designation, cp
        try:
            self._engine = cp.AbstractState("HEOS", name)
            if fractions:
                self._engine.set_mass_fractions(list(fractions))
            self._engine.update(cp.QT_INPUTS, 0, FREEZING)
        except ValueError:
            raise RangeError(
                f"CoolProp {CoolProp.__version__} has no working model for {designation}; choose another."
            ) from None
        self.blend = "&" in name or name.endswith(".mix")
        self._shift = 200e3 - self._engine.hmass(), 1000.0 - self._engine.smass()
        self.limits = self._limits()
        self._pairs = {
            frozenset(("pressure", "temperature")): (cp.PT_INPUTS, "pressure"),
            frozenset(("pressure", "quality")): (cp.PQ_INPUTS, "pressure"),
            frozenset(("quality", "temperature")): (cp.QT_INPUTS, "quality"),
            frozenset(("pressure", "enthalpy")): (cp.HmassP_INPUTS, "enthalpy"),
            frozenset(("pressure", "entropy")): (cp.PSmass_INPUTS, "pressure"),
            frozenset(("pressure", "density")): (cp.DmassP_INPUTS, "density"),
            frozenset(("temperature", "density")): (cp.DmassT_INPUTS, "density"),
            frozenset(("temperature", "entropy")): (cp.SmassT_INPUTS, "entropy"),
            frozenset(("enthalpy", "entropy")): (cp.HmassSmass_INPUTS, "enthalpy"),
            frozenset(("density", "enthalpy")): (cp.DmassHmass_INPUTS, "density"),
            frozenset(("density", "entropy")): (cp.DmassSmass_INPUTS, "density"),
        }

    def _limits(self) -> FluidLimits:
        engine = self._engine
        lowest, highest, highest_pressure = engine.Tmin(), engine.Tmax(), engine.pmax()
        if self.blend:
            # The critical point of a blend is slow and not always found: the engine judges each state itself.
            return FluidLimits(lowest, highest, highest, 1.0, highest_pressure, highest_pressure)
        engine.update(self._cp.QT_INPUTS, 1, lowest)
        return FluidLimits(lowest, engine.T_critical(), highest, engine.p(), engine.p_critical(), highest_pressure)

    def state(self, given: dict[str, float]) -> tuple[float, float, float, float, float, float, str]:
        """Pressure, temperature, density, enthalpy, entropy, quality (NaN in one phase) and phase."""
        self.limits.check(self.designation, given)
        if "temperature" in given:  # a rounding error beyond an end is let through by the check
            low, high = self.limits.lowest_temperature, self.limits.highest_temperature
            given = given | {"temperature": min(max(given["temperature"], low), high)}
        inputs, first = self._pairs[frozenset(given)]
        shift = {"enthalpy": self._shift[0], "entropy": self._shift[1]}
        values = {argument: value - shift.get(argument, 0.0) for argument, value in given.items()}
        engine = self._engine
        try:
            one = values.pop(first)
            (other,) = values.values()
            engine.update(inputs, one, other)
            pressure, temperature = engine.p(), engine.T()
            quality = given.get("quality", engine.Q())
            phase = PHASES.get(int(engine.phase()), "unknown phase")
            answer = engine.rhomass(), engine.hmass() + self._shift[0], engine.smass() + self._shift[1]
        except ValueError:
            raise self._no_state(given) from None
        if not all(map(math.isfinite, (pressure, temperature, *answer))):
            raise self._no_state(given)
        if not self.limits.lowest_temperature <= temperature <= self.limits.highest_temperature:
            raise self._no_state(given)
        # What was given comes back as given, free of the engine's rounding.
        pressure, temperature = given.get("pressure", pressure), given.get("temperature", temperature)
        density, enthalpy, entropy = (
            given.get(key, v) for key, v in zip(("density", "enthalpy", "entropy"), answer, strict=True)
        )
        if phase != "two-phase":
            quality = math.nan
        elif quality in (0, 1):
            phase = "saturated vapor" if quality else "saturated liquid"
        return pressure, temperature, density, enthalpy, entropy, quality, phase

    def _no_state(self, given: dict[str, float]) -> RangeError:
        values = " and ".join(f"{argument} {show(value, argument)}" for argument, value in given.items())
        low, high = (show(t, "temperature") for t in (self.limits.lowest_temperature, self.limits.highest_temperature))
        slip = " or".join(
            f" did you mean {given[key]:g} k{SI[key]} = {given[key] * 1e3:g} {SI[key]}?"
            for key, least in (("enthalpy", 1500.0), ("entropy", 4.0))
            if key in given and 0 < given[key] < least
        )
        end = f";{slip}" if slip else "."
        return RangeError(
            f"{self.designation} has no known state with {values}; its equation of state covers {low} to {high}{end}"
        )


def exact_state(
    designation: str, limits: FluidLimits | None, given: dict[str, float]
) -> tuple[float, float, float, float, float, float, str]:
    """As ExactFluid.state; with limits known beforehand a value outside them needs no CoolProp."""
    if limits:
        limits.check(designation, given)
    return exact(designation).state(given)


@functools.cache
def exact(designation: str) -> ExactFluid:
    """The fluid's engine, made on first use."""
    return ExactFluid(designation)
