"""The wiring around a clutch: a control circuit that works a relay, and a load circuit that the relay closes.

The control circuit carries a tenth of an ampere through key, switches and the relay's coil. The load circuit carries
the clutch's amperes through the relay's contacts. On newer machines a controller grounds the relay's coil, and reads
the pressure from a sensor.

Caution: key off and belt clear of hands before a lead is touched; a clutch engages without a warning. A 24 V set is two
batteries in series: never feed anything from one of them. Minus off first, on last.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coldcab.quantities import PSI, Limit, Value
from coldcab.service.checks import ServiceError, number
from coldcab.service.clutch import GAP as GAP_LIMITS
from coldcab.service.clutch import GROUND, LINKS, REFERENCE, TEMPERATURE, Circuit, CircuitState, Coil, Link
from coldcab.words import _

GAUGE = Limit("gauge pressure", -1.1e5, 60e5, "kPa gauge")
SIGNAL = Limit("voltage", 0.0, 6.0, "V")

KEY_OFF, KEY_ON, RUNNING = "key off", "key on, engine stopped", "engine running"
DIODE, RESISTOR, NO_SUPPRESSION, SHORTED_DIODE = "diode", "resistor", "none", "diode shorted"
ONE, TWO, THREE = _("switch, one function"), _("switch, two functions"), _("switch, three functions")
CONTROLLER = _("sensor and controller")
CONTROLS = (ONE, TWO, THREE, CONTROLLER)

CONTROL_LINKS = (
    Link("key switch", 0.05, usual_drop=0.3),
    Link("control fuse", 0.02),
    Link("A/C switch", 0.05, usual_drop=0.3),
    Link("thermostat", 0.05, usual_drop=0.3),
    Link("pressure switch", 0.05, usual_drop=0.3),
    Link("cab ground", 0.02, GROUND),
)
CONTROLLER_LINKS = (
    Link("key switch", 0.05, usual_drop=0.3),
    Link("control fuse", 0.02),
    Link("controller output", 1.0, GROUND, 0.3),
    Link("cab ground", 0.02, GROUND),
)
"""Links of the control circuit around the relay's coil; ohm [invented, typical]."""


@dataclass(frozen=True)
class System:
    """A machine's voltage; every number is [invented, typical].

    ``running`` and ``resting`` V at the battery posts; ``coil`` of the clutch; ``relay`` ohm of the relay's coil;
    ``suppressor`` ohm of the resistor over the clutch coil. Twice the voltage takes twice the turns and four times the
    ohms for the same pull.
    """

    running: float
    resting: float
    coil: Coil
    relay: float
    suppressor: float
    nominal: float


SYSTEMS: Mapping[str, System] = {
    "12 V": System(13.8, 12.6, Coil(), 90.0, 33.0, 12.0),
    "24 V": System(27.6, 25.2, Coil(resistance=14.4, turns=600.0), 330.0, 68.0, 24.0),
}
PULLS_IN = 0.65  # share of its nominal voltage at which a relay closes [from memory, typical of relays in machines]
OPEN_COIL = 1e6  # ohm that stand for a broken winding
DIODE_DROP = 0.7  # V, silicon, from memory

# Set points of the pressure switch in the liquid line and of the thermostat [invented, typical].
LOW_OPENS, HIGH_OPENS, FAN_CLOSES = 30.0 * PSI, 385.0 * PSI, 220.0 * PSI
FINS_OPEN = 273.65  # K, 33 F

SUPPLY, SPAN = 5.0, 500.0 * PSI
"""The sensor's supply (V) and the gauge pressure (Pa) of its full range [invented, typical]."""
LOWEST, HIGHEST = 0.1, 0.9
"""Shares of the supply at no and at full pressure: the usual ratiometric sensor, from memory."""


def sensor_signal(pressure: float, *, supply: float = SUPPLY, span: float = SPAN) -> float:
    """Signal (V) of a ratiometric three-wire pressure sensor.

    Parameters: ``pressure`` Pa gauge, 0 to ``span``; beyond it the signal stays at its end. ``supply`` V, 0 to 6.
    Returns V: supply x (0.1 + 0.8 x pressure / span). Raises ServiceError out of range. Source: from memory.

    >>> round(sensor_signal(250 * PSI), 2)
    2.5
    """
    pressure, supply = number("pressure", pressure, GAUGE), number("supply", supply, SIGNAL)
    share = min(max(pressure / span, 0.0), 1.0)
    return supply * (LOWEST + (HIGHEST - LOWEST) * share)


