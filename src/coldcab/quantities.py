"""What every room shares: physical constants, the base of all errors, ranges and the sentence for what lies outside.

SI units throughout: pressure absolute in Pa, temperature in K.
"""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Value = float | Array
"""One number, or an array of numbers."""

# By definition. Units of pressure are the very doubles that `units` reads: a typed "31 psi" is 31 * PSI to the bit.
FREEZING = 273.15
"""K, 0 C (International System of Units, 9th edition, 2.3.1)."""
FAHRENHEIT_DEGREE = 5.0 / 9.0
"""K, one degree Fahrenheit (NIST Special Publication 811, B.8)."""
FAHRENHEIT_ZERO = 459.67
"""degrees Fahrenheit from absolute zero to 0 F (NIST Special Publication 811, B.8)."""
STANDARD_ATMOSPHERE = 101_325.0
"""Pa (ISO 2533:1975, table 1)."""
GRAVITY = 9.80665
"""m/s2, standard acceleration of free fall (3rd CGPM 1901)."""
POUND = 0.45359237
"""kg (international yard and pound agreement, 1959)."""
OUNCE = POUND / 16.0
"""kg."""
FOOT = 0.3048
"""m (international yard and pound agreement, 1959)."""
PSI = 6894.7572931683635
"""Pa, pound-force per square inch: the pound and inch of 1959 under standard gravity."""
POUND_FORCE = POUND * GRAVITY
"""N."""
INCH = 0.0254
"""m (international yard and pound agreement, 1959)."""
INCH_OF_MERCURY = 3386.3886403409997
"""Pa, of conventional density 13 595.1 kg/m3 (NIST Special Publication 811, B.8)."""
MILLIMETER_OF_MERCURY = 133.322387415
"""Pa, of conventional density (NIST Special Publication 811, B.8)."""
MICRON = 0.133322387415
"""Pa, the trade's unit of vacuum: a thousandth of a millimetre of mercury."""
SQUARE_MILLIMETER = 1e-6
"""m2, so that m2/s over it is mm2/s, which is cSt."""

# Measured, or agreed on.
GAS_CONSTANT = 8.314462618
"""J/(mol K), molar (CODATA 2018; later digits left out)."""
AIR_GAS_CONSTANT = 287.05
"""J/(kg K), of dry air: the molar one over 28.9655 g/mol (CIPM-2007, from memory), to five digits. Two published sets
of equations bring their own along and keep it: the standard atmosphere 287.05287, the ASHRAE Handbook 287.042."""
WATER_TO_AIR = 0.621945
"""Molar mass of water over that of dry air (ASHRAE Handbook Fundamentals 2017, chapter 1, equation 20)."""


class ColdcabError(ValueError):
    """What cannot be worked out, read or found; the message is one plain sentence that says what to do.

    ColdcabError
    ├── UnitError            units: text that is no quantity of the kind wanted
    ├── AirError             air
    ├── RangeError           refrigerants, cycle: out of range, or a pair that fixes no state
    ├── UnknownRefrigerant   refrigerants: no such designation
    ├── OilError             oil
    ├── MachineError         machine: a value that it cannot be run with
    ├── FaultError           faults
    ├── ServiceError         service
    ├── SheetError           notebook: the words beside a magic
    ├── JobError             job: an entry of a job's description
    ├── CourseError          course: no course here, a file in the way
    ├── HandInError          desk: a sheet that cannot be handed in
    ├── LearnerError         learner: who is at the desk
    │   └── NotEnrolled
    ├── ClassError           classroom: a class folder or what lies in it
    ├── NotGradable          classroom: a hand-in that cannot be read
    └── SiteError            site: why it cannot be written
    """


MOST = sys.float_info.max
"""Upper end of a `Limit` that has none: any finite number."""
ABOVE_ZERO = math.ulp(0.0)
"""Lower end of a `Limit` for what must be more than 0."""

