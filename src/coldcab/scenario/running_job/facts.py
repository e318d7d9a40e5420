"""The running job: one machine from the complaint to the owner's copy, step by step, and what each choice leads to.

A job has facts, a state that every choice changes, and readings that the machine model gives for that state. What a
choice does to oil, water, debris and gas is kept as plain amounts; where no formula stands, what it leads to is common
practice without a source. The jobs, their prices and the shares below are invented. The choices stand in
`opening`, `middle` and `closing`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType

from coldcab import units
from coldcab.faults import Fault
from coldcab.machine import Readings, charge_range, nominal_charge, simulate
from coldcab.machine.effects import Effects, gather
from coldcab.machine.fleet import FLEET as MACHINES
from coldcab.quantities import ColdcabError
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import FLEET, Unit
from coldcab.scenario.sick_machines import day
from coldcab.words import _

RPM = 1500.0
HOT_DAY = 104.0  # F, a day of the next summer
LABOR = 95.0  # dollars an hour, invented
AIR_DENSITY = 1.2  # kg/m3 near 70 F at sea level
LEFT_BY_PURGING = 0.6  # of the air that stood in the circuit, when refrigerant is to push it out (assumption)
ON_THE_WALLS = 0.2  # fl oz of old oil that a flush leaves (assumption)
SWOLLEN = 60.0  # g/yr through rings that a wrong solvent has swollen (assumption)
SEALED = 0.3  # of what leaked still leaks after sealant (assumption)
ROUND_PRICE = 900.0  # dollars, invented
LEAST = 0.05  # kg that the model can run with
MONTHS = 12.0
BOOK = "running job 23"  # has both kinds of job for each kind of condenser and valve

PLACES = (
    _("crimp of the suction hose"),
    _("crimp of the discharge hose"),
    _("fitting at the condenser"),
    _("fitting at the drier"),
    _("high-side valve core"),
    _("O-rings behind the cab"),
)
SERPENTINE, FEW_PATHS, PARALLEL = _("serpentine"), _("tube-and-fin"), _("parallel-flow")
NOTHING, OPEN_QUOTE, ROUND_QUOTE, ALL_NEW = "", "open", "round", "all new"


class JobError(ColdcabError):
    """A step or a way that the running job does not have."""


@dataclass(frozen=True)
class Job:
    """The facts of one job; amounts of oil in fl oz, as a measuring cup shows them."""

    unit: Unit
    refrigerant: str  # that it leaves with
    fahrenheit: float
    left: float  # share of the proper charge that is still inside
    leak: str  # one of PLACES
    oily: str  # another place, oily from elsewhere
    grams_a_year: float
    debris: bool  # the compressor is worn and has shed metal; else it is sound and stays
    oil: float  # of the data sheet
    drained: float  # out of the old compressor
    drier_oil: float
    condenser_oil: float
    brought: float  # in the new compressor; 0 where the old one stays
    plate: float  # psig, the lowest rating on any part

    @property
    def found_on(self) -> str:
        """The refrigerant that it came with."""
        return self.unit.original_refrigerant

    @property
    def converts(self) -> bool:
        """Whether it leaves with another refrigerant."""
        return self.found_on != self.refrigerant

    @property
    def condenser(self) -> str:
        """SERPENTINE, FEW_PATHS or PARALLEL, by the machine's tubes side by side."""
        paths = MACHINES[self.unit.number].condenser.passes[0]
        return SERPENTINE if paths == 1 else PARALLEL if paths > 3 else FEW_PATHS

    @property
    def block(self) -> bool:
        """Whether it has a block valve."""
        return bool(MACHINES[self.unit.number].valve.block)

    @property
    def charge(self) -> float:
        """kg that it should leave with: the same liquid volume as the data sheet's charge."""
        return nominal_charge(MACHINES[self.unit.number], self.refrigerant)

    @property
    def sheet_charge(self) -> float:
        """kg of the refrigerant that it came with."""
        return self.unit.charge


