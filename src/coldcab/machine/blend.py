"""R-134a with R-12 left in it: the property table of a cross-contaminated charge.

Nodes come from CoolProp's binary model at a few compositions (see `generate_blend`); between them every node is a
polynomial of the composition. The model is not checked against measured mixtures of this pair.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from importlib import resources
from typing import Any

import numpy as np

from coldcab.machine.conditions import MachineError
from coldcab.machine.float_table import FloatTable
from coldcab.machine.fluid import HEAT, TRANSPORT, Fluid
from coldcab.refrigerants import FluidTable, resolve

MAIN, FOREIGN = "R-134a", "R-12"


class BlendTable(FluidTable):
    """A `FluidTable` from nodes that are given."""

    def __init__(self, data: Mapping[str, np.ndarray]) -> None:
        self._load(data)


@lru_cache(maxsize=1)
def _nodes() -> dict[str, Any]:
    path = resources.files(__package__) / "r12_in_r134a.npz"
    with path.open("rb") as file, np.load(file) as data:
        return dict(data)


@lru_cache(maxsize=64)
def blend(refrigerant: str, share: float) -> Fluid:
    """The fluid with a mass ``share`` (above 0, to 0.5) of R-12 in R-134a. Raises MachineError for other pairs."""
    if resolve(refrigerant) != MAIN:
        raise MachineError(
            f"foreign refrigerant is known for {FOREIGN} in {MAIN} only, not in {resolve(refrigerant)}; set "
            "foreign_share to 0."
        )
    stored = _nodes()
    shares = stored["shares"]
    # Lagrange's polynomial through all compositions.
    weights = [np.prod([(share - other) / (one - other) for other in shares if other != one]) for one in shares]
    data: dict[str, Any] = {
        name: np.tensordot(weights, nodes, axes=1)
        for name, nodes in stored.items()
        if name not in ("shares", "coolprop_version", "source")
    }
    name = f"{MAIN}/{FOREIGN} ({100 - 100 * share:g}/{100 * share:g})"
    data |= {"designation": name, "coolprop_version": stored["coolprop_version"], "source": stored["source"]}
    mix: list[Any] = [
        tuple((1.0 - share) * a + share * b for a, b in zip(one, other, strict=True))
        for one, other in zip((*TRANSPORT[MAIN], HEAT[MAIN]), (*TRANSPORT[FOREIGN], HEAT[FOREIGN]), strict=True)
    ]
    return Fluid(name, FloatTable(BlendTable(data)), mix[0], mix[1], *mix[2])
