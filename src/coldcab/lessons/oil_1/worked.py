"""Worked examples and tables of lesson oil-1."""

from __future__ import annotations

from coldcab import oil, published, units
from coldcab.lessons.example import Example, example_table
from coldcab.quantities import FREEZING
from coldcab.words import _

CST = 1e-6
SEAL_WORDS = (_("nitrile"), _("hydrogenated nitrile"), _("chloroprene"), _("ethylene-propylene"), _("fluorocarbon"))
"""In the order of `oil.SEALS`: the abbreviations of ISO 1629 in words."""
VERDICT_HEAD = (_("pair"), _("verdict"), _("why"), _("from"))


def _points_in_si(text: str) -> list[tuple[float, float]]:
    """ "40:32 100:5.4" as points in SI."""
    pairs = (pair.split(":") for pair in text.split())
    return [(float(celsius) + FREEZING, float(viscosity) * CST) for celsius, viscosity in pairs]


def _published(key: str) -> dict[str, str]:
    return next(row for row in published.rows("viscosity_examples") if row["id"] == key)


def _both_degrees(celsius: float) -> str:
    return f"{celsius * 1.8 + 32.0:.0f} F ({celsius:g} C)"


def published_viscosities() -> Example:
    """Printed answers of four worked examples beside the course's own: temperature, index, blend."""
    body = []
    for key in ("W1", "W2"):
        row = _published(key)
        pairs, wanted = row["inputs"].split(" at ")
        point = _("{viscosity} cSt at {temperature}")
        given = ", ".join(
            point.format(viscosity=viscosity, temperature=_both_degrees(float(celsius)))
            for celsius, viscosity in (pair.split(":") for pair in pairs.split())
        )
        found = oil.kinematic_viscosity(float(wanted) + FREEZING, _points_in_si(pairs)) / CST
        question = _("{given}; at {temperature}?").format(given=given, temperature=_both_degrees(float(wanted)))
        body.append((question, f"{float(row['published']):.1f} cSt", f"{found:.1f} cSt"))
    row = _published("V2")
    warm, hot = (float(word) for word in row["inputs"].split())
    found = oil.viscosity_index(warm * CST, hot * CST)
    body.append(
        (
            _("{warm:g} cSt at {at_40}, {hot:g} cSt at {at_100}; viscosity index?").format(
                warm=warm, at_40=_both_degrees(40), hot=hot, at_100=_both_degrees(100)
            ),
            f"{float(row['published']):.0f}",
            f"{found:.0f}",
        )
    )
    row = _published("B1")
    parts = [pair.split(":") for pair in row["inputs"].split()]
    part = _("{share:.0f} % of {viscosity} cSt")
    given = ", ".join(part.format(share=100 * float(share), viscosity=viscosity) for share, viscosity in parts)
    fractions, viscosities = [float(share) for share, __ in parts], [float(v) * CST for __, v in parts]
    found = oil.blend_viscosity(viscosities, fractions, method="Refutas") / CST
    question = _("blend of {given}, by the equation of that page").format(given=given)
    body.append((question, f"{float(row['published']):.2f} cSt", f"{found:.2f} cSt"))
    found = oil.blend_viscosity(viscosities, fractions) / CST
    body.append((_("the same by the equation this course follows"), _("none printed"), f"{found:.2f} cSt"))
    return example_table((_("question"), _("printed"), _("this course")), body, _("Worked examples printed elsewhere"))


def oil_and_refrigerant_table() -> Example:
    """Which oil goes with R-12 and with R-134a, with reasons and where they are from."""
    body = []
    for refrigerant in ("R-12", "R-134a"):
        for name in oil.OILS:
            finding = oil.oil_and_refrigerant(name, refrigerant)
            body.append(
                (
                    _("{name} with {refrigerant}").format(name=name, refrigerant=refrigerant),
                    finding.verdict,
                    finding.reason,
                    _whence(finding.source),
                )
            )
    return example_table(VERDICT_HEAD, body, _("Oil and refrigerant; the equipment's manual decides"))


def drier_table() -> Example:
    """Which drying agent goes with R-12 and with R-134a."""
    body = []
    for refrigerant in ("R-12", "R-134a"):
        for name in oil.DESICCANTS:
            finding = oil.desiccant_and_refrigerant(name, refrigerant)
            body.append(
                (
                    _("{name} with {refrigerant}").format(name=name, refrigerant=refrigerant),
                    finding.verdict,
                    finding.reason,
                    _whence(finding.source),
                )
            )
    return example_table(VERDICT_HEAD, body, _("Drying agent and refrigerant; the part's marking decides"))


def seal_table() -> Example:
    """Which seal material stands R-134a and the oils."""
    body = []
    for name, words in zip(oil.SEALS, SEAL_WORDS, strict=True):
        with_gas = oil.seal_and_refrigerant(name, "R-134a").verdict
        with_oils = [oil.oil_and_seal(kind, name).verdict for kind in ("PAG", "POE", "mineral oil")]
        body.append((f"{name}, {words}", with_gas, *with_oils))
    head = (_("seal"), _("in R-134a"), _("in PAG"), _("in POE"), _("in mineral oil"))
    return example_table(head, body, _("Seal materials, mostly from memory"))


def _whence(source: str) -> str:
    return _("law, read") if "40 CFR" in source else source


def oil_by_weight_table() -> Example:
    """One to ten fluid ounces of oil on a scale, at 68 F (20 C)."""
    body = []
    for ounces in (1, 2, 4, 6, 8, 10):
        volume = units.from_unit(ounces, "volume", "fl oz")
        weights = [units.convert(oil.mass(volume, name), "mass", "oz") for name in ("mineral oil", "PAG", "POE")]
        body.append(
            (
                _("{ounces} fl oz ({volume:.0f} mL)").format(ounces=ounces, volume=volume * 1000000.0),
                *(f"{weight:.2f} oz" for weight in weights),
            )
        )
    head = (_("in the cup"), _("mineral oil"), "PAG", "POE")
    return example_table(head, body, _("Fluid ounces of oil on a scale, in ounces by weight, at 68 F (20 C)"))


def rinse_table() -> Example:
    """What one, two and three rinses leave of what clings, by the size of the rinse."""
    body = []
    cling = 1e-4
    for size in (1, 2, 3, 5):
        left = [oil.residual_after_rinses(cling, size * cling, count) for count in (1, 2, 3)]
        body.append((_("{size} times what clings").format(size=size), *(f"{100 * share:.1f} %" for share in left)))
    head = (_("each rinse"), _("after one"), _("after two"), _("after three"))
    return example_table(
        head, body, _("Share of the old oil in what still clings, if each rinse mixes fully (a best case)")
    )
