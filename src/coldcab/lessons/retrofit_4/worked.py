"""Worked examples of lesson retrofit-4: charging."""

from __future__ import annotations

from coldcab import published, refrigerants, units
from coldcab.lessons.example import Example, Sum, example_table
from coldcab.machine import Conditions, nominal_charge, simulate_many
from coldcab.machine.fleet import FLEET
from coldcab.quantities import FREEZING
from coldcab.service.cans import can_heel, can_plan, hose_contents
from coldcab.service.charging import starting_charge
from coldcab.words import _

OUNCE = units.from_unit(1.0, "mass", "oz")
HOT = units.from_unit(100.0, "temperature", "F")
SHARES = ((0.79, "79 %"), (0.93, "93 %"), (1.0, "100 %"))


def plateau_measured() -> Example:
    """A measured receiver system beside the course's combine: the head between 79 and 100 % of the charge.

    Source: trade association article of 2021, "Top three tips on orifice tube behavior" (head of the table).
    """
    heads = {
        row["condition"]: row["value"]
        for row in published.rows("charge_effect_measured")
        if row["quantity"] == "high-side pressure"
    }
    flat = heads["22 to 26 oz (79-93 %)"]
    printed = {"79 %": flat, "93 %": heads["26 oz (93 %)"], "100 %": heads["28 oz (100 %)"]}
    combine = FLEET[31]
    charge = nominal_charge(combine, "R-134a")
    day = Conditions(ambient=HOT, inlet_temperature=HOT, inlet_relative_humidity=0.40)
    found = simulate_many(combine, day, refrigerant="R-134a", charge=[share * charge for share, __ in SHARES])
    body = []
    for place, (__, words) in enumerate(SHARES):
        own = units.convert(found.high_gauge[place], "pressure difference", "psi")
        whole = units.convert(found.high_gauge[-1], "pressure difference", "psi")
        last = float(printed["100 %"])
        measured = float(printed[words])
        body.append(
            (words, f"{measured:.0f} psig", f"{measured - last:+.0f} psi", f"{own:.0f} psig", f"{own - whole:+.1f} psi")
        )
    head = ("charge", "measured", "against full", "this course, Unit 31", "against full")
    return example_table(head, body, _("Head pressure with valve and receiver, air near 100 F (38 C), R-134a"))


def missing_charge_measured() -> Example:
    """A measured car system that is short of charge, or has too much, beside the course's combine.

    Source: Atik and Aktas (2011), abstract: up to 25 % less capacity 40 % below and 20 % above the charge for the best
    capacity, which was 67 % of the label (head of the table).
    """
    measured = next(
        row
        for row in published.rows("charge_effect_measured")
        if row["quantity"] == "cooling capacity" and row["source"] == "B"
    )
    combine = FLEET[31]
    charge = nominal_charge(combine, "R-134a")
    day = Conditions(ambient=HOT, inlet_temperature=HOT, inlet_relative_humidity=0.40)
    shares = (0.6, 1.2, 1.0)
    *found, right = simulate_many(combine, day, refrigerant="R-134a", charge=[s * charge for s in shares]).capacity
    printed = _("up to {value:.0f} %").format(value=float(measured["value"]))
    body = [
        (f"{100 * (share - 1):+.0f} %", printed, f"{100 * (capacity / right - 1):+.0f} %")
        for share, capacity in zip(shares[:-1], found, strict=True)
    ]
    head = (_("charge against the right one"), _("measured on a car system"), _("this course, Unit 31"))
    return example_table(head, body, _("Change of the cooling capacity, R-134a; here at 100 F (38 C)"))


def densities() -> Example:
    """Charges by the density of the liquid beside charges that were really used.

    Source: Wei and Teng, a car system with 400 g of R-134a tried with two substitutes (head of the table).
    """
    body = []
    for row in published.rows("charge_effect_measured"):
        if row["quantity"] == "charge used in the test":
            name = row["condition"]
            ratio = starting_charge(1.0, original="R-134a", refrigerant=name).density_ratio
            body.append((f"{name} for R-134a", f"{float(row['value']):.2f}", f"{ratio:.2f}"))
    ratio = starting_charge(1.0).density_ratio
    body.append(("R-134a for R-12", _("0.80 to 0.90, rule of thumb"), f"{ratio:.2f}"))
    return example_table(
        ("change", "used", "by liquid density"), body, _("Charge of the new refrigerant over that of the old one")
    )


