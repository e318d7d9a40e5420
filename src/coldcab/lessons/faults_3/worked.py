"""Worked examples of lesson faults-3: base rates and evidence."""

from __future__ import annotations

from coldcab.faults.bayes import updated
from coldcab.lessons.example import Example, example_table
from coldcab.lessons.faults_3.evidence import SIGN_WORDS, TABLES
from coldcab.words import _

RATES = (10, 18, 12)


def one_job(rates: tuple[int, int, int] = RATES) -> Example:
    """A job from the shop: three suspects, two readings of different kinds; ``rates`` are counts in the shop's book."""
    one = TABLES[0]
    shares = [one.shares(sign) for sign in (1, 2)]
    products = [rate * first * second for rate, first, second in zip(rates, *shares, strict=True)]
    after = updated(rates, *shares)
    body = [
        (
            suspect,
            str(rate),
            f"{100 * first:.0f} %",
            f"{100 * second:.0f} %",
            f"{product:.2f}",
            f"{product:.2f} / {sum(products):.2f} = {100 * chance:.0f} %",
        )
        for suspect, rate, first, second, product, chance in zip(
            one.suspects, rates, *shares, products, after, strict=True
        )
    ]
    head = (
        _("suspect"),
        _("of the last {number}").format(number=sum(rates)),
        _("shows the first"),
        _("shows the second"),
        _("product"),
        _("now"),
    )
    caption = _("First: {first}. Second: {second}").format(
        first=SIGN_WORDS[one.signs[1]], second=SIGN_WORDS[one.signs[2]]
    )
    return example_table(head, body, caption)


def by_hand(rates: tuple[int, int, int] = (8, 20, 12)) -> Example:
    """Bayes' rule in a table for three suspects of the shop, step by step; ``rates`` are counts in the shop's book."""
    one = TABLES[2]
    product = [rate * share for rate, share in zip(rates, one.shares(0), strict=True)]
    after = updated(rates, one.shares(0))
    body = [
        (
            suspect,
            str(rate),
            f"{100 * share:.0f} %",
            f"{each:.1f}",
            f"{each:.1f} / {sum(product):.1f} = {100 * chance:.1f} %",
        )
        for suspect, rate, share, each, chance in zip(one.suspects, rates, one.shares(0), product, after, strict=True)
    ]
    head = (
        _("suspect"),
        _("of the last {number}").format(number=sum(rates)),
        _("shows the reading"),
        _("product"),
        _("now"),
    )
    return example_table(head, body, _("The reading: {reading}").format(reading=SIGN_WORDS[one.signs[0]]))