def sensor_pressure(signal: float, *, supply: float = SUPPLY, span: float = SPAN) -> float:
    """Gauge pressure (Pa) that a signal (V) of the same sensor means.

    Raises ServiceError for a signal below 5 % or above 95 % of the supply: then a wire is bad, not the pressure.
    """
    signal, supply = number("signal", signal, SIGNAL), number("supply", supply, SIGNAL)
    if not 0.05 * supply <= signal <= 0.95 * supply:
        raise ServiceError(
            _("a signal of {signal:.2f} V at {supply:.2f} V supply is no pressure; check the sensor's wires.").format(
                signal=signal, supply=supply
            )
        )
    return (signal / supply - LOWEST) / (HIGHEST - LOWEST) * span


@dataclass(frozen=True)
class Fault:
    """What is wrong: a link with ``ohm`` too many, an ``opened`` link, or a coil that is open or short of turns."""

    name: str
    link: str = ""
    ohm: float = 0.0
    opened: bool = False
    clutch: str = ""  # "open", "shorted"
    relay: str = ""  # "open"
    sensor: bool = False


NO_FAULT = Fault("none")
FAULTS = (
    NO_FAULT,
    Fault(_("load fuse open"), "load fuse", opened=True),
    Fault(_("relay contacts burnt"), "relay contacts", 1.4),
    Fault(_("feed wire almost broken"), "feed wire", 1.8),
    Fault(_("clutch connector corroded"), "clutch connector", 1.2),
    Fault(_("clutch coil open"), clutch="open"),
    Fault(_("half the turns of the clutch coil shorted"), clutch="shorted"),
    Fault(_("clutch ground wire broken"), "clutch ground wire", opened=True),
    Fault(_("clutch ground wire corroded"), "clutch ground wire", 1.3),
    Fault(_("ground strap loose"), "ground strap", 1.6),
    Fault(_("control fuse open"), "control fuse", opened=True),
    Fault(_("A/C switch worn"), "A/C switch", opened=True),
    Fault(_("thermostat open with warm fins"), "thermostat", opened=True),
    Fault(_("pressure switch open at a good pressure"), "pressure switch", opened=True),
    Fault(_("relay coil open"), relay="open"),
    Fault(_("cab ground corroded"), "cab ground", 160.0),
    Fault(_("controller output dead"), "controller output", opened=True),
    Fault(_("supply wire of the sensor broken"), sensor=True),
)
BY_NAME: Mapping[str, Fault] = {one.name: one for one in FAULTS}
_HIDDEN = (
    _("ground strap loose"),
    _("relay contacts burnt"),
    _("pressure switch open at a good pressure"),
    _("clutch connector corroded"),
    _("clutch ground wire broken"),
    _("cab ground corroded"),
    _("feed wire almost broken"),
    _("relay coil open"),
)
UNKNOWN: Mapping[str, Fault] = {
    f"unknown {letter}": BY_NAME[name] for letter, name in zip("ABCDEFGH", _HIDDEN, strict=True)
}
"""Faults that nobody names: the meter has to find them."""


def fault_called(name: str, control: str = TWO) -> Fault:
    """The fault of a name, an unknown one too. Raises ServiceError for a name, or a part, that this wiring has not."""
    found = BY_NAME.get(name) or UNKNOWN.get(name)
    if found is None:
        raise ServiceError(_("there is no fault {name!r}.").format(name=name))
    there = {one.name for one in (*LINKS, *(CONTROLLER_LINKS if control == CONTROLLER else CONTROL_LINKS))}
    if (found.link and found.link not in there) or (found.sensor and control != CONTROLLER):
        if name in UNKNOWN:
            return BY_NAME[INSTEAD]
        raise ServiceError(
            _("this wiring has no such part: {name}. Choose another fault, or the other wiring.").format(name=name)
        )
    return found


INSTEAD = _("controller output dead")
"""What an unknown fault is where its part is not: switches in line have no controller, a controller no switches."""


@dataclass(frozen=True)
class Wiring:
    """A machine at the meter: what it is built with, what is wrong, and how it stands. SI units.

    ``pressure`` Pa gauge in the liquid line, where switch or sensor sits; ``fins`` K at the feeler;
    ``coil_temperature`` K; ``gap`` m.
    """

    system: str = "12 V"
    control: str = TWO
    fault: str = NO_FAULT.name
    key: str = RUNNING
    asked: bool = True  # blower and A/C switch on
    pressure: float = 150.0 * PSI
    fins: float = 283.15
    coil_temperature: float = REFERENCE
    gap: float = 0.5e-3
    suppression: str = DIODE


