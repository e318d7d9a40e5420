"""Worked examples of lesson leak-1: published leaks, what each method can miss, one hunt, the sums, a year's leak."""

from __future__ import annotations

import math

from coldcab import published, units
from coldcab.lessons.example import Example, Sum, example_table
from coldcab.quantities import OUNCE, PSI
from coldcab.scenario import leak_hunt
from coldcab.service import leaks
from coldcab.words import _


def published_leaks() -> Example:
    """Published leak rates and detector classes."""
    body = []
    for row in published.rows("leak_rates"):
        if row["unit"] != "g/yr":
            continue
        ounces = float(row["value"]) / (OUNCE * 1e3)
        shown = f"{ounces:.1f} oz/year" if ounces >= 1.0 else f"{ounces:.2f} oz/year"
        body.append((row["quantity"], f"{row['value']} g/yr", shown, f"{row['source']}; {row['status']}"))
    return example_table(("what", "printed", "in ounces", "source"), body, _("Leaks and detectors, as published"))


def what_can_remain() -> Example:
    """The smallest leak that each search of the bench can find, at one place, in grams a year of R-134a at rest."""
    own = leaks.SOAP_LIMIT

    def grams(flow: float) -> float:
        return float(leaks.grams_a_year(leaks.mass_flow(flow, leak_hunt.REFRIGERANT, leak_hunt.SHOP)))

    def at_rest(flow: float) -> float:
        """The same hole with R-134a at rest, of a flow of nitrogen at test pressure."""
        back = leaks.same_hole(flow, "nitrogen", leak_hunt.TEST_PRESSURE, leak_hunt.REFRIGERANT, leak_hunt.AT_REST)
        return grams(float(back))

    dye = leaks.VISIBLE_DYE * 1e3 / leaks.OIL_IN_LEAK / leak_hunt.DYE_DAYS * 365.0
    share = float(leaks.caught_share(leak_hunt.TIP, leak_hunt.AIRED_DRAUGHT))
    windy = float(leaks.caught_share(leak_hunt.TIP, 1.0))
    rows = [
        (_("soap, patient, R-134a at rest"), grams(own)),
        (_("soap, patient, nitrogen at 200 psig"), at_rest(own)),
        (_("soap over everything in 40 minutes, nitrogen"), at_rest(own * leak_hunt.HURRY)),
        (_("class-7 detector, clean still air, tip 4 mm away"), leaks.CLASSES[1] / share),
        (_("the same in a draft of 1 m/s"), leaks.CLASSES[1] / windy),
        (_("dye, two weeks"), dye),
        (_("hold test overnight, all leaks together"), at_rest(leak_hunt.hold_limit())),
    ]
    body = [(name, f"{value:.0f} g/yr", f"{value / (OUNCE * 1e3):.1f} oz/year") for name, value in rows]
    return example_table(("search", _("may miss up to"), "in ounces"), body, _("How small a leak can remain"))


def _lost_in_a_year() -> Sum:
    return Sum(_("(48 oz - 30 oz) ÷ 6 months × 12"), _("(1,361 g - 850 g) ÷ 6 months × 12"))


