"""Worked examples and tables of lesson oil-1."""

from __future__ import annotations

from coldcab import oil, units
from coldcab.lessons.example import Example, example_table
from coldcab.scenario.oil_shelf import MACHINES, SHELF, Waiting
from coldcab.words import _

SEAL_WORDS = (_("nitrile"), _("hydrogenated nitrile"), _("chloroprene"), _("ethylene-propylene"), _("fluorocarbon"))
"""In the order of `oil.SEALS`: the abbreviations of ISO 1629 in words."""
VERDICT_HEAD = (_("pair"), _("verdict"), _("why"), _("from"))
SHOWN_OILS = ("mineral oil", "PAG", "POE")
HOURS = (0.25, 1.0, 4.0, 24.0, 72.0)


def ten_tins_for_the_tractor() -> Example:
    """Each tin of the shelf against the plate of the baler tractor."""
    return example_table(*_table(MACHINES[1]))


def ten_tins_for_the_electric_loader() -> Example:
    """Each tin of the shelf against the plate of the electric yard loader."""
    return example_table(*_table(MACHINES[5]))


def _table(waiting: Waiting) -> tuple[tuple[str, ...], list[tuple[str, ...]], str]:
    """Head, rows and caption: every tin against one plate."""
    body: list[tuple[str, ...]] = []
    for letter, tin in SHELF.items():
        against = oil.objections(waiting.plate, tin)
        body.append((letter, tin.words, ", ".join(against) if against else _("nothing: this one")))
    head = (_("tin"), _("what stands on it"), _("what stands against it"))
    return head, body, waiting.words


def water_by_the_hour() -> Example:
    """Water that an open tin draws, at 50 % humidity and 4 in deep."""
    depth = units.from_unit(4.0, "length", "in")
    body = []
    for hours in HOURS:
        cells = [
            f"{oil.moisture_content(name, 3600.0 * hours, relative_humidity=0.5, depth=depth) * 1e6:,.0f} ppm"
            for name in SHOWN_OILS
        ]
        body.append((_("15 min") if hours < 1.0 else f"{hours:g} h", *cells))
    caption = _("Water in an open tin, half humidity, 4 in (102 mm) deep; from memory, good to a factor of two")
    return example_table((_("open for"), *SHOWN_OILS), body, caption)


def oil_and_refrigerant_table() -> Example:
    """Which oil goes with R-12, R-134a and R-1234yf, with reasons and where they are from."""
    body = []
    for refrigerant in ("R-12", "R-134a", "R-1234yf"):
        for name in SHOWN_OILS:
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


def flush_table() -> Example:
    """What one, two and three flushes leave of what clings, by the size of the flush."""
    body = []
    cling = 1e-4
    for size in (1, 2, 3, 5):
        left = [oil.residual_after_rinses(cling, size * cling, count) for count in (1, 2, 3)]
        body.append((_("{size} times what clings").format(size=size), *(f"{100 * share:.1f} %" for share in left)))
    head = (_("each flush"), _("after one"), _("after two"), _("after three"))
    return example_table(
        head, body, _("Share of the old oil in what still clings, if each flush mixes fully (a best case)")
    )
