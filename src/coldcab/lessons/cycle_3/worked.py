"""Worked examples of lesson cycle-3: one coil, the load of a cab, places where cold is lost, cabs for spraying."""

from __future__ import annotations

from coldcab import air, units
from coldcab.lessons.cycle_3 import yard
from coldcab.lessons.example import Example, Sum, example_table
from coldcab.words import _

GRAINS = 7000  # in a pound
KILOJOULE = 2.326  # in each kg, what one Btu in each lb is


def _state(fahrenheit: float, humidity: float, pressure: float) -> air.MoistAir:
    return air.moist_air(units.from_unit(fahrenheit, "temperature", "F"), pressure, relative_humidity=humidity)


def _btu(state: air.MoistAir) -> float:
    return round(units.convert(state.enthalpy, "specific energy", "Btu/lb"), 1)


def _air_flow(cfm: int, volume: float, unit: str) -> Sum:
    """Air by the minute to dry air by the hour; in metric units by the hour to by the second."""
    cubic = units.convert(units.from_unit(cfm, "volume flow", "cfm"), "volume flow", "m3/h")
    metric = units.from_unit(volume, "specific volume", "cu ft/lb")
    return Sum(f"{cfm} cfm × 60 ÷ {volume:.2f}{unit}", f"{cubic:.0f} m3/h ÷ 3.6 ÷ {metric:.3f} m3/kg")


def _grams(pounds: float) -> str:
    """Pounds in an hour as g/s."""
    return units.show(units.from_unit(pounds, "mass flow", "lb/h"), "mass flow", system="si").partition(" (")[0]


def _heat(trade: str, flow: float, one: float, other: float) -> Sum:
    """Dry air, times the step in its enthalpy (Btu/lb)."""
    return Sum(trade, f"{_grams(flow)} × ({KILOJOULE * one:.1f} − {KILOJOULE * other:.1f}) kJ/kg")


def _feet(state: air.MoistAir) -> float:
    return round(units.convert(state.specific_volume, "specific volume", "cu ft/lb"), 2)


def coil_step_by_step() -> Example:
    """One coil on a humid day: the air behind it, its heat and its water; each step goes on with rounded numbers."""
    pressure = air.atmospheric_pressure(units.from_unit(4000, "length", "ft"))
    before = _state(84, 0.42, pressure)
    result = air.coil(before, 1.0, surface_temperature=units.from_unit(40, "temperature", "F"), bypass_factor=0.15)
    volume = _feet(before)
    flow = round(250 * 60 / volume)
    behind = 40 + 0.15 * (84 - 40)
    enthalpies = _btu(before), _btu(result.leaving)
    heat = flow * (enthalpies[0] - enthalpies[1])
    grains = [round(GRAINS * state.humidity_ratio, 1) for state in (before, result.leaving)]
    water = flow * (grains[0] - grains[1]) / GRAINS
    body = [
        (_("air behind the coil"), "40 F + 0.15 × (84 F − 40 F)", f"{behind:.1f} F"),
        (_("dry air that flows"), _air_flow(250, volume, " cu ft/lb"), f"{flow:,} lb/h"),
        (
            _("enthalpy before and behind"),
            _("chart: 84 F and 42 %; then {behind:.1f} F").format(behind=behind),
            _("{one:.1f} and {two:.1f} Btu/lb").format(one=enthalpies[0], two=enthalpies[1]),
        ),
        (
            _("heat taken"),
            _heat(f"{flow:,} lb/h × ({enthalpies[0]:.1f} − {enthalpies[1]:.1f}) Btu/lb", flow, *enthalpies),
            f"{heat:,.0f} Btu/h",
        ),
        (
            _("water in the air before and behind"),
            _("chart"),
            _("{one:.1f} and {two:.1f} grains/lb").format(one=grains[0], two=grains[1]),
        ),
        (
            _("water at the drain"),
            Sum(
                f"{flow:,} lb/h × ({grains[0]:.1f} − {grains[1]:.1f}) ÷ 7,000",
                f"{_grams(flow)} × ({grains[0] / 7:.2f} − {grains[1] / 7:.2f}) ÷ 1,000",
            ),
            f"{water:.1f} lb/h",
        ),
        (_("of the heat, to make water"), f"{water:.1f} lb/h × 1,070 Btu/lb", f"{1070 * round(water, 1):,.0f} Btu/h"),
    ]
    caption = _(
        "A coil at 4,000 ft, invented: air 84 F and 42 %, 250 cfm, surface 40 F, 15 % of the air misses the fins"
    )
    return example_table((_("what"), _("how"), _("result")), body, caption)


