"""Answers and wrong ideas about the clutch: its coil, the voltage on the way, its switches, what to replace."""

from __future__ import annotations

from itertools import pairwise

from coldcab import units
from coldcab.assess.keys import Key, Tolerance, WrongIdea, apart
from coldcab.lessons.faults_1.lines import NO_SWITCH, NOTHING, THE_CIRCUIT, THE_SWITCH
from coldcab.lessons.faults_1.numbers import PARTS, ClutchCase
from coldcab.machine.switches import Switches
from coldcab.quantities import PSI
from coldcab.service import controls
from coldcab.service.clutch import coil_resistance, shaft_torque, slip_heat
from coldcab.service.controls import CLUTCH, COMPRESSOR, FIN_SWITCH, HIGH_SWITCH, LOW_SWITCH, NEITHER

GROUND = PARTS[-1]
COLD = 68.0  # F
SLOPE = 0.00393  # per degree C, what some apply to degrees F
VOLT_WIDTH = 0.04
VOLTS = Tolerance("two readings of a meter that shows 0.01 V, taken one after the other", absolute=VOLT_WIDTH)
AMPERES = Tolerance("the coil's temperature is known to 5 F", relative=0.02)
OHMS = Tolerance("0.01 V in the drop and 2 % in the current", relative=0.05)


def hot_temperature(case: ClutchCase) -> float:
    """Temperature of the working coil, K."""
    return units.from_unit(case.hot_fahrenheit, "temperature", "F")


def hot_ohm(case: ClutchCase) -> float:
    """Resistance of the working coil."""
    return coil_resistance(hot_temperature(case), resistance_at_20=case.cold_ohm)


def coil_voltage(case: ClutchCase) -> float:
    """V between the coil's own terminals."""
    return round(case.behind[-1] - case.coil_ground, 2)


def hot_current(case: ClutchCase) -> float:
    """Current through the working coil, from its own voltage."""
    return coil_voltage(case) / hot_ohm(case)


def lost(case: ClutchCase) -> float:
    """V lost before and behind the coil."""
    return round(case.battery - coil_voltage(case), 2)


def drops(case: ClutchCase) -> dict[str, float]:
    """V across each part, from the readings before and behind it."""
    feed = (case.battery, *case.behind)
    found = (round(before - after, 2) for before, after in pairwise(feed))
    return dict(zip(PARTS, (*found, case.coil_ground), strict=True))


def bad_part(case: ClutchCase) -> str:
    """The part across which most of the lost voltage stands."""
    found = drops(case)
    return max(found, key=lambda part: found[part])


def drop(case: ClutchCase) -> float:
    """V across the bad part."""
    return drops(case)[bad_part(case)]


def coil_resistance_hot() -> Key:
    """Copper's rise with temperature."""
    return Key(
        answer=hot_ohm,
        tolerance=Tolerance("a meter shows 0.1 ohm, and the coil is known to 5 F", relative=0.02),
        ideas=(
            WrongIdea(
                "cold taken for hot",
                lambda case: case.cold_ohm,
                "That is the cold coil. Copper has more resistance when it is hot.",
            ),
            WrongIdea(
                "degrees F put where C belong",
                lambda case: case.cold_ohm * (1.0 + SLOPE * (case.hot_fahrenheit - COLD)),
                "You put degrees F into a rule for degrees C. Turn both temperatures into C first.",
                credit=0.5,
            ),
            WrongIdea(
                "hot copper thought to have less",
                lambda case: (
                    case.cold_ohm
                    * (1.0 - SLOPE * units.convert(hot_temperature(case) - 293.15, "temperature difference", "K"))
                ),
                "You let the resistance fall. Copper's rises when it gets hot.",
            ),
        ),
    )


def current_cold() -> Key:
    """Full battery voltage across the cold coil."""
    return Key(
        answer=lambda case: case.battery / case.cold_ohm,
        tolerance=Tolerance("a meter shows 0.1 ohm, 0.1 V and 0.01 A", absolute=0.01, relative=0.02),
        ideas=(
            WrongIdea(
                "upside down",
                lambda case: case.cold_ohm / case.battery,
                "Resistance over voltage: upside down. Current is voltage over resistance.",
            ),
            WrongIdea(
                "hot coil taken",
                lambda case: case.battery / hot_ohm(case),
                "You took the hot coil. This line asks for the first moment, with the coil at 68 F.",
                credit=0.5,
            ),
            WrongIdea(
                "volts times ohms",
                lambda case: case.battery * case.cold_ohm,
                "You multiplied. Ohm's law: current is voltage divided by resistance.",
            ),
        ),
    )


