"""What a page is sent when an instrument moves: changes that make the new drawing of the old one."""

from __future__ import annotations

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldcab import instruments
from coldcab.instruments.canvas import Canvas, difference, drawn
from coldcab.instruments.changes import Node, changes, read, write
from drawings import SYSTEMS, make, states

NAMES = st.sampled_from(["g", "path", "text", "rect"])
WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=4)
LOOKS = st.dictionaries(st.sampled_from(["x", "fill", "transform"]), WORDS, max_size=2)


@st.composite
def trees(draw, depth: int = 3) -> Node:
    """Any small drawing; two texts never touch, because a browser reads them as one."""
    children: list[Node | str] = []
    for _ in range(draw(st.integers(0, 4 if depth else 0))):
        apart = not children or isinstance(children[-1], Node)
        children.append(draw(WORDS if apart and draw(st.booleans()) else trees(depth - 1)))
    return Node(draw(NAMES), draw(LOOKS), children)


def applied(tree: Node, found: list) -> Node:
    """The same tree after changes, done as a page does them: one after the other, by place."""
    made = copy.deepcopy(tree)
    for what, place, *rest in found:
        node, above, number = made, None, 0
        for number in place:
            node, above = node.children[number], node
        if what == "text":
            above.children[number] = rest[0]
        elif what == "set":
            for name, value in rest[0].items():
                if value is None:
                    del node.attributes[name]
                else:
                    node.attributes[name] = value
        else:
            first, gone, markup = rest
            node.children[first : first + gone] = read(f"<g>{markup}</g>").children
    return made


@given(old=trees(), new=trees())
@settings(max_examples=200, deadline=None)
def test_changes_make_the_new_drawing_of_the_old(old, new):
    new.name = old.name
    assert applied(old, changes(old, new)) == new
    assert changes(new, new) == []
    assert read(write(new)) == new


@pytest.mark.parametrize("name", ["gauge_pair", "container", "open_can", "leak_bench", "clutch_circuit"])
@given(data=st.data(), system=SYSTEMS)
@settings(max_examples=8, deadline=None)
def test_changes_of_real_drawings(name, data, system):
    """A page that holds the old drawing, with its face in a group of its own, comes to hold the new one."""
    made = [make(name, system=system, **data.draw(states(name))) for _ in range(2)]
    old, new = (drawn(one.html(), one.kept_face()) for one in made)
    here, there = (read(Canvas(one.html, one.face).whole["html"]) for one in (old, new))
    found = difference(old, new)
    assert found is not None
    assert applied(here, found) == there


def sent_by(canvas: Canvas, monkeypatch: pytest.MonkeyPatch) -> list:
    sent: list = []
    monkeypatch.setattr(Canvas, "send", lambda self, content, buffers=None: sent.append(content))
    return sent


def test_a_needle_that_moves_sends_a_needle(monkeypatch):
    gauge = make("gauge_pair")
    canvas = gauge.widget.children[-1]
    sent = sent_by(canvas, monkeypatch)
    gauge.set(low=32.0)
    [message] = sent
    assert message["number"] == 1
    assert any("transform" in change[2] for change in message["changes"] if change[0] == "set")
    assert len(str(message)) < 0.25 * len(gauge.html())
    gauge.set(low=32.0)
    assert len(sent) == 1  # nothing has changed, nothing goes
    before = read(canvas.whole["html"])
    gauge.set(refrigerant="R-12")  # another face: what is another one in it, where the page has it
    assert sent[1]["number"] == 2
    assert applied(before, sent[1]["changes"]) == read(canvas.whole["html"])
    assert len(str(sent[1])) < len(gauge.html())


def test_another_color_is_set_where_the_shape_stands():
    """A shape made anew takes the page longer than one that is given another color."""
    old = read('<g><rect fill="red" x="1"></rect><path d="M0 0"></path></g>')
    new = read('<g><rect fill="tan" x="2"></rect><path d="M0 0"></path><circle r="3"></circle></g>')
    assert changes(old, new) == [
        ("set", (0,), {"fill": "tan", "x": "2"}),
        ("splice", (), 2, 0, '<circle r="3"></circle>'),
    ]


def test_a_view_that_missed_something_is_sent_the_whole(monkeypatch):
    gauge = make("pressure_and_temperature")
    canvas = gauge.widget.children[-1]
    sent = sent_by(canvas, monkeypatch)
    gauge.set(gauge=60.0)
    canvas._handle_custom_msg({"have": 1}, [])
    assert len(sent) == 1
    canvas._handle_custom_msg({"have": 0}, [])
    assert sent[1] == canvas.whole == canvas.get_state("drawing")["drawing"]
    assert "60.0 psig" in sent[1]["html"]


def test_what_cannot_be_read_goes_whole(monkeypatch):
    canvas = Canvas("<p>one</p>", "")
    sent = sent_by(canvas, monkeypatch)
    canvas.show("<p>two<br></p>", "")
    assert sent == [{"number": 1, "html": "<p>two<br></p>"}]


def test_every_instrument_can_be_read():
    """An instrument whose drawing cannot be read would be sent whole each time."""
    for name in ("gauge_pair", "property_reader", "clinic_desk", "oil_shelf", "running_job"):
        assert read(getattr(instruments, name)(system="us").html()).name == "div"
