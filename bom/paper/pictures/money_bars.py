"""Knows the bars that say where money goes, their parts told apart by patterns and never by colour alone: an order plan
beside the habits, and a kit's price cut into what it pays for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bom.answers.buying import MadeOf, ShopPlan
from bom.answers.kits import CostedKit, SoldAt
from bom.paper.for_the_eye import bare, money
from bom.paper.pictures.axes import Scale
from bom.paper.svg import drawing, filled, number, path, rect, text
from bom.values.money import Money

LEFT, RIGHT, TOP = 20.0, 580.0, 76.0
WIDTH, BAR, STEP = 720.0, 34.0, 74.0
LETTER = 7.4  # width of one letter of a label at its size, generously
PARTS = (  # pattern, words
    ("goods", "goods needed"),
    ("leftovers", "bought but left over"),
    ("shipping", "shipping"),
    ("import_fee", "import fees"),
    ("tax", "tax not got back"),
)
STYLE = (
    "svg.plan text{font:14px system-ui,sans-serif;fill:#111}svg.plan .title{font-size:17px;font-weight:600}"
    "svg.plan .small{font-size:13px;fill:#333}svg.plan .box{stroke:#111;stroke-width:1}"
    "svg.plan .on{font-size:13px;paint-order:stroke;stroke:#fff;stroke-width:4px}"
    "svg.plan .name{font-size:14px}svg.plan .total{font-weight:600}"
    "svg.plan .grid{stroke:#ccc;stroke-width:1}svg.plan .axis{stroke:#111}"
)
PATTERNS = (
    '<pattern id="plan-goods" width="8" height="8" patternUnits="userSpaceOnUse">'
    '<rect width="8" height="8" fill="#cfcfcf"/></pattern>'
    '<pattern id="plan-leftovers" width="8" height="8" patternUnits="userSpaceOnUse">'
    '<rect width="8" height="8" fill="#fff"/><path d="M-2 2L2-2M0 8L8 0M6 10L10 6" stroke="#111" stroke-width="1.6"/>'
    "</pattern>"
    '<pattern id="plan-shipping" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<rect width="6" height="6" fill="#fff"/><circle cx="3" cy="3" r="1.5" fill="#111"/></pattern>'
    '<pattern id="plan-import_fee" width="5" height="5" patternUnits="userSpaceOnUse">'
    '<rect width="5" height="5" fill="#fff"/><path d="M2.5 0V5" stroke="#111" stroke-width="1.6"/></pattern>'
    '<pattern id="plan-tax" width="8" height="8" patternUnits="userSpaceOnUse">'
    '<rect width="8" height="8" fill="#555"/><path d="M0 4H8M4 0V8" stroke="#fff" stroke-width="1.2"/></pattern>'
)


@dataclass(frozen=True, slots=True)
class _Bar:
    """One order: what it is called, what it is made of, what is said behind its total."""

    name: str
    made_of: MadeOf
    said: str = ""

    @property
    def parts(self) -> tuple[tuple[str, float], ...]:
        """Each part's pattern with its amount, from left to right."""
        made = self.made_of
        amounts = (made.goods, made.leftovers, made.shipping, made.import_fee, made.tax)
        return tuple((pattern, amount) for (pattern, _), amount in zip(PARTS, amounts, strict=True))


def plan_picture(answer: ShopPlan) -> str:
    """An SVG of the plan, which orders something, and of each habit that gives an order."""
    bars, unit = list(_bars(answer)), answer.currency
    scale = Scale(0.0, max(b.made_of.total for b in bars) * 1.001 or 1.0, LEFT, RIGHT)
    foot = TOP + STEP * len(bars)
    there = {name for bar in bars for name, amount in bar.parts if amount > 0}
    shown = [name for name, _ in PARTS if name in there]
    parts = [
        *_axis(scale, foot, unit),
        *(shape for row, bar in enumerate(bars) for shape in _bar(bar, TOP + STEP * row, scale, unit)),
        *_key(shown, foot + 52),
    ]
    title = f"What the plan costs, and what two habits would have cost ({unit})"
    heading = (text(LEFT, 28, title, "title"), text(LEFT, 50, answer.proof, "small"))
    size = (WIDTH, foot + 52 + 26 * len(shown))
    return drawing(title, size, STYLE, [*heading, *parts], kind="plan", defs=PATTERNS)


