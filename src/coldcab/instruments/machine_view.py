"""A machine of the fleet that runs on the day that is set: what bench, circuit, glass and thermometers share.

The machine itself is solved by the rooms `machine` and `faults`; here its settings are kept and its readings drawn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from coldcab import units
from coldcab.faults import Fault, catalogue, faults_for
from coldcab.instruments.base import Instrument
from coldcab.instruments.controls import Choice, Control, Slider, altitude_slider, gauge_words, in_both, printable
from coldcab.instruments.drawing import glass, thermometers
from coldcab.instruments.drawing.rows import ROW, rows
from coldcab.instruments.hands_on import NO_GLASS
from coldcab.machine import Conditions, Machine, Readings, charge_range, nominal_charge, simulate
from coldcab.machine.effects import HEALTHY, Effects, gather
from coldcab.machine.fleet import FLEET
from coldcab.machine.readings import FLOOD_BACK, HIGH_PRESSURE, LOW_PRESSURE, OFF, RELIEF, RUNNING, THERMOSTAT
from coldcab.words import _

MACHINES = {machine.name: machine for machine in FLEET.values()}
NO_FAULT = "none"
DOORS_OPEN, DOORS_SHUT = _("open, as for a test"), _("shut, cab cooled down")

STATUS = {
    RUNNING: _("The compressor runs without a break; the readings stand still."),
    HIGH_PRESSURE: _(
        "The high-pressure switch stops the clutch, again and again, before a hose bursts. Find "
        "out why the head is high."
    ),
    RELIEF: _(
        "The relief valve has blown off refrigerant. On a real machine: stop, and keep away from the relief valve."
    ),
    LOW_PRESSURE: _(
        "The low-pressure switch stops the clutch, again and again: too little refrigerant boils in the evaporator."
    ),
    THERMOSTAT: _(
        "The thermostat rests the clutch because the fins are cold enough. On a mild day or in a "
        "cool cab this is how it should be."
    ),
    FLOOD_BACK: _(
        "Liquid reaches the compressor. It washes oil away and can break the valves: on a real machine, stop."
    ),
    OFF: _("The compressor stands still, so both sides have come to one pressure."),
}
"""What each status means, in a sentence or two."""

NO_VALUE = "none"  # at rest nothing is warmer or colder than saturation
OWN_UNITS = {
    "belt power": ("power", ("hp", 1), ("kW", 1)),
    "water": ("mass flow", ("lb/h", 2), ("g/s", 2)),
    "superheat": ("temperature difference", ("F", 1), ("K", 1)),
    "pressure loss": ("pressure difference", ("psi", 1), ("kPa", 0)),
}
"""Kinds written with units and decimals of their own, so that a small number does not wander to another unit."""

DAY = _("{refrigerant}, {charge} in the circuit, {ambient} outside, {status}.")
DAY_OF_A_MACHINE = _("{machine}: {refrigerant}, {charge} in the circuit, {ambient} outside, {status}.")

NEWEST = "R-1234yf"
YF_CAUTION = _(
    "R-1234yf is mildly flammable (A2L). It has its own fittings, label and charge: nothing else goes in. No flames or "
    "sparks, and plenty of air. Follow the machine's manual."
)
"""What stands with every view of a machine that was built for R-1234yf."""

AVERAGED = (HIGH_PRESSURE, LOW_PRESSURE, THERMOSTAT)


@dataclass(frozen=True, slots=True)
class MachineChoice(Choice):
    """A machine by its name, or by the shop's number: 31 or "31"."""

    def read(self, given: object, system: str, atmosphere: float, *, typed: bool = False) -> str:
        number = int(given) if isinstance(given, str) and given.isdigit() and len(given) < 4 else given
        if isinstance(number, int) and not isinstance(number, bool) and number in FLEET:
            given = FLEET[number].name
        return Choice.read(self, given, system, atmosphere)


def refrigerants_for(machine: str) -> tuple[str, ...]:
    """What can be in a machine: R-1234yf in the one built for it and nothing else there; its fittings see to that."""
    own = MACHINES[machine].refrigerant
    return (own,) if own == NEWEST else ("R-134a", "R-12")


def _percent(name: str, label: str, lowest: float, highest: float, step: float, start: float, folded: bool = False):
    return Slider(name, label, "fraction", lowest, highest, step, start, "%", "%", step, decimals=0, folded=folded)


