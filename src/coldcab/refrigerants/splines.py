"""Cubic splines on evenly spaced nodes, with NumPy alone.

Nodes sit at 0, 1, 2, ... in a coordinate of the caller's choice. A spline has continuous first and second
derivatives; its end condition is "not a knot" (C. de Boor, A Practical Guide to Splines, 1978, chapter IV).
Outside the nodes the polynomial of the outermost cell goes on, so callers check ranges where it matters.
"""

import math

import numpy as np

from coldcab.quantities import Array

__all__ = ["Curve", "Surface"]


def _pieces(nodes: Array) -> Array:
    """Coefficients of t**0 to t**3 (4, n - 1, ...) of the spline through nodes (n, ...), along the first axis.

    The second derivatives m solve m[i-1] + 4 m[i] + m[i+1] = 6 d[i], d the second differences of the nodes.
    Not a knot at both ends makes m[1] = d[1] and m[n-2] = d[n-2]. Elimination row by row is as quick as a library
    call here, and does not wake the threads of one.
    """
    n = len(nodes)
    difference = nodes[:-2] - 2 * nodes[1:-1] + nodes[2:]  # at nodes 1 ... n - 2
    second = np.empty_like(nodes)
    second[1], second[n - 2] = difference[0], difference[-1]
    sides = 6 * difference[1:-1]  # of nodes 2 ... n - 3
    sides[0] -= second[1]
    sides[-1] -= second[n - 2]
    factor, factors = 0.0, []
    for row in range(len(sides)):
        if row:
            sides[row] -= sides[row - 1]
        factor = 1 / (4 - factor)
        factors.append(factor)
        sides[row] *= factor
    for row in range(len(sides) - 2, -1, -1):
        sides[row] -= factors[row] * sides[row + 1]
    second[2 : n - 2] = sides
    second[0] = 2 * second[1] - second[2]
    second[n - 1] = 2 * second[n - 2] - second[n - 3]
    here, there = second[:-1], second[1:]
    return np.stack([nodes[:-1], np.diff(nodes, axis=0) - here / 3 - there / 6, here / 2, (there - here) / 6])


def _cell(place: Array, cells: int) -> Array:
    """Number of the cell each place lies in; outside (and for NaN) the nearest one."""
    return np.fmin(np.fmax(place, 0), cells - 1).astype(np.intp)


class Curve:
    """Several functions of one coordinate, given at the nodes 0, 1, ..., n - 1 (nodes: functions x n)."""

    first: Array | int = 0
    """Number of the first cell. Where several curves lie end to end, each place has the first cell of its own."""

    def __init__(self, nodes: Array):
        pieces = _pieces(np.asarray(nodes, dtype=float).T)
        self.coefficients = np.ascontiguousarray(pieces.transpose(0, 2, 1))  # power, function, cell
        self.cells = self.coefficients.shape[2]

    def __call__(self, place: Array) -> Array:
        """All functions at the places: shape (functions, *place.shape)."""
        cell = _cell(place, self.cells)
        t = place - cell
        cell += self.first
        c = self.coefficients
        value: Array = c[3].take(cell, axis=-1)
        for power in (2, 1, 0):
            value *= t
            value += c[power].take(cell, axis=-1)
        return value

    def one(self, number: int, place: Array) -> Array:
        """A single function at the places."""
        cell = _cell(place, self.cells)
        t = place - cell
        cell += self.first
        c = self.coefficients[:, number]
        value: Array = c[3].take(cell)
        for power in (2, 1, 0):
            value *= t
            value += c[power].take(cell)
        return value

    def scalar(self, place: float) -> list[float]:
        """All functions at one place."""
        cell = min(max(math.floor(place), 0), self.cells - 1)
        t = place - cell
        c0, c1, c2, c3 = self.coefficients[:, :, cell].tolist()
        return [a + t * (b + t * (c + t * d)) for a, b, c, d in zip(c0, c1, c2, c3, strict=True)]

    def scalar_one(self, number: int, place: float) -> float:
        """A single function at one place."""
        cell = min(max(math.floor(place), 0), self.cells - 1)
        t = place - cell
        c0, c1, c2, c3 = self.coefficients[:, number, cell].tolist()
        value: float = c0 + t * (c1 + t * (c2 + t * c3))
        return value


class Surface:
    """Several functions of two coordinates, given on a grid of nodes (functions x n x m)."""

    first: Array | int = 0
    """Number of the first cell, as with `Curve`."""

    def __init__(self, nodes: Array):
        nodes = np.asarray(nodes, dtype=float)
        first = _pieces(nodes.transpose(1, 2, 0))  # power, cell, m, function
        second = _pieces(first.transpose(2, 0, 1, 3))  # power, cell, power, cell, function
        powers = second.transpose(2, 0, 4, 3, 1)  # power, power, function, cell, cell
        self.shape = powers.shape[3:]
        self.coefficients = np.ascontiguousarray(powers.reshape(16, nodes.shape[0], -1))

    def __call__(self, first: Array, second: Array) -> Array:
        """All functions at the places (arrays of one shape): shape (functions, *shape)."""
        n, m = self.shape
        row = _cell(first, n)
        column = _cell(second, m)
        s, t = first - row, second - column
        patch = self.coefficients.take(row * m + column + self.first, axis=-1)
        value: Array | None = None
        for power in (3, 2, 1, 0):
            a, b, c, d = patch[4 * power : 4 * power + 4]
            d *= t
            d += c
            d *= t
            d += b
            d *= t
            d += a
            if value is None:
                value = d
            else:
                value *= s
                value += d
        assert value is not None  # four powers have been added
        return value

    def scalar(self, first: float, second: float) -> list[float]:
        """All functions at one place."""
        n, m = self.shape
        row = min(max(math.floor(first), 0), n - 1)
        column = min(max(math.floor(second), 0), m - 1)
        s, t = first - row, second - column
        values = []
        for p in self.coefficients[:, :, row * m + column].T.tolist():
            a = p[0] + t * (p[1] + t * (p[2] + t * p[3]))
            b = p[4] + t * (p[5] + t * (p[6] + t * p[7]))
            c = p[8] + t * (p[9] + t * (p[10] + t * p[11]))
            d = p[12] + t * (p[13] + t * (p[14] + t * p[15]))
            values.append(a + s * (b + s * (c + s * d)))
        return values
