"""A compressor comes out and one goes in: why it died, belt and bearing, O-rings, oil, and what each choice leads to.

Caution: recover first; key out before a hand goes near belt or hub; oil of a burnt compressor can be acid. The manuals
of machine and compressor come first. What choices lead to is common practice, no source, where no formula stands.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from coldcab.quantities import Limit, Value, plain
from coldcab.service.checks import ServiceError, checked, together
from coldcab.words import _

FORCE = Limit("force", 0.0, 1e5, "N")
SPAN = Limit("length", 0.02, 5.0, "mm")
BEND = Limit("length", 1e-4, 0.2, "mm")
CORD = Limit("length", 2e-4, 0.02, "mm")
FACTOR = Limit("ratio", 0.05, 50.0)

LINE_SLOPE = 1.0 / 192.0
"""How far a pulley may stand out of line over the span: 1/16 in a foot; common practice, no source."""

SQUEEZE = (0.15, 0.30)
"""Share by which a static O-ring is pressed flat: common practice, no source; the maker's table comes first."""

LIFE_EXPONENT = 3.0
"""Of a ball bearing: life falls with the third power of its load (ISO 281, from memory)."""


def belt_tension(force: Value, span: Value, bend: Value) -> Value:
    """Tension of a belt from a push at the middle of its free span.

    Parameters
    ----------
    force : N, up to 1e5. span : m between the points where the belt leaves its pulleys, 0.02 to 5.
    bend : m that the belt gives at the middle, 1e-4 to 0.2 and less than a tenth of the span.

    Returns
    -------
    N. Balance of forces on two straight halves: force = 4 tension bend / span, for a small bend.

    Raises
    ------
    ServiceError.
    """
    push, free, give = together(
        force=checked("force", force, FORCE), span=checked("span", span, SPAN), bend=checked("bend", bend, BEND)
    )
    if np.any(give > 0.1 * free):
        raise ServiceError(_("the belt gives more than a tenth of its span; it is far too loose to measure."))
    return plain(push * free / (4.0 * give))


def bearing_life(load: Value) -> Value:
    """Life of a ball bearing as a share of its life at the right load; ``load`` is a multiple of that, 0.05 to 50.

    Source: `LIFE_EXPONENT`. Raises ServiceError.
    """
    return plain(np.asarray(checked("load", load, FACTOR), dtype=float) ** -LIFE_EXPONENT)


def slips(tension: float, *, pull: float, grip: float) -> bool:
    """Whether a belt slips: the pull (N) that drives the hub is more than its static tension (N) lets it take.

    ``grip`` is the ratio of tight to slack side at which it slips, above 1 (Euler and Eytelwein, textbook). The mean of
    both sides is the static tension, so the most it takes is 2 T (grip - 1) / (grip + 1).
    """
    if not grip > 1.0:
        raise ServiceError(_("the ratio of tight to slack side at which a belt slips is above 1."))
    return pull > 2.0 * tension * (grip - 1.0) / (grip + 1.0)


def line_offset_allowed(span: Value) -> Value:
    """m that a pulley may stand out of line over a free span in m, 0.02 to 5; by `LINE_SLOPE`. Raises ServiceError."""
    return plain(np.asarray(checked("span", span, SPAN), dtype=float) * LINE_SLOPE)


def ring_squeeze(cord: Value, room: Value) -> Value:
    """Share by which an O-ring's cord (m) is pressed flat in the room (m) that the closed joint leaves it.

    Both 0.2 to 20 mm. Below 0 it is not touched at all. Geometry. Raises ServiceError.
    """
    thick, left = together(cord=checked("cord", cord, CORD), room=checked("room", room, CORD))
    return plain(1.0 - left / thick)


@dataclass(frozen=True)
class Death:
    """One way in which a compressor dies: what is found, and the work that follows beside the new one."""

    name: str
    oil: str
    debris: str
    clutch: str
    hub: str
    work: str


DEATHS: tuple[Death, ...] = (
    Death(_("ran without oil"), _("hardly any, black"), _("gray metal paste"), _("blue from heat"), _("stuck"),
          _("find where oil went")),
    Death(_("liquid came back"), _("clean, plenty"), _("pieces of reed"), _("clean and dry"), _("turns with no push"),
          _("reseat the bulb")),
    Death(_("ran too hot"), _("dark, burnt smell"), _("black crust at the discharge"), _("blue from heat"),
          _("turns heavily"), _("clear the condenser")),
    Death(_("water in the oil"), _("milky, sour smell"), _("rust and copper color"), _("clean and dry"),
          _("turns heavily"), _("dry the circuit")),
    Death(_("shaft seal leaked"), _("clean, some missing"), _("none"), _("wet with oil"), _("turns with even push"),
          _("make up leaked oil")),
    Death(_("pulley bearing failed"), _("clean, plenty"), _("none"), _("scored on one side"),
          _("turns with even push"), _("set the belt")),
    Death(_("worn with age"), _("gray, shiny"), _("fine glitter"), _("dull and even"), _("turns with no push"),
          _("clean metal out")),
    Death(_("wrong oil"), _("sticky, in two layers"), _("jelly, swollen rings"), _("clean and dry"),
          _("turns heavily"), _("flush oil out")),
)  # fmt: skip
"""Causes, their signs and what follows: common practice, no source. Two causes share single signs; no two share all."""


