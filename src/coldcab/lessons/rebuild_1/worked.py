"""Worked examples of lesson rebuild-1: signs of a dead compressor, and belt, bearing, ring and oil step by step."""

from __future__ import annotations

from coldcab.lessons.example import Example, Sum, example_table
from coldcab.quantities import INCH, POUND_FORCE
from coldcab.service import compressor_swap
from coldcab.words import _

# Thread, for hose number, torque on aluminum in lbf ft: from memory, the order only.
TORQUES = (
    ("5/8-18", "6", (10, 15)),
    ("3/4-18", "8", (15, 20)),
    ("7/8-18", "10", (20, 25)),
    ("1 1/16-16", "12", (25, 30)),
)


def deaths_of_compressors() -> Example:
    """Causes, their signs and what follows."""
    body = [(one.name, one.oil, one.debris, one.clutch, one.hub, one.work) for one in compressor_swap.DEATHS]
    head = (_("cause"), _("oil poured out"), _("debris"), _("clutch face"), _("hub by hand"), _("work beside it"))
    return example_table(head, body, _("What is found, and what follows; common practice, no source"))


def belt_step_by_step() -> Example:
    """A push at the middle of a belt, its tension, and what the pulley bearing makes of it."""
    push, span, bend, wanted = 10, 12, 0.15, 80
    tension = float(compressor_swap.belt_tension(push * POUND_FORCE, span * INCH, bend * INCH)) / POUND_FORCE
    times = tension / wanted
    life = float(compressor_swap.bearing_life(times))
    offset = float(compressor_swap.line_offset_allowed(span * INCH)) / INCH
    body = [
        (
            _("tension"),
            Sum(f"{push} lbf × {span} in ÷ (4 × {bend} in)", "44.5 N × 305 mm ÷ (4 × 3.81 mm)"),
            f"{tension:.0f} lbf",
        ),
        (_("times the wanted tension"), f"{tension:.0f} lbf ÷ {wanted} lbf", f"{times:.2f}"),
        (_("share of the bearing's life"), f"1 ÷ {times:.2f}³", f"{life:.0%}"),
        (_("offset allowed"), Sum(f"{span} in ÷ 12 × 1/16 in", "305 mm × 5.21 ÷ 1,000"), f"{offset:.4f} in"),
    ]
    caption = _("A belt of {span} in free span gives {bend} in under {push} lbf; {wanted} lbf are wanted")
    return example_table(
        (_("what"), _("how"), _("result")), body, caption.format(span=span, bend=bend, push=push, wanted=wanted)
    )


def ring_step_by_step() -> Example:
    """How far a joint presses its ring."""
    cord, room = 0.103, 0.080
    squeeze = float(compressor_swap.ring_squeeze(cord * INCH, room * INCH))
    low, high = compressor_swap.SQUEEZE
    body = [
        (_("pressed away"), f"{cord:.3f} in − {room:.3f} in", f"{cord - room:.3f} in"),
        (_("squeeze"), f"{cord - room:.3f} in ÷ {cord:.3f} in", f"{squeeze:.0%}"),
        (_("usual for a joint that does not move"), _("common practice, no source"), f"{low:.0%} to {high:.0%}"),
    ]
    return example_table((_("what"), _("how"), _("result")), body, _("An O-ring in its closed joint"))


def oil_for_the_new_compressor() -> Example:
    """What left one circuit, and so what the drained new compressor gets."""
    parts = ((_("out of the old compressor"), 2.1), (_("out with the gas"), 0.5), (_("out of the old drier"), 0.9))
    total = compressor_swap.oil_to_pour(*(amount for _name, amount in parts))
    body = [(name, f"{amount:.1f} fl oz") for name, amount in parts]
    body += [
        (_("out of the new compressor, as it came"), _("6.8 fl oz, poured out, kept clean")),
        (_("into the new compressor"), f"2.1 + 0.5 + 0.9 = {total:.1f} fl oz"),
    ]
    return example_table(
        (_("oil"), _("amount")), body, _("A compressor and a drier are replaced, nothing leaked, nothing is flushed")
    )


def torques_by_thread() -> Example:
    """Torque of fittings by their thread, as remembered."""
    body = [
        (thread, number, f"{low} to {high} lbf ft ({1.356 * low:.0f} to {1.356 * high:.0f} N m)")
        for thread, number, (low, high) in TORQUES
    ]
    return example_table(
        (_("thread"), _("hose number"), _("torque")),
        body,
        _("O-ring fittings on aluminum: from memory, the order only; the manual's table comes first"),
    )
