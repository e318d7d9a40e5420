"""What the sheet of the capstone is made of: places, notes, parts and their states, label lines, sentences, a plan.

All invented. What each is worth stands with the instructor.
"""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.words import _

CAUSES = (
    "charge low",
    "worn compressor",
    "valve screen plugged",
    "drier restricted",
    "condenser blocked",
    "air in the circuit",
)
LEFT = ("", "charge low", "charge high", "air in the circuit", "condenser blocked", "valve screen plugged")
"""What the machine has after the charge; nothing is the aim."""

OWN_GAS, MIXED, FLAMMABLE = "own gas", "mixture", "flammable mixture"

UNITS = (
    _("unit and cylinder for R-12 alone, not made for gas that burns"),
    _("unit and cylinder for R-134a alone, not made for gas that burns"),
    _("unit and cylinder for R-1234yf alone, made for gas that burns"),
    _("unit and cylinder kept for mixtures, not made for gas that burns"),
    _("unit and cylinder kept for mixtures, made for gas that burns"),
    _("a hose to the yard, wind away from the street"),
)

SEATS = (
    _("crimp of the suction hose"),
    _("crimp of the discharge hose"),
    _("fitting at the condenser"),
    _("fitting at the drier"),
    _("high-side valve core"),
    _("O-rings behind the cab"),
)
SHOWN_AGAIN = (
    _("bubbles, wiped off, grew again"),
    _("bay aired, fan off: alarm in three passes of three, silent a hand away"),
    _("wiped clean when the dye went in; two weeks later it glows there"),
    _("nitrogen and tracer: alarm each time, silent beside it"),
)
SHOWN_ONCE = (
    _("oil film, as on the bracket below the engine"),
    _("alarm once, with the bay's air not changed"),
    _("soap at 0 psig: no bubbles"),
    _("the owner says it is always there"),
    _("black light an hour after the dye went in: no glow"),
    _("looks old"),
    _("dust sticks to it"),
    _("a strong smell near it, the window open"),
)

HOLDS = ("ready", "leaks", "wet", "hoses", "unwritten", "no gauge")


@dataclass(frozen=True)
class PartState:
    """A state in which a part is found; the others say on which machines, None on all."""

    words: str
    converts: bool | None = None
    block: bool | None = None
    parallel: bool | None = None

    def fits(self, *, converts: bool, block: bool, parallel: bool) -> bool:
        """Whether such a machine can have it."""
        return self.converts in (None, converts) and self.block in (None, block) and self.parallel in (None, parallel)


PARTS: dict[str, tuple[PartState, ...]] = {
    _("condenser"): (
        PartState(_("parallel-flow, metal at its inlet"), parallel=True),
        PartState(_("parallel-flow, no metal, mineral oil in it"), converts=True, parallel=True),
        PartState(_("parallel-flow, no metal, its right oil in it"), converts=False, parallel=True),
        PartState(_("long tubes, metal at its inlet"), parallel=False),
        PartState(_("long tubes, no metal, mineral oil in it"), parallel=False),
        PartState(_("a tube rubbed through")),
    ),
    _("evaporator"): (
        PartState(_("tube and fin, metal flakes at its inlet")),
        PartState(_("tube and fin, no metal, mineral oil in it"), converts=True),
        PartState(_("tube and fin, no metal, its right oil in it"), converts=False),
        PartState(_("a tube leaks, oil in the drain water")),
    ),
    _("suction hose"): (
        PartState(_("sound barrier hose, gray oil in it")),
        PartState(_("its crimp wet, bubbles under nitrogen")),
        PartState(_("a muffler in it, gray oil with metal")),
    ),
    _("discharge hose"): (
        PartState(_("sound barrier hose, metal dust in it")),
        PartState(_("rubber cracked down to the braid")),
        PartState(_("sound, from the shelf, caps on")),
    ),
    _("liquid line"): (
        PartState(_("one open metal pipe, gray oil in it")),
        PartState(_("one open metal pipe, metal dust in it")),
    ),
    _("receiver-drier"): (
        PartState(_("two years old, in the opened circuit")),
        PartState(_("new, its caps on until the end")),
        PartState(_("new, its caps off since the morning")),
    ),
    _("valve"): (
        PartState(_("bulb valve, screen dusty, seat good"), block=False),
        PartState(_("bulb valve, its thin tube broken"), block=False),
        PartState(_("metal flakes inside"), block=True),
        PartState(_("clean inside, holds its superheat"), block=True),
    ),
    _("service valve cores"): (
        PartState(_("old, taken out for the flush")),
        PartState(_("old, one sticks")),
    ),
}
"""The parts of a job and how each may be found."""


