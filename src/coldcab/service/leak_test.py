"""Finding out whether a circuit is tight: dry nitrogen, what the weather does to it, and how big a leak is.

The pressure of a closed circuit follows its absolute temperature. What the temperature does not explain is a leak, if
gauge and thermometer are good enough to see it; `standing_test` says which. Time series come from
`coldcab.machine.transients.pressure_test`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coldcab.quantities import GAS_CONSTANT, Array, Limit, Value, plain
from coldcab.service.checks import checked, together
from coldcab.words import _

CAUTIONS = (
    _(
        "Dry nitrogen only, through a pressure regulator and a relief valve: a full bottle holds "
        "some 2,200 psi (150 bar), and a circuit bursts at a fraction of that."
    ),
    _(
        "Never oxygen: with oil it explodes. Never shop air: it brings water, and mixtures of "
        "air and R-134a can burn under pressure (40 CFR 82 subpart B appendix C, 5.2)."
    ),
    _(
        "Never go above the lowest pressure rating on any part in the circuit; the low side is "
        "rated far lower than the high side."
    ),
    _("Open the bottle slowly, stand aside of the gauge, and let the pressure out before you undo a fitting."),
    _("Nitrogen drives out the air you breathe: keep the door open."),
    _("The manual of the machine and the law where you work come first."),
)
PRESSURE = Limit("pressure", 1.0e3, 50e5, "kPa absolute")
TEST_PRESSURE = Limit("pressure", 1.2e5, 50e5, "kPa absolute")
TEMPERATURE = Limit("temperature", 233.15, 353.15, "C")
VOLUME = Limit("volume", 1e-5, 10.0, "L")
DURATION = Limit("time", 1.0, 4e7, "h")
RESOLUTION = Limit("pressure difference", 0.0, 1e6, "kPa")
DEGREES = Limit("temperature difference", 0.0, 50.0)

NITROGEN_MOLAR_MASS = 0.0280134  # kg/mol (IUPAC atomic weights, from memory)
# B = a - b exp(c / T), m3/mol, 75 to 700 K: "Second virial coefficients", table A9 of the LibreTexts reference tables,
# read. The third, m6/mol2, about 1.45e-9 near room temperature (from memory; 1.33e-9 to 1.57e-9 from -20 to 80 C).
SECOND_VIRIAL = (185.4e-6, 141.8e-6, 88.7)
THIRD_VIRIAL = 1.45e-9
TIGHT, LEAKING, CANNOT_TELL = _("tight as far as this test sees"), "leaking", "cannot tell"
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


def _second_virial(kelvin: Array) -> Array:
    a, b, c = SECOND_VIRIAL
    return a - b * np.exp(c / kelvin)


def _pressure(density: Array, kelvin: Array) -> Array:
    """Pa of nitrogen of a molar density (mol/m3)."""
    return density * GAS_CONSTANT * kelvin * (1.0 + density * (_second_virial(kelvin) + density * THIRD_VIRIAL))


def _density(pressure: Array, kelvin: Array) -> Array:
    second, density = _second_virial(kelvin), pressure / (GAS_CONSTANT * kelvin)
    for __ in range(8):  # Newton; Z differs from 1 by 2 % at most, so four steps are plenty
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
    verdict: str | Array  # TIGHT, LEAKING or CANNOT_TELL
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
