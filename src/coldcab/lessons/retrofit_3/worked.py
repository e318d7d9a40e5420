"""Worked examples and tables of lesson retrofit-3: one machine with two refrigerants, parts, label, changes."""

from __future__ import annotations

from coldcab import oil, published, refrigerants, units
from coldcab.lessons.example import Example, example_table
from coldcab.machine import Conditions, nominal_charge
from coldcab.machine.fleet import COMBINE, FLEET
from coldcab.quantities import FREEZING
from coldcab.scenario.fleet import CONVERTED
from coldcab.service import changes as allowed
from coldcab.service import charging, comparison, label, retrofit, warming
from coldcab.words import _

NAMES = ("R-12", "R-134a")
DAYS = (30.0, 35.0, 40.0)  # C
DENSITY_ROWS = (75, 95, 113, 131)  # F
MACHINE = retrofit.OldMachine(hoses="plain rubber", high_cutout=False)
"""The combine of the lesson, as described there: mineral oil, plain rubber hoses, relief device, no cut-out."""


def _range(values: list[float]) -> str:
    return f"{min(values):+.0f} to {max(values):+.0f} %"


def measured_conversion() -> Example:
    """A measured change from R-12 to R-134a on the same hardware, beside the six machines that were built for R-12."""
    rows = {(row["quantity"], row["refrigerant"]): row for row in published.rows("retrofit_r12_r134a_measured")}
    runs = []
    for unit in CONVERTED:
        for celsius in DAYS:
            day = Conditions(ambient=celsius + FREEZING, inlet_temperature=celsius + FREEZING)
            runs.append(comparison.side_by_side(FLEET[unit.number], day))

    def change(name: str) -> str:
        return _range([100 * (run.ratio(name) - 1) for run in runs])

    head_row = rows["compressor_discharge_pressure", "R-134a"]
    body = [
        (
            "discharge pressure, R-134a",
            f"{float(head_row['low_pct_vs_R12']):+.0f} to {float(head_row['high_pct_vs_R12']):+.0f} %",
            change("high_pressure"),
        ),
        ("evaporating pressure, R-134a", "closely matched", change("low_pressure")),
        (_("capacity, nine substitutes together"), "-9 to +9 %", f"R-134a: {change('capacity')}"),
    ]
    return example_table(
        ("change against R-12", "measured", "this course"),
        body,
        _("Same hardware, charge adjusted; 86 to 104 F outside here"),
    )


def conversion_step_by_step() -> Example:
    """One invented machine from the owner's question to its leaks, from rounded numbers as by hand."""
    old_charge, old_switch, cutout, dirty, clean, visits = 3.75, 26.0, 330, 322, 284, (9, 12, 15)
    liquid = units.from_unit(113.0, "temperature", "F")
    old, new = (
        round(
            units.convert(
                float(refrigerants.saturation(name, temperature=liquid).liquid_density), "density", "lb/cu ft"
            ),
            1,
        )
        for name in NAMES
    )
    boils = refrigerants.saturation_temperature("R-12", units.from_unit(old_switch, "pressure", "psig"))
    switch = units.convert(refrigerants.saturation_pressure("R-134a", boils), "pressure", "psig")
    pounds = sum(visits) / 16
    potential = warming.warming_potential("R-134a", "AR5")
    start = charging.SHARES[0]
    body = [
        (_("may it be done?"), _("R-12 to R-134a, all R-12 out"), _("yes, listed for retrofit")),
        (_("left, as found"), f"{cutout} - {dirty} psig", _("{left} psi, less than 20").format(left=cutout - dirty)),
        (_("left, cleaned"), f"{cutout} - {clean} psig", _("{left} psi: holds once it is clean").format(
            left=cutout - clean)),
        (_("starting charge"), f"{start:.2f} × {old_charge:.2f} lb", f"{start * old_charge:.2f} lb"),
        (_("charge to expect"), f"{old_charge:.2f} lb × {new:.1f} ÷ {old:.1f}", f"{old_charge * new / old:.2f} lb"),
        (
            _("coil at the old switch"),
            _("gauge pair, R-12 at {reading:.0f} psig").format(reading=old_switch),
            f"{units.convert(boils, 'temperature', 'F'):.1f} F",
        ),
        (_("new switch rating"), _("gauge pair, R-134a at that temperature"), f"{switch:.1f} psig"),
        (
            _("switch to fit"),
            _("sealed, opens as the pressure falls, same thread"),
            _("the one rated {rating:.0f} psig").format(rating=switch),
        ),
        (_("missing on the label"), _("draft without maker and amount of the oil"), _("lubricant maker and amount")),
        (_("added in three visits"), f"({visits[0]} + {visits[1]} + {visits[2]} oz) ÷ 16", f"{pounds:.2f} lb"),
        (_("equals in CO2, AR5"), f"{pounds:.2f} lb × {potential:,.0f}", f"{pounds * potential:,.0f} lb"),
    ]  # fmt: skip
    caption = _(
        "Invented: 3.75 lb of R-12, cut-out to be fitted at 330 psig; the instrument shows 322 psig with R-134a as "
        "found and 284 psig clean; sealed cycling switch, 26 psig; later 9, 12 and 15 oz of R-134a added"
    )
    return example_table(("what", "how", "result"), body, caption)


