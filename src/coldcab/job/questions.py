"""What can be said about a job: one table that the file, the questions, the form and the page all share."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType

from coldcab import units
from coldcab.faults.observables import GLASS_LOOKS
from coldcab.oil.distribution import PARTS
from coldcab.service import retrofit
from coldcab.words import _

CHOICE, TEXT, LIST, YES_NO, NUMBER = "choice", "text", "list", "yes or no", "number"
"""Kinds of an answer beside those of `coldcab.units.KINDS`."""

YES, NO = "yes", "no"
REFRIGERANTS = ("R-134a", "R-12", "R-1234yf")
COMPLAINTS = ("not cold", "cools at times", "lost its charge", "compressor failed", "noise", "converted by others")
FINDINGS = (
    "metal debris",
    _("oil at the shaft seal"),
    "oil at a joint",
    _("air in the circuit"),
    "mixed refrigerant",
    "heater valve leaking",
    "condenser dirty",
    _("belt or clutch slipping"),
)
INSIDE = ("R-12", "R-134a", "R-1234yf", "mixture", "air", "nothing", "not identified")
MACHINES = (
    "wheel loader", "orchard sprayer", "motor grader", "forage harvester", "combine", "road sweeper", "compact loader",
    "tractor",
)  # fmt: skip
SUPPLIES = ("cans", "cylinder")


@dataclass(frozen=True)
class Question:
    """One thing that can be said: its key ``section.name``, the question, the kind of answer, an example.

    ``unknown`` says what happens where it is not known. ``asked`` marks what `coldcab plan --new` asks.
    """

    key: str
    words: str
    kind: str
    example: str
    unknown: str = "left open"
    choices: tuple[str, ...] = ()
    asked: bool = True
    limits: tuple[float, float] | None = None  # SI

    @property
    def section(self) -> str:
        """Part of the file in which it stands."""
        return self.key.partition(".")[0]

    @property
    def name(self) -> str:
        """Its name within the section."""
        return self.key.partition(".")[2]

    def example_in(self, system: str) -> str:
        """The example in trade units ("us") or in metric ones ("si")."""
        if self.kind not in units.KINDS:
            return self.example
        difference = self.kind == "temperature difference"
        return units.in_order(self.example, system, difference=difference).partition(" (")[0]


ASKED_READINGS = frozenset(
    {
        ("found", "fast_idle", "low_side"),
        ("found", "fast_idle", "high_side"),
        ("found", "fast_idle", "vent"),
        ("found", "fast_idle", "return_air"),
        ("found", "fast_idle", "liquid_line"),
        ("found", "fast_idle", "suction_line"),
        ("found", "idle", "low_side"),
        ("found", "idle", "high_side"),
    }
)
"""Readings that ``coldcab plan --new`` asks for: gauges at two speeds, vent, shade and two clamp-on thermometers."""

_BANDS = _("the bands get wider")
_ALL = (
    Question("job.name", _("What do you call this job?"), TEXT, _("Unit 12, lost its charge")),
    Question("job.date", _("The day of the work?"), TEXT, "2026-07-14", "today", asked=False),
    Question("job.technician", _("Your name and address, for the label?"), TEXT, "A. Example, Yard 1", "a blank"),
    Question("job.company", _("The shop's name and address, for the label?"), TEXT, "Growers' shop", "a blank"),
    Question("machine.name", _("Which machine is it, by the shop's name or number?"), TEXT, "Unit 12"),
    Question("machine.like", _("Which of the course's invented machines is it most like?"), CHOICE, "orchard sprayer",
             _("a middling machine; the bands get much wider"), MACHINES),
    Question("machine.original_refrigerant", _("What was it built for?"), CHOICE, "R-12",
             _("R-12 is assumed for what comes out, or R-1234yf where that is inside"),
             REFRIGERANTS),
    Question("machine.charge", _("Charge on its data sheet (of that refrigerant)?"), "mass", "2 lb 4 oz",
             _(
"no amount is given, and the label stays blank; {bands}"
).format(bands=_BANDS)),
    Question("machine.displacement", _("Compressor displacement in a turn?"), "volume", "6.6 cu in", _BANDS),
    Question("machine.pulley_ratio", _("Compressor turns for each engine turn?"), "ratio", "1.4", _BANDS),
    Question("machine.oil", _("Oil on its data sheet, whole circuit?"), "volume", "8 fl oz",
             _("no oil amount is given")),
    Question("machine.oil_type", _("Which oil is in it now?"), CHOICE, "mineral",
             _("mineral where it was built for R-12"),
             tuple(one for one in retrofit.OILS)),
    Question("machine.condenser", _("Which condenser?"), CHOICE, "tube and fin",
             _("it is treated as if it had many paths"),
             retrofit.CONDENSERS),
    Question("machine.hoses", _("Which hoses?"), CHOICE, "plain rubber", _("look before you decide"), retrofit.HOSES),
    Question("machine.seals", _("Which O-rings?"), CHOICE, "nitrile", _("replace those you open"), retrofit.SEALS),
    Question("machine.high_cutout", _("Has it a high-pressure switch?"), YES_NO, "no",
             _("look; the law may ask for one")),
    Question("machine.relief_device", _("Has it a relief device?"), YES_NO, "yes", "yes is assumed", asked=False),
    Question("work.complaint", _("What is the complaint?"), CHOICE, "lost its charge", choices=COMPLAINTS),
    Question("work.findings", _("What have you found?"), LIST, _("oil at the shaft seal"), choices=FINDINGS),
    Question("work.inside", _("What does the identifier show?"), CHOICE, "R-12",
             _("identify before you connect"), INSIDE),
    Question("work.refrigerant", _("Which refrigerant will be in it in the end?"), CHOICE, "R-134a",
             _("R-134a is assumed, or R-1234yf where it was built for that"),
             REFRIGERANTS),
    Question("work.new_oil", _("Which new oil goes in?"), CHOICE, "PAG", _("by refrigerant and compressor maker"),
             ("PAG", "POE", "mineral")),
    Question("work.replaced", _("Which parts are replaced?"), LIST, "compressor, receiver-drier", choices=PARTS),
    Question("work.rinsed", _("Which parts are flushed?"), LIST, "condenser", choices=PARTS),
    Question("work.brought", _("Oil that the new compressor brought, drained and measured?"), "volume", "4 fl oz",
             _("measure it: the doubt is large")),
    Question("work.drained", _("Oil drained from the old compressor?"), "volume", "2.5 fl oz",
             _("measure it: the doubt is large")),
    Question("work.recovered", _("Refrigerant recovered, by scale?"), "mass", "14 oz", asked=False),
    Question("work.recovered_oil", _("Oil that came out with it?"), "volume", "0.5 fl oz", asked=False),
    Question("weather.ambient", _("Air temperature in the shade?"), "temperature", "95 F", _BANDS),
    Question("weather.humidity", _("Relative humidity?"), "fraction", "40 %", _BANDS),
    Question("weather.altitude", _("Altitude of the yard?"), "length", "500 ft", _BANDS),
    Question("tools.cylinder_water_capacity", _("Recovery cylinder: water capacity, WC on its collar?"), "mass",
             "26.2 lb",
             _("no fill limit is given")),
    Question("tools.cylinder_tare", _("Recovery cylinder: tare (TW on its collar)?"), "mass", "17 lb"),
    Question("tools.pump", _("Vacuum pump's speed?"), "volume flow", "4 cfm",
             _("only the printed time on the pump is given")),
    Question("tools.micron_gauge", _("Have you a micron gauge?"), YES_NO, "yes", "no is assumed"),
    Question("tools.scale_step", _("Smallest step of the scale?"), "mass", "0.5 oz", "0.5 oz is assumed", asked=False),
    Question("tools.supply", _("Does the refrigerant come in cans or a cylinder?"), CHOICE, "cans", "cans are assumed",
             SUPPLIES),
    Question("tools.can", _("Refrigerant in a full can?"), "mass", "12 oz", "12 oz is assumed", asked=False),
    Question("prices.refrigerant_per_pound", _("Price of a pound of refrigerant?"), NUMBER, "14", asked=False),
    Question("prices.oil_per_fluid_ounce", _("Price of a fluid ounce of oil?"), NUMBER, "2", asked=False),
    Question("prices.hour", _("Price of an hour of work?"), NUMBER, "80", asked=False),
    Question("found.comes_and_goes", _("As found: does the trouble come and go?"), YES_NO, "no", "always is assumed"),
    Question("found.topped_up", _("How often did somebody top it up before?"), NUMBER, "2"),
    Question("found.rest", _("As found, at rest and as warm as the air: both gauges?"), "pressure", "95 psig"),
    Question("found.glass", _("As found: the sight glass?"), CHOICE, "bubbles", choices=GLASS_LOOKS),
    Question("found.frost", _("As found: frost on the evaporator's fins?"), YES_NO, "no"),
    Question("found.clutch_share", _("As found: share of the time that the clutch is engaged?"), "fraction", "80 %"),
    Question("found.hub_slip", _("As found: by how much is the hub slower than its pulley?"), "fraction", "5 %",
             asked=False),
    Question("found.heater_pinched", _("As found: change at the vent with the heater hose pinched?"),
             "temperature difference", "-8 F", asked=False),
    Question("found.valve_warmed", _("As found: change of the low side with the valve warmed?"),
             "pressure difference", "6 psi", asked=False),
    Question("found.bulb_warmed", _("As found: change of the low side with the bulb warmed in the hand?"),
             "pressure difference", "8 psi", asked=False),
    Question("found.bulb_reseated", _("As found: change of the low side after the bulb was cleaned and clamped?"),
             "pressure difference", "-5 psi", asked=False),
    Question("found.cab", _("As found: air in the cab?"), "temperature", "80 F", asked=False),
    Question("found.evaporator_inlet", _("As found: line into the evaporator?"), "temperature", "40 F", asked=False),
    Question("found.suction_at_compressor", _("As found: suction line at the compressor?"), "temperature", "60 F",
             asked=False),
    Question("found.water", _("As found: water from the coil?"), "mass flow", "3 lb/h", asked=False),
    Question("found.fan_share", _("As found: speed of the condenser's fan, share of what it should be?"), "fraction",
             "95 %", asked=False),
    Question("found.foreign_share", _("As found: R-12 in it by the identifier?"), "fraction", "2 %", asked=False),
    Question("found.thermostat_opens", _("As found: at what temperature does the thermostat open?"), "temperature",
             "33 F", asked=False),
    Question("found.high_switch_opens", _("As found: at what pressure does the high-pressure switch open?"),
             "pressure", "380 psig", asked=False),
    Question("found.low_switch_opens", _("As found: at what pressure does the low-pressure switch open?"), "pressure",
             "12 psig", asked=False),
    *(
        Question(f"{when}.{speed}_{name}", _(
"{when}, {speed}: {words}?"
).format(when=said, speed=speed.replace('_', ' '), words=words), kind, example,
                 asked=(when, speed, name) in ASKED_READINGS)
        for when, said in (("found", _("As found")), ("as_left", _("As left")))
        for speed in ("idle", "fast_idle")
        for name, words, kind, example in (
            ("low_side", "low side", "pressure", "28 psig"),
            ("high_side", "high side", "pressure", "190 psig"),
            ("vent", _("air at the vent"), "temperature", "50 F"),
            ("return_air", _("air to the coil"), "temperature", "95 F"),
            ("suction_line", _("suction line at the evaporator"), "temperature", "44 F"),
            ("liquid_line", _("liquid line before the valve"), "temperature", "118 F"),
            ("discharge_line", "discharge line", "temperature", "165 F"),
            ("condenser_air_in", _("air at the condenser's face"), "temperature", "96 F"),
            ("condenser_air_out", _("air behind the condenser"), "temperature", "115 F"),
            ("drier_in", _("line into the drier"), "temperature", "125 F"),
            ("drier_out", _("line out of the drier"), "temperature", "124 F"),
        )
    ),
)  # fmt: skip

# What a cab's machine and its yard can be, SI; a slip of the unit lies outside.
_LIMITS = {
    "machine.charge": (0.3, 5.0),
    "machine.displacement": (40e-6, 400e-6),
    "machine.pulley_ratio": (0.5, 3.0),
    "machine.oil": (30e-6, 1.5e-3),
    "work.brought": (0.0, 1.0e-3),
    "work.drained": (0.0, 1.0e-3),
    "work.recovered": (0.0, 10.0),
    "work.recovered_oil": (0.0, 1.0e-3),
    "weather.ambient": (278.15, 328.15),
    "weather.humidity": (0.0, 1.0),
    "weather.altitude": (-400.0, 4500.0),
    "tools.cylinder_water_capacity": (1.0, 200.0),
    "tools.cylinder_tare": (0.5, 200.0),
    "tools.pump": (1e-4, 1e-2),
    "tools.scale_step": (0.0, 1.0),
    "tools.can": (0.05, 60.0),
}

QUESTIONS: MappingProxyType[str, Question] = MappingProxyType(
    {one.key: replace(one, limits=_LIMITS.get(one.key)) for one in _ALL}
)
"""Everything that can be said about a job, by key, in the order of asking. Nothing has to be."""

SECTIONS = tuple(dict.fromkeys(one.section for one in _ALL))