def _bars(answer: ShopPlan) -> Iterator[_Bar]:
    if answer.made_of:
        yield _Bar("this plan", answer.made_of)
    for habit in answer.habits:
        if habit.made_of:
            more = habit.more or 0.0
            yield _Bar(habit.name, habit.made_of, f"{more:.2f} more" if more >= 0.005 else "")


def _bar(bar: _Bar, top: float, scale: Scale, unit: str) -> Iterator[str]:
    """The name above, the segments, their figures where there is room, the total behind."""
    yield text(LEFT, top + 14, bar.name, "on name")
    left = 0.0
    for name, amount in bar.parts:
        if amount > 0:
            yield from _segment(name, amount, scale.at(left), scale.at(left + amount), top + 22)
            left += amount
    yield text(scale.at(left) + 8, top + 38, f"{bar.made_of.total:.2f} {unit}", "total")
    yield text(scale.at(left) + 8, top + 55, bar.said, "small")


def _segment(name: str, amount: float, start: float, end: float, top: float) -> Iterator[str]:
    shape = rect(start, top, end - start, BAR, "box", filled(f"plan-{name}"))
    yield f"<g><title>{_words(name)} {amount:.2f}</title>{shape}</g>"
    label = f"{amount:.2f}"
    if end - start > LETTER * len(label) + 6:
        yield text((start + end) / 2, top + BAR / 2 + 5, label, "on", "middle")


def _axis(scale: Scale, foot: float, unit: str) -> Iterator[str]:
    for tick in scale.ticks():
        x = scale.at(tick)
        yield path(f"M{number(x)} {number(TOP)}V{number(foot)}", "grid")
        yield text(x, foot + 18, f"{tick:g}", "small", "middle")
    yield path(f"M{number(LEFT)} {number(foot)}H{number(RIGHT)}", "axis")
    yield text(RIGHT + 10, foot + 18, unit, "small")


def _key(shown: list[str], top: float) -> Iterator[str]:
    for row, name in enumerate(shown):
        y = top + 26 * row
        yield rect(LEFT, y - 14, 36, 18, "box", filled(f"plan-{name}"))
        yield text(LEFT + 46, y, _words(name))


def _words(name: str) -> str:
    return dict(PARTS)[name]


_MARGIN_MM, BAR_MM, ROW_MM, TALL_MM = 6.0, 150.0, 25.0, 9.0
_LINE, _WHITE = 'fill="none" stroke="#111" stroke-width=".3"', 'fill="none" stroke="#fff" stroke-width=".25"'


@dataclass(frozen=True, slots=True)
class Cut:
    """A piece of the bar: how much of a sale it is, its word, and its tile of 2 mm: the ground and what is drawn on
    it."""

    tile: str
    word: str
    of: Callable[[SoldAt], Money]
    ground: str
    drawn: str = ""


CUTS = (
    Cut("cost", "parts", lambda sale: sale.cost, "#cfcfcf"),
    Cut(
        "packing",
        "packing",
        lambda sale: sale.packing,
        "#fff",
        f'<path {_LINE} d="M-.5 .5L.5 -.5M0 2L2 0M1.5 2.5L2.5 1.5"/>',
    ),
    Cut("labour", "labour", lambda sale: sale.labour, "#fff", '<circle cx="1" cy="1" r=".35" fill="#111"/>'),
    Cut("postage", "postage", lambda sale: sale.postage, "#fff", f'<path {_LINE} d="M1 0V2"/>'),
    Cut("fee", "fees", lambda sale: sale.fee, "#fff", f'<path {_LINE} d="M0 1H2"/>'),
    Cut("tax", "tax", lambda sale: sale.tax, "#555", f'<path {_WHITE} d="M0 1H2M1 0V2"/>'),
    Cut("profit", "profit left", lambda sale: sale.profit, "#111"),
)
_CUT_STYLE = (
    "text{font:2.6px sans-serif;fill:#111}.b{font-weight:bold;font-size:3.4px}.s{font-size:2.3px}"
    ".cut,.key{stroke:#111;stroke-width:.2}"
    ".loss{fill:none;stroke:#111;stroke-width:.5;stroke-dasharray:1.2 .8}.end{stroke:#111;stroke-width:.4}"
)