@dataclass(frozen=True)
class LabelLine:
    """A line of a label as it should be and as it should not; {refrigerant} is named in it."""

    right: str
    wrong: str
    burning: tuple[str, str] = ("", "")  # instead of both, on a machine with a gas that burns

    def words(self, wrong: bool, *, refrigerant: str, burns: bool) -> str:
        """The line, wrong or right."""
        right, other = self.burning if burns and self.burning[0] else (self.right, self.wrong)
        return (other if wrong else right).format(refrigerant=refrigerant)


LABEL = {
    "refrigerant": LabelLine(_("refrigerant: {refrigerant}"), _("refrigerant: see the old label")),
    "charge": LabelLine(_("charge: [weight from the scale] oz"), _("charge: [as the glass showed]")),
    "oil": LabelLine(_("oil: [type, grade and maker]"), _("oil: compressor oil")),
    "oil amount": LabelLine(_("oil amount: [all that is inside] fl oz"), _("oil amount: filled up")),
    "who": LabelLine(_("done by: [first and last name]"), _("done by: [number of the shift]")),
    "company": LabelLine(_("shop: [name and address]"), _("shop: ask at the gate")),
    "date": LabelLine(_("date: 14 May 2026"), _("date: spring")),
    "warning": LabelLine(
        _("ports of any other refrigerant: shut for good"),
        _("ports of another refrigerant: adapter in the cab"),
        (_("warning: flammable refrigerant"), _("warning: none needed")),
    ),
}
"""The label of a job, by field; brackets, on right and on wrong lines, stand for what is written out there."""

REPORTS = (
    _("We found where it leaked and repaired it."),
    _("It was under nitrogen overnight, and as far as a gauge can see it is tight."),
    _("The charge was weighed; the weight is on the label."),
    _("The parts we replaced lie in the box, look at them."),
    _("Some refrigerant had leaked before it came to us."),
    _("Wash the condenser with a soft stream before the harvest."),
    _("Call us when it cools less, before it is empty."),
    _("A very small leak can still be there; no test finds every one."),
)
PROMISES = (
    _("It cannot leak any more."),
    _("Whatever leaked out of it does the air no harm."),
    _("Put in a can each spring, that keeps it fresh."),
    _("Any shop can fill it with what it has at hand."),
    _("You need not have it looked at again."),
    _("It now cools below freezing on the hottest day."),
)

PLAN = (
    (_("park outside or lead the exhaust out, then run the engine"),
     _("run the engine in the closed bay while the readings settle")),
    (_("lower the implements, key out, then under the machine"),
     _("raise the bucket for room and work below it")),
    (_("disconnect the battery before a wrench goes near its cables"),
     _("leave the 24 V battery connected, a wrench is quickly out of the way")),
    (_("glasses and gloves, loosen the first fitting when recovery is done"),
     _("loosen the first fitting slowly, the last gas blows off by itself")),
    (_("flush with its own solvent, fresh air, no flame"),
     _("flush with gasoline, it dries by itself")),
    (_("nitrogen through a regulator with a relief valve"),
     _("oxygen bottle in place of nitrogen, the thread can be made to fit")),
    (_("engine off while the vacuum pump runs"),
     _("engine on while the vacuum pump runs, so that the compressor helps")),
    (_("high-side valve shut while the engine runs and the can is open"),
     _("high-side valve open while the engine runs, the can fills faster")),
)  # fmt: skip
"""The plan of a job: each line as it is right, and as it hurts somebody."""