SI = {
    "temperature": "K",
    "temperature difference": "K",
    "pressure": "Pa absolute",
    "density": "kg/m3",
    "enthalpy": "J/kg",
    "entropy": "J/(kg K)",
    "quality": "kg of vapor per kg",
    "mass": "kg",
    "mass flow": "kg/s",
    "volume": "m3",
    "volume flow": "m3/s",
    "length": "m",
    "altitude": "m",
    "time": "s",
    "viscosity": "m2/s",
    "humidity ratio": "kg/kg",
}
"""The unit of each kind of quantity; one that is not here is a bare number or says its unit itself."""

# kind of quantity: unit people use, as (scale, offset) with SI = number * scale + offset.
_IN_USE: dict[str, dict[str, tuple[float, float]]] = {
    "temperature": {"C": (1.0, FREEZING), "F": (FAHRENHEIT_DEGREE, FAHRENHEIT_ZERO * FAHRENHEIT_DEGREE)},
    "pressure": {"psia": (PSI, 0.0), "kPa": (1e3, 0.0), "bar": (1e5, 0.0)},
    "share": {"%": (0.01, 0.0)},
    "quality": {"%": (0.01, 0.0)},
    "enthalpy": {"kJ/kg": (1e3, 0.0)},
    "entropy": {"kJ/(kg K)": (1e3, 0.0)},
    "mass": {"g": (1e-3, 0.0), "lb": (POUND, 0.0)},
    "volume": {"mL": (1e-6, 0.0), "L": (1e-3, 0.0)},
    "volume flow": {"L/min": (1e-3 / 60.0, 0.0)},
    "altitude": {"ft": (FOOT, 0.0)},
    "length": {"mm": (1e-3, 0.0)},
    "viscosity": {"cSt": (SQUARE_MILLIMETER, 0.0)},
    "dynamic viscosity": {"uPa s": (1e-6, 0.0)},
    "molar mass": {"g/mol": (1e-3, 0.0)},
    "speed": {"rpm": (1.0 / 60.0, 0.0)},
    "time": {"min": (60.0, 0.0), "h": (3600.0, 0.0), "days": (86_400.0, 0.0)},
}
_UNITS = {unit: scales for kind in _IN_USE.values() for unit, scales in kind.items()}


def show(value: float, quantity: str, unit: str = "") -> str:
    """A value in words: in ``unit``, or in SI with the units of the shop beside temperature and pressure.

    Example
    -------
    >>> show(300.0, "temperature")
    '300 K (26.9 C, 80.3 F)'
    >>> show(2e5, "pressure difference", "kPa")
    '200 kPa'
    """
    if unit:
        scale, offset = _UNITS.get(unit.removesuffix(" absolute").removesuffix(" gauge"), (1.0, 0.0))
        return f"{(value - offset) / scale:.6g} {unit}"
    text = f"{value:.6g} {SI.get(quantity, '')}".rstrip()
    if quantity == "temperature":
        style = ".1f" if abs(value) < 1e4 else ".4g"
        return f"{text} ({value - FREEZING:{style}} C, {value / FAHRENHEIT_DEGREE - FAHRENHEIT_ZERO:{style}} F)"
    if quantity == "pressure":
        return f"{text} ({value / PSI:.4g} psia, {value / 1e5:.4g} bar)"
    return text