def _controls() -> dict[str, Control]:
    altitude = altitude_slider()
    faults = (NO_FAULT, *catalogue)
    every = (
        MachineChoice("machine", "machine", tuple(MACHINES), FLEET[31].name),
        Choice("refrigerant", "refrigerant", ("R-134a", "R-12", NEWEST), "R-134a"),
        Choice("fault", "fault", faults, NO_FAULT),
        _percent("severity", "severity", 0.0, 100.0, 2.0, 50.0),
        _percent("charge", "charge", 5.0, 180.0, 1.0, 100.0),
        Slider("engine_speed", "engine speed", "rotational speed", 600.0, 2800.0, 50.0, 1500.0, "rpm", "rpm", 50.0, 0),
        Slider("ambient", "outside air", "temperature", 45.0, 130.0, 1.0, 95.0, "F", "C", 0.5),
        _percent("blower", "blower", 25.0, 100.0, 5.0, 100.0),
        _percent("humidity", "relative humidity", 5.0, 95.0, 1.0, 40.0, folded=True),
        Slider("altitude", altitude.label, "length", 0.0, 10_000.0, 100.0, 0.0, "ft", "m", 50.0, 0, folded=True),
        Choice("doors", "doors and windows", (DOORS_OPEN, DOORS_SHUT), DOORS_OPEN, folded=True),
        Choice("second_fault", "second fault", faults, NO_FAULT, folded=True),
        _percent("second_severity", "its severity", 0.0, 100.0, 2.0, 50.0, folded=True),
    )
    return {control.name: control for control in every}


CONTROLS = _controls()
"""Every control of a running machine, by name."""

SEVERITY_OF = {"severity": "fault", "second_severity": "second_fault"}


def pick(*names: str) -> tuple[Control, ...]:
    """Some of the controls, in the order given."""
    return tuple(CONTROLS[name] for name in names)


def _check_fit(fault: Fault, refrigerant: str, machine: Machine) -> None:
    """Raise a plain sentence where a machine cannot have a fault."""
    entry = fault.entry
    if entry.fits(refrigerant, machine):
        return
    if entry.only is not None and refrigerant not in entry.only:
        raise ValueError(
            _("{name} can be shown with {only} only; choose that refrigerant or another fault.").format(
                name=fault.name, only=" or ".join(entry.only)
            )
        )
    has = _("a block valve, which has no bulb") if machine.valve.block else _("a valve with a bulb, not a block valve")
    raise ValueError(
        _("{name} cannot be here, because {machine} has {valve}; choose another fault or machine.").format(
            name=fault.name, machine=machine.name, valve=has
        )
    )