@dataclass(frozen=True)
class Probed:
    """The wiring under load: V of each point against the battery's minus post (None where nothing holds it)."""

    volts: Mapping[str, float | None]
    load: CircuitState
    control: CircuitState
    relay_closed: bool
    engaged: bool
    fan: bool
    stopped_by: tuple[str, ...]  # links of the control circuit that are open because they should be
    turn_off: float | None  # V over the clutch coil as it lets go; None where nothing limits it

    def across(self, red: str, black: str) -> float:
        """What a meter shows with its leads on two points; 0 where one of them hangs free."""
        one, other = self.volts[red], self.volts[black]
        return 0.0 if one is None or other is None else one - other


PLUS, MINUS = "battery plus", "battery minus"
LOAD_POINTS = (
    "relay 30", "relay 87", "behind the feed wire", "clutch feed terminal", "clutch ground terminal", "engine block",
)  # fmt: skip
SWITCH_POINTS = (
    "behind the key switch", "behind the control fuse", "behind the A/C switch", "behind the thermostat", "relay 86",
    "relay 85",
)  # fmt: skip
CONTROLLER_POINTS = ("behind the key switch", "relay 86", "relay 85", "controller ground")
SENSOR_POINTS = ("sensor supply", "sensor signal", "sensor ground")


def points(control: str) -> tuple[str, ...]:
    """The points that a meter can touch, in the order of the current."""
    if control == CONTROLLER:
        return (PLUS, *CONTROLLER_POINTS, *SENSOR_POINTS, *LOAD_POINTS, MINUS)
    return (PLUS, *SWITCH_POINTS, *LOAD_POINTS, MINUS)


def stops(wiring: Wiring) -> tuple[str, ...]:
    """Links of the control circuit that stand open as they should: key, A/C switch, thermostat, pressure."""
    pressure = number("pressure", wiring.pressure, GAUGE)
    fins = number("fins", wiring.fins, TEMPERATURE)
    low, high = pressure < LOW_OPENS, pressure > HIGH_OPENS and wiring.control != ONE
    found = [] if wiring.key != KEY_OFF else ["key switch"]
    if wiring.control == CONTROLLER:
        blind = fault_called(wiring.fault, CONTROLLER).sensor
        refuses = not wiring.asked or fins < FINS_OPEN or low or high or blind
        return tuple(found + (["controller output"] if refuses else []))
    found += [] if wiring.asked else ["A/C switch"]
    found += ["thermostat"] if fins < FINS_OPEN else []
    return tuple(found + (["pressure switch"] if low or high else []))


def _along(state: CircuitState, names: tuple[str, ...], opened: set[str]) -> dict[str, float | None]:
    """V of the points between the links of one circuit; None between two open places."""
    feed = [float(one.after) for one in state.drops if one.link.side != GROUND]
    ground = [float(one.before) for one in state.drops if one.link.side == GROUND]
    order = [one.link.name for one in state.drops if one.link.side != GROUND]
    order += [_("the coil"), *(one.link.name for one in state.drops if one.link.side == GROUND)]
    broken = [place for place, name in enumerate(order) if name in opened]
    found: dict[str, float | None] = {}
    for place, (name, volts) in enumerate(zip(names, (*feed, *ground), strict=True)):
        free = bool(broken) and broken[0] <= place < broken[-1]
        found[name] = None if free else volts
    return found


def _circuit(
    links: tuple[Link, ...], coil: Coil, fault: Fault, source: float, opened: set[str], **more: float
) -> CircuitState:
    """One circuit with its fault, where the fault is in it."""
    there = fault.link in {one.name for one in links}
    added: dict[str, Value] = {fault.link: fault.ohm} if fault.ohm and there else {}
    return Circuit(links, coil).state(source=source, added=added, opened=sorted(opened), **more)


