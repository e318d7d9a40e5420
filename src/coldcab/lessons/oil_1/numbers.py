"""Cases of lesson oil-1: oils for one machine, a blend on the shelf, a residue, an open can."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab import oil, units
from coldcab.scenario.draw import Draw
from coldcab.scenario.fleet import CONVERTED, Unit
from coldcab.scenario.showing import shown
from coldcab.words import _

BLENDS = (("PAG 46", "PAG 150"), ("POE 32", "POE 100"))
PAIRS = (
    ("mineral oil", "R-134a"),
    ("PAG", "R-12"),
    ("POE", "R-12"),
    ("PAG", "R-134a"),
    ("alkylbenzene", "R-134a"),
    ("mineral oil", "R-12"),
)
DRIERS = (
    ("molecular sieve 4 A", "R-134a"),
    ("molecular sieve 3 A", "R-134a"),
    ("molecular sieve 4 A", "R-12"),
    ("silica gel", "R-134a"),
    ("activated alumina", "R-134a"),
)
RINSES = {
    1: _("once, with {rinse}; after each, as much clings again"),
    2: _("twice, each with {rinse}; after each, as much clings again"),
    3: _("three times, each with {rinse}; after each, as much clings again"),
}


def fluid_ounces(number: float) -> float:
    """Volume in m3."""
    return units.from_unit(number, "volume", "fl oz")


@dataclass(frozen=True)
class OilCase:
    """What a technician has to decide about the oil of one machine; numbers as cups, scales and labels show them."""

    unit: Unit
    running_oil: str
    running_fahrenheit: float
    thin_oil: str
    thick_oil: str
    thin_ounces: float
    thick_ounces: float
    weighed_oil: str
    weighed_ounces: float
    clinging_ounces: float
    rinse_ounces: float
    rinses: int
    total_ounces: float
    can_oil: str
    can_hours: float
    can_humidity: float
    can_inches: float
    pair_oil: str
    pair_refrigerant: str
    drier: str
    drier_refrigerant: str

    @property
    def density(self) -> float:
        """Density of the weighed oil at 20 C in kg/m3, as the sheet shows it: to 0.001 kg/L."""
        return 1e3 * round(oil.density(self.weighed_oil) / 1e3, 3)

    def lines(self) -> list[tuple[str, str]]:
        """What the sheet shows, as pairs of label and text."""
        return [
            ("machine", _("{machine}, invented data sheet").format(machine=self.unit.name)),
            (
                "oil in its compressor",
                _("{oil}, at {temperature}").format(
                    oil=self.running_oil, temperature=shown(f"{self.running_fahrenheit:g} F", "temperature")
                ),
            ),
            (
                "blend on the shelf",
                _("{thin} of {thin_oil} and {thick} of {thick_oil}").format(
                    thin=self._cup(self.thin_ounces),
                    thin_oil=self.thin_oil,
                    thick=self._cup(self.thick_ounces),
                    thick_oil=self.thick_oil,
                ),
            ),
            (
                "oil to weigh out",
                _("{amount} of {oil}, {density:.3f} kg/L at 68 F (20 C)").format(
                    amount=self._cup(self.weighed_ounces), oil=self.weighed_oil, density=self.density / 1e3
                ),
            ),
            (
                "mineral oil that clings",
                _("{amount} in the parts after draining").format(amount=self._cup(self.clinging_ounces)),
            ),
            ("rinses", RINSES[self.rinses].format(rinse=self._cup(self.rinse_ounces))),
            (
                "oil in the filled circuit",
                _("{amount} in all, the residue counted in").format(amount=self._cup(self.total_ounces)),
            ),
            (
                "open can",
                _("{oil}, {hours:.0f} h at {humidity:.0%} humidity, {depth} deep").format(
                    oil=self.can_oil,
                    hours=self.can_hours,
                    humidity=self.can_humidity,
                    depth=shown(f"{self.can_inches:g} in", "length", decimals=0),
                ),
            ),
            (
                "oil and refrigerant",
                _("{oil} with {refrigerant}").format(oil=self.pair_oil, refrigerant=self.pair_refrigerant),
            ),
            (
                "drier and refrigerant",
                _("{agent} with {refrigerant}").format(agent=self.drier, refrigerant=self.drier_refrigerant),
            ),
            ("the owner's wish", _("3 fl oz more oil than the data sheet says, to be safe")),
        ]

    @staticmethod
    def _cup(ounces: float) -> str:
        return shown(f"{ounces:.1f} fl oz", "volume", decimals=0)


def draw_case(term: str, learner: str, *, assignment: str = "oil-1") -> OilCase:
    """Return the numbers of one learner."""
    draw = Draw(assignment, term, learner)
    thin, thick = draw.pick("blend", BLENDS)
    # Clearly less or a little more of the thick oil: elsewhere the mean of the two numbers could hit the blend.
    amounts = draw.pick(
        "more of",
        (
            (draw.number("more thin", 3.0, 4.0, 0.1), draw.number("less thick", 1.5, 2.5, 0.1)),
            (draw.number("less thin", 3.0, 3.5, 0.1), draw.number("more thick", 4.0, 4.5, 0.1)),
        ),
    )
    pair, drier = draw.pick("pair", PAIRS), draw.pick("drier", DRIERS)
    return OilCase(
        unit=draw.pick("unit", CONVERTED),
        running_oil=draw.pick("running oil", ("PAG 46", "PAG 100", "PAG 150", "POE 68", "POE 100", "mineral 100")),
        running_fahrenheit=draw.number("running temperature", 140, 180, 2),
        thin_oil=thin,
        thick_oil=thick,
        thin_ounces=amounts[0],
        thick_ounces=amounts[1],
        weighed_oil=draw.pick("weighed oil", ("PAG", "POE")),
        weighed_ounces=draw.number("weighed", 7.0, 10.0, 0.1),
        clinging_ounces=draw.number("clinging", 1.4, 2.0, 0.1),
        rinse_ounces=draw.number("rinse", 3.6, 6.0, 0.1),
        rinses=int(draw.number("rinses", 1, 3, 1)),
        total_ounces=draw.number("total", 6.5, 9.0, 0.5),
        can_oil=draw.pick("can oil", ("PAG", "POE")),
        can_hours=draw.number("can hours", 24, 72, 1),
        can_humidity=draw.number("can humidity", 0.40, 0.80, 0.05),
        can_inches=draw.number("can depth", 2.0, 5.0, 0.5),
        pair_oil=pair[0],
        pair_refrigerant=pair[1],
        drier=drier[0],
        drier_refrigerant=drier[1],
    )
