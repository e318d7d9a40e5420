"""Worked examples and tables of lesson retrofit-1: cylinders, air in a container, depth, recovery over time."""

from __future__ import annotations

from coldcab import air, published, refrigerants, units
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import PSI, STANDARD_ATMOSPHERE
from coldcab.service import depth, identification, law, recovery
from coldcab.words import _

NAMES = ("R-12", "R-134a")
GRAVITY_ROWS = (40, 50, 60, 70, 77, *range(80, 150, 5))
"""F; fine enough that a straight line between two rows is good to the third decimal."""


def _kelvin(fahrenheit: float) -> float:
    return float(units.from_unit(float(fahrenheit), "temperature", "F"))


def _pounds(value: float) -> float:
    return float(units.convert(value, "mass", "lb"))


def _gauge(psig: float) -> str:
    """A gauge pressure with the metric one beside."""
    return _("{psig:.0f} psig ({psig_2:.0f} kPa)").format(
        psig=psig, psig_2=units.convert(psig * PSI, "pressure difference", "kPa")
    )


def _celsius(fahrenheit: float) -> str:
    return f"{(fahrenheit - 32) / 1.8:.0f} C"


def specific_gravity() -> Example:
    """Weight of the liquid over that of the same space of water at 60 F, by temperature."""
    body = []
    for fahrenheit in GRAVITY_ROWS:
        gravities = (
            refrigerants.saturation(name, temperature=_kelvin(fahrenheit)).liquid_density / recovery.WATER_60F
            for name in NAMES
        )
        body.append((f"{fahrenheit} F", _celsius(fahrenheit), *(f"{one:.3f}" for one in gravities)))
    caption = _("Specific gravity of the liquid: what one pound of water capacity holds, in pounds")
    return example_table(("temperature", "metric", *NAMES), body, caption)


def cylinder_fillings() -> Example:
    """Published fillings of a cylinder beside the course's own."""
    body = []
    for row in published.rows("cylinder_filling"):
        printed, name = float(row["published"]), row["fluid"]
        capacity = units.from_unit(float(row["water_capacity_lb"] or 100.0), "mass", "lb")
        tare = units.from_unit(float(row["tare_lb"] or 0.0), "mass", "lb")
        fill = recovery.allowed_fill(name, water_capacity=capacity, tare=tare)
        net = next(limit.mass for limit in fill.limits if "77 F" in limit.rule)
        full = next(limit.mass for limit in fill.limits if "131 F" in limit.rule)
        own = {"CY1": _pounds(net), "CY2": _pounds(net + tare)}.get(row["id"], 100.0 * full / capacity)
        body.append(
            (
                f"{name}: {row['topic']}",
                f"{printed:g} {row['unit']}",
                f"{own:.1f} {row['unit']}",
                f"{own / printed - 1:+.2%}",
            )
        )
    head = ("filling", "printed", "this course", "apart")
    return example_table(
        head, body, _("WC 1,000 lb, TW 380 lb for the first two; the last two beside what is liquid-full at 131 F")
    )


def cylinder_step_by_step() -> Example:
    """One invented cylinder from its stamps to the hot truck; each step goes on with the rounded number, as by hand."""

    def gravity(fahrenheit: float) -> float:
        line = refrigerants.saturation("R-12", temperature=_kelvin(fahrenheit))
        return round(line.liquid_density / recovery.WATER_60F, 3)

    by_space, by_weight = round(0.80 * 38.0 * gravity(70), 1), round(0.60 * 62.0, 1)
    net = min(by_space, by_weight)
    overfilled = 68.0 - 21.5
    share = round(overfilled / 38.0, 3)
    cooler, warmer = 115, 120
    full = cooler + (warmer - cooler) * (gravity(cooler) - share) / (gravity(cooler) - gravity(warmer))
    body = [
        (_("by 80 % of the space at 70 F"), f"0.80 × 38.0 × {gravity(70):.3f}", f"{by_space:.1f} lb"),
        (_("by 60 % of the rating"), "0.60 × 62.0", f"{by_weight:.1f} lb"),
        ("allowed by both", "the smaller", f"{net:.1f} lb"),
        (_("stop mark on the scale"), f"{net:.1f} + 21.5 of tare", f"{net + 21.5:.1f} lb"),
        (_("came out of the machine"), "26.9 after - 24.6 before", _("2.3 lb, which is 2 lb 4.8 oz")),
        (
            _("level at 120 F, at the stop mark"),
            f"{net:.1f} ÷ (38.0 × {gravity(120):.3f})",
            f"{net / 38 / gravity(120):.0%}",
        ),
        ("overfilled to 68.0 lb", "68.0 - 21.5 of tare", f"{overfilled:.1f} lb"),
        (_("full at a specific gravity of"), f"{overfilled:.1f} ÷ 38.0", f"{share:.3f}"),
        (
            "liquid-full temperature",
            _("table: {cooler:.3f} at {cooler_2} F, {warmer:.3f} at {warmer_2} F").format(
                cooler=gravity(cooler), cooler_2=cooler, warmer=gravity(warmer), warmer_2=warmer
            ),
            f"about {full:.0f} F",
        ),
    ]
    caption = _("R-12, invented: WC 38.0 lb, TW 21.5 lb, rated for 62.0 lb; scale 24.6 lb before and 26.9 lb after")
    return example_table(("what", "how", "result"), body, caption)