def current_hot() -> Key:
    """The coil's own voltage over its hot resistance."""
    return Key(
        answer=hot_current,
        tolerance=AMPERES,
        ideas=(
            WrongIdea(
                "battery voltage taken for coil voltage",
                lambda case: case.battery / hot_ohm(case),
                "You took the battery's voltage. The coil gets only what is left between its own two terminals.",
                credit=0.5,
            ),
            WrongIdea(
                "resistance measured cold taken for hot",
                lambda case: coil_voltage(case) / case.cold_ohm,
                "You took the cold coil. At work it is hot and has more resistance.",
                credit=0.5,
            ),
            WrongIdea(
                "battery and cold coil",
                lambda case: case.battery / case.cold_ohm,
                "You took the battery's voltage and the cold coil. Both belong to another moment: use the voltage at "
                "the coil and its hot resistance.",
            ),
        ),
    )


def voltage_lost() -> Key:
    """Battery voltage less what stands across the coil."""

    def feed(case: ClutchCase) -> float:
        return case.battery - case.behind[-1]

    return Key(
        answer=lost,
        tolerance=VOLTS,
        ideas=(
            WrongIdea(
                "ground side left out",
                lambda case: apart(feed(case), lost(case), width=VOLT_WIDTH),
                "You looked at the feed side only. Voltage is lost behind the coil as well, on its way to ground.",
                credit=0.5,
            ),
            WrongIdea(
                "what the coil gets",
                lambda case: coil_voltage(case),
                "That is what the coil gets. Asked is what it does not get.",
            ),
            WrongIdea(
                "reading at the feed terminal",
                lambda case: apart(case.behind[-1], coil_voltage(case), width=VOLT_WIDTH),
                "That is one reading against the battery's minus. A loss is the difference of two.",
            ),
        ),
    )


def part_that_takes_it() -> Key:
    """The part across which most of the lost voltage stands."""

    def neighbour(case: ClutchCase, step: int) -> str | None:
        place = PARTS.index(bad_part(case)) + step
        return PARTS[place] if 0 <= place < len(PARTS) else None

    return Key(
        answer=bad_part,
        ideas=(
            WrongIdea(
                "the part behind it",
                lambda case: neighbour(case, 1),
                "You went one part too far. The voltage is lost between the last good reading and the first low one.",
                credit=0.25,
            ),
            WrongIdea(
                "the part before it",
                lambda case: neighbour(case, -1),
                "You stopped one part too early. Behind that part the reading is still good.",
                credit=0.25,
            ),
            WrongIdea(
                "ground taken for granted",
                lambda case: PARTS[-3] if bad_part(case) == GROUND else None,
                "All readings on the feed side are good. Look at the coil's ground terminal: it should stand near 0 V.",
            ),
        ),
    )


def voltage_across() -> Key:
    """Difference of the two readings around the bad part."""

    def behind(case: ClutchCase) -> float:
        return 0.0 if bad_part(case) == GROUND else case.behind[PARTS.index(bad_part(case))]

    return Key(
        answer=drop,
        tolerance=VOLTS,
        ideas=(
            WrongIdea(
                "reading behind it",
                behind,
                "That is one reading against the battery's minus. The voltage across a part is the difference of the "
                "readings before and behind it.",
            ),
            WrongIdea(
                "all that is lost",
                lambda case: apart(lost(case), drop(case), width=VOLT_WIDTH),
                "That is all that the coil does not get. Sound parts take a little of it; this line asks for one part.",
                credit=0.5,
            ),
        ),
    )


def its_resistance() -> Key:
    """Drop over the current that flows."""

    def right(case: ClutchCase) -> float:
        return drop(case) / hot_current(case)

    def width(case: ClutchCase) -> float:
        return OHMS.width(right(case))

    def whole(case: ClutchCase) -> float:
        return case.battery / hot_current(case)

    def cold(case: ClutchCase) -> float:
        return drop(case) / (case.battery / case.cold_ohm)

    return Key(
        answer=right,
        tolerance=OHMS,
        ideas=(
            WrongIdea(
                "whole circuit taken",
                whole,
                "That is the resistance of the whole circuit. Use the voltage across this part alone.",
            ),
            WrongIdea(
                "current of the cold coil",
                lambda case: apart(cold(case), right(case), width=width(case)),
                "You took the current of a cold coil on full voltage. The drop was measured with the hot coil at work.",
                credit=0.5,
            ),
            WrongIdea(
                "volts times amperes",
                lambda case: apart(
                    drop(case) * hot_current(case), right(case), cold(case), whole(case), width=OHMS.width(whole(case))
                ),
                "You multiplied. Volts times amperes are watts; ohms are volts divided by amperes.",
            ),
        ),
    )


def switch_of(case: ClutchCase) -> str:
    """The switch that opened on the second machine."""
    name = controls.first_open(case.low_psig * PSI, case.high_psig * PSI)
    if name is not None:
        return name
    fins = units.from_unit(case.fins_fahrenheit, "temperature", "F")
    return FIN_SWITCH if fins < Switches().thermostat else NO_SWITCH


