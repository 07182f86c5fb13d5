"""Knows how a part's price over the years is drawn: what was paid by supplier, and what each asks today, landed."""

from __future__ import annotations

from datetime import date

from bom.answers.shelf import PartPrices
from bom.paper.for_the_eye import FINEST, money
from bom.paper.pictures.axes import BOTTOM, LEFT, RIGHT, TOP, Picture, Point, Scale
from bom.values.problem import Refused

SHAPES = ("circle", "triangle", "diamond", "square")
MONTH = 365.25 / 12  # days


def price_picture(answer: PartPrices) -> str:
    """An SVG: a mark for each lot paid, in months before the day of the picture; a ring for each offer. Refused where
    no price is known."""
    today = date.today()
    paid: dict[str, list[Point]] = {}
    for one in answer.paid:
        if one.day is not None and one.in_ours is not None:
            ago = (one.day - today).days / MONTH
            paid.setdefault(one.supplier or "no supplier", []).append((ago, float(one.in_ours.amount)))
    asked = [
        (float(x.landed.amount), f"{x.supplier} asks {money(x.landed, FINEST)} landed, for {x.pieces}")
        for x in answer.asked
        if x.landed is not None
    ]
    heights = [*(y for points in paid.values() for _, y in points), *(landed for landed, _ in asked)]
    if not heights:
        raise Refused(f"no price of {answer.part_number} is known, so there is nothing to draw")
    first = min([-1.0, *(x for points in paid.values() for x, _ in points)])
    picture = Picture(
        "Prices",
        f"{answer.part_number}, {'each' if answer.unit == 'piece' else 'per ' + answer.unit}",
        Scale(first * 1.04, -first * 0.04, LEFT, RIGHT),
        Scale(0.0, 1.12 * max(heights) or 1.0, BOTTOM, TOP),
        "months from today",
        f"{answer.currency} at rates of {answer.rates_of}",
    )
    for n, (supplier, points) in enumerate(sorted(paid.items())):
        picture.line(points, f"{supplier}, paid")
        for point in points:
            picture.mark(point, SHAPES[n % len(SHAPES)], "")
    for n, (landed, words) in enumerate(asked, 1):
        picture.mark((0.0, landed), "ring", words, str(n))
    return picture.drawn()
