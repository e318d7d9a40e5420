"""What the tests of all instruments share: anything a person could set, and what every drawing must hold."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator

from hypothesis import strategies as st

from coldcab import instruments, units
from coldcab.instruments.controls import Choice, Slider, Switch
from coldcab.instruments.drawing import style

SVG = "{http://www.w3.org/2000/svg}"
SYSTEMS = st.sampled_from(["us", "si"])
TYPED = st.one_of(
    st.builds(
        "{:.4g} {}".format,
        st.floats(-50.0, 500.0),
        st.sampled_from(
            ["psia", "psig", "kPa", "bar", "F", "C", "K", "Btu/lb", "kJ/kg", "inHg vac", "inHg abs", "", "oz"]
        ),
    ),
    st.text(max_size=12),
)


def make(name: str, **given: object):
    """An instrument by name, in US units unless said otherwise."""
    return getattr(instruments, name)(system=given.pop("system", "us"), **given)


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def anything_for(control) -> st.SearchStrategy:
    """What the control itself accepts; numbers are those of the trade unit."""
    if isinstance(control, Slider):
        return st.floats(control.lowest, control.highest)
    if isinstance(control, Switch):
        return st.booleans()
    return st.sampled_from(control.options) if isinstance(control, Choice) else TYPED


@st.composite
def states(draw, name: str) -> dict[str, object]:
    """Settings for every control of an instrument."""
    return {control.name: draw(anything_for(control)) for control in getattr(instruments, name).controls}


def assert_well_drawn(instrument) -> ElementTree.Element:
    """Check what every picture must hold, and return it.

    It is well formed, with its reading line; it shows no number that is none; its words are its text alternative; and
    a fault is a whole sentence in place of readings.
    """
    picture = instrument.picture()
    root = ElementTree.fromstring(picture)
    ElementTree.fromstring(instrument.html())
    assert not re.search(r"\b(nan|inf)\b", re.sub(r"<[^>]*>", " ", picture))
    assert not re.search(r'="-?(nan|inf)"', picture)
    assert root.get("role") == "img"
    assert root.get("aria-label") == instrument.description() == root.find(f"{SVG}desc").text
    assert bool(instrument.readings) != bool(instrument.fault)
    if instrument.fault:
        assert (
            units.in_order(instrument.fault, instrument.system)[1:] in instrument.description()
        )  # its first letter is a capital there
        assert instrument.fault.rstrip().endswith((".", "?"))
        assert "\n" not in instrument.fault
    return root


def assert_text_stays_on_the_sheet(instrument) -> None:
    """Check that no line of text is clipped. Widths are estimated with the mean letter of a wide face."""
    for element, down, size, anchor in texts(ElementTree.fromstring(instrument.picture(words=False))):
        width = style.LETTER_WIDTH * size * len(element.text)
        left = float(element.get("x")) - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        assert left > -6, element.text
        assert left + width < style.WIDTH + 6, element.text
        assert 8 < float(element.get("y")) + down < instrument.height, element.text


def texts(
    node: ElementTree.Element, down: float = 0.0, size: float = style.BODY, anchor: str = "start"
) -> Iterator[tuple[ElementTree.Element, float, float, str]]:
    """Every line of text with its size, its anchor and how far its group is moved down."""
    size, anchor = float(node.get("font-size", size)), node.get("text-anchor", anchor)
    moved = re.fullmatch(r"translate\(0 ([\d.]+)\)", node.get("transform", ""))
    down += float(moved[1]) if moved else 0.0
    if node.tag == f"{SVG}text":
        yield node, down, size, anchor
    elif node.tag != f"{SVG}svg" or "viewBox" not in node.attrib or node.get("role"):  # a chart cuts at its edge
        for child in node:
            yield from texts(child, down, size, anchor)
