"""Worked examples of lesson retrofit-2: flushes, boiling water, nitrogen over night."""

from __future__ import annotations

from coldcab import published, units
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING
from coldcab.service import evacuation, leak_test, pumping
from coldcab.words import _


def boiling_water() -> Example:
    """Published saturation pressures of water beside the course's own."""
    body = []
    for row in published.rows("water_sat"):
        celsius, printed = float(row["T_C"]), float(row["p_Pa"])
        if not 0.0 < celsius <= 50.0:
            continue
        kelvin = celsius + FREEZING
        ours = float(evacuation.boiling_pressure(kelvin))
        body.append(
            (
                f"{units.convert(kelvin, 'temperature', 'F'):.0f} F ({celsius:g} C)",
                f"{printed / 1e3:.3f} kPa",
                f"{ours / 1e3:.3f} kPa",
                f"{units.convert(ours, 'pressure', 'micron'):,.0f} micron",
                row["source"],
            )
        )
    head = ("water at", "printed", "this course", "on a micron gauge", "source")
    return example_table(head, body, _("Absolute pressure at which water boils"))


def printed_pumping_times() -> Example:
    """How long service papers pump a cab's circuit, as printed."""
    body = [
        (row["condition"], f"{row['minutes']} min", f"{row['more']} min" if row["more"] else "", row["source"])
        for row in published.rows("evacuation")
    ]
    head = ("circuit", _("pump at least"), _("more after a part"), "source")
    return example_table(head, body, _("Time on the pump, as printed in official papers"))


def water_that_stays() -> Example:
    """Three kinds of water in a circuit that stood open, and what a vacuum of 500 micron does to each."""
    film, pool = (float(pumping.oil_drying_time(depth)) for depth in (pumping.FILM, pumping.POOL))
    kept = float(pumping.desiccant_share(evacuation.DEEP_TARGET))
    body = [
        (_("free water"), _("on the walls"), _("boils off in minutes, see the pump-down above")),
        (_("in the oil, a film of 1 mm"), _("all through the oil"), _("about {hours:.0f} h").format(hours=film / 3600)),
        (
            _("in the oil, a pool of 3/4 in (20 mm)"),
            _("all through the oil"),
            _("about {weeks:.0f} weeks: drain it").format(weeks=pool / 604800),
        ),
        (
            _("in the drier"),
            _("bound in its grains"),
            _("about {kept:.0%} stays: replace it").format(kept=kept),
        ),
    ]
    head = ("water", "where", _("under 500 micron at 77 F (25 C)"))
    return example_table(head, body, _("What a vacuum does to each kind of water; order of size, from memory"))


def flushes_step_by_step() -> Example:
    """Flushes of one invented circuit until no more than 2 % of the old oil is left, as by hand."""
    inside, stays, fresh, may_stay = 4, 3, 9, 0.02
    first, later = stays / (inside + fresh), stays / (stays + fresh)
    body = [("after flush 1", f"{stays} ÷ ({inside} + {fresh})", f"{first:.1%}")]
    share, count = first, 1
    while share > may_stay:
        body.append(
            (f"after flush {count + 1}", f"{share:.1%} × {stays} ÷ ({stays} + {fresh})", f"{share * later:.1%}")
        )
        share, count = share * later, count + 1
    body.append(
        ("flushes needed", _("the first that leaves {may_stay:.0%} or less").format(may_stay=may_stay), f"{count}")
    )
    caption = _(
        "{inside} fl oz of old oil, {stays} fl oz stays after draining, {fresh} fl oz of solvent each time; "
        "{may_stay:.0%} of the old oil may stay"
    ).format(inside=inside, stays=stays, fresh=fresh, may_stay=may_stay)
    return example_table(("what", "how", "old oil left"), body, caption)


def nitrogen_over_night() -> Example:
    """One nitrogen test step by step: 150 psig at 70 F in the evening, 55 F in the morning, at sea level."""
    start = units.from_unit(150.0, "pressure", "psig")
    evening, morning = (units.from_unit(fahrenheit, "temperature", "F") for fahrenheit in (70.0, 55.0))
    later = float(leak_test.corrected_pressure(start, evening, morning))

    def psia(pressure: float) -> str:
        return f"{units.convert(pressure, 'pressure', 'psia'):.1f} psia"

    def psig(pressure: float) -> str:
        return f"{units.convert(pressure, 'pressure', 'psig'):.1f} psig"

    body = [
        ("evening, absolute", "150 psig + 14.7 psia", psia(start)),
        (_("evening, from absolute zero"), "70 F + 459.7", f"{70 + 459.67:.1f}"),
        (_("morning, from absolute zero"), "55 F + 459.7", f"{55 + 459.67:.1f}"),
        ("morning, absolute", f"{psia(start)} × 514.7 ÷ 529.7", psia(later)),
        (_("morning, on the gauge"), f"{psia(later)} - 14.7 psia", psig(later)),
    ]
    return example_table(("what", "how", "result"), body, _("Nitrogen, constant volume, sea level"))
