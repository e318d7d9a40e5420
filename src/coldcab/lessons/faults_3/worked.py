"""Worked examples of lesson faults-3: base rates and evidence."""

from __future__ import annotations

from coldcab import published
from coldcab.faults.bayes import updated
from coldcab.lessons.example import Example, example_table
from coldcab.lessons.faults_3.evidence import SIGN_WORDS, TABLES
from coldcab.words import _


def published_evidence() -> Example:
    """Two published problems on base rates: the printed answer, what most people guess, and the course's own."""
    body = []
    for row in published.rows("bayes_examples"):
        rate = float(row["base_rate"])
        shares = [float(row[name]) / 100 for name in ("shown_by_it", "shown_by_others")]
        ours = 100 * updated((rate, 100 - rate), shares)[0]
        body.append(
            (
                row["suspect"],
                f"{rate:g} %",
                row["evidence"],
                f"{row['shown_by_it']} % / {row['shown_by_others']} %",
                f"{row['usual_guess']} %",
                f"{row['answer']} %",
                f"{ours:.1f} %",
            )
        )
    head = (
        *(_("asked"), _("base rate"), _("evidence"), _("if so / if not")),
        *(_("most people say"), _("printed answer"), _("this course")),
    )
    return example_table(head, body, _("How probable is it, once the evidence is in?"))


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
