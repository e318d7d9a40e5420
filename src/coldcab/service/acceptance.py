"""The table by which a charged machine is accepted: this machine, this refrigerant, this day.

Each band is what healthy machines of this kind show: the model's reading, and around it how much it moves with what
nobody knows exactly (scatter among machines, weather, charge) and with the instrument. All scatter is invented, typical
of a shop, and the model is that of an invented machine: a table for a real one comes from its own manual.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from coldcab.faults.cases import SCATTER, WEATHER_SCATTER
from coldcab.faults.observables import observables
from coldcab.machine import Conditions, Effects, Machine, Readings, simulate_many
from coldcab.machine.conditions import LIMITS as CONDITION_LIMITS
from coldcab.machine.readings import NO_STEADY_STATE
from coldcab.service.checks import ServiceError
from coldcab.words import _

SPEEDS: Mapping[str, float] = {"idle": 800 / 60, "fast idle": 1500 / 60}
"""Engine speeds of the check, rev/s: common practice, no source."""

COVERAGE = 2.5
"""Standard deviations on either side: of 100 healthy machines about one misses one given line."""

STEP = 1.0  # standard deviations by which each unknown is moved to see what it does
SEVERAL = 1.5  # K, scatter of a difference of two readings: clip and gauge [invented, typical of a shop]

LINES: Mapping[str, tuple[str, str, float]] = {
    "low_gauge": ("low gauge", "pressure", observables["low_gauge"].scatter),
    "high_gauge": ("high gauge", "pressure", observables["high_gauge"].scatter),
    "vent": (_("air at the vent"), "temperature", observables["vent"].scatter),
    "superheat_measured": (_("superheat at the evaporator"), "temperature difference", SEVERAL),
    "subcooling_measured": (_("subcooling before the valve"), "temperature difference", SEVERAL),
    "discharge_line": ("discharge line", "temperature", observables["discharge_line"].scatter),
    "condenser_air_out": (_("air behind the condenser"), "temperature", observables["condenser_air_out"].scatter),
}
"""What is read: words, kind of unit (gauge pressures), standard deviation of the reading in SI."""

WITHIN, BELOW, ABOVE, NOT_READ = "within", "below", "above", "not read"
"""Where a reading lies, against its band."""


@dataclass(frozen=True)
class Band:
    """One reading at one engine speed: what is expected, and from where to where healthy machines go, SI.

    Gauge pressures in Pa above the atmosphere on the spot.
    """

    speed: str
    name: str
    words: str
    kind: str
    expected: float
    low: float
    high: float

    def judge(self, value: float | None) -> str:
        """Where a value lies: WITHIN, BELOW, ABOVE, or NOT_READ for None and NaN."""
        if value is None or value != value:
            return NOT_READ
        return BELOW if value < self.low else ABOVE if value > self.high else WITHIN


@dataclass(frozen=True)
class Run:
    """The bands at one engine speed."""

    label: str
    engine_speed: float  # rev/s
    bands: tuple[Band, ...]
    glass: str  # what the glass of the expected machine looks like
    status: str

    def __getitem__(self, name: str) -> Band:
        for band in self.bands:
            if band.name == name:
                return band
        raise ServiceError(
            _("the table has no line {name!r}; it has {name_2}.").format(
                name=name, name_2=", ".join(band.name for band in self.bands)
            )
        )


@dataclass(frozen=True)
class AcceptanceTable:
    """Bands for a machine on one day."""

    machine: str
    refrigerant: str
    charge: float  # kg
    conditions: Conditions  # its engine speed is that of each run instead
    runs: tuple[Run, ...]

    def run(self, label: str) -> Run:
        """The run at one of the speeds."""
        for run in self.runs:
            if run.label == label:
                return run
        raise ServiceError(
            _("the table has no run {label!r}; it has {label_2}.").format(
                label=label, label_2=", ".join(run.label for run in self.runs)
            )
        )


def acceptance_table(
    machine: Machine,
    conditions: Conditions,
    *,
    refrigerant: str,
    charge: float,
    speeds: Mapping[str, float] = SPEEDS,
    coverage: float = COVERAGE,
) -> AcceptanceTable:
    """Bands for every reading of a freshly charged machine.

    Parameters
    ----------
    machine, conditions, refrigerant, charge : as for `coldcab.machine.simulate`, numbers; the engine speed in
        ``conditions`` is not used.
    speeds : engine speeds in rev/s by label.
    coverage : half width of a band in standard deviations, above 0.

    Returns
    -------
    `AcceptanceTable`.

    Raises
    ------
    ServiceError : no steady state on such a day. MachineError, UnknownRefrigerant.

    Method
    ------
    Each unknown is moved by one standard deviation up and down; half the difference is its share, and shares and the
    instrument's own scatter add as squares (propagation of uncertainty to first order, JCGM 100:2008 section 5.1,
    section from memory).
    """
    if not coverage > 0.0:
        raise ServiceError(
            _("coverage {coverage!r} must be a number of standard deviations above 0.").format(coverage=coverage)
        )
    if not speeds:
        raise ServiceError(_("speeds is empty; give at least one engine speed in rev/s by its label."))
    runs = tuple(
        _run(label, machine, replace(conditions, engine_speed=speed), refrigerant, charge, coverage)
        for label, speed in speeds.items()
    )
    return AcceptanceTable(machine.name, refrigerant, charge, conditions, runs)


def _run(label: str, machine: Machine, conditions: Conditions, refrigerant: str, charge: float, coverage: float) -> Run:
    effects, days, count = _moved(conditions)
    found = simulate_many(machine, days, refrigerant=refrigerant, charge=charge, faults=effects)
    if found.status[0] == NO_STEADY_STATE:
        raise ServiceError(
            _("at {label} the machine comes to no steady state, because {reason}.").format(
                label=label, reason=found.reason[0]
            )
        )
    bands = tuple(
        _band(label, name, np.asarray(getattr(found, name)), count, coverage)
        for name in LINES
        if math.isfinite(getattr(found, name)[0])
    )
    return Run(label, float(conditions.engine_speed), bands, str(found.glass[0]), str(found.status[0]))


def _moved(conditions: Conditions) -> tuple[Effects, Conditions, int]:
    """The expected machine first, then each unknown moved down and up, one at a time."""
    weather = {name: sigma for name, sigma in WEATHER_SCATTER.items() if getattr(conditions, name) is not None}
    count = len(SCATTER) + len(weather)
    rows = 1 + 2 * count
    effects = {name: np.ones(rows) for name in SCATTER}
    days = {name: np.full(rows, float(getattr(conditions, name))) for name in weather}
    for number, (name, sigma) in enumerate({**SCATTER, **weather}.items()):
        column = effects[name] if name in effects else days[name]
        column[1 + 2 * number] -= STEP * sigma
        column[2 + 2 * number] += STEP * sigma
    for name, column in days.items():
        low, high = CONDITION_LIMITS[name].ends
        days[name] = np.clip(column, low, high)
    return Effects(**effects), replace(conditions, **days), count


def _band(speed: str, name: str, values: np.ndarray, count: int, coverage: float) -> Band:
    words, kind, scatter = LINES[name]
    down, up = values[1::2][:count], values[2::2][:count]
    shares = np.nan_to_num(0.5 * (up - down) / STEP)
    half = coverage * math.sqrt(float(shares @ shares) + scatter**2)
    expected = float(values[0])
    return Band(speed, name, words, kind, expected, expected - half, expected + half)


@dataclass(frozen=True)
class Verdict:
    """What the readings of one run say."""

    judged: Mapping[str, str]  # WITHIN, BELOW, ABOVE or NOT_READ by line
    accepted: bool
    outside: tuple[str, ...]
    missing: tuple[str, ...]


def judge(
    run: Run,
    readings: Readings | Mapping[str, object],
    *,
    needed: tuple[str, ...] = ("low_gauge", "high_gauge", "vent", "subcooling_measured"),
) -> Verdict:
    """Compare readings with one run of the table.

    Parameters
    ----------
    run : of `AcceptanceTable`.
    readings : `Readings` of one run, or SI values by line name; what is missing counts as not read.
    needed : lines without which nothing is accepted. A gauge pair alone never accepts a charge.

    Returns
    -------
    `Verdict`; accepted when every needed line was read and no line lies outside its band.

    Raises
    ------
    ServiceError : a name that the table does not have.
    """
    if isinstance(readings, Readings):
        taken = {band.name: getattr(readings, band.name) for band in run.bands}
    else:
        for name in readings:
            run[name]
        taken = dict(readings)
    judged = {band.name: band.judge(taken.get(band.name)) for band in run.bands}
    outside = tuple(name for name, place in judged.items() if place in (BELOW, ABOVE))
    missing = tuple(name for name in needed if judged.get(name, NOT_READ) == NOT_READ)
    return Verdict(judged, not outside and not missing, outside, missing)


ACCEPT, ADD, TAKE_OUT, LOOK_ON = "accept it", "add some", "take some out", _("look for another fault")


def next_step(verdict: Verdict, glass: str, *, weight_short: bool) -> str:
    """What to do after the readings of a machine that is charged by weight.

    Parameters
    ----------
    verdict : of `judge`, with `superheat_measured`, `subcooling_measured` and `vent` read.
    glass : what the sight glass looks like.
    weight_short : whether the scale is still short of the target.

    Returns
    -------
    TAKE_OUT when liquid backs up (subcooling above its band) and the valve is fed (superheat not above its own): a
    restriction backs liquid up too, but starves the valve; ADD while the scale is short of the target and the glass
    is not clear, or nothing speaks against going on to the target; ACCEPT when the weight is in, every line lies in its
    band and the glass is clear; LOOK_ON for everything else, a valve that starves with the full weight in or behind a
    clear glass included: refrigerant does not mend it.

    Source
    ------
    Common practice, no source; the signs are those that the machine model shows for too much and too little charge.
    """
    judged = verdict.judged
    if judged.get("subcooling_measured") == ABOVE and judged.get("superheat_measured") != ABOVE:
        return TAKE_OUT
    if weight_short and (verdict.accepted or glass != "clear"):
        return ADD
    return ACCEPT if verdict.accepted and glass == "clear" else LOOK_ON