@dataclass(frozen=True, slots=True)
class Limit:
    """The declared range of one quantity: used by the check, by its message and by the tests.

    Attributes
    ----------
    quantity : what it is ("temperature", "pressure", "share"); it finds the likely slip, such as Celsius for kelvin.
    low, high : SI, both ends allowed; `ABOVE_ZERO` and `MOST` for an end that is open.
    unit : the unit a message shows ("C", "kPa absolute", "mL", "%"); without it SI.
    words : what to do, said where no slip is found.
    """

    quantity: str
    low: float
    high: float
    unit: str = ""
    words: str = "give a value in it"

    @property
    def ends(self) -> tuple[float, float]:
        """Both ends, SI."""
        return self.low, self.high

    @property
    def span(self) -> str:
        """The range in words."""
        low, high = (show(end, self.quantity, self.unit) for end in self.ends)
        if self.low == ABOVE_ZERO:
            return "above 0" if self.high == MOST else f"above 0 and up to {high}"
        return f"{low} or more" if self.high == MOST else f"{low} to {high}"

    def refusal(self, name: str, value: float, where: str = "") -> str:
        """The sentence for a value outside; ``where`` says of what the range is (" of R-134a")."""
        shown = show(value, self.quantity, self.unit)
        return f"{_label(name)} {shown} is outside the range {self.span}{where}{self._advice(value)}"

    def _advice(self, value: float) -> str:
        if self.quantity == "pressure" and value <= 0.0:
            return f"; add the pressure of the air ({STANDARD_ATMOSPHERE:g} Pa at sea level) to a gauge reading."
        kind = _IN_USE.get(self.quantity, {})
        meant = {unit: value * scale + offset for unit, (scale, offset) in kind.items()}
        likely = [
            f"{value:g} {unit} = {f'{si:.2f}' if self.quantity == 'temperature' else f'{si:.6g}'} "
            f"{SI.get(self.quantity, '') if self.quantity != 'quality' else ''}".rstrip()
            for unit, si in meant.items()
            if self.low <= si <= self.high
        ]
        return f"; did you mean {' or '.join(likely)}?" if likely else f"; {self.words}."


def any_finite(quantity: str) -> Limit:
    """The limit of what may be any finite number."""
    return Limit(quantity, -MOST, MOST)


ANY = any_finite("")


def _label(name: str) -> str:
    return name.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Check:
    """The checks of one room: what fails raises the room's own error with one plain sentence.

    NaN and infinity are always refused, as are text, None and truth values.
    """

    error: type[ColdcabError]

    def value(self, name: str, given: object, limit: Limit = ANY, where: str = "") -> Value:
        """``given`` as a float or an array of floats inside its limit."""
        if type(given) is float and limit.low <= given <= limit.high:
            return given
        array = self.array(name, given, limit, where)
        return float(array) if array.ndim == 0 else array

    def number(self, name: str, given: object, limit: Limit = ANY, where: str = "") -> float:
        """The same for what must be a single number."""
        found = self.value(name, given, limit, where)
        if isinstance(found, float):
            return found
        raise self.error(f"{_label(name)} must be one number, not an array of {found.size}; give a single number.")

    def array(self, name: str, given: object, limit: Limit = ANY, where: str = "") -> NDArray[np.float64]:
        """The same as an array always; one number has no axis."""
        if type(given) is float and limit.low <= given <= limit.high:
            return np.asarray(given)
        unit = SI.get(limit.quantity, "SI units")
        refused = given is None or isinstance(given, str | bytes | bool) or hasattr(given, "units")
        try:
            array = np.asarray(None if refused else given, dtype=float)
            if refused:
                raise TypeError
        except (TypeError, ValueError, OverflowError):
            raise self.error(
                f"{_label(name)} must be a bare number in {unit}, or an array of them; got {str(given)[:40]!r}."
            ) from None
        wrong = ~((array >= limit.low) & (array <= limit.high))
        if wrong.any():
            first = float(array[wrong].flat[0])
            if not math.isfinite(first):
                text = "NaN (not a number)" if math.isnan(first) else "infinite"
                wanted = unit if limit.low == -MOST else f"the range {limit.span}"
                raise self.error(f"{_label(name)} is {text}; give a number in {wanted}.")
            raise self.error(limit.refusal(name, first, where))
        return array

    def together(self, **values: Value) -> tuple[NDArray[np.float64], ...]:
        """Numbers and arrays as arrays of one common shape."""
        try:
            return tuple(np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values.values())))
        except ValueError:
            shapes = ", ".join(f"{_label(name)} {np.shape(value)}" for name, value in values.items())
            raise self.error(f"the arrays have shapes that do not fit together: {shapes}.") from None


def plain(value: ArrayLike) -> Value:
    """A float for a single number, the array itself otherwise."""
    if type(value) is float:
        return value
    return np.asarray(value, dtype=float) if np.ndim(value) else float(value)  # type: ignore[arg-type]
