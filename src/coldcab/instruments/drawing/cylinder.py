"""A refrigerant cylinder, cut open: its liquid, what is drawn into its gas, its neck."""

from __future__ import annotations

from dataclasses import dataclass

from coldcab.instruments.drawing import style, svg

ROUND = 30.0


@dataclass(frozen=True, slots=True)
class Cylinder:
    """Where a cylinder stands on the sheet, without its neck."""

    x: float
    y: float
    width: float
    height: float

    def neck(self) -> str:
        """The valve's seat, drawn before the body."""
        return svg.box(self.x + self.width / 2 - 12, self.y - 14, 24, 16, fill=style.METAL, stroke=style.INK)

    def surface(self, share: float) -> float:
        """Height on the sheet of a liquid that takes this share of the volume."""
        return self.y + self.height * (1 - share)

    def body(self, share: float, inside: str = "", color: str = style.INK) -> str:
        """The cylinder with liquid up to a share of its volume and what else is `inside`, within a rim of a color."""
        x, y, width, height = self.x, self.y, self.width, self.height
        surface = self.surface(share)
        drawn = svg.box(x, y, width, height, fill=style.VAPOR)
        if share > 0:
            drawn += svg.box(x, surface, width, y + height - surface, fill=style.LIQUID)
            drawn += svg.line(x, surface, x + width, surface, stroke=style.INK, stroke_width=style.THIN)
        # Corners painted over in the ground's color make the round ends.
        around = f"M{x - 2} {y - 2} h{width + 4} v{height + 4} h{-width - 4} Z"
        drawn += inside + svg.element("path", d=f"{around} {self._rim()}", fill=style.GROUND, fill_rule="evenodd")
        return drawn + svg.element("path", d=self._rim(), fill="none", stroke=color, stroke_width=style.HEAVY)

    def _rim(self) -> str:
        r, across, down = ROUND, self.width - 2 * ROUND, self.height - 2 * ROUND
        return (
            f"M{self.x} {self.y + r} a{r} {r} 0 0 1 {r} {-r} h{across} a{r} {r} 0 0 1 {r} {r} v{down} "
            f"a{r} {r} 0 0 1 {-r} {r} h{-across} a{r} {r} 0 0 1 {-r} {-r} Z"
        )
