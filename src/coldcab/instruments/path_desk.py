"""A desk at which measurements are taken one after the other: each costs its minutes, and none is given back."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from coldcab import progress, units
from coldcab.faults import Measurement, measurements, observables
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, gauge_words, printable
from coldcab.instruments.hands_on import can_be_done, why_not
from coldcab.machine import Machine
from coldcab.words import _

AGAIN = "start again"
SPENT = _("Minutes on a graded ticket are spent; nobody gives them back. Practice tickets can be started again.")

PAR_WORDS = _(
    "Par: the minutes of a careful technician who always takes next what should tell most in a minute, rounded up. "
    "No points hang on it."
)
"""What par is, in a sentence."""

SHORT = {
    "low_gauge": "low",
    "high_gauge": "high",
    "cab": "cab",
    "return_air": _("air to the coil"),
    "suction_line_at_evaporator": "suction line",
    "evaporator_inlet": "line",
    "suction_line_at_compressor": "suction line",
    "drier_in": "in",
    "drier_out": "out",
    "condenser_air_in": "face",
    "condenser_air_out": "behind",
    "condensate": "water",
    "clutch_duty": "engaged",
    "fan_share": "speed",
    "hub_slip": "slower by",
    "foreign_share": "R-12",
    "coil_frost": "frost",
    "low_gauge_bulb_reseated": "low side moves",
    "low_gauge_bulb_warmed": "low side moves",
    "low_gauge_valve_warmed": "low side moves",
    "vent_heater_pinched": "vent moves",
    "low_gauge_other_speed": "low",
    "high_gauge_other_speed": "high",
    "thermostat_opens_at": "opens at",
    "high_switch_opens_at": "high",
    "low_switch_opens_at": "low",
}
"""What a reading is called beside its measurement; others are called by their own words."""


SHARES = ("clutch_duty", "foreign_share")
"""Readings that are a part of a whole."""


def reading_words(name: str, value: Any, system: str) -> str:
    """Return one reading in the learner's units, rounded as a shop instrument shows it; "none" where there is none."""
    kind = observables[name].kind
    if kind == "look":
        return str(value)
    if kind == "yes or no":
        return "yes" if value else "no"
    if value != value:
        return "none"
    if kind == "pressure":
        step = units.from_unit(1.0, "pressure difference", "psi")
        return gauge_words(round(value / step) * step, system).replace(".0 psig", " psig")
    if kind == "fraction":
        # Readings scatter about what is there; of a share nobody reads more than all of it, or less than none.
        share = min(max(value, 0.0), 1.0) if name in SHARES else value
        return f"{round(100 * share)} %"
    unit, decimals = _UNITS[kind][system]
    number = units.convert(value, kind, unit)
    sign = "+" if "difference" in kind and round(number, decimals) > 0 else ""
    return f"{sign}{number:.{decimals}f} {unit}".replace("-0 ", "0 ").replace("-0.0 ", "0.0 ")


_UNITS = {
    "temperature": {"us": ("F", 0), "si": ("C", 1)},
    "temperature difference": {"us": ("F", 0), "si": ("K", 1)},
    "pressure difference": {"us": ("psi", 1), "si": ("kPa", 0)},
    "mass flow": {"us": ("lb/h", 1), "si": ("g/s", 2)},
}


def result_words(measurement: Measurement, seen: Mapping[str, Any], system: str) -> str:
    """Return what a measurement has shown: "low side 21 psig, high side 182 psig"."""
    return ", ".join(_one_result(name, seen[name], system) for name in measurement.gives)


def short_result(measurement: Measurement, seen: Mapping[str, Any], system: str) -> str:
    """Return the same with a unit that several readings share written once: "low 21, high 182 psig"."""
    said = [_one_result(name, seen[name], system) for name in measurement.gives]
    split = [re.fullmatch(r"(.*\d) (\D+)", one) for one in said]
    ends = {one[2] if one else "" for one in split}
    if len(ends) == 1 and ends != {""}:
        said[:-1] = [one[1] for one in split[:-1] if one]
    return ", ".join(said)