def air_limits() -> Example:
    """Gauge limits for air in a container of recycled refrigerant, R-12 from the law."""
    columns = {
        name: {int(row["temp_F"]): row[column] for row in published.rows(file)}
        for name, (file, column, __) in recovery.TABLES.items()
    }
    body = []
    for fahrenheit in sorted(set().union(*columns.values())):
        shown = (_gauge(float(columns[name][fahrenheit])) if fahrenheit in columns[name] else "" for name in NAMES)
        pure = refrigerants.saturation_pressure("R-12", _kelvin(fahrenheit))
        body.append(
            (f"{fahrenheit} F", _celsius(fahrenheit), *shown, _gauge(round(units.convert(pure, "pressure", "psig"))))
        )
    head = ("air beside it", "metric", "limit, R-12 (law)", "limit, R-134a (recalled)", "pure R-12")
    return example_table(head, body, _("The gauge must show less than the limit. Between two rows, go in proportion"))


def recovery_depths() -> Example:
    """How deep to recover at some altitudes: the vacuum is the same, what is left is not."""
    body = []
    for feet in (0, 2000, 4000, 6000):
        around = float(air.atmospheric_pressure(units.from_unit(float(feet), "length", "ft")))
        found = depth.required_depth(depth.OFF_ROAD, atmosphere=around)
        inches = units.convert(found.vacuum, "pressure difference", "inHg")
        body.append(
            (
                f"{feet:,} ft",
                f"{inches:.1f} inHg",
                f"{units.convert(found.pressure, 'pressure', 'psia'):.1f} psia",
                f"{found.pressure / 1e3:.0f} kPa",
            )
        )
    head = ("altitude", "vacuum, at least", "absolute pressure left", "metric")
    return example_table(head, body, _("Recovery from a motor vehicle or an off-road cab"))


def gas_left_behind() -> Example:
    """What stays in a circuit of 4 L (0.14 cu ft) at 77 F when its gauge shows no pressure, and after recovery."""
    volume, warmth = 4e-3, _kelvin(77)
    deep = depth.required_depth(depth.OFF_ROAD).pressure
    body = []
    for words, pressure in (("gauge shows 0 psig", STANDARD_ATMOSPHERE), (_("after recovery to 4 inHg"), deep)):
        shown = []
        for name in NAMES:
            left = recovery.gas_left(name, volume=volume, temperature=warmth, pressure=pressure)
            shown.append(f"{units.convert(left, 'mass', 'oz'):.2f} oz ({left * 1e3:.0f} g)")
        body.append((words, *shown))
    return example_table(
        ("state", *NAMES), body, _("Gas alone, without what is dissolved in the oil; 4 L of circuit at 77 F")
    )


def facts(*names: str) -> Example:
    """Rows of the law with their value, source, edition and mark."""
    body = []
    for name in names:
        one = law.fact(name)
        body.append((name, one.text, f"{one.value} {one.unit}".strip(), one.citation))
    return example_table(("row", "what it says", "value", "where, edition, mark"), body, law.CURRENT_LAW)


def findings() -> Example:
    """What an identifier may find and what each finding permits."""
    samples = (
        {"R-12": 1.0},
        {"R-134a": 0.94, "air": 0.06},
        {"R-12": 0.8, "R-134a": 0.2},
        {"R-134a": 0.7, "hydrocarbon": 0.3},
        {"R-12": 0.7},
    )
    body = []
    for shares in samples:
        found = identification.identify(shares)
        body.append(
            (
                found.name,
                "yes" if found.may_recycle_here else "no",
                "yes, once recycled" if found.may_return else "no",
                found.next_step,
            )
        )
    return example_table(
        ("found", "recycle here", "back into a machine", "next step"), body, _("What each finding permits")
    )


def recovery_over_time() -> Example:
    """Pressure in a machine while it is recovered: three pulls, and what comes back in between."""
    from io import BytesIO

    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    from coldcab.machine.transients import recovery as follow

    run = follow("R-134a", mass=1.2, volume=4.2e-3, displacement=2.5e-4, pulls=3, oil=0.25)
    minutes = run.time / 60.0
    gauge = units.convert(run.pressure - STANDARD_ATMOSPHERE, "pressure difference", "psi")
    needed = units.convert(-depth.required_depth(depth.OFF_ROAD).vacuum, "pressure difference", "psi")
    figure = Figure(figsize=(7.2, 3.9), dpi=110, layout="constrained")
    axes = figure.add_subplot(xlabel="minutes", ylabel=_("gauge, psig (below zero: vacuum)"))
    axes.plot(minutes, gauge, "-", color="#1b5e8a", lw=2, label=_("pressure in the machine"))
    axes.plot(minutes[~run.pumping], gauge[~run.pumping], ".", color="#8c150d", ms=5, label="pump shut off")
    axes.axhline(needed, color="#1d2a33", ls="--", lw=1.2, label="required: 4 inHg vacuum")
    axes.legend(frameon=False)
    axes.grid(color="#cfd8dc", lw=0.6)
    axes.spines[["top", "right"]].set_visible(False)
    picture = BytesIO()
    FigureCanvasAgg(figure).print_png(picture, metadata={"Software": None})
    back = [units.convert(one - STANDARD_ATMOSPHERE, "pressure difference", "psi") for one in run.rebounds]
    return Example(
        _(
            "Chart of the pressure in an invented machine with 1.2 kg of R-134a while it is recovered. The first pull "
            "takes {minutes:.0f} minutes. Each time the pump rests for 5 minutes, the pressure comes back: to "
            "{first:+.1f} psi, then {second:+.1f} psi, then {third:+.1f} psi against the air. Gas leaves the oil and "
            "cold liquid warms up."
        ).format(minutes=run.stops[0] / 60, first=back[0], second=back[1], third=back[2]),
        png=picture.getvalue(),
    )