@dataclass(frozen=True)
class Option:
    """One way to do a step, and what is seen of it when the engine starts and after a week."""

    words: str
    at_start: str
    after_a_week: str
    sound: bool = False


FINE_START, FINE_WEEK = _("nothing to see"), _("still sound")
NO_START = _("Stopped at the start: nothing more to see.")

STEPS: MappingProxyType[str, tuple[Option, ...]] = MappingProxyType(
    {
        "ports": (
            Option(_("suction hose to S, discharge hose to D"), FINE_START, FINE_WEEK, True),
            Option(
                _("hoses swapped, both fit"),
                _("The reeds pump from the condenser into the evaporator. The low gauge climbs, no cooling, a hose on "
                  "the low side may burst. Stop at once."),
                NO_START,
            ),
        ),
        "oil": (
            Option(_("drain the new one, pour in what left"), FINE_START, FINE_WEEK, True),
            Option(
                _("leave the oil of the box, count nothing"),
                FINE_START,
                _("The oil of the box and the oil that stayed: too much. The cab is warmer, and the liquid may "
                  "break a reed."),
            ),
            Option(_("pour nothing in, the box is dry"), _("It runs dry for its first minutes and knocks."),
                   _("The pistons score. Gray metal is in the drier: the same job again.")),
        ),
        "hub": (
            Option(_("ten turns by hand before the belt"), FINE_START, FINE_WEEK, True),
            Option(_("let the engine turn it first"),
                   _("Oil in a cylinder cannot be squeezed. A bang: a reed is bent."),
                   _("It pumps half. Both gauges stand close together.")),
        ),
        "ring": (
            Option(_("new, right size and rubber, oiled as the maker says"), FINE_START, FINE_WEEK, True),
            Option(_("the old ring again"), FINE_START, _("It kept its flat shape. Oil and dust at the joint, some "
                   "charge is gone.")),
            Option(_("a thicker one, to be sure"), FINE_START,
                   _("The joint cut it as it closed. It leaks on the first cold morning.")),
            Option(_("the right one, fitted dry"), FINE_START,
                   _("It rolled in its groove as the nut turned. It leaks a little when the machine shakes.")),
        ),
        "drier": (
            Option(_("last to be opened, arrow with the flow to the valve"), FINE_START, FINE_WEEK, True),
            Option(_("opened first, while the rest is built"), FINE_START,
                   _("Its grains are full of the shop's air. Water freezes in the valve: cools, stops, cools.")),
            Option(_("arrow against the flow"), _("It cools, less than it should."),
                   _("Its outlet takes vapor with the liquid: bubbles before the valve, and dust from its grains.")),
        ),
        "bulb": (
            Option(_("on the outlet pipe, clean, strapped, wrapped"), FINE_START, FINE_WEEK, True),
            Option(_("on the outlet pipe, bare"), _("The bulb feels warm air and opens too far: superheat falls."),
                   _("Liquid comes back to the new compressor.")),
            Option(_("on the inlet pipe"), _("The bulb feels a pipe that is always cold: the valve shuts. Low side "
                   "falls, no cooling."), _("Little gas comes back, and little oil with it.")),
        ),
        "run-in": (
            Option(_("idle some minutes, then switch on and off"), FINE_START, FINE_WEEK, True),
            Option(_("full speed at once"), _("A slipping new clutch smells."),
                   _("The clutch face never bedded in; it slips in the heat.")),
        ),
    }
)  # fmt: skip
"""Steps of the job and the ways people do them. `Option.sound` marks the way that leads nowhere bad."""


def found_option(step: str, words: str) -> Option:
    """The way of doing a step that is called so. Raises ServiceError where there is none."""
    for option in STEPS.get(step, ()):
        if option.words == words:
            return option
    raise ServiceError(_("{step!r} is not done in the way {words!r}.").format(step=str(step)[:30], words=words[:40]))


# The bench's belt, all invented: span and push of a common gauge, grip and the pull of a compressor under load.
BENCH_SPAN, BENCH_PUSH = 0.30, 45.0  # m, N
BENCH_PULL, BENCH_GRIP = 420.0, 5.0  # N, tight over slack
RIGHT_BEND = 5e-3  # m


@dataclass(frozen=True)
class Belt:
    """A belt of the bench as it was set."""

    tension: float  # N
    slipping: bool
    load: float  # of the bearing, as a multiple of that at the right tension
    life: float  # of the bearing, as a share


def bench_belt(bend: float) -> Belt:
    """The bench's belt by how far it gives (m) under the push of `BENCH_PUSH`. Raises ServiceError."""
    tension = float(belt_tension(BENCH_PUSH, BENCH_SPAN, bend))
    load = tension / float(belt_tension(BENCH_PUSH, BENCH_SPAN, RIGHT_BEND))
    life = min(float(bearing_life(load)), 1.0)
    return Belt(tension, slips(tension, pull=BENCH_PULL, grip=BENCH_GRIP), load, life)


def oil_to_pour(drained: float, gas: float, drier: float) -> float:
    """m3 of oil into a new compressor that was drained: what left with the old one, the gas and the old drier.

    Conservation of oil; nothing was rinsed and nothing leaked. Raises ServiceError where a volume is below 0.
    """
    if min(drained, gas, drier) < 0.0:
        raise ServiceError(_("an amount of oil that was measured is not below nothing."))
    return math.fsum((drained, gas, drier))
