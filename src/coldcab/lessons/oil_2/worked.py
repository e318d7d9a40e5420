"""Worked examples of lesson oil-2: what parts hold, a leak, a swap and a clerk step by step."""

from __future__ import annotations

import math

from coldcab import oil, units
from coldcab.lessons.example import Example, example_table
from coldcab.words import _


def retained_oil_table() -> Example:
    """Oil that parts usually hold: common practice, no source."""
    body = []
    for part, amount in oil.RETAINED.items():
        ounces = [units.convert(value, "volume", "fl oz") for value in (amount.usual, amount.low, amount.high)]
        body.append(
            (
                part,
                _("{ounces:.1f} fl oz ({usual:.3g} mL)").format(ounces=ounces[0], usual=amount.usual * 1000000.0),
                _("{low:.1f} to {high:.1f} fl oz ({low_metric:.0f} to {high_metric:.0f} mL)").format(
                    low=ounces[1], high=ounces[2], low_metric=amount.low * 1e6, high_metric=amount.high * 1e6
                ),
            )
        )
    caption = _("Oil that stays in a part of a running circuit: common practice, no source; the manual comes first")
    return example_table((_("part"), _("usually"), _("limits")), body, caption)


def leak_step_by_step() -> Example:
    """A seal leak with a new drier and hose: what goes back, how far that can be off, and why; invented."""
    lines = (
        (_("lost at the leak, judged from the stain"), 1.4, 0.7),
        (_("came out with the gas"), 0.6, 0.2),
        (_("poured out of the old drier"), 0.9, 0.1),
        (_("poured out of the old hose"), 0.3, 0.1),
        (_("spilled and wiped from the floor, judged"), 0.2, 0.2),
    )
    body = [(what, f"{amount:.1f} fl oz", f"± {off:.1f} fl oz", f"{off * off:.2f}") for what, amount, off in lines]
    total = math.fsum(amount for _what, amount, _off in lines)
    squares = math.fsum(off * off for _what, _amount, off in lines)
    body.append((_("goes back"), f"{total:.1f} fl oz", f"± {math.sqrt(squares):.2f} fl oz", f"{squares:.2f}"))
    head = (_("line"), _("amount"), _("can be off by"), _("square of it"))
    return example_table(head, body, _("A seal leak, drier and hose replaced (invented numbers)"))


def clerk_step_by_step() -> Example:
    """A clerk's books beside the shop's notes, line by line; invented."""
    lines = (
        (_("gas 0.5"), _("came out with the gas −0.5"), _("right")),
        (_("old compressor 2.8"), _("drained from the old compressor +2.8"), _("wrong: it left, so it has a minus")),
        (_("old drier 0.9"), _("none"), _("missing")),
        (_("new compressor 4.2"), _("came with the new compressor +4.7"), _("wrong: the amount")),
        (_("cup 0.6"), _("put in with the cup +0.6"), _("right")),
    )
    return example_table(
        (_("shop's note, fl oz"), _("clerk's line, fl oz"), _("verdict")),
        lines,
        _("A clerk's books (invented numbers)"),
    )


def one_swap_step_by_step() -> Example:
    """A compressor swap with every step of its books; invented, the numbers are those of no learner."""
    ounce = units.from_unit(1.0, "volume", "fl oz")
    books = oil.Ledger("PAG", required=8.0 * ounce).enter(
        "in", _("data sheet of the machine"), 8.0 * ounce, 0.5 * ounce
    )
    books = books.enter("out", _("came out with the gas"), 0.4 * ounce, 0.1 * ounce)
    books = books.replaced("receiver-drier", 0.9 * ounce, 0.0, removed_uncertainty=0.1 * ounce)
    books = books.replaced(
        "compressor", 2.6 * ounce, 5.0 * ounce, removed_uncertainty=0.1 * ounce, brought_uncertainty=0.1 * ounce
    )
    body, inside = [], 0.0
    for entry in books.entries:
        amount = -entry.volume if entry.kind == "out" else entry.volume
        inside += amount
        sign = "−" if amount < 0.0 else "+"
        body.append(
            (
                entry.what,
                _("{sign} {ounce:.1f} ± {uncertainty:.1f} fl oz").format(
                    sign=sign, ounce=abs(amount) / ounce, uncertainty=entry.uncertainty / ounce
                ),
                f"{inside / ounce:.1f} fl oz",
            )
        )
    after = books.total_after
    body.append(
        (
            _("inside now"),
            "",
            _("{volume:.1f} ± {uncertainty:.2f} fl oz").format(
                volume=after.volume / ounce, uncertainty=after.uncertainty / ounce
            ),
        )
    )
    body.append(
        (_("too much: drain it from the new compressor first"), "", f"{-books.to_add.volume / ounce:.1f} fl oz")
    )
    return example_table(
        (_("line"), _("amount"), _("inside after it")), body, _("A compressor swap, step by step (invented numbers)")
    )
