"""Small words of HTML that the pages of the desk share."""

from __future__ import annotations

from html import escape

from coldcab.instruments.drawing import style

CARD = (
    f"background:{style.CARD_GROUND};color:{style.CARD_INK};border:1px solid {style.CARD_RULE};border-radius:6px;"
    "padding:10px 14px;margin:0 0 10px;font:15px/1.45 system-ui,sans-serif;max-width:60em"
)


def card(html: str) -> str:
    """Return HTML on a card."""
    return f'<div style="{CARD}">{html}</div>'


def quiet(words: str) -> str:
    """Return a line of quiet words."""
    return f'<div style="color:{style.CARD_QUIET};font:14px/1.4 system-ui,sans-serif">{escape(words)}</div>'


def link(words: str, to: str, *, strong: bool = False) -> str:
    """Return a link; ``strong`` makes it a button to see."""
    look = (
        f"display:inline-block;background:{style.CARD_READ};color:#fff;border-radius:4px;padding:6px 14px;"
        "text-decoration:none;font-weight:600"
        if strong
        else f"color:{style.CARD_READ}"
    )
    return f'<a href="{escape(to, quote=True)}" style="{look}">{escape(words)}</a>'
