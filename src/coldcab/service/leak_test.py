"""Finding out whether a circuit is tight: dry nitrogen, what the weather does to it, and how big a leak is.

The pressure of a closed circuit follows its absolute temperature. What the temperature does not explain is a leak, if
gauge and thermometer are good enough to see it; `standing_test` says which. Time series come from
`coldcab.machine.transients.pressure_test`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from coldcab import units
from coldcab.quantities import GAS_CONSTANT, STANDARD_ATMOSPHERE, Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, number, together

CAUTIONS = (
    "Dry nitrogen only, through a pressure regulator and a relief valve: a full bottle holds some 2,200 psi (150 bar), "
    "and a circuit bursts at a fraction of that.",
    "Never oxygen: with oil it explodes. Never shop air: it brings water, and mixtures of air and R-134a can burn "
    "under pressure (40 CFR 82 subpart B appendix C, 5.2).",
    "Never go above the lowest pressure rating on any part in the circuit; the low side is rated far lower than the "
    "high side.",
    "Open the bottle slowly, stand aside of the gauge, and let the pressure out before you undo a fitting.",
    "Nitrogen drives out the air you breathe: keep the door open.",
    "The manual of the machine and the law where you work come first.",
)
PRESSURE = Limit("pressure", 1.0e3, 50e5, "kPa absolute")
TEST_PRESSURE = Limit("pressure", 1.2e5, 50e5, "kPa absolute")
TEMPERATURE = Limit("temperature", 233.15, 353.15, "C")
ATMOSPHERE = Limit("pressure", 5e4, 1.1e5, "kPa")
VOLUME = Limit("volume", 1e-5, 10.0, "L")
DURATION = Limit("time", 1.0, 4e7, "h")
RESOLUTION = Limit("pressure difference", 0.0, 1e6, "kPa")
DEGREES = Limit("temperature difference", 0.0, 50.0)
MASS = Limit("mass", 0.0, 50.0, "g")
DAYS = Limit("time", 86400.0, 40 * 365.0 * 86400.0, "days")
MOLAR_MASS = Limit("molar mass", 0.002, 0.3, "g/mol")
FLOW = Limit("throughput", 0.0, 1e3, "Pa m3/s")
VISCOSITY = Limit("dynamic viscosity", 5e-6, 3e-5, "uPa s")
LEAK = Limit("mass flow", 0.0, 1e-3)
YEAR = 365.0 * 86400.0

# Molar masses, kg/mol, and viscosity of the thin gas at 20 C, Pa s (usual figures, from memory; the tests compare them
# with CoolProp). Tests and leaks are told for these.
NITROGEN_MOLAR_MASS, NITROGEN_VISCOSITY = 0.0280134, 17.6e-6
GASES = {
    "nitrogen": (NITROGEN_MOLAR_MASS, NITROGEN_VISCOSITY),
    "air": (0.0289647, 18.2e-6),
    "R-12": (0.120913, 11.6e-6),
    "R-134a": (0.102032, 11.6e-6),
}
# B = a - b exp(c / T), m3/mol, 75 to 700 K: "Second virial coefficients", table A9 of the LibreTexts reference tables,
# read. The third, m6/mol2, about 1.45e-9 near room temperature (from memory; 1.33e-9 to 1.57e-9 from -20 to 80 C).
SECOND_VIRIAL = (185.4e-6, 141.8e-6, 88.7)
THIRD_VIRIAL = 1.45e-9
TIGHT, LEAKING, CANNOT_TELL = "tight as far as this test sees", "leaking", "cannot tell"
COVERAGE = 2.0  # standard uncertainties that a fall must exceed


def compressibility(pressure: Value, temperature: Value) -> Value:
    """Z = p V / (n R T) of nitrogen from its second and third virial coefficient.

    Parameters
    ----------
    pressure : Pa absolute, 1,000 to 5,000,000. temperature : K, -40 to 80 C. Numbers or arrays.

    Returns
    -------
    Z, in the common shape; within 0.04 % of the reference equation to 2 MPa, 0.25 % at 5 MPa and -40 C (tests).

    Raises
    ------
    ServiceError.
    """
    pressure, kelvin = together(
        pressure=checked("pressure", pressure, PRESSURE), temperature=checked("temperature", temperature, TEMPERATURE)
    )
    return plain(pressure / (_density(pressure, kelvin) * GAS_CONSTANT * kelvin))


def _second_virial(kelvin: np.ndarray) -> np.ndarray:
    a, b, c = SECOND_VIRIAL
    return a - b * np.exp(c / kelvin)


def _pressure(density: np.ndarray, kelvin: np.ndarray) -> np.ndarray:
    """Pa of nitrogen of a molar density (mol/m3)."""
    return density * GAS_CONSTANT * kelvin * (1.0 + density * (_second_virial(kelvin) + density * THIRD_VIRIAL))


def _density(pressure: np.ndarray, kelvin: np.ndarray) -> np.ndarray:
    second, density = _second_virial(kelvin), pressure / (GAS_CONSTANT * kelvin)
    for _ in range(8):  # Newton; Z differs from 1 by 2 % at most, so four steps are plenty
        value = density * (1.0 + density * (second + density * THIRD_VIRIAL)) - pressure / (GAS_CONSTANT * kelvin)
        density = density - value / (1.0 + density * (2.0 * second + 3.0 * density * THIRD_VIRIAL))
    return density


def corrected_pressure(pressure: Value, temperature: Value, later: Value, *, real_gas: bool = False) -> Value:
    """What a tight circuit filled with nitrogen shows at another temperature.

    Parameters
    ----------
    pressure : Pa absolute at the start, 120,000 to 5,000,000. temperature, later : K of the gas then and now, -40 to
        80 C. real_gas : the virial equation instead of p2 = p1 T2 / T1.

    Returns
    -------
    Pa absolute, in the common shape. At 150 psig the two differ by 0.1 % for 10 K: less than a shop gauge shows.

    Raises
    ------
    ServiceError.

    Source: ideal gas at constant volume, textbook; virial coefficients as in `compressibility`. The gas has the
    temperature of the circuit, not of the air: wait until both are the same.
    """
    start, before, after = together(
        pressure=checked("pressure", pressure, TEST_PRESSURE),
        temperature=checked("temperature", temperature, TEMPERATURE),
        later=checked("later temperature", later, TEMPERATURE),
    )
    if real_gas:
        return plain(_pressure(_density(start, before), after))
    return plain(start * after / before)


@dataclass(frozen=True)
class StandingTest:
    """A nitrogen test and what it says; pressures in Pa."""

    expected: Value  # absolute, a tight circuit at the temperature of the end
    unexplained: Value  # fall below that; negative where it rose
    uncertainty: Value  # of the fall, COVERAGE standard uncertainties
    verdict: str | np.ndarray  # TIGHT, LEAKING or CANNOT_TELL
    smallest_leak: Value  # Pa m3/s of nitrogen at test pressure that this test sees
    leak: Value  # Pa m3/s as measured, 0 where the fall is below the uncertainty


def uncertainty(
    pressure: Value, temperature: Value, *, gauge_resolution: Value, thermometer_resolution: Value
) -> Value:
    """Pa: how far two readings of gauge and thermometer can pretend a fall, `COVERAGE` standard uncertainties.

    Parameters
    ----------
    pressure : Pa absolute. temperature : K. gauge_resolution : Pa, the smallest step that is read.
    thermometer_resolution : K, or how far gas and thermometer may differ if that is more.

    Each reading lies anywhere within half a step: resolution / sqrt(12) each (rectangular, as in the ISO guide to the
    expression of uncertainty, 4.3.7, from memory); two readings of each, p / T for a kelvin; added in squares.

    Raises
    ------
    ServiceError.
    """
    start, kelvin, gauge, degrees = together(
        pressure=checked("pressure", pressure, TEST_PRESSURE),
        temperature=checked("temperature", temperature, TEMPERATURE),
        gauge_resolution=checked("gauge resolution", gauge_resolution, RESOLUTION),
        thermometer_resolution=checked("thermometer resolution", thermometer_resolution, DEGREES),
    )
    return plain(COVERAGE * np.sqrt((gauge**2 + (start / kelvin * degrees) ** 2) / 6.0))


def smallest_leak(
    volume: Value,
    duration: Value,
    *,
    pressure: Value,
    temperature: Value = 293.15,
    gauge_resolution: Value,
    thermometer_resolution: Value,
) -> Value:
    """Pa m3/s of nitrogen, at the test's pressure, that a standing test of this length can just see.

    ``volume`` m3, ``duration`` s; the rest as for `uncertainty`. q = V dp / dt (textbook). Raises ServiceError.
    """
    volume, seconds, seen = together(
        volume=checked("volume", volume, VOLUME),
        duration=checked("duration", duration, DURATION),
        seen=uncertainty(
            pressure,
            temperature,
            gauge_resolution=gauge_resolution,
            thermometer_resolution=thermometer_resolution,
        ),
    )
    return plain(volume * seen / seconds)


def standing_test(
    pressure: Value,
    temperature: Value,
    later_pressure: Value,
    later_temperature: Value,
    *,
    volume: Value,
    duration: Value,
    gauge_resolution: Value,
    thermometer_resolution: Value,
    real_gas: bool = False,
) -> StandingTest:
    """Judge a nitrogen test from two readings of gauge and thermometer.

    Parameters
    ----------
    pressure, later_pressure : Pa absolute at the start and at the end. temperature, later_temperature : K of the
        circuit. volume : m3 inside. duration : s. gauge_resolution : Pa. thermometer_resolution : K.

    Returns
    -------
    `StandingTest`. A fall beyond the uncertainty is a leak; one between half of it and the whole, or a rise beyond
    it, cannot be told; below that the circuit is tight as far as this test sees (a small leak may well be there).

    Raises
    ------
    ServiceError.
    """
    expected = corrected_pressure(pressure, temperature, later_temperature, real_gas=real_gas)
    doubt = uncertainty(
        pressure, temperature, gauge_resolution=gauge_resolution, thermometer_resolution=thermometer_resolution
    )
    expected, shown, doubt, volume, seconds = together(
        expected=expected,
        later_pressure=checked("later pressure", later_pressure, PRESSURE),
        uncertainty=doubt,
        volume=checked("volume", volume, VOLUME),
        duration=checked("duration", duration, DURATION),
    )
    fall = expected - shown
    verdict = np.where(fall > doubt, LEAKING, np.where(np.abs(fall) <= 0.5 * doubt, TIGHT, CANNOT_TELL))
    return StandingTest(
        plain(expected),
        plain(fall),
        plain(doubt),
        str(verdict) if verdict.ndim == 0 else verdict,
        plain(volume * doubt / seconds),
        plain(np.where(fall > doubt, volume * fall / seconds, 0.0)),
    )


# How big is a leak?


@dataclass(frozen=True)
class LeakRate:
    """Mass that a leak loses, kg/s, and in the words of the trade."""

    mass_flow: Value

    @property
    def grams_a_year(self) -> Value:
        """g/yr."""
        return units.convert(self.mass_flow, "mass flow", "g/year")

    @property
    def ounces_a_year(self) -> Value:
        """oz/yr, ounces by weight."""
        return units.convert(self.mass_flow, "mass flow", "oz/year")


def leak_from_fall(
    volume: Value, fall: Value, duration: Value, *, temperature: Value = 293.15, gas: str = "nitrogen"
) -> LeakRate:
    """Mass of gas lost from a pressure fall that the temperature does not explain.

    Parameters
    ----------
    volume : m3. fall : Pa. duration : s. temperature : K, the same then and now (correct the pressure first).
    gas : one of `GASES`.

    dm/dt = V dp M / (R T dt): ideal gas, the equation of 40 CFR 1065.644 (vacuum-decay leak rate). Raises ServiceError.
    """
    volume, fall, seconds, kelvin = together(
        volume=checked("volume", volume, VOLUME),
        fall=checked("fall", fall, Limit("pressure difference", 0.0, 50e5, "kPa")),
        duration=checked("duration", duration, DURATION),
        temperature=checked("temperature", temperature, TEMPERATURE),
    )
    molar = _gas(gas)[0]
    return LeakRate(plain(volume * fall * molar / (GAS_CONSTANT * kelvin * seconds)))


def leak_of_refrigerant(
    throughput: Value,
    *,
    test_pressure: Value,
    pressure: Value,
    gas: str = "R-134a",
    test_gas: str = "nitrogen",
    atmosphere: Value = STANDARD_ATMOSPHERE,
    temperature: Value = 293.15,
) -> LeakRate:
    """What a leak that was measured with a test gas will lose of a refrigerant's vapor in the parked machine.

    Parameters
    ----------
    throughput : Pa m3/s at the test. test_pressure, pressure : Pa absolute inside then and later, above the air's.
    gas, test_gas : of `GASES`. atmosphere : Pa. temperature : K.

    Viscous flow through a fine crack: throughput as (p^2 - p_a^2) / viscosity (laminar, textbook; leak-testing
    handbooks, from memory). Below about 1e-6 Pa m3/s the flow is no longer viscous, liquid in the crack seals or leaks
    more, and a running machine has other pressures: an order of magnitude. Raises ServiceError.
    """
    flow, test, inside, outside, kelvin = together(
        throughput=checked("throughput", throughput, FLOW),
        test_pressure=checked("test pressure", test_pressure, TEST_PRESSURE),
        pressure=checked("pressure", pressure, PRESSURE),
        atmosphere=checked("atmosphere", atmosphere, ATMOSPHERE),
        temperature=checked("temperature", temperature, TEMPERATURE),
    )
    if np.any(inside <= outside) or np.any(test <= outside):
        raise ServiceError("both pressures must be above the atmosphere, else the leak goes inward.")
    molar, viscosity = _gas(gas)
    through = flow * _gas(test_gas)[1] / viscosity * (inside**2 - outside**2) / (test**2 - outside**2)
    return LeakRate(plain(through * molar / (GAS_CONSTANT * kelvin)))


def _gas(name: str) -> tuple[float, float]:
    if name not in GASES:
        raise ServiceError(f"{str(name)[:20]!r} is not a gas of this list; it has {', '.join(GASES)}.")
    return GASES[name]


def seasonal_leak(lost: Value, duration: Value) -> LeakRate:
    """The mean leak from the charge that was missing (kg) after a time (s, a day to forty years).

    A mean over the season: a machine that runs leaks more than one that stands in the shed (Siegl and others (2002),
    Environ. Sci. Technol. 36, 561: parked cars 0.07 g a day, over their lives 0.41). Raises ServiceError.
    """
    mass, seconds = together(lost=checked("lost", lost, MASS), duration=checked("duration", duration, DAYS))
    return LeakRate(plain(mass / seconds))


def annual_share(added: Value, full_charge: Value, duration: Value) -> Value:
    """Leak rate as the law counts it: share of the full charge lost in a year.

    ``added`` and ``full_charge`` kg, ``duration`` s since the last addition. added / full x 365 / min(days, 365):
    40 CFR 82.152, annualising method, text with the amendments through November 2016; check the current law where you
    work. Its limits are for larger appliances than a cab's. Raises ServiceError.
    """
    mass, full, seconds = together(
        added=checked("added", added, MASS),
        full_charge=checked("full charge", full_charge, Limit("mass", 1e-3, 5000.0)),
        duration=checked("duration", duration, DAYS),
    )
    return plain(mass / full * 365.0 / np.minimum(seconds / 86400.0, 365.0))


@dataclass(frozen=True)
class Detector:
    """One sensitivity setting of an electronic detector."""

    grams_a_year: float
    source: str = "SAE J2791 (2019), 3.2, public abstract"

    @property
    def mass_flow(self) -> float:
        """kg/s."""
        return self.grams_a_year * 1e-3 / YEAR


DETECTORS = (Detector(4.0), Detector(7.0), Detector(14.0))
"""Settings from the most to the least sensitive: 4, 7 and 14 g a year."""


def detector_setting(leak: float) -> Detector | None:
    """The least sensitive setting that still finds a leak (kg/s): the one that is least troubled by false alarms.

    None where even the most sensitive one does not find it. Raises ServiceError.
    """
    flow = number("leak", leak, LEAK)
    fitting = [one for one in DETECTORS if flow >= one.mass_flow * (1.0 - 1e-9)]
    return max(fitting, key=lambda one: one.grams_a_year) if fitting else None


def time_to_see(
    leak: float,
    *,
    volume: float,
    pressure: float,
    temperature: float = 293.15,
    gauge_resolution: float,
    thermometer_resolution: float,
) -> float:
    """s for which nitrogen must stand until a leak (Pa m3/s at the test's pressure) can be seen; infinite for none.

    Arguments as for `smallest_leak`. Raises ServiceError.
    """
    flow = number("leak", leak, FLOW)
    seen = uncertainty(
        number("pressure", pressure, TEST_PRESSURE),
        temperature,
        gauge_resolution=gauge_resolution,
        thermometer_resolution=thermometer_resolution,
    )
    return number("volume", volume, VOLUME) * float(seen) / flow if flow > 0.0 else math.inf