def _one_result(name: str, value: Any, system: str) -> str:
    words = reading_words(name, value, system)
    if name == "hub_slip" and value < observables[name].scatter:
        return f"not slower ({words})"  # a meter's doubt may make it a little faster
    return f"{SHORT.get(name, observables[name].words)} {words}"


@dataclass(frozen=True, slots=True)
class MeasurementChoice(Choice):
    """The measurement to take next; from a program also several, as text with commas: "gauges, glass"."""

    def read(self, given: object, system: str, atmosphere: float, *, typed: bool = False) -> str:
        if isinstance(given, str) and given not in self.options:
            named = [option for option in self.options if option.partition(" (")[0] == given.strip()]
            given = named[0] if named else given
        return Choice.read(self, given, system, atmosphere)


def measurement_choice(prices: Mapping[str, float], *, idle: str = _("choose the next one")) -> MeasurementChoice:
    """Return the control that takes a measurement; ``prices`` are the minutes by name, in the order of the list."""
    options = (idle, AGAIN, *(f"{name} ({minutes:g} min)" for name, minutes in prices.items()))
    return MeasurementChoice("measure", "take a measurement", options, idle)


def recalled(place: str, prices: Collection[str]) -> tuple[str, ...]:
    """Return the measurements that are kept under a place, those that have a price."""
    kept = progress.kept(place) if place else None
    path = kept.get("path") if isinstance(kept, dict) else None
    names = (one for one in path if isinstance(one, str) and one in prices) if isinstance(path, list) else ()
    return tuple(dict.fromkeys(names))


def best_kept(place: str) -> float | None:
    """Return the fewest minutes that are kept under a place; None where nothing good is."""
    kept = progress.kept(place) if place else None
    minutes = kept.get("minutes") if isinstance(kept, dict) else None
    good = isinstance(minutes, int | float) and not isinstance(minutes, bool) and minutes > 0.0
    return float(minutes) if good else None  # type: ignore[arg-type]


def keep_best(place: str, minutes: float) -> None:
    """Keep minutes as the learner's best, where they are fewer than those of before."""
    before = best_kept(place)
    if place and minutes > 0.0 and (before is None or minutes < before):
        progress.keep(place, {"minutes": minutes})


