"""A straight line through points, and the same line when some points are wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, sqrt

import numpy as np
from numpy.typing import NDArray

from setpiece.errors import WrongUse

HUBER_K = 1.345
"""Residuals beyond this many spreads weigh less: 95 % efficiency on normal errors
(P. J. Huber, Robust Statistics, 1981; the usual value, from memory)."""

_MAD_TO_SD = 0.6745  # median absolute deviation of a standard normal (from memory)


@dataclass(frozen=True, slots=True)
class Line:
    """y = intercept + slope * x, with standard errors, residual spread and R squared.

    `spread` is sqrt(RSS / (n - 2)); it and the standard errors are 0 for two points.
    """

    intercept: float
    slope: float
    intercept_se: float
    slope_se: float
    spread: float
    r_squared: float

    def at(self, x: float) -> float:
        """The line's y at x."""
        return self.intercept + self.slope * x


def least_squares(x: Sequence[float], y: Sequence[float]) -> Line:
    """The line with the least sum of squared residuals.

    Sums are centred and exact (`fsum`), so that slow clocks and large times lose no digits.
    Raises WrongUse with fewer than two different x.
    """
    n = len(x)
    if n != len(y) or len(set(x)) < 2:
        raise WrongUse("a line needs two points at different times", thing=f"{n} points")
    x_mean, y_mean = fsum(x) / n, fsum(y) / n
    dx = [a - x_mean for a in x]
    dy = [b - y_mean for b in y]
    sxx = fsum(a * a for a in dx)
    slope = fsum(a * b for a, b in zip(dx, dy, strict=True)) / sxx
    intercept = y_mean - slope * x_mean
    rss = fsum((b - slope * a) ** 2 for a, b in zip(dx, dy, strict=True))
    total = fsum(b * b for b in dy)
    spread = sqrt(rss / (n - 2)) if n > 2 else 0.0
    return Line(
        intercept,
        slope,
        spread * sqrt(1 / n + x_mean * x_mean / sxx),
        spread / sqrt(sxx),
        spread,
        1 - rss / total if total else 1.0,
    )


def huber(x: Sequence[float], y: Sequence[float]) -> tuple[float, float]:
    """Intercept and slope of Huber's M-estimate: far points pull no harder than near ones.

    Reweighted least squares, spread re-estimated each round from the median absolute residual.
    """
    if len(x) != len(y) or len(set(x)) < 2:
        raise WrongUse("a line needs two points at different times", thing=f"{len(x)} points")
    xs, ys = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    weights = np.ones(len(xs))
    intercept, slope = _weighted(xs, ys, weights)
    for _ in range(200):
        residuals = ys - intercept - slope * xs
        spread = float(np.median(np.abs(residuals))) / _MAD_TO_SD
        if spread <= 1e-12 * max(1.0, float(np.abs(ys).max())):
            break
        weights = np.minimum(1.0, HUBER_K * spread / np.maximum(np.abs(residuals), 1e-300))
        before = (intercept, slope)
        intercept, slope = _weighted(xs, ys, weights)
        if abs(intercept - before[0]) + abs(slope - before[1]) <= 1e-10 * (1 + abs(intercept)):
            break
    return intercept, slope


def _weighted(
    x: NDArray[np.float64], y: NDArray[np.float64], weights: NDArray[np.float64]
) -> tuple[float, float]:
    x_mean = float(np.average(x, weights=weights))
    y_mean = float(np.average(y, weights=weights))
    dx = x - x_mean
    slope = float((weights * dx * (y - y_mean)).sum() / (weights * dx * dx).sum())
    return y_mean - slope * x_mean, slope
