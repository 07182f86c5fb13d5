"""Knows the picture of where a kit's price goes: a bar for each kit, cut into parts, packing, labour, postage, fees,
tax and profit left, all to one scale; a loss is framed in dashes. Cuts are told apart by greys and hatches, so a
copier keeps them apart too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from html import escape

from bom.answers.kits import CostedKit, SoldAt
from bom.paper.for_the_eye import bare, money
from bom.paper.readable import one_line
from bom.values.money import Money

LEFT, BAR_MM, ROW_MM, TALL_MM = 6.0, 150.0, 25.0, 9.0
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
_STYLE = (
    "text{font:2.6px sans-serif;fill:#111}.b{font-weight:bold;font-size:3.4px}.s{font-size:2.3px}"
    ".cut,.key{stroke:#111;stroke-width:.2}"
    ".loss{fill:none;stroke:#111;stroke-width:.5;stroke-dasharray:1.2 .8}.end{stroke:#111;stroke-width:.4}"
)


def cost_bars(kits: Sequence[CostedKit]) -> str:
    """The picture as SVG; kits without a price are named below it."""
    sold = [(kit.kit, kit.sale) for kit in kits if kit.sale]
    unsold = [kit.kit for kit in kits if not kit.sale]
    most = max((_reach(sale) for _, sale in sold), default=Decimal(1)) or Decimal(1)
    rows = "".join(_row(kit, sale, most, 8 + ROW_MM * n) for n, (kit, sale) in enumerate(sold))
    height = 8 + ROW_MM * len(sold) + (6 if unsold else 0)
    note = f"no price is known for {', '.join(unsold)}" if unsold else ""
    tail = _text(LEFT, height - 3, note, "s") if note else ""
    return _svg(LEFT * 2 + BAR_MM, height, rows + tail)


def _reach(sale: SoldAt) -> Decimal:
    """How far the bar goes: to the takings, or to what it costs where that is more."""
    return sum((max(cut.of(sale).amount, Decimal(0)) for cut in CUTS), Decimal(0))


def _row(kit: str, sale: SoldAt, most: Decimal, top: float) -> str:
    scale = BAR_MM / float(most)
    margin = "" if sale.margin_pct is None else f", {sale.margin_pct} % of the price without tax"
    loss = Money.zero(sale.profit.currency) - sale.profit
    left = f"leaves {bare(sale.profit)}" if loss.amount <= 0 else f"loses {bare(loss)}"
    x, parts = LEFT, [_text(LEFT, top, f"{kit}: {money(sale.price)} {left}{margin}", "b")]
    for n, cut in enumerate(CUTS):
        wide = float(cut.of(sale).amount) * scale
        if wide > 0:
            parts.append(_cut(cut, x, top + 2, wide))
            x += wide
        parts.append(_legend(LEFT + n * BAR_MM / len(CUTS), top + 15, cut, cut.of(sale)))
    if loss.amount > 0:
        parts.append(_loss(x, top + 2, float(loss.amount) * scale))
    return "".join(parts)


def _cut(cut: Cut, x: float, y: float, wide: float) -> str:
    size = f'x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{TALL_MM:g}"'
    return f'<rect class="cut" {size} fill="url(#cut-{cut.tile})"/>'


def _loss(end: float, y: float, wide: float) -> str:
    """What the price does not pay for: the end of the bar, framed in dashes, from where the price ends."""
    start = end - wide
    size = f'x="{start:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{TALL_MM:g}"'
    price_ends = f'<path class="end" d="M{start:.2f} {y - 1:.2f}v{TALL_MM + 2:g}"/>'
    return f'<rect class="loss" {size}/>{price_ends}'


def _legend(x: float, y: float, cut: Cut, share: Money) -> str:
    swatch = f'<rect class="key" x="{x:.2f}" y="{y - 2.4:.2f}" width="4" height="3" fill="url(#cut-{cut.tile})"/>'
    return swatch + _text(x + 4.8, y, cut.word) + _text(x + 4.8, y + 3.4, bare(share) or "")


def _text(x: float, y: float, text: str, kind: str = "") -> str:
    style = f' class="{kind}"' if kind else ""
    return f'<text x="{x:.2f}" y="{y:.2f}"{style}>{escape(one_line(text))}</text>'


def _svg(width: float, height: float, inside: str) -> str:
    tiles = "".join(
        f'<pattern id="cut-{cut.tile}" width="2" height="2" patternUnits="userSpaceOnUse">'
        f'<rect width="2" height="2" fill="{cut.ground}"/>{cut.drawn}</pattern>'
        for cut in CUTS
    )
    size = f'width="{width:g}mm" height="{height:g}mm" viewBox="0 0 {width:g} {height:g}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img"><title>Where the price of a kit goes</title>'
        f'<style>{_STYLE}</style><defs>{tiles}</defs><rect width="{width:g}" height="{height:g}" fill="#fff"/>'
        f"{inside}</svg>\n"
    )