def cab_step_by_step() -> Example:
    """The load of one invented cab, with every step on the way; each goes on with the rounded number, as by hand."""
    pressure = air.atmospheric_pressure(units.from_unit(4000, "length", "ft"))
    outside, inside = _state(96, 0.45, pressure), _state(76, 0.45, pressure)
    volume = _feet(outside)
    flow = round(60 * 60 / volume)  # 60 cfm
    out, into = _btu(outside), _btu(inside)
    fresh = flow * (out - into)
    walls = 110 * (96 - 76)
    parts = {"walls": walls, "sun": 4400, "engine": 3200, "driver": 270 + 190, "blower": 510, "fresh air": fresh}
    total = sum(parts.values())
    warm_only = flow * 0.24 * (96 - 76)
    body = [
        (
            _("volume of the outside air"),
            _("chart: 4,000 ft, 96 F, 45 %"),
            _("{volume:.2f} cu ft/lb of dry air").format(volume=volume),
        ),
        (_("dry air that comes in"), _air_flow(60, volume, ""), f"{flow:.0f} lb/h"),
        (
            _("enthalpy outside and inside"),
            _("chart: 96 F and 76 F, both 45 %"),
            _("{out:.1f} and {into:.1f} Btu/lb").format(out=out, into=into),
        ),
        (
            _("fresh air"),
            _heat(f"{flow:.0f} × ({out:.1f} − {into:.1f})", flow, out, into),
            f"{fresh:,.0f} Btu/h",
        ),
        (
            _("of it, only to cool the air"),
            Sum(f"{flow:.0f} × 0.24 × (96 − 76)", f"{_grams(flow)} × 1.005 × (35.56 − 24.44)"),
            f"{warm_only:,.0f} Btu/h",
        ),
        (
            _("walls and glass"),
            Sum(_("110 Btu/h for each F × (96 − 76)"), "58.0 W/K × (35.56 − 24.44)"),
            f"{walls:,.0f} Btu/h",
        ),
        (_("sun through the glass"), _("data sheet"), "4,400 Btu/h"),
        (_("engine wall"), _("data sheet"), "3,200 Btu/h"),
        (_("driver"), Sum(_("270 of heat + 190 of moisture"), _("79 W of heat + 56 W of moisture")), "460 Btu/h"),
        (_("blower motor"), _("data sheet"), "510 Btu/h"),
        (_("cab load"), _("the sum"), units.show(units.from_unit(total, "power", "Btu/h"), "power")),
    ]
    caption = _("A cab at 4,000 ft, invented: 96 F and 45 % outside, 76 F and 45 % wanted inside, 60 cfm of fresh air")
    return example_table((_("what"), _("how"), _("result")), body, caption)


