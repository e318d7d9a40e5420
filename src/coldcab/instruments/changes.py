"""What has changed between two drawings, so that only that much is sent to the page.

A drawing is read as a tree of elements and text. Changes are told by place: the numbers of the children on the way
down from the root, text among them, as a browser counts them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html import escape
from xml.parsers import expat

from coldcab.words import _


@dataclass(slots=True)
class Node:
    """One element with its attributes and what is in it: elements, and text as it is read."""

    name: str
    attributes: dict[str, str]
    children: list[Node | str] = field(default_factory=list)


Change = tuple
"""("set", place, {attribute: text, or None where it goes}), ("text", place, words), or ("splice", place, first child,
how many go, markup that comes)."""


def read(markup: str) -> Node:
    """Return the tree of a drawing.

    Raises
    ------
    ValueError : the text is not one well-formed element.
    """
    top = Node("", {})
    path = [top]

    def start(name: str, attributes: dict[str, str]) -> None:
        node = Node(name, attributes)
        path[-1].children.append(node)
        path.append(node)

    parser = expat.ParserCreate()
    parser.buffer_text = True  # text comes whole, not in pieces
    parser.StartElementHandler = start
    parser.EndElementHandler = lambda _name: path.pop()
    parser.CharacterDataHandler = lambda words: path[-1].children.append(words)
    try:
        parser.Parse(markup, True)
    except expat.ExpatError as problem:
        raise ValueError(_("the drawing is not well formed: {problem}.").format(problem=problem)) from None
    [root] = top.children
    return root


def write(part: Node | str) -> str:
    """Return a tree as markup."""
    if isinstance(part, str):
        return escape(part, quote=False)
    attributes = "".join(f' {name}="{escape(value)}"' for name, value in part.attributes.items())
    return f"<{part.name}{attributes}>{''.join(map(write, part.children))}</{part.name}>"


def changes(old: Node, new: Node, place: tuple[int, ...] = ()) -> list[Change]:
    """Return what makes ``new`` of ``old``, to be done in this order; both are of the same name."""
    found: list[Change] = []
    if old.attributes != new.attributes:
        names = {**old.attributes, **new.attributes}
        moved = {name: new.attributes.get(name) for name in names}
        found.append(
            ("set", place, {name: value for name, value in moved.items() if value != old.attributes.get(name)})
        )
    if old.children == new.children:
        return found
    head, tail = _alike(old.children, new.children)
    gone, come = len(old.children) - head - tail, new.children[head : len(new.children) - tail]
    for number in range(head):
        found += _child(old.children[number], new.children[number], (*place, number))
    if gone or come:
        found.append(("splice", place, head, gone, "".join(map(write, come))))
    first_old, first_new = len(old.children) - tail, len(new.children) - tail
    for number in range(tail):
        found += _child(
            old.children[first_old + number], new.children[first_new + number], (*place, first_new + number)
        )
    return found


def _child(old: Node | str, new: Node | str, place: tuple[int, ...]) -> list[Change]:
    if isinstance(old, Node) and isinstance(new, Node):
        return changes(old, new, place)
    return [] if old == new else [("text", place, new)]


def _alike(old: list[Node | str], new: list[Node | str]) -> tuple[int, int]:
    """How many children at the beginning, and at the end, can be changed where they are."""
    kinds = [_kind(child) for child in old], [_kind(child) for child in new]
    most = min(len(old), len(new))
    if kinds[0] == kinds[1]:
        return most, 0
    head = next((n for n in range(most) if kinds[0][n] != kinds[1][n]), most)
    rest = most - head
    tail = next((n for n in range(rest) if kinds[0][-1 - n] != kinds[1][-1 - n]), rest)
    return head, tail


def _kind(part: Node | str) -> tuple[str, ...]:
    """Two of one kind stand for the same thing of the drawing: same element, same attributes, same colors."""
    if isinstance(part, str):
        return ("",)
    given = part.attributes
    return (part.name, given.get("fill", ""), given.get("stroke", ""), *given)
