"""Axes, bars, lines and words of the pictures, in pixels."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log10
from typing import Any

from diag.model.phrasing import printable

HALF, FULL = 460.0, 640.0
"""Widths in pixels: of two pictures side by side, and of one by itself."""
SIZE = 12
"""Of letters, in pixels: 6 points or more on paper."""
ROW, BASE = 14.0, 26.0
APART = 34.0
_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


def round_step(span: float, most: int) -> float:
    """Return a round distance of which at most so many make up a span.

    >>> round_step(2.0, 5), round_step(0.7, 5)
    (0.5, 0.2)
    """
    least = span / most
    power = 10.0 ** floor(log10(least))
    return next(step * power for step in _STEPS if step * power >= least * (1 - 1e-9))


class Canvas:
    """A drawing under way: a scale across and one up, and what is drawn by them."""

    def __init__(self, drawing: Any, height: float, width: float = HALF) -> None:
        """Begin with an empty drawing; `drawing` is the package that draws."""
        self._lib, self._height = drawing, height
        self._drawing = drawing.Drawing(width, height, font_family="sans-serif", font_size=SIZE)
        self._left, self._right = 0.0, width
        self._low_x, self._per_x = 0.0, 1.0
        self._low_y, self._per_y = 0.0, 1.0

    def written(self, title: str) -> str:
        """Return the drawing as an element, with what it says for those who do not see it."""
        self._drawing.append_title(printable(title, keep=""))
        element: str = self._drawing.as_svg(header="")
        return element.strip()

    def x(self, value: float) -> float:
        """Return where a value of the scale across stands."""
        return self._left + (value - self._low_x) * self._per_x

    def y(self, value: float) -> float:
        """Return where a value of the scale up stands."""
        return self._height - BASE - (value - self._low_y) * self._per_y

    def across(
        self,
        low: float,
        high: float,
        unit: str,
        *,
        left: float,
        right: float,
        whole: bool = False,
    ) -> None:
        """Set the scale across, and draw it with its numbers below; `whole` for whole steps."""
        step = max(1.0, round_step(high - low or 1.0, 10)) if whole else 0.0
        step = (floor(step + 0.999) if whole else 0.0) or round_step(high - low or 1.0, 6)
        if low:  # a scale that does not begin at nought begins and ends on a step
            low = step * floor(low / step)
        self._left, self._right = left, right
        self._low_x, self._per_x = low, (right - left) / ((high - low) * 1.02 or 1.0)
        foot = self._height - BASE
        self._line(left, foot, right, foot)
        for number in range(int((high - low) / step + 1e-6) + 1):
            at = low + number * step
            self._line(self.x(at), foot, self.x(at), foot + 4)
            told = f"{at + 1:.0f}" if whole else f"{round(at, 6):g} {unit}"
            self.words(self.x(at), foot + 14, told, "middle", size=10)

    def up(self, low: float, high: float, unit: str, scale: float = 1.0) -> None:
        """Set the scale up, and draw it with lines across; numbers are told `scale` times."""
        step = round_step(high - low or 1.0, 5)
        low = step * floor(low / step)
        self._low_y, self._per_y = low, (self._height - BASE - 14) / ((high - low) or 1.0)
        for number in range(int((high - low) / step + 1e-6) + 1):
            at = low + number * step
            self._line(self._left, self.y(at), self._right, self.y(at), stroke="#ccc")
            told = f"{round(at * scale, 6):g} {unit}"
            self.words(self._left - 5, self.y(at), told, "end", size=10)

    def row(self, y: float, name: str, told: str, strong: bool = False) -> None:
        """Write a row's name on the left and its number on the right."""
        weight = "bold" if strong else "normal"
        self.words(self._left - 10, y + ROW / 2, name, "end", font_weight=weight)
        self.words(self._right + 12, y + ROW / 2, told, font_weight=weight)

    def bar(self, y: float, begin: float, end: float, value: float) -> None:
        """Draw a bar between two values of the scale across."""
        left, right = sorted((self.x(begin), self.x(end)))
        self.block(left, y, right - left, ROW, fill="#888", value=value)

    def block(
        self, x: float, y: float, wide: float, high: float, *, fill: str, value: float
    ) -> None:  # fmt: skip
        """Draw a rectangle that stands for a value."""
        self._add(
            "Rectangle", x, y, wide, high, fill=fill, stroke="black", data_value=f"{value:.6g}"
        )

    def tick(self, value: float, y: float) -> None:
        """Mark a value of the scale across in a row."""
        at = self.x(value)
        self._line(at, y - 3, at, y + ROW + 3, stroke_width=3, data_value=f"{value:.6g}")

    def limit(self, value: float, told: str) -> None:
        """Draw a value of the scale across as a dashed line through all rows."""
        at = self.x(value)
        self._line(at, 2, at, self._height - BASE, stroke_dasharray="5 3")
        self.words(at + 4, self._height - BASE - 7, told, size=10)

    def bracket(self, y: float, low: float | None, high: float | None) -> None:
        """Draw between what ends a row is good; an end that is open is left out."""
        foot = y + ROW + 4
        for end in (low, high):
            if end is not None:
                self._line(self.x(end), y - 2, self.x(end), foot, stroke_width=2)
        if low is not None and high is not None:
            self._line(self.x(low), foot, self.x(high), foot)

    def path(
        self,
        points: Sequence[tuple[float, float]],
        *,
        dash: str = "",
        width: float = 1.5,
        values: Sequence[float] = (),
    ) -> None:
        """Draw a line through points of both scales."""
        flat = [place for x, y in points for place in (self.x(x), self.y(y))]
        more: dict[str, Any] = {"stroke_dasharray": dash} if dash else {}
        if values:
            more["data_value"] = " ".join(f"{one:.6g}" for one in values)
        self._add(
            "Lines", *flat, close=False, fill="none", stroke="black", stroke_width=width, **more
        )

    def point(
        self, x: float, y: float, told: str, value: float, *, hollow: bool = False
    ) -> None:  # fmt: skip
        """Draw a point with words beside it."""
        fill, at = "white" if hollow else "black", (self.x(x), self.y(y))
        self._add("Circle", *at, 4, fill=fill, stroke="black", data_value=f"{value:.6g}")
        self.words(at[0] + 9, at[1] - 8 if not hollow else at[1] + 9, told)

    def flow(
        self, begin: tuple[float, float], end: tuple[float, float], high: float, fill: str,
        value: float,
    ) -> None:  # fmt: skip
        """Draw a band of one height from a place on the left to one on the right."""
        (x0, y0), (x1, y1) = begin, end
        middle = (x0 + x1) / 2
        band = self._lib.Path(fill=fill, stroke="black", data_value=f"{value:.6g}", data_high=high)
        band.M(x0, y0).C(middle, y0, middle, y1, x1, y1).L(x1, y1 + high)
        band.C(middle, y1 + high, middle, y0 + high, x0, y0 + high).Z()
        self._drawing.append(band)

    def sample(self, x: float, y: float, dash: str) -> None:
        """Draw a short piece of a line, to tell which it is."""
        more = {"stroke_dasharray": dash} if dash else {}
        self._line(x, y, x + 36, y, stroke_width=2, **more)

    def free_place(self, y: float, taken: list[float]) -> float:
        """Return the nearest height to one wanted where words do not run into others."""
        lowest = self._height - APART
        tries = (y + sign * APART * 0.25 * n for n in range(80) for sign in (-1, 1))
        free = (
            at for at in tries if 8 <= at <= lowest and all(abs(at - one) >= APART for one in taken)
        )
        taken.append(next(free, y))
        return taken[-1]

    def words(
        self, x: float, y: float, text: str, anchor: str = "start", size: float = SIZE, **more: Any
    ) -> None:
        """Write words whose middle stands at a height."""
        self._add(
            "Text",
            printable(text, keep=""),
            size,
            x,
            y,
            text_anchor=anchor,
            dominant_baseline="middle",
            **more,
        )

    def _line(self, x0: float, y0: float, x1: float, y1: float, **more: Any) -> None:
        self._add("Line", x0, y0, x1, y1, **{"stroke": "black", **more})

    def _add(self, kind: str, *what: Any, **how: Any) -> None:
        what = tuple(round(one, 2) if isinstance(one, float) else one for one in what)
        self._drawing.append(getattr(self._lib, kind)(*what, **how))