def probe(wiring: Wiring) -> Probed:
    """Both circuits at work.

    Parameters
    ----------
    wiring : `Wiring`; pressures to 60 bar, temperatures 233 to 473 K, gap to 5 mm.

    Returns
    -------
    `Probed`. The relay closes at 65 % of its nominal voltage; its contacts are a link of the load circuit.

    Raises
    ------
    ServiceError : out of range, or a name that there is not.

    Source
    ------
    Ohm's and Kirchhoff's laws; the relay's threshold from memory.
    """
    if wiring.system not in SYSTEMS:
        raise ServiceError(_("there is no {system!r} system; take 12 V or 24 V.").format(system=wiring.system))
    system, fault = SYSTEMS[wiring.system], fault_called(wiring.fault, wiring.control)
    source = system.running if wiring.key == RUNNING else system.resting
    links = CONTROLLER_LINKS if wiring.control == CONTROLLER else CONTROL_LINKS
    stopped = stops(wiring)
    broken = {fault.link} if fault.opened else set()
    opened = {one.name for one in links} & (broken | set(stopped))
    relay = Coil(resistance=OPEN_COIL if fault.relay == "open" else system.relay)
    control = _circuit(links, relay, fault, source, opened)
    closed = float(control.coil_voltage) >= PULLS_IN * system.nominal and fault.relay != "open"

    opened_load = {one.name for one in LINKS} & (broken | (set() if closed else {"relay contacts"}))
    if wiring.suppression == SHORTED_DIODE and closed:
        opened_load |= {"load fuse"}  # it has opened at once
    coil = Coil(OPEN_COIL, system.coil.turns) if fault.clutch == "open" else system.coil
    hot = {} if fault.clutch == "open" else {"coil_temperature": number("coil", wiring.coil_temperature, TEMPERATURE)}
    share = 0.5 if fault.clutch == "shorted" else 1.0
    load = _circuit(LINKS, coil, fault, source, opened_load, coil_share=share, **hot)
    gap = number("gap", wiring.gap, GAP_LIMITS)
    return Probed(
        _volts(wiring, control, load, opened, opened_load),
        load,
        control,
        closed,
        bool(Circuit(LINKS, system.coil).engages(load, gap)),
        wiring.control in (THREE, CONTROLLER) and wiring.pressure > FAN_CLOSES and wiring.key != KEY_OFF,
        stopped,
        turn_off_voltage(float(load.current), wiring.suppression, system.suppressor),
    )


def _volts(
    wiring: Wiring, control: CircuitState, load: CircuitState, opened: set[str], opened_load: set[str]
) -> dict[str, float | None]:
    """V of every point of a wiring against the battery's minus."""
    found: dict[str, float | None] = {PLUS: float(load.source), MINUS: 0.0}
    found |= _along(load, LOAD_POINTS, opened_load)
    if wiring.control != CONTROLLER:
        return found | _along(control, SWITCH_POINTS, opened)
    found |= _along(control, CONTROLLER_POINTS, opened)
    awake = wiring.key != KEY_OFF and "control fuse" not in opened
    supply = SUPPLY if awake else 0.0
    feeds = 0.0 if fault_called(wiring.fault, CONTROLLER).sensor else supply
    signal = sensor_signal(wiring.pressure, supply=feeds)
    return found | {"sensor supply": feeds, "sensor signal": signal, "sensor ground": 0.0}


def turn_off_voltage(current: float, suppression: str, suppressor: float) -> float | None:
    """V over the clutch coil in the moment it lets go.

    Parameters: ``current`` A that has flowed; ``suppression`` DIODE, RESISTOR, NO_SUPPRESSION or SHORTED_DIODE;
    ``suppressor`` ohm of the resistor. The current of a coil cannot stop at once: it goes on through what lies over it.
    Returns V: current x ohm, or a diode's own drop; None where only the arc at the contacts limits it (hundreds of
    volts, from memory). 0 where no current has flowed.
    """
    if current <= 0.01:
        return 0.0
    if suppression == RESISTOR:
        return current * suppressor
    return None if suppression == NO_SUPPRESSION else DIODE_DROP


def copper_in_fahrenheit(cold_ohm: float, cold: float, hot: float) -> float:
    """Ohms of a copper winding at ``hot`` from its ohms at ``cold``, both degrees F, as people work it out by hand.

    hot ohms = cold ohms x (390 + hot) / (390 + cold): the rule of `clutch.coil_resistance`, whose zero is -234.5 C, in
    degrees F and rounded. Raises ServiceError for a winding below -40 F or above 390 F.
    """
    for name, value in (("cold", cold), ("hot", hot)):
        if not -40.0 <= value <= 390.0:
            raise ServiceError(
                _("{name} is {value:g} F; no clutch coil at work is that cold or hot.").format(name=name, value=value)
            )
    return cold_ohm * (390.0 + hot) / (390.0 + cold)