@lru_cache(maxsize=64)
def job(number: int, book: str = BOOK) -> Job:
    """Return a job by the machine's number in the shop: the same number and book, the same job, for ever.

    Raises JobError where the shop has no such machine.
    """
    unit = next((one for one in FLEET if one.number == number), None)
    if unit is None:
        known = ", ".join(str(one.number) for one in FLEET)
        raise JobError(_("the shop has no Unit {number}; it has {known}.").format(number=str(number)[:20], known=known))
    draw = Draw(book, str(number))
    leak, oily = draw.order("places", PLACES)[:2]
    debris = draw.fraction("debris") < 0.5
    oil = draw.number("oil", 6.0, 9.0, 0.5)
    return Job(
        unit,
        "R-134a" if unit.original_refrigerant == "R-12" else unit.original_refrigerant,
        draw.pick("day", (88.0, 95.0, 100.0)),
        draw.number("left", 0.35, 0.6, 0.01),
        leak,
        oily,
        draw.number("grams", 120.0, 420.0, 10.0),
        debris,
        oil,
        round(oil * draw.number("drained", 0.3, 0.42, 0.01), 1),
        draw.number("drier", 0.6, 1.0, 0.1),
        draw.number("condenser", 0.8, 1.2, 0.1),
        draw.number("brought", 3.0, 5.0, 0.1) if debris else 0.0,
        draw.number("plate", 200.0, 280.0, 10.0),
    )


@dataclass(frozen=True)
class State:
    """What is in the machine and on the paper after some steps.

    Oil in fl oz; ``debris`` and ``soaked`` (drier full of water) as shares; ``air``, ``charge`` and ``vented`` in kg;
    ``shop_minutes`` and ``shop_dollars`` nobody pays for.
    """

    left: float
    identified: bool = False
    mixed: bool = False
    aimed: str = NOTHING  # place that the shop takes for the leak
    repaired: str = NOTHING
    quote: str = NOTHING
    debris: float = 0.0
    old_oil: float = 0.0
    new_oil: float = 0.0
    wrong_oil: bool = False
    solvent: bool = False
    soaked: float = 0.0
    wet: bool = False
    leaks: float = 0.0  # g/yr
    sealant: bool = False
    fell: bool = False  # the hold test fell more than the temperature explains
    hurt: bool = False  # the compressor ran in a vacuum
    air: float = 0.0
    charge: float = 0.0
    refrigerant: str = ""
    vented: float = 0.0
    labeled: bool = False
    recorded: bool = False
    false_record: bool = False
    minutes: float = 0.0
    dollars: float = 0.0
    shop_minutes: float = 0.0
    shop_dollars: float = 0.0

    @property
    def oil(self) -> float:
        """Oil in the circuit, fl oz."""
        return self.old_oil + self.new_oil

    def spend(self, minutes: float, dollars: float = 0.0, *, shop: bool = False) -> State:
        """The state with time and money spent, on the owner's bill or on the shop."""
        if shop:
            return replace(self, shop_minutes=self.shop_minutes + minutes, shop_dollars=self.shop_dollars + dollars)
        return replace(self, minutes=self.minutes + minutes, dollars=self.dollars + dollars)


def begin(one: Job) -> State:
    """The machine as it came."""
    return State(one.left, debris=float(one.debris), old_oil=one.oil, leaks=one.grams_a_year, refrigerant=one.found_on)


# What the machine does -----------------------------------------------------------------------------------------

MISCIBLE_LIMIT = 0.05
"""Share of mineral oil that a machine on R-134a may keep: common practice, no source."""


def old_oil_share(one: Job, state: State) -> float:
    """Share of the oil that does not travel with the refrigerant the machine leaves with."""
    if state.wrong_oil:
        return 1.0
    return state.old_oil / state.oil if one.converts and state.oil > 0.0 else 0.0


def oil_share(one: Job, state: State) -> float:
    """Oil in the circuit over that of the data sheet."""
    return state.oil / one.oil


def faults_as_left(one: Job, state: State) -> tuple[Fault, ...]:
    """What the machine has on the day it leaves, as faults of the catalogue.

    Severities are assumptions: they rise with what the state holds, and are nothing where it holds nothing.
    """
    too_much = max(oil_share(one, state) - 1.15, 0.0)
    found = {
        "evaporator oil-logged": min(too_much + (0.4 if old_oil_share(one, state) > MISCIBLE_LIMIT else 0.0), 1.0),
        "worn compressor": 0.8 if state.hurt else 0.0,
        "valve screen plugged": 0.3 * state.debris,
        "drier restricted": 0.2 if state.sealant else 0.0,
    }
    return tuple(Fault(name, severity) for name, severity in found.items() if severity > 0.0)