def sums_step_by_step() -> Example:
    """The sums of a hunt, one after the other, with invented numbers."""
    gram = 236.0
    ball = math.pi / 6.0 * 0.3**3
    second = 40.0 * gram / (365 * 86400)
    body = [
        (_("lost in a year"), _lost_in_a_year(), f"{(48 - 30) / 6 * 12:g} oz/year"),
        ("", Sum("36 oz × 28.35", _("1.021 kg a year × 1,000")), f"{36 * OUNCE * 1e3:,.0f} g/year"),
        (
            _("tight circuit, 180 psig at 88 F, then 60 F"),
            Sum("(180 + 14.7) × 519.7 ÷ 547.7 - 14.7", "(1,241 + 101.3) × 288.7 ÷ 304.3 - 101.3"),
            f"{194.696 * 519.67 / 547.67 - 14.696:.1f} psig",
        ),
        (
            _("gauge shows 166 psig: not explained"),
            f"{194.696 * 519.67 / 547.67 - 14.696:.1f} - 166",
            f"{194.696 * 519.67 / 547.67 - 180.696:.1f} psi",
        ),
        (
            _("3 L, 12 h, readings off by 2 psi: smallest leak"),
            Sum("0.08 × 3 × 2 × 8,760 ÷ 12", "0.0115 × 3 × 13.8 × 8,760 ÷ 12"),
            f"{0.08 * 3 * 2 * 8760 / 12:.0f} g/year",
        ),
        (_("bubble of 3 mm: volume"), _("0.52 × 0.3 cm cubed"), f"{ball * 1e3:.0f} mm3 = {ball:.3f} mL"),
        (_("40 g/yr of R-134a: gas in a second"), "40 × 236 ÷ 31,536,000", f"{second:.6f} mL"),
        (_("one bubble"), f"{ball:.3f} ÷ {second:.6f}", f"{ball / second:.0f} s"),
        (_("50 ppm, 200 mL a minute: looks like"), "50 × 200 × 0.0022", f"{50 * 200 * 525600e-6 / gram:.0f} g/year"),
        (_("leak of 30 g/yr, tip catches 20 %"), "30 × 0.20", _("6 g/yr: a class-7 detector stays silent")),
        (_("dye, 60 g/yr, 3 % oil: a day brings"), "60 ÷ 365 × 0.03", f"{60 / 365 * 0.03:.4f} g"),
        (_("wait for 0.05 g"), f"0.05 ÷ {60 / 365 * 0.03:.4f}", f"{0.05 / (60 / 365 * 0.03):.0f} days"),
        (
            _("56 oz full, good to 40 oz, 200 g/yr"),
            Sum("16 oz × 28.35 ÷ 200 × 365", "454 g ÷ 200 × 365"),
            f"{16 * OUNCE * 1e3 / 200 * 365:.0f} days",
        ),
    ]
    return example_table(("what", "how", "result"), body, _("The sums of a hunt; the machine is invented"))


def one_hunt_step_by_step() -> Example:
    """One machine of the bench by the sound order, each step with its minutes and what it showed."""
    number = next(
        one
        for one in range(1, 41)
        for hunt in [leak_hunt.sound_order(leak_hunt.machine(one))]
        if leak_hunt.dirty(hunt.machine) and hunt.machine.pressure and hunt.state.proved and len(hunt.steps) >= 4
    )
    hunt = leak_hunt.sound_order(leak_hunt.machine(number))
    body, spent = [], 0.0
    for place, (name, report) in enumerate(hunt.steps, 1):
        spent += leak_hunt.ACTIONS[name].minutes
        body.append((f"{place}", name, f"{spent:g} min", report.words))
    caption = _("Machine {number} of the bench; everything by soap would have cost {minutes:g} min").format(
        number=number, minutes=leak_hunt.soap_everything(hunt.machine).minutes
    )
    return example_table(("step", "what", _("minutes so far"), _("what it showed")), body, caption)


def years_of_leaking() -> Example:
    """Charge left and how one invented machine cools after months of the mean published leak, from the model."""
    from coldcab.machine import nominal_charge, simulate_many
    from coldcab.machine.fleet import FLEET
    from coldcab.scenario.sick_machines import day

    unit = next(iter(FLEET))
    machine, months = FLEET[unit], (0, 6, 12, 18, 24, 30)
    rate = next(float(row["value"]) for row in published.rows("leak_rates") if row["id"] == "arb_old")
    full = float(nominal_charge(machine, leak_hunt.REFRIGERANT))
    left = [float(leaks.charge_left(full, leaks.from_grams_a_year(rate), one * leaks.YEAR / 12)) for one in months]
    found = simulate_many(machine, day(95.0, 1500.0), refrigerant=leak_hunt.REFRIGERANT, charge=left)
    body = [
        (
            f"{month}",
            f"{charge / OUNCE:.0f} oz ({charge * 1e3:.0f} g)",
            f"{low / PSI:.0f} psig",
            f"{high / PSI:.0f} psig",
            f"{units.convert(vent, 'temperature', 'F'):.0f} F",
            str(glass),
        )
        for month, charge, low, high, vent, glass in zip(
            months, left, found.low_gauge, found.high_gauge, found.vent, found.glass, strict=True
        )
    ]
    caption = _("{machine}, R-134a, 95 F, doors open, losing {rate:g} g/yr; from the model").format(
        machine=machine.name, rate=rate
    )
    return example_table(("months", "charge left", "low side", "high side", "vent", "glass"), body, caption)
