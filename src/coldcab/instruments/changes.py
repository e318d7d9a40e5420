"""What has changed between two drawings, so that only that much is sent to the page.

A drawing is read as a tree of elements and text. Changes are told by place: the numbers of the children on the way
down from the root, text among them, as a browser counts them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import SequenceMatcher
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
    for alike, first_old, last_old, first, last in _steps(old.children, new.children):
        if alike:
            for was, number in zip(range(first_old, last_old), range(first, last), strict=True):
                found += _child(old.children[was], new.children[number], (*place, number))
        else:
            markup = "".join(map(write, new.children[first:last]))
            found.append(("splice", place, first, last_old - first_old, markup))
    return found


def _child(old: Node | str, new: Node | str, place: tuple[int, ...]) -> list[Change]:
    if isinstance(old, Node) and isinstance(new, Node):
        return changes(old, new, place)
    return [] if old == new else [("text", place, new)]


def _steps(old: list[Node | str], new: list[Node | str]) -> Iterator[tuple[bool, int, int, int, int]]:
    """From the first child to the last: whether they can be changed where they are, which of the old, which of the new.

    What differs here and there is replaced here and there: a whole part sent anew takes the page longer than its frame.
    """
    shapes = [_shape(child) for child in old], [_shape(child) for child in new]
    if shapes[0] == shapes[1]:
        yield True, 0, len(old), 0, len(new)
        return
    kinds = [_kind(child) for child in old], [_kind(child) for child in new]
    for step, *spans in SequenceMatcher(None, *kinds, autojunk=False).get_opcodes():
        first_old, last_old, first, last = spans
        alike = step == "equal" or shapes[0][first_old:last_old] == shapes[1][first:last]
        yield alike, first_old, last_old, first, last


def _shape(part: Node | str) -> tuple[str, ...]:
    """One of the same shape is made of another by other attributes alone."""
    return ("",) if isinstance(part, str) else (part.name, *part.attributes)


def _kind(part: Node | str) -> tuple[str, ...]:
    """Two of one kind stand for the same thing of the drawing: same shape, same colors."""
    if isinstance(part, str):
        return ("",)
    given = part.attributes
    return (*_shape(part), given.get("fill", ""), given.get("stroke", ""))