def cost_bars(kits: Sequence[CostedKit]) -> str:
    """The picture as SVG; kits without a price are named below it."""
    sold = [(kit.kit, kit.sale) for kit in kits if kit.sale]
    unsold = [kit.kit for kit in kits if not kit.sale]
    most = max((_reach(sale) for _, sale in sold), default=Decimal(1)) or Decimal(1)
    rows = "".join(_cut_row(kit, sale, most, 8 + ROW_MM * n) for n, (kit, sale) in enumerate(sold))
    height = 8 + ROW_MM * len(sold) + (6 if unsold else 0)
    note = f"no price is known for {', '.join(unsold)}" if unsold else ""
    tail = text(_MARGIN_MM, height - 3, note, "s")
    size = (_MARGIN_MM * 2 + BAR_MM, height)
    title = "Where the price of a kit goes"
    return drawing(title, size, _CUT_STYLE, [rows, tail], unit="mm", defs="".join(map(_tile, CUTS)))


def _reach(sale: SoldAt) -> Decimal:
    """How far the bar goes: to the takings, or to what it costs where that is more."""
    return sum((max(cut.of(sale).amount, Decimal(0)) for cut in CUTS), Decimal(0))


def _cut_row(kit: str, sale: SoldAt, most: Decimal, top: float) -> str:
    scale = BAR_MM / float(most)
    margin = "" if sale.margin_pct is None else f", {sale.margin_pct} % of the price without tax"
    loss = Money.zero(sale.profit.currency) - sale.profit
    left = f"leaves {bare(sale.profit)}" if loss.amount <= 0 else f"loses {bare(loss)}"
    x, parts = _MARGIN_MM, [text(_MARGIN_MM, top, f"{kit}: {money(sale.price)} {left}{margin}", "b")]
    for n, cut in enumerate(CUTS):
        wide = float(cut.of(sale).amount) * scale
        if wide > 0:
            parts.append(_share(cut, x, top + 2, wide))
            x += wide
        parts.append(_legend(_MARGIN_MM + n * BAR_MM / len(CUTS), top + 15, cut, cut.of(sale)))
    if loss.amount > 0:
        parts.append(_loss(x, top + 2, float(loss.amount) * scale))
    return "".join(parts)


def _share(cut: Cut, x: float, y: float, wide: float) -> str:
    return rect(x, y, wide, TALL_MM, "cut", filled(f"cut-{cut.tile}"))


def _loss(end: float, y: float, wide: float) -> str:
    """What the price does not pay for: the end of the bar, framed in dashes, from where the price ends."""
    start = end - wide
    price_ends = path(f"M{number(start)} {number(y - 1)}v{number(TALL_MM + 2)}", "end")
    return rect(start, y, wide, TALL_MM, "loss") + price_ends


def _legend(x: float, y: float, cut: Cut, share: Money) -> str:
    swatch = rect(x, y - 2.4, 4, 3, "key", filled(f"cut-{cut.tile}"))
    return swatch + text(x + 4.8, y, cut.word) + text(x + 4.8, y + 3.4, bare(share) or "")


def _tile(cut: Cut) -> str:
    return (
        f'<pattern id="cut-{cut.tile}" width="2" height="2" patternUnits="userSpaceOnUse">'
        f'<rect width="2" height="2" fill="{cut.ground}"/>{cut.drawn}</pattern>'
    )
