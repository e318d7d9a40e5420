"""The leak bench: machines of the invented shop that lose refrigerant, and what each way of searching shows of them.

A machine has one or two leaks at places of its circuit, some of them behind covers. An action costs minutes and money,
changes the machine (a cover off, nitrogen in) or reports places. What it reports follows from `coldcab.service.leaks`;
it may miss, and it may cry wolf. Prices, weights of the places and the shop's habits are invented; that such places
leak, and which the most, is common practice without a source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from coldcab import units
from coldcab.scenario.draw import Draw
from coldcab.service import leak_test, leaks
from coldcab.words import _

REAR, DASH = _("panel behind the cab"), _("dash and roof lid")
"""Covers that hide places."""


@dataclass(frozen=True)
class Place:
    """Where a leak may sit; ``usual`` weighs it against the others, ``oily`` is the chance of oil from elsewhere."""

    name: str
    usual: float
    cover: str = ""
    oily: float = 0.1


PLACES = {
    place.name: place
    for place in (
        Place(_("shaft seal"), 5.0, oily=0.5),
        Place(_("O-rings at the compressor"), 2.0, oily=0.4),
        Place(_("crimp of the discharge hose"), 3.0, oily=0.3),
        Place(_("crimp of the suction hose"), 2.0, oily=0.3),
        Place(_("valve cores"), 3.0),
        Place(_("condenser"), 2.0),
        Place(_("drier and switch"), 1.5),
        Place(_("O-rings behind the cab"), 2.0, REAR),
        Place(_("roof coil"), 2.0, DASH),
        Place(_("fittings at the expansion valve"), 1.0, DASH),
    )
}
DRAIN = _("drain of the roof coil")
"""Where gas from behind the dash comes out: an alarm there says that something behind the dash leaks, not what."""


@dataclass(frozen=True)
class Action:
    """Something to do on the bench, with its price."""

    name: str
    minutes: float
    dollars: float = 0.0


EYES, AIR, DETECTOR = _("look for oil"), _("air the bay"), _("detector")
NITROGEN, TRACER, TRACER_DETECTOR = _("nitrogen in"), _("tracer gas in"), _("tracer detector")
SOAP_SUSPECTS, SOAP_ALL = _("soap on the suspects"), _("soap everywhere")
HOLD, DYE = _("hold test overnight"), _("dye and two weeks of work")
REAR_OFF, DASH_OPEN = _("panel behind the cab off"), _("dash open")

ACTIONS = {
    action.name: action
    for action in (
        Action(EYES, 5.0),
        Action(AIR, 10.0),
        Action(DETECTOR, 12.0),
        Action(SOAP_SUSPECTS, 8.0),
        Action(NITROGEN, 25.0, 15.0),
        Action(SOAP_ALL, 40.0),
        Action(TRACER, 30.0, 30.0),
        Action(TRACER_DETECTOR, 12.0),
        Action(HOLD, 15.0),
        Action(DYE, 35.0, 20.0),
        Action(REAR_OFF, 15.0),
        Action(DASH_OPEN, 90.0),
    )
}
"""Minutes of hands; a hold test also takes the night, dye two weeks."""

REFRIGERANT = "R-134a"
SHOP = units.from_unit(70.0, "temperature", "F")
AT_REST = units.from_unit(71.0, "pressure", "psig")  # R-134a with liquid left, 70 F
TEST_PRESSURE = units.from_unit(200.0, "pressure", "psig")
CIRCUIT = 3.0e-3  # m3, volume of an invented circuit
TIP = 0.004  # m from leak to tip on a careful round
AIRED_PPM, AIRED_DRAUGHT = 0.5, 0.0
RIPPLE = 0.5
"""A detector that sets itself to zero still sees this share of the background come and go (assumption)."""
SEEN_OIL = 60.0
"""g/yr above which some months of leaking leave an oily spot, on average (common practice, no source)."""
AT_THE_DRAIN = 0.3
"""Share of what leaks behind the dash that is met at the drain, the fan off for ten minutes (assumption)."""
HURRY = 3.0
"""Times the patient limit of soap that forty minutes over everything see (assumption)."""
DYE_DAYS = 14.0
WORTH_AIRING_PPM, WORTH_AIRING_DRAUGHT = 10.0, 0.1
"""From here a detector deserves that the bay is aired and the fan stopped first: 10 ppm look like 4 g/yr."""


@dataclass(frozen=True)
class Leak:
    """A place and what it loses, g/yr of R-134a at rest at 70 F."""

    place: str
    grams_a_year: float


@dataclass(frozen=True)
class LeakyMachine:
    """A machine on the bench; ``leaks`` and ``oily`` (places with oil from elsewhere) are what the hunt is about."""

    number: int
    leaks: tuple[Leak, ...]
    oily: frozenset[str]
    pressure: bool  # liquid is left, so the gauge stands at the table's pressure
    ppm: float  # of refrigerant in the air of the bay
    draught: float  # m/s
    detector_class: float  # g/yr


@dataclass(frozen=True)
class State:
    """What was done to the machine so far."""

    gas: str = ""  # what is in the circuit; nothing, or one of `leaks.GASES`
    aired: bool = False
    open_covers: frozenset[str] = frozenset()
    suspects: frozenset[str] = frozenset()  # places that something spoke for and soap has not cleared
    proved: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Report:
    """What an action showed: places, and a sentence."""

    places: tuple[str, ...]
    words: str


@dataclass(frozen=True)
class Hunt:
    """A hunt so far: actions with their reports, and the state after them."""

    machine: LeakyMachine
    state: State
    steps: tuple[tuple[str, Report], ...] = ()

    @property
    def minutes(self) -> float:
        """Minutes of hands spent."""
        return sum(ACTIONS[name].minutes for name, _report in self.steps)

    @property
    def dollars(self) -> float:
        """Gas and dye that were used."""
        return sum(ACTIONS[name].dollars for name, _report in self.steps)

    def do(self, name: str) -> Hunt:
        """Return the hunt after one more action, one of `ACTIONS`."""
        state, report = _DOING[name](self.machine, self.state)
        return Hunt(self.machine, state, (*self.steps, (name, report)))


def machine(number: int, book: str = "leak bench") -> LeakyMachine:
    """Return a machine of the bench: the same number and book, the same machine, for ever."""
    draw = Draw(book, str(number))
    first = _drawn_place(draw.fraction("first place"))
    second = _drawn_place(draw.fraction("second place"))
    found = [Leak(first, _size(draw, "first"))]
    if draw.fraction("two leaks") < 0.25 and second != first:
        found.append(Leak(second, _size(draw, "second")))
    return LeakyMachine(
        number,
        tuple(found),
        frozenset(name for name, place in PLACES.items() if draw.fraction(f"oil on {name}") < place.oily),
        draw.fraction("pressure") < 0.75,
        draw.pick("ppm", (1.0, 5.0, 80.0, 150.0, 300.0)),
        draw.pick("draught", (0.0, 0.05, 0.5, 1.0)),
        draw.pick("class", leaks.CLASSES),
    )


def _size(draw: Draw, which: str) -> float:
    """3 to 1,000 g/yr, small ones as usual as large ones; the published means of machines lie about 100 to 300."""
    return float(round(3.0 * (1000.0 / 3.0) ** draw.fraction(f"{which} size"), 1))


def _drawn_place(fraction: float) -> str:
    left = fraction * sum(place.usual for place in PLACES.values())
    for name, place in PLACES.items():
        left -= place.usual
        if left < 0.0:
            return name
    return next(iter(PLACES))


def begin(one: LeakyMachine) -> Hunt:
    """Return the hunt before its first action."""
    return Hunt(one, State(REFRIGERANT if one.pressure else ""))


def dirty(one: LeakyMachine) -> bool:
    """Whether the air of the bay disturbs a detector: refrigerant in it, or a draft (a paper strip tells)."""
    return one.ppm >= WORTH_AIRING_PPM or one.draught >= WORTH_AIRING_DRAUGHT


# What each action shows ---------------------------------------------------------------------------------------


def flow(leak: Leak, gas: str) -> float:
    """Pa m3/s that a leak lets out with this gas in the circuit: R-134a at rest, nitrogen or tracer at 200 psig."""
    if not gas:
        return 0.0
    own = float(leaks.throughput(leaks.from_grams_a_year(leak.grams_a_year), REFRIGERANT, SHOP))
    return own if gas == REFRIGERANT else float(leaks.same_hole(own, REFRIGERANT, AT_REST, gas, TEST_PRESSURE))


def reachable(state: State) -> list[str]:
    """Places that no cover hides."""
    return [name for name, place in PLACES.items() if not place.cover or place.cover in state.open_covers]


def _listed(places: Sequence[str], nothing: str) -> str:
    return ", ".join(places) if places else nothing


def _more_suspects(state: State, places: Sequence[str]) -> State:
    return replace(state, suspects=state.suspects | (set(places) - state.proved))


def _eyes(one: LeakyMachine, state: State) -> tuple[State, Report]:
    draw = Draw("leak bench eyes", str(one.number))
    wet = {leak.place for leak in one.leaks if leak.grams_a_year > SEEN_OIL * draw.number(leak.place, 0.5, 2.0, 0.1)}
    seen = tuple(name for name in reachable(state) if name in wet or name in one.oily)
    words = _("Oily: {places}. Oil says look here, not here it is.").format(places=_listed(seen, "nothing in reach"))
    return _more_suspects(state, seen), Report(seen, words)


def _air(one: LeakyMachine, state: State) -> tuple[State, Report]:
    return replace(state, aired=True), Report((), _("Doors opened until the air was clean, then shut; fan off."))


def _probe(one: LeakyMachine, state: State, gas: str) -> tuple[str, ...]:
    """Places at which a detector alarms: gas of a leak, or background that comes and goes."""
    ppm, draught = (AIRED_PPM, AIRED_DRAUGHT) if state.aired else (one.ppm, one.draught)
    draw = Draw("leak bench probe", str(one.number), gas, str(state.aired))
    share = float(leaks.caught_share(TIP, draught))
    pretended = 0.0 if gas != REFRIGERANT else leaks.grams_a_year(leaks.background_flow(ppm, REFRIGERANT))
    open_places = reachable(state)
    signal: dict[str, float] = dict.fromkeys([*open_places, DRAIN], 0.0)
    for leak in one.leaks:
        # What a class counts is R-134a; the same gas volume is counted for tracer.
        grams = float(leaks.grams_a_year(leaks.mass_flow(flow(leak, state.gas), REFRIGERANT, SHOP)))
        if leak.place in signal:
            signal[leak.place] += grams * share
        elif PLACES[leak.place].cover == DASH:
            signal[DRAIN] += grams * AT_THE_DRAIN * share
    noise = {name: float(pretended) * RIPPLE * draw.fraction(name) for name in signal}
    return tuple(name for name in signal if max(signal[name], noise[name]) >= one.detector_class)


def _detector(one: LeakyMachine, state: State) -> tuple[State, Report]:
    alarms = _probe(one, state if state.gas == REFRIGERANT else replace(state, gas=""), REFRIGERANT)
    words = _("Class {grams:g} g/yr. Alarms: {places}.").format(
        grams=one.detector_class, places=_listed(alarms, "none, which is no proof")
    )
    return _more_suspects(state, alarms), Report(alarms, words)


def _tracer_detector(one: LeakyMachine, state: State) -> tuple[State, Report]:
    if "hydrogen" not in state.gas:
        return state, Report((), _("No tracer gas is in the circuit: the detector has nothing to find."))
    alarms = _probe(one, state, state.gas)
    words = _("Tracer, class {grams:g} g/yr. Alarms: {places}.").format(
        grams=one.detector_class, places=_listed(alarms, "none, which is no proof")
    )
    return _more_suspects(state, alarms), Report(alarms, words)


def _fill(gas: str) -> Callable[[LeakyMachine, State], tuple[State, Report]]:
    def fill(one: LeakyMachine, state: State) -> tuple[State, Report]:
        return replace(state, gas=gas), Report(
            (), _("The rest was recovered; {gas} stands at 200 psig, through a regulator.").format(gas=gas)
        )

    return fill


def _soap(patient: bool) -> Callable[[LeakyMachine, State], tuple[State, Report]]:
    def soap(one: LeakyMachine, state: State) -> tuple[State, Report]:
        if not state.gas:
            return state, Report((), _("No pressure, no bubbles: nothing was tested."))
        where = [name for name in reachable(state) if not patient or name in state.suspects]
        limit = leaks.SOAP_LIMIT * (1.0 if patient else HURRY)
        blown = tuple(leak.place for leak in one.leaks if leak.place in where and flow(leak, state.gas) >= limit)
        after = replace(state, suspects=state.suspects - set(where), proved=state.proved | set(blown))
        if DRAIN in state.suspects and DASH in state.open_covers:
            after = replace(after, suspects=after.suspects - {DRAIN})
        nothing = _("nowhere") if where else _("nowhere: no suspect is in reach")
        return after, Report(blown, _("Bubbles that come again: {places}.").format(places=_listed(blown, nothing)))

    return soap


def _hold(one: LeakyMachine, state: State) -> tuple[State, Report]:
    if state.gas in ("", REFRIGERANT):
        return state, Report((), _("Refrigerant with liquid keeps its pressure; a hold test needs nitrogen."))
    smallest = hold_limit()
    lost = sum(flow(leak, state.gas) for leak in one.leaks)
    if lost >= smallest:
        return state, Report((), _("More fell than the temperature explains: it leaks. Where, it does not say."))
    grams = leaks.grams_a_year(leaks.mass_flow(smallest, "nitrogen", SHOP))
    return state, Report(
        (), _("The readings explain the fall. Up to {grams:.0f} g/yr of nitrogen may leave.").format(grams=grams)
    )


@lru_cache(maxsize=1)
def hold_limit() -> float:
    """Pa m3/s that a night of 14 h shows: gauge read to 1 psi, circuit's temperature known to 1 F."""
    return float(
        leak_test.smallest_leak(
            CIRCUIT,
            14 * 3600.0,
            pressure=TEST_PRESSURE,
            temperature=SHOP,
            gauge_resolution=units.from_unit(1.0, "pressure difference", "psi"),
            thermometer_resolution=units.from_unit(1.0, "temperature difference", "F"),
        )
    )