def switch_that_opened() -> Key:
    """Which reading has passed its set point."""
    return Key(
        answer=switch_of,
        ideas=(
            WrongIdea(
                "a low low side is the low-pressure switch",
                lambda case: LOW_SWITCH if switch_of(case) in (FIN_SWITCH, NO_SWITCH) else None,
                "The low side is low, but it stands above that switch's set point. Compare each reading with its own.",
            ),
            WrongIdea(
                "a high head is the high-pressure switch",
                lambda case: HIGH_SWITCH if switch_of(case) == NO_SWITCH else None,
                "The head is high, but it has not reached that switch's set point. Nothing here has opened.",
            ),
            WrongIdea(
                "a cold coil for an empty one",
                lambda case: FIN_SWITCH if switch_of(case) == LOW_SWITCH else None,
                "The fins are far from freezing. The low side has fallen below its own set point.",
            ),
            WrongIdea(
                "the switch at fault",
                lambda case: NO_SWITCH if switch_of(case) != NO_SWITCH else None,
                "One reading has passed its set point. A switch that opens there does its duty.",
            ),
        ),
    )


def findings(case: ClutchCase) -> controls.Findings:
    """What was found at the third machine."""
    return controls.Findings(
        source=13.8,
        coil_voltage=case.found_volts,
        coil_resistance=case.found_ohm,
        turns_freely=case.turns_freely,
        debris=case.debris,
        open_switch=LOW_SWITCH if case.switch_open else None,
        faces_burnt=case.faces_burnt,
    )


def replaced(case: ClutchCase) -> str:
    """Clutch, compressor or neither."""
    return controls.decide(findings(case)).replace


def what_to_replace() -> Key:
    """The clutch alone, the compressor, or neither."""
    return Key(
        answer=replaced,
        ideas=(
            WrongIdea(
                "a new clutch on a failing compressor",
                lambda case: CLUTCH if replaced(case) == COMPRESSOR else None,
                "The clutch died of the compressor behind it. A new one on the same shaft burns next.",
            ),
            WrongIdea(
                "the complaint names the fault",
                lambda case: CLUTCH if replaced(case) == NEITHER else None,
                "Nothing is wrong with the clutch. Find what keeps voltage or refrigerant from it.",
            ),
            WrongIdea(
                "the compressor to be safe",
                lambda case: COMPRESSOR if replaced(case) != COMPRESSOR else None,
                "The hub turns freely and the oil is clean. Nothing speaks against the compressor.",
            ),
            WrongIdea(
                "a dead coil overlooked",
                lambda case: NEITHER if replaced(case) == CLUTCH else None,
                "Look at the coil with its lead off: it is far from what copper has at 68 F.",
            ),
            WrongIdea(
                "a failing compressor overlooked",
                lambda case: NEITHER if replaced(case) == COMPRESSOR else None,
                "A stiff hub or metal in the oil means the compressor is failing, whatever the circuit does.",
            ),
        ),
    )


def _power(case: ClutchCase) -> float:
    return units.from_unit(case.belt_horsepower, "power", "hp")


def heat_of_slipping() -> Key:
    """What the belt gives and the shaft does not take."""

    def answer(case: ClutchCase) -> float:
        pulley, hub = (units.from_unit(rpm, "rotational speed", "rpm") for rpm in (case.pulley_rpm, case.hub_rpm))
        return slip_heat(shaft_torque(_power(case), pulley), pulley_speed=pulley, hub_speed=hub)

    return Key(
        answer=answer,
        tolerance=Tolerance("10 rpm on both speeds", relative=0.03),
        ideas=(
            WrongIdea(
                "what goes on to the shaft",
                lambda case: _power(case) * case.hub_rpm / case.pulley_rpm,
                "That is what goes on to the shaft. The rest of the belt's power becomes heat between the faces.",
            ),
            WrongIdea(
                "all of the belt's power",
                _power,
                "Not all of it becomes heat. The shaft still turns and takes its share.",
            ),
            WrongIdea(
                "slip as a share of the hub",
                lambda case: _power(case) * (case.pulley_rpm - case.hub_rpm) / case.hub_rpm,
                "You divided by the hub's speed. The belt's power comes in at the pulley's speed; divide by that.",
                credit=0.5,
            ),
        ),
    )


def wire_across() -> Key:
    """What a wire across a pressure switch repairs."""
    return Key(
        answer=lambda case: NOTHING,
        ideas=(
            WrongIdea(
                "jumping a switch as a repair",
                lambda case: THE_SWITCH,
                "The switch opened at its set point, so it was sound. The wire only takes away what it protects.",
            ),
            WrongIdea(
                "cold again means mended",
                lambda case: THE_CIRCUIT,
                "The head is as high as before, and now nothing stops it. What drove it up is still there.",
            ),
        ),
    )


PRACTICE: dict[str, Key] = {
    "coil resistance hot": coil_resistance_hot(),
    "current hot": current_hot(),
    "voltage lost": voltage_lost(),
    "part that takes it": part_that_takes_it(),
    "voltage across it": voltage_across(),
    "its resistance": its_resistance(),
    "switch that opened": switch_that_opened(),
}

KEYS = PRACTICE | {
    "current cold": current_cold(),
    "what to replace": what_to_replace(),
    "heat of slipping": heat_of_slipping(),
    "wire across repairs": wire_across(),
}