def liquid_densities() -> Example:
    """Liquid density of R-12 and R-134a, and the share by which a charge changes."""
    body = []
    for fahrenheit in DENSITY_ROWS:
        kelvin = units.from_unit(float(fahrenheit), "temperature", "F")
        old, new = (float(refrigerants.saturation(name, temperature=kelvin).liquid_density) for name in NAMES)
        densities = (
            _("{density:.1f} lb/cu ft ({metric:,.0f} kg/m3)").format(
                density=units.convert(one, "density", "lb/cu ft"), metric=one
            )
            for one in (old, new)
        )
        body.append((f"{fahrenheit} F ({(fahrenheit - 32) / 1.8:.0f} C)", *densities, f"{new / old:.3f}"))
    return example_table(("liquid at", *NAMES, "R-134a over R-12"), body, _("Density of the saturated liquid"))


def decisions() -> Example:
    """What to do with each part of the machine that the lesson describes, and why."""
    body = [
        (one.part, one.action, one.reason, "law" if one.by_law else "practice")
        for one in retrofit.decide_parts(MACHINE)
    ]
    head = ("part", "what to do", "why", "asked by")
    return example_table(
        head, body, _("Unit 31 before its change: plain rubber hoses, mineral oil, a relief device, no cut-out")
    )


def label_fields() -> Example:
    """Everything the label of a retrofit must say, and where the law says so."""
    body = [
        (field.name, field.meaning, "always" if field.always else "if it applies", field.citation.split(", ", 1)[1])
        for field in label.FIELDS
    ]
    head = ("field", "what it says", "needed", _("40 CFR 82 Subpart G App. C and D"))
    caption = _(
        "The label as App. C and D list it for later refrigerants; for R-134a App. B asks for a "
        "detailed label. Edition of 2015. Check the current law where you work"
    )
    return example_table(head, body, caption)


def example_label() -> Example:
    """A label as it may look; the entries in words are what the shop writes there."""
    made = label.Label(
        refrigerant="R-134a",
        charge=nominal_charge(COMBINE, "R-134a"),
        technician=_("name and address of the technician"),
        company=_("name and address of the co-operative's shop"),
        date=_("day, month and year"),
        trade_name=_("trade name on the cylinder"),
        lubricant_type=_("PAG, grade as the compressor's maker asks"),
        lubricant_maker=_("name on the can"),
        lubricant_amount=oil.volume(COMBINE.oil, "PAG"),
    )
    body = [(line,) for line in label.lines(made)]
    return example_table(
        (_("on {color}, stuck over the old label").format(color=label.color("R-134a")),),
        body,
        _("Unit 31 after its change, invented"),
    )


def fittings() -> Example:
    """Service ports and containers by refrigerant."""
    body = []
    for name in ("R-12", "R-134a", "R-1234yf", "R-744"):
        one = retrofit.fittings(name)
        body.append((name, one.high, one.low, one.container, one.citation))
    head = ("refrigerant", "high side", "low side", "container", "source")
    return example_table(head, body, _("Fittings that cannot be mixed up"))


def changes() -> Example:
    """Which machine may be changed to which refrigerant, and why."""
    body = []
    for one in allowed.CHANGES:
        entry = refrigerants.catalogue.get(one.new)
        body.append((one.old, one.new, entry.safety_class if entry else "", "yes" if one.allowed else "no", one.reason))
    head = (_("built for"), "wanted", "class", _("may it be done?"), "why")
    return example_table(head, body, _("What may be changed to what. Check the current law where you work"))


def warming_potentials() -> Example:
    """kg of CO2 that warm as much as one kg, by assessment report."""
    body = [
        (name, *(f"{warming.warming_potential(name, report):,.0f}" for report in warming.REPORTS))
        for name in (*NAMES, "R-1234yf", "R-152a", "R-22")
    ]
    return example_table(
        ("refrigerant", *warming.REPORTS),
        body,
        _("Global warming potential, 100 years, CO2 = 1, by IPCC assessment report"),
    )


def leak_history() -> Example:
    """Four top-ups of an invented machine, and what they equal."""
    added = [units.from_unit(ounces, "mass", "oz") for ounces in (10.0, 14.0, 9.0, 16.0)]
    body = []
    for name in NAMES:
        cost = warming.history_cost(name, added)
        body.append(
            (
                name,
                _("{mass:.2f} lb ({mass_2:.2f} kg)").format(
                    mass=units.convert(cost.mass, "mass", "lb"), mass_2=cost.mass
                ),
                f"{cost.potential:,.0f}",
                _("{carbon_dioxide:,.0f} lb ({carbon_dioxide_2:,.0f} kg)").format(
                    carbon_dioxide=units.convert(cost.carbon_dioxide, "mass", "lb"),
                    carbon_dioxide_2=cost.carbon_dioxide,
                ),
            )
        )
    head = ("refrigerant", _("added in four visits"), "AR5 potential", "equals in CO2")
    return example_table(head, body, _("10, 14, 9 and 16 oz: what was added had leaked"))