def _dye(one: LeakyMachine, state: State) -> tuple[State, Report]:
    if state.gas != REFRIGERANT:
        return state, Report((), _("Dye travels with oil and refrigerant; without a charge it goes nowhere."))
    lit = tuple(
        leak.place
        for leak in one.leaks
        if leak.place in reachable(state)
        and float(leaks.dye_wait(leaks.from_grams_a_year(leak.grams_a_year))) <= DYE_DAYS * 86400.0
    )
    after = replace(state, proved=state.proved | set(lit), suspects=state.suspects - set(lit))
    return after, Report(lit, _("Glows after two weeks: {places}.").format(places=_listed(lit, "nothing in reach")))


def _uncover(cover: str) -> Callable[[LeakyMachine, State], tuple[State, Report]]:
    def uncover(one: LeakyMachine, state: State) -> tuple[State, Report]:
        hidden = frozenset(name for name, place in PLACES.items() if place.cover == cover)
        # Who opens a cover looks at what is under it.
        after = replace(state, open_covers=state.open_covers | {cover}, suspects=state.suspects | hidden - state.proved)
        return after, Report((), _("Now in reach: {places}.").format(places=", ".join(sorted(hidden))))

    return uncover


_DOING: dict[str, Callable[[LeakyMachine, State], tuple[State, Report]]] = {
    EYES: _eyes,
    AIR: _air,
    DETECTOR: _detector,
    SOAP_SUSPECTS: _soap(True),
    NITROGEN: _fill("nitrogen"),
    SOAP_ALL: _soap(False),
    TRACER: _fill("nitrogen with 5 % hydrogen"),
    TRACER_DETECTOR: _tracer_detector,
    HOLD: _hold,
    DYE: _dye,
    REAR_OFF: _uncover(REAR),
    DASH_OPEN: _uncover(DASH),
}


