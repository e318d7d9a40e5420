"""Worked examples of lesson oil-2: what parts hold, combined doubts, a swap step by step."""

from __future__ import annotations

import math

from coldcab import oil, published, units
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


def combined_doubt() -> Example:
    """A printed example of combining doubts: the root of the sum of squares."""
    rows = published.rows("uncertainty_example")
    parts = [float(row["uncertainty_nm"]) for row in rows if row["component"] != "combined"]
    printed = float(rows[-1]["uncertainty_nm"])
    body = [(row["component"], f"{float(row['uncertainty_nm']):.3g} nm", "") for row in rows[:-1]]
    found = math.sqrt(math.fsum(part**2 for part in parts))
    body.append(
        (
            _("combined"),
            _("{printed:.0f} nm printed").format(printed=printed),
            _("{found:.1f} nm, this course").format(found=found),
        )
    )
    body.append((_("simply added"), "", _("{found:.1f} nm, far too much").format(found=sum(parts))))
    return example_table(
        (_("doubt from"), _("printed"), ""), body, _("The length of a gauge block: JCGM 100:2008, example H.1")
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