def faults_next_summer(one: Job, state: State) -> tuple[Fault, ...]:
    """The same after twelve months of work: debris travels, water gathers, a dry compressor wears."""
    starved = max(0.85 - oil_share(one, state), 0.0) + (0.35 if old_oil_share(one, state) > MISCIBLE_LIMIT else 0.0)
    later = {
        "worn compressor": min(starved + 0.3 * state.debris + 0.3 * state.solvent, 1.0),
        "valve screen plugged": 0.85 * state.debris,
        "drier restricted": 0.6 if state.sealant else 0.0,
        "moisture freezing": 0.7 if state.wet else 0.0,
    }
    now = {fault.name: fault.severity for fault in faults_as_left(one, state)}
    worst = {name: max(now.get(name, 0.0), later.get(name, 0.0)) for name in (*now, *later)}
    return tuple(Fault(name, severity) for name, severity in worst.items() if severity > 0.0)


def charge_after(state: State, months: float) -> float:
    """kg left after some months of leaking, nothing added; never below what the model can run with."""
    return max(state.charge - 1e-3 * state.leaks * months / 12.0, LEAST)


@lru_cache(maxsize=512)
def run(
    unit: int, fahrenheit: float, refrigerant: str, charge: float, air: float, faults: tuple[Fault, ...]
) -> Readings:
    """The machine's readings with a charge and some air in kg, on a day in F with its doors open."""
    machine = MACHINES[unit]
    least, most = charge_range(machine, refrigerant)
    effects: Effects = gather(faults).changed(air_mass=air)
    return simulate(
        machine,
        day(fahrenheit, RPM),
        refrigerant=refrigerant,
        charge=min(max(charge, least), 0.99 * most),
        faults=effects,
    )


def as_found(one: Job) -> Readings:
    """The readings with which it came."""
    worn = (Fault("worn compressor", 0.4),) if one.debris else ()
    return run(one.unit.number, one.fahrenheit, one.found_on, one.left * one.sheet_charge, 0.0, worn)


def as_left(one: Job, state: State) -> Readings:
    """The readings after the charge, on the same day."""
    return run(one.unit.number, one.fahrenheit, state.refrigerant, state.charge, state.air, faults_as_left(one, state))


def right_as_left(one: Job) -> Readings:
    """What the healthy machine shows on that day."""
    return run(one.unit.number, one.fahrenheit, one.refrigerant, one.charge, 0.0, ())


def next_summer(one: Job, state: State) -> Readings:
    """The readings on a hot day a year later."""
    return run(
        one.unit.number,
        HOT_DAY,
        state.refrigerant,
        charge_after(state, MONTHS),
        state.air,
        faults_next_summer(one, state),
    )


def right_next_summer(one: Job) -> Readings:
    """What the healthy machine shows on that hot day."""
    return run(one.unit.number, HOT_DAY, one.refrigerant, one.charge, 0.0, ())


WARMER = 4.0  # K at the vent that an owner notices (assumption)


def comes_back(one: Job, state: State) -> bool:
    """Whether the machine comes back within the year: the vent is warmer than the healthy one's on a hot day."""
    return float(next_summer(one, state).vent) - float(right_next_summer(one).vent) > WARMER


def comes_warm(one: Job, state: State) -> bool:
    """Whether the vent of the charged machine is warmer than the healthy one's on the day it leaves."""
    return float(as_left(one, state).vent) - float(right_as_left(one).vent) > WARMER


# Money -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Bill:
    """Dollars: what the owner pays, and what the shop bears."""

    owner: float
    shop: float


def worth(state: State) -> float:
    """Dollars of the owner's work: hours at LABOR and material."""
    return state.minutes / 60.0 * LABOR + state.dollars


def bill(state: State) -> Bill:
    """Who pays: after a round price the owner pays that, and the shop bears or keeps the difference."""
    owner = ROUND_PRICE if state.quote == ROUND_QUOTE else worth(state)
    return Bill(owner, state.shop_minutes / 60.0 * LABOR + state.shop_dollars + worth(state) - owner)


def ounces(kilograms: float) -> float:
    """kg in oz."""
    return float(units.convert(kilograms, "mass", "oz"))


PRICES: Mapping[str, float] = MappingProxyType(
    {
        "compressor": 560.0,
        "condenser": 420.0,
        "drier": 95.0,
        "valve": 110.0,
        "flush": 60.0,
        "rings and hose": 80.0,
        "oil": 25.0,
        "an unknown cylinder": 180.0,
    }
)
"""Dollars, invented."""