class MachineView(Instrument):
    """Something to see at a running machine.

    Parameters
    ----------
    readings, healthy : readings made elsewhere (`coldcab.machine.simulate`), drawn as they are, without controls;
        `healthy` are those of the healthy machine on the same day, for comparison. Left out, the machine that the
        settings describe is run.

    Settings that a view has no control for stand at their start. Readings: every field of
    `coldcab.machine.Readings` by name (SI), and `healthy`, the same of the healthy machine with the right charge on
    the same day (empty where that one finds no steady state).
    """

    controls = tuple(CONTROLS.values())
    drawer = _("Weather, doors and a second fault")

    def __init__(self, *, readings: Readings | None = None, healthy: Readings | None = None, **settings: Any) -> None:
        self._given = readings
        self._run: Readings | None = None
        self._healthy = healthy
        self._day: tuple | None = None
        if readings is not None:
            settings["fixed"] = True
        super().__init__(**settings)

    def show(self, readings: Readings, healthy: Readings | None = None) -> MachineView:
        """Draw other readings made elsewhere."""
        self._given, self._healthy = readings, healthy
        self._work_out()
        if self._panel is not None:
            self._panel.paint()
        return self

    def in_use(self, control: Control) -> bool:
        if self._given is not None:
            return False
        return self.setting(SEVERITY_OF[control.name]) != NO_FAULT if control.name in SEVERITY_OF else True

    def setting(self, name: str) -> Any:
        """A setting, or where its control stands at the start."""
        if name in self._settings:
            return self._settings[name]
        return refrigerants_for(self.setting("machine"))[0] if name == "refrigerant" else CONTROLS[name].first

    def offered(self, control: Choice) -> tuple[str, ...]:
        """The refrigerants that this machine takes, and the faults that it can have with the one that is set."""
        if control.name == "refrigerant":
            return refrigerants_for(self.setting("machine"))
        if control.name not in SEVERITY_OF.values():
            return super().offered(control)
        fit = faults_for(MACHINES[self.setting("machine")], self.setting("refrigerant"))
        kept = {NO_FAULT, self.setting(control.name), *fit}
        return tuple(name for name in control.options if name in kept)

    @property
    def right_charge(self) -> float:
        """kg that fill this machine properly with the refrigerant that is set."""
        return nominal_charge(MACHINES[self.setting("machine")], self.setting("refrigerant"))

    @property
    def conditions(self) -> Conditions:
        """The day: weather, speed, blower and doors."""
        ambient, humidity = self.setting("ambient"), self.setting("humidity")
        opened = self.setting("doors") == DOORS_OPEN
        return Conditions(
            ambient=ambient,
            relative_humidity=humidity,
            altitude=self.setting("altitude"),
            engine_speed=self.setting("engine_speed"),
            blower=self.setting("blower"),
            inlet_temperature=ambient if opened else None,
            inlet_relative_humidity=humidity,
        )

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults that are set, each at its severity."""
        chosen = ((self.setting(fault), self.setting(severity)) for severity, fault in SEVERITY_OF.items())
        return tuple(Fault(name, severity) for name, severity in chosen if name != NO_FAULT)

    @property
    def effects(self) -> Effects:
        """What all that is set does to the parts of the machine."""
        return gather(self.faults)

    def calculate(self) -> dict[str, Any]:
        if self._given is None:
            self._simulate()
        run = self._run if self._given is None else self._given
        if not run.solved:
            raise ValueError(_("the machine comes to no steady state, because {reason}.").format(reason=run.reason))
        return {**vars(run), "healthy": vars(self._healthy) if self._healthy and self._healthy.solved else {}}

    def _simulate(self) -> None:
        """Run the machine from where it was; the healthy one only when the day has changed."""
        machine, refrigerant = MACHINES[self.setting("machine")], self.setting("refrigerant")
        conditions, effects = self.conditions, self.effects
        self._check_refrigerant()
        for fault in self.faults:
            _check_fit(fault, refrigerant, machine)
        self._check_charge()
        day = machine.name, refrigerant, conditions
        if day != self._day:
            if self._day is None or day[:2] != self._day[:2]:
                self._run = None  # another machine or refrigerant: nothing near to start from
            self._healthy = simulate(
                machine, conditions, refrigerant=refrigerant, charge=self.right_charge, start=self._healthy
            )
            self._day = day
        share = self.setting("charge")
        if share == 1.0 and effects == HEALTHY:
            self._run = self._healthy
            return
        self._run = simulate(
            machine,
            conditions,
            refrigerant=refrigerant,
            charge=share * self.right_charge,
            faults=effects,
            start=self._run if self._run is not None and self._run.solved else self._healthy,
        )

    def _check_refrigerant(self) -> None:
        machine, refrigerant = self.setting("machine"), self.setting("refrigerant")
        if refrigerant in refrigerants_for(machine):
            return
        if MACHINES[machine].refrigerant == NEWEST:
            said = _("{machine} was built for R-1234yf, and its fittings take nothing else; choose R-1234yf.")
        else:
            said = _("{machine} was not built for R-1234yf, which is flammable; choose R-134a or R-12.")
        raise ValueError(said.format(machine=machine))

    def _check_charge(self) -> None:
        """Say in the learner's units when charge and faults together leave what no machine can be run with."""
        low, high = charge_range(MACHINES[self.setting("machine")], self.setting("refrigerant"))
        left = self.setting("charge") * self.right_charge * self.effects.charge
        if not low <= left <= high:
            raise ValueError(
                _(
                    "charge and fault together make {left}, and this machine can be run with {low} to "
                    "{high}; move one of the two levers."
                ).format(left=self.words(left, "mass"), low=self.words(low, "mass"), high=self.words(high, "mass"))
            )

    # What is set ---------------------------------------------------------------------------------------------

    def caution(self) -> str:
        inside = self._given.refrigerant if self._given is not None else self.setting("refrigerant")
        return YF_CAUTION if inside == NEWEST else ""

    @property
    def block(self) -> bool:
        """Whether the machine that is drawn has a block valve, and no sight glass."""
        return self._given is None and MACHINES[self.setting("machine")].valve.block

    def glass_words(self, readings: Mapping[str, Any]) -> str:
        """What the sight glass shows, or that this machine has none."""
        return NO_GLASS if self.block else glass.in_words(readings["glass"], readings["glass_void"])

    def accept(self, control: Control, given: object) -> bool:
        if control.name == "charge" and isinstance(given, str):
            try:
                given = self._share_of(given, self.right_charge)
            except ValueError as problem:
                self._note = printable(str(problem))
                return False
        taken = super().accept(control, given)
        if taken and control.name == "machine" and self._follow():
            self._work_out()
        return taken

    def _follow(self) -> bool:
        """Another machine, another refrigerant: whether the one that stood there had to change."""
        possible = refrigerants_for(self.setting("machine"))
        if self._settings.get("refrigerant", possible[0]) in possible:
            return False
        self._settings["refrigerant"] = possible[0]
        return True

    def _update(self, settings: Mapping[str, object]) -> None:
        charge = settings.get("charge")
        if isinstance(charge, str):
            chosen = {
                name: CONTROLS[name].read(settings[name], self.system, self.atmosphere)
                if name in settings
                else self.setting(name)
                for name in ("machine", "refrigerant")
            }
            if "refrigerant" not in settings and chosen["refrigerant"] not in refrigerants_for(chosen["machine"]):
                chosen["refrigerant"] = refrigerants_for(chosen["machine"])[0]
            right = nominal_charge(MACHINES[chosen["machine"]], chosen["refrigerant"])
            settings = {**settings, "charge": self._share_of(charge, right)}
        super()._update(settings)
        if "machine" in settings and "refrigerant" not in settings:
            self._follow()

    def _share_of(self, text: str, right: float) -> str:
        """A charge that was weighed, such as "2 lb 4 oz", as a share of the right one; other text as it is."""
        try:
            mass = units.parse(text, "mass").value
        except ValueError:
            return text
        low, high = CONTROLS["charge"].limits
        if not low * right <= mass <= high * right:
            raise ValueError(
                _(
                    "charge: {mass} is outside this instrument, which goes from {low} to {high} for this machine."
                ).format(
                    mass=self.words(mass, "mass"),
                    low=self.words(low * right, "mass"),
                    high=self.words(high * right, "mass"),
                )
            )
        return f"{100.0 * mass / right:.10f} %"

    def _settings_in_words(self) -> str:
        return super()._settings_in_words() if self._given is None else ""

    def value_words(self, value: float, kind: str) -> str:
        """A reading in words; beside the kinds of `words`, "gauge", "share" and those of `OWN_UNITS`."""
        if value != value:
            return NO_VALUE
        if kind == "share":
            return f"{100 * min(max(value, 0.0), 1.0):.0f} %"
        if kind == "gauge":
            return gauge_words(value, self.system)
        if kind in OWN_UNITS:
            known, *pair = OWN_UNITS[kind]
            numbers = ((round(float(units.convert(value, known, unit)), decimals) + 0.0, unit, decimals)
                       for unit, decimals in pair)  # fmt: skip
            return in_both(*(f"{number:.{decimals}f} {unit}" for number, unit, decimals in numbers), self.system)
        return self.words(value, kind)

    def compared(
        self,
        readings: Mapping[str, Any],
        lines: Sequence[tuple[str, str, str]],
        *,
        top: float,
        columns: tuple[float, float, float],
    ) -> str:
        """Lines of readings (name, words, kind) beside the healthy machine's, with an arrow where they differ."""
        healthy, written, arrows = readings["healthy"], [], ""
        for number, (name, words, kind) in enumerate(lines):
            now = self.value_words(readings[name], kind)
            well = self.value_words(healthy[name], kind) if healthy else ""
            written.append((words, now, well))
            if healthy and now not in (well, NO_VALUE):
                way = "up" if readings[name] > healthy[name] else "down"
                arrows += thermometers.arrow(columns[1] - 18, top + ROW * number - 5, way)
        return rows(top, columns, written) + arrows

    def day_words(self, readings: Mapping[str, Any]) -> str:
        """What runs, with how much charge, on what day."""
        return (DAY if self._given is not None else DAY_OF_A_MACHINE).format(
            machine="" if self._given is not None else self.setting("machine"),
            refrigerant=readings["refrigerant"],
            charge=self.words(readings["charge"], "mass"),
            ambient=self.words(readings["ambient"], "temperature"),
            status=readings["status"],
        )