class PathDesk(Instrument):
    """A desk with a path of measurements; other settings of the machine start the path anew.

    ``prices`` are minutes by measurement. A desk whose `place` has a name keeps what a learner has measured by hand.
    """

    prices: Mapping[str, float] = {name: one.minutes for name, one in measurements.items()}
    fresh: tuple[str, ...] = ()  # settings that bring another machine
    passing = ("measure",)

    def __init__(self, **settings: object) -> None:
        self._path: tuple[str, ...] = ()
        super().__init__(**settings)
        self._page_path = self._path
        if settings.get("measure") is None and self.place_kept():
            self._path = self._recalled()
            self._work_out()

    def place_kept(self) -> str:
        """Return where the measurements of the present machine are kept (see `progress`); empty where they are not."""
        return ""

    def more(self) -> Any:
        return None if self.place_kept() else list(self._path) or None

    def take_more(self, more: Any) -> None:
        """The path of this page's machine; with a place of its own it comes from there."""
        path = more if isinstance(more, list) else self._page_path
        taken = (name for name in path if isinstance(name, str) and name in self.prices)
        if not self.place_kept():
            self._path = tuple(dict.fromkeys(taken))
            return
        own = all(self._settings[name] == self._page[name] for name in self.fresh)
        self._path = tuple(dict.fromkeys((*(self._page_path if own else ()), *self._recalled())))

    def place_of_best(self) -> str:
        """Return where the fewest minutes on the present machine are kept; empty where there is no such score."""
        return ""

    @property
    def best(self) -> float | None:
        """Fewest minutes in which the learner found this machine's cause; None where that has not been done yet."""
        return best_kept(self.place_of_best())

    def gives_back(self) -> bool:
        """Whether the path may be started again."""
        return True

    def _recalled(self) -> tuple[str, ...]:
        """Measurements that were taken on this machine before: by an earlier Start, on another day, at another desk."""
        return recalled(self.place_kept(), self.prices)

    @staticmethod
    def _score(readings: Mapping[str, Any]) -> str:
        """What there is to play against: par, and the learner's own best."""
        par = "" if readings["par"] is None else _("par {minutes:g} min").format(minutes=readings["par"])
        best = "" if readings["best"] is None else _("your best {minutes:g} min").format(minutes=readings["best"])
        return ", ".join(filter(None, (par, best)))

    def _keep(self) -> None:
        if place := self.place_kept():
            progress.keep(place, {"path": list(self._path)})

    @property
    def path(self) -> tuple[str, ...]:
        """Measurements taken, in their order."""
        return self._path

    @property
    def minutes(self) -> float:
        """Minutes spent on them."""
        return sum(self.prices[name] for name in self._path)

    def accept(self, control: Control, given: object) -> bool:
        if control.name != "measure":
            return super().accept(control, given)
        try:
            option = control.read(given, self.system, self.atmosphere, typed=True)
        except ValueError as problem:
            self._note = printable(str(problem))
            return False
        self._settings["measure"] = option
        if self.place_kept():  # another desk of the page may have measured on the same machine
            self._path = tuple(dict.fromkeys((*self._recalled(), *self._path)))
        self._note = self._take(option)
        self._keep()
        self._work_out()
        return not self._note

    def foresees(self, control: Control) -> bool:
        return super().foresees(control) and control.name not in self.fresh

    def _turned(self, control: Control) -> None:
        super()._turned(control)
        if control.name not in self.fresh:
            return
        self._path = self._recalled()
        self._settings["measure"] = self._measure.first
        if self._panel is not None:
            self._panel.show_settings_soon()

    @property
    def _measure(self) -> MeasurementChoice:
        return next(control for control in self.controls if control.name == "measure")

    @property
    def machine(self) -> Machine | None:
        """The machine whose parts decide what can be measured; None where that does not matter, or not yet."""
        return None

    def offered(self, control: Choice) -> tuple[str, ...]:
        """Of the measurements those for which this machine has the part."""
        if control is not self._measure:
            return super().offered(control)
        kept = (self._settings["measure"],)
        return tuple(one for one in control.options if one in kept or self._can_be_taken(one))

    def _can_be_taken(self, option: str) -> bool:
        return self.gives_back() if option == AGAIN else can_be_done(option.partition(" (")[0], self.machine)

    def _take(self, option: str) -> str:
        """Do what was chosen; a sentence where it brings nothing."""
        name = option.partition(" (")[0]
        if option == AGAIN:
            if not self.gives_back():
                return SPENT
            self._path = ()
        elif reason := why_not(name, self.machine):
            return reason
        elif name in self._path:
            return _(
                "{name}: already taken. The same instrument on the same machine tells the same again; it "
                "is no second piece of evidence. Choose one of another kind."
            ).format(name=name.capitalize())
        elif option != self._measure.first:
            self._path += (name,)
        return ""

    def _update(self, settings: Mapping[str, object]) -> None:
        wanted = settings.get("measure")
        others = {name: value for name, value in settings.items() if name != "measure"}
        before = {name: self._settings[name] for name in self.fresh}
        kept = dict(self._settings)
        super()._update(others)
        options = []
        try:
            for part in str(wanted).split(",") if wanted is not None else ():
                options.append(self._measure.read(part.strip(), self.system, self.atmosphere))
        except ValueError:
            self._settings = kept
            raise
        if any(self._settings[name] != value for name, value in before.items()):
            self._path = () if options else self._recalled()
            self._settings["measure"] = self._measure.first
        for option in options:
            self._take(option)
            self._settings["measure"] = option

    def _settings_in_words(self) -> str:
        return ""