def _weight(room: str, dense: str, volume: float, density: float) -> Sum:
    """Ounces of a room in cubic inches, and grams of one in mL (``volume`` in m3, ``density`` in kg/m3)."""
    feet = "" if room.endswith("in") else " cu ft"
    return Sum(f"{room} ÷ 1,728{feet} × {dense} × 16", f"{volume * 1e6:.3g} mL × {density:,.4g} kg/m3 ÷ 1,000")


def cans_step_by_step() -> Example:
    """An invented charge from small cans, with every conversion on the way."""
    low = units.from_unit(31.0, "pressure", "psia") + units.from_unit(14.7, "pressure", "psia")
    warm = units.from_unit(85.0, "temperature", "F")
    room, bore = units.from_unit(22.0, "volume", "cu in"), units.from_unit(3 / 16, "length", "in")
    length, can, charge = units.from_unit(6.0, "length", "ft"), 12 * OUNCE, 35 * OUNCE
    vapor = refrigerants.state("R-134a", pressure=low, temperature=warm).density
    liquid = refrigerants.saturation("R-134a", temperature=warm).liquid_density
    heel = can_heel("R-134a", pressure=low, temperature=warm, volume=room)
    hose = hose_contents("R-134a", length=length, temperature=warm, diameter=bore)
    plan = can_plan(charge, contents=can, heel=heel, hose=hose)

    def ounces(mass: float) -> str:
        return f"{units.convert(mass, 'mass', 'oz'):.2f} oz ({mass * 1e3:.1f} g)"

    thin, thick = (
        _("{density:.4g} lb/cu ft").format(density=units.convert(density, "density", "lb/cu ft"))
        for density in (vapor, liquid)
    )
    usable, needed = (round(units.convert(mass, "mass", "oz"), 2) * OUNCE for mass in (plan.usable, charge + hose))
    from_last = needed - (plan.cans - 1) * usable  # from the rounded numbers above it, as by hand
    hose_room = f"{3.14159 / 4 * (3 / 16) ** 2 * 72:.2f} cu in"
    body = [
        (_("pressure at the end"), "31 psig + 14.7 psi", "45.7 psia"),
        (_("vapor left in a can"), "reader: 45.7 psia and 85 F", thin),
        ("heel in a can", _weight("22", thin, room, vapor), ounces(heel)),
        (_("liquid in the hose"), "saturation table at 85 F", thick),
        (_("room in the hose"), "0.7854 × (3/16 in)² × 72 in", hose_room),
        ("hose keeps", _weight(hose_room, thick, hose / liquid, liquid), ounces(hose)),
        ("a full can gives", _("12 oz less the heel"), ounces(usable)),
        ("needed", _("35 oz and the hose"), ounces(needed)),
        ("cans", _("needed ÷ what a can gives, rounded up"), f"{plan.cans}"),
        (
            _("last can lighter by"),
            _("needed less {cans} × {value}").format(cans=plan.cans - 1, value=ounces(usable).split(" (")[0]),
            ounces(from_last),
        ),
        (_("stays in the last can"), "12 oz less that", ounces(can - from_last)),
    ]
    return example_table(
        ("what", "how", "result"), body, _("35 oz of R-134a from 12 oz cans, hose 6 ft of 3/16 in, sea level, invented")
    )


def missing_charge_elsewhere() -> Example:
    """Published factors of stationary units short of charge beside the combine's: another circuit, another answer."""
    from coldcab.faults.stationary import undercharge_beside_stationary

    combine = FLEET[31]
    found = undercharge_beside_stationary(combine, refrigerant="R-134a", charge=nominal_charge(combine, "R-134a"))
    body = [
        (
            f"{one.missing:.0%}",
            f"{units.convert(one.ambient, 'temperature', 'F'):.0f} F ({one.ambient - FREEZING:.1f} C)",
            f"{one.stationary_capacity:.2f}",
            f"{one.capacity:.2f}",
        )
        for one in found
    ]
    head = (
        "charge missing",
        _("air at the condenser"),
        _("stationary unit without receiver"),
        _("the combine, with receiver"),
    )
    return example_table(head, body, _("Cooling capacity as a share of that with the right charge"))