# Orders of a hunt ---------------------------------------------------------------------------------------------


def soap_everything(one: LeakyMachine) -> Hunt:
    """Nitrogen in, every cover off, soap on all."""
    hunt = begin(one)
    for name in (NITROGEN, REAR_OFF, DASH_OPEN, SOAP_ALL):
        hunt = hunt.do(name)
    return hunt


def _follow_alarms(hunt: Hunt) -> Hunt:
    """Take off the cover that an alarm asks for, then soap what is under suspicion."""
    if DRAIN in hunt.state.suspects and DASH not in hunt.state.open_covers:
        hunt = hunt.do(DASH_OPEN)
    if hunt.state.suspects and hunt.state.gas:
        hunt = hunt.do(SOAP_SUSPECTS)
    return hunt


def detector_first(one: LeakyMachine) -> Hunt:
    """The detector at once in whatever air there is, every alarm followed; only what is not found makes one think."""
    hunt = _follow_alarms(begin(one).do(DETECTOR))
    return hunt if hunt.state.proved else _clean_rounds(hunt)


def sound_order(one: LeakyMachine) -> Hunt:
    """Eyes, clean still air, the detector round, soap on what was named; only then gas, covers and the night."""
    hunt = begin(one).do(EYES)
    if not hunt.state.gas:
        return _clean_rounds(hunt)
    if dirty(one):
        hunt = hunt.do(AIR)
    hunt = _follow_alarms(hunt.do(REAR_OFF).do(DETECTOR) if _little_in_reach(hunt) else hunt.do(DETECTOR))
    return hunt if hunt.state.proved else _clean_rounds(hunt)


def _little_in_reach(hunt: Hunt) -> bool:
    """No oil anywhere in the open: the panel behind the cab, a few bolts, comes off before the round."""
    return not hunt.state.suspects


def _clean_rounds(hunt: Hunt) -> Hunt:
    """The easy cover off, tracer gas, a round in clean air, soap on what it names; at the end the night."""
    if REAR not in hunt.state.open_covers:
        hunt = hunt.do(REAR_OFF)
    if dirty(hunt.machine) and not hunt.state.aired:
        hunt = hunt.do(AIR)
    hunt = _follow_alarms(hunt.do(TRACER).do(TRACER_DETECTOR))
    return hunt if hunt.state.proved else hunt.do(HOLD)