def lost_cold_step_by_step() -> Example:
    """A flap, a heater valve, a duct and a drain, each worked out from what an hour in the cab measures."""
    share = air.outside_share(88.0, 80.0, 100.0)
    heater = 1200 * 0.24 * (63 - 49)
    lost = air.duct_loss_share(252.0, 360.0)
    held = (180 - 45) / 249
    body = [
        (
            _("flap: cab 80 F, before the coil 88 F, outside 100 F"),
            "(88 − 80) ÷ (100 − 80)",
            _("{share:.0%} comes from outside").format(share=share),
        ),
        (
            _("heater: 49 F behind the coil, 63 F at the vents, 1,200 lb/h"),
            "1,200 × 0.24 × (63 − 49)",
            _("{heat:,.0f} Btu/h put back").format(heat=heater),
        ),
        (
            _("duct: the blower moves 360 cfm, the vents blow 252 cfm"),
            "1 − 252 ÷ 360",
            _("{lost:.0%} lost").format(lost=lost),
        ),
        (
            _("drain: cab 45 Pa above outside, box 180 Pa below the cab"),
            "(180 − 45) ÷ 249",
            _("{held:.1f} in of water stands in it").format(held=held),
        ),
    ]
    return example_table((_("what was measured"), _("how"), _("result")), body, _("Four cabs of one day, invented"))


def signs_of_the_air_side() -> Example:
    """Which reading leaves its place for which cause; as the invented machine shows them."""
    body = [
        (_("heater valve"), _("as usual"), _("as usual"), _("well above the coil"), _("as usual"), _("as usual")),
        (_("flap"), _("well above the cab's air"), _("as usual"), _("near the coil"), _("as usual"), _("any")),
        (_("duct to the open"), _("as usual"), _("as usual"), _("near the coil"), _("low"), _("low, or below outside")),
        (_("cabin filter or coil"), _("as usual"), _("large"), _("near the coil"), _("low"), _("as usual")),
        (
            _("seals, pressurizer, fresh filter"),
            _("as usual"),
            _("as usual"),
            _("near the coil"),
            _("as usual"),
            _("low"),
        ),
        (_("refrigerant circuit"), _("as usual"), _("small"), _("near the coil"), _("as usual"), _("as usual")),
    ]
    head = (
        _("cause"),
        _("air before the coil"),
        _("drop across the coil"),
        _("vents"),
        _("vent speed"),
        _("cab pressure"),
    )
    return example_table(head, body, _("On recirculation, set to cold, blower full"))


def cab_categories() -> Example:
    """What each category of cab is made to keep out."""
    body = [
        ("1", _("nothing named"), _("no work with spray or dust that harms")),
        ("2", _("dust"), _("dust filter")),
        ("3", _("dust and spray mist (aerosol)"), _("dust and mist filter, pressure")),
        (
            "4",
            _("dust, mist and vapor"),
            _("with active carbon; at least {pascal:.0f} Pa and 30 m3/h (18 cfm) of fresh air").format(
                pascal=yard.SPRAY_PASCAL
            ),
        ),
    ]
    head = (_("category"), _("made to keep out"), _("what belongs to it"))
    return example_table(head, body, _("Cabs of tractors and self-propelled sprayers, after EN 15695-1"))


def in_order_today() -> Example:
    """What counts as in order for the cabs of this lesson's sheets."""
    low, high = yard.DROP
    body = [
        (_("air before the coil"), _("less than {over:.0f} F over the air in the cab").format(over=yard.OVER_CAB)),
        (_("drop across the coil"), _("{low:.0f} to {high:.0f} F").format(low=low, high=high)),
        (_("vents"), _("less than {over:.0f} F over the air behind the coil").format(over=yard.VENT_OVER_COIL)),
        (_("heater hose behind the valve"), _("below {hot:.0f} F").format(hot=yard.BEHIND_VALVE)),
        (_("speed at the vents"), _("{least:.0%} or more of the manual's").format(least=yard.LEAST_SPEED)),
        (_("cab pressure"), _("{least:.0f} Pa or more").format(least=yard.LEAST_PRESSURE)),
        (
            _("filter, for spray or dust"),
            _("at most {hours} h and {months} months").format(hours=yard.FILTER_HOURS, months=yard.FILTER_MONTHS),
        ),
    ]
    return example_table(
        (_("reading"), _("in order")), body, _("The shop's limits for these cabs on these days, invented")
    )
