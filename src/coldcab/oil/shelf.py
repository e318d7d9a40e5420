"""Which tin on the shelf may go into which compressor: what a plate asks, what a tin is, and what stands against it.

The plate or the manual decides. That each question must be answered with yes is common practice, no source; what stands
behind the single questions is told in `compatibility` and `moisture`.

Caution: in an electric compressor the motor's windings lie in the oil. Oil that conducts can bring high voltage to the
housing. Only people trained for high voltage open such a machine.
"""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.words import _

TYPE = _("wrong type")
GRADE = _("wrong grade")
REFRIGERANT = _("wrong refrigerant")
DRIVE = _("may conduct")
DYE = _("unwanted dye")
STATE = _("kept badly")
OBJECTIONS = (DRIVE, TYPE, GRADE, REFRIGERANT, DYE, STATE)
"""What can stand against a tin: first what can hurt somebody, last what a look at the cap tells."""

SEALED = _("sealed")
DUSTY = _("sealed, dusty")
TODAY = _("opened 20 minutes ago, capped between pours")
LAST_WEEK = _("opened last week, capped since")
IN_SPRING = _("opened in spring, capped since")
LOOSE = _("cap found loose this morning")
NO_DATE = _("half full, no date on it")
STATES = (SEALED, DUSTY, TODAY, LAST_WEEK, IN_SPRING, LOOSE, NO_DATE)
FIT_STATES = (SEALED, DUSTY, TODAY)
"""How a tin may have been kept and still be used: a sealed one, or one opened for this job and capped between pours
[common practice, no source]."""

UNIVERSAL = "universal"
"""The type of an oil whose label says that it fits everything: it names none."""


@dataclass(frozen=True)
class Plate:
    """What compressor plate and manual ask for: type, ISO grade (cSt at 40 C), refrigerant, drive, and whether dye is
    allowed in the oil."""

    oil: str
    grade: int
    refrigerant: str
    electric: bool = False
    dye_allowed: bool = True


@dataclass(frozen=True)
class Tin:
    """A tin as it stands on the shelf: type, ISO grade or None, refrigerants on its label, and how it was kept."""

    oil: str
    grade: int | None
    refrigerants: tuple[str, ...]
    state: str = SEALED
    electric: bool = False
    dye: bool = False

    @property
    def words(self) -> str:
        """The tin in one line, as a person reads it off."""
        plain = f"{self.oil} ISO {self.grade}"
        name = _("“universal” oil, no type and no grade") if self.oil == UNIVERSAL else plain
        if self.electric:
            name = _("{name} for electric compressors").format(name=name)
        if self.dye:
            name = _("{name} with dye").format(name=name)
        return _("{name}; label: {refrigerants}; {state}").format(
            name=name, refrigerants=_(" and ").join(self.refrigerants), state=self.state
        )


def fit_to_use(tin: Tin) -> bool:
    """Whether a tin was kept so that its oil may still go into a circuit; see `FIT_STATES`."""
    return tin.state in FIT_STATES


def objections(plate: Plate, tin: Tin) -> tuple[str, ...]:
    """What stands against pouring a tin into a compressor.

    Parameters
    ----------
    plate : what the compressor asks for. tin : what stands on the shelf.

    Returns
    -------
    Some of `OBJECTIONS` in their order; none where the tin may be used.

    Source
    ------
    Common practice, no source: the plate is followed in each point, and the label must say so.
    """
    against = {
        DRIVE: plate.electric and not tin.electric,
        TYPE: tin.oil != plate.oil,
        GRADE: tin.grade != plate.grade,
        REFRIGERANT: plate.refrigerant not in tin.refrigerants,
        DYE: tin.dye and not plate.dye_allowed,
        STATE: not fit_to_use(tin),
    }
    return tuple(name for name in OBJECTIONS if against[name])
