"""The sight glass behind the drier: clear, bubbles, foam or streaks."""

from __future__ import annotations

import math

from coldcab.instruments.drawing import style, svg
from coldcab.words import _

MEANING = {
    "clear": _("The glass is clear: only liquid passes. So it looks with the right charge, and with too much as well."),
    "bubbles": _("Bubbles pass: some vapor comes with the liquid."),
    "foam": _("Foam: much vapor is mixed with the liquid."),
    "streaks": _("Streaks of oil and liquid run over the glass: it is nearly empty of liquid."),
    "still": _("Nothing moves in the glass, because the compressor does not run."),
}
"""What each look means, in a sentence."""

SHORT = {"clear": "clear", "bubbles": "bubbles", "foam": "foam", "streaks": "streaks", "still": "nothing moves"}

# Places spread evenly over a disk (sunflower pattern), nearest to the rim last.
_GOLDEN = math.pi * (3 - math.sqrt(5))


def _sunflower(count: int) -> tuple[tuple[float, float], ...]:
    places = ((math.sqrt((n + 0.5) / count), n * _GOLDEN) for n in range(count))
    return tuple((far * math.cos(turned), far * math.sin(turned)) for far, turned in places)


FOAM, SMALL_FOAM = _sunflower(150), _sunflower(36)
SMALL = 30.0  # radius below which fewer and larger spots are drawn
_SPREAD = _sunflower(60)
BUBBLES = tuple(
    (0.87 * x, 0.87 * y, 0.055 + 0.05 * (n * 7 % 5) / 4)
    for n, (x, y) in enumerate(_SPREAD[k * 37 % 60] for k in range(60))
)
STREAKS = ((-0.62, 0.5), (-0.3, 0.9), (0.02, 0.62), (0.34, 0.95), (0.64, 0.55))  # place, length

DRIFT = "coldcab-drift"  # the class of what moves
# Bubbles rise and fall back a little, unless the reader has asked for pictures that keep still.
ANIMATION = svg.element(
    "style",
    f"@media (prefers-reduced-motion: no-preference) {{ .{DRIFT} {{ animation: {DRIFT} 2.4s ease-in-out infinite "
    f"alternate; }} }} @keyframes {DRIFT} {{ from {{ transform: translateY(2px); }} "
    "to { transform: translateY(-3px); } }",
)


def look(x: float, y: float, radius: float, glass: str, void: float) -> str:
    """The glass with what is in it, about a middle; each look has its own pattern, whatever its color."""
    liquid = glass in ("clear", "bubbles", "foam")
    drawn = svg.circle(x, y, radius * 1.17, fill=style.METAL, stroke=style.INK, stroke_width=style.THIN)
    drawn += svg.circle(x, y, radius, fill=style.LIQUID if liquid else style.VAPOR, stroke=style.INK)
    if glass == "clear":
        # Two bows of light on a surface without bubbles.
        for share in (0.74, 0.58):
            drawn += svg.arc(x, y, share * radius, -72.0, -18.0, stroke=style.PAPER, stroke_width=0.07 * radius)
    elif glass == "bubbles":
        count = 5 + round(100 * min(max(void, 0.0), 0.35))
        spots = [(x + u * radius, y + v * radius, size * radius) for u, v, size in BUBBLES[:count]]
        bubbles = "".join(svg.circle(*spot) for spot in spots)
        drawn += _drifting(bubbles, max(0.018 * radius, 0.7))
    elif glass == "foam":
        places = FOAM if radius >= SMALL else SMALL_FOAM
        size = (0.76 + 0.37 * min(max(void, 0.0), 1.0)) * radius / math.sqrt(len(places))
        spots = (svg.circle(x + 0.91 * u * radius, y + 0.91 * v * radius, size) for u, v in places)
        drawn += _drifting("".join(spots), max(0.014 * radius, 0.5))
    elif glass == "streaks":
        for place, length in STREAKS:
            top = y - 0.9 * radius * math.sqrt(1 - place**2)
            wave = [
                (x + (place + 0.03 * math.sin(9 * part)) * radius, top + part * length * radius)
                for part in (k / 12 for k in range(13))
            ]
            drawn += svg.path(wave, stroke=style.SECOND, stroke_width=0.07 * radius, stroke_linecap="round")
    else:
        level = 0.3 * radius
        half = math.sqrt(radius**2 - level**2)
        bottom = f"M{svg.number(x - half)} {svg.number(y + level)} A{svg.number(radius)} {svg.number(radius)} 0 0 0 "
        drawn += svg.element(
            "path", d=f"{bottom}{svg.number(x + half)} {svg.number(y + level)} Z", fill=style.LIQUID, stroke=style.INK
        )
    return drawn


def _drifting(spots: str, rim: float) -> str:
    return svg.group(spots, fill=style.PAPER, stroke=style.INK, stroke_width=rim, **{"class": DRIFT})


def in_words(glass: str, void: float) -> str:
    """What the glass shows, with the vapor's share of the volume that passes."""
    if glass in ("bubbles", "foam", "streaks") and void == void:
        return _("{meaning} Vapor takes {void:.0f} % of the volume that passes.").format(
            meaning=MEANING[glass], void=100 * min(max(void, 0.0), 1.0)
        )
    return MEANING[glass]
