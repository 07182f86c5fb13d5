"""Knows how a plan is drawn beside the habits: a stacked bar each, its parts told apart by patterns, not by colour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from bom.answers.buying import MadeOf, ShopPlan
from bom.paper.pictures.axes import Scale
from bom.paper.readable import one_line

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
    return _svg(title, answer.proof, parts, foot + 52 + 26 * len(shown))


def _bars(answer: ShopPlan) -> Iterator[_Bar]:
    if answer.made_of:
        yield _Bar("this plan", answer.made_of)
    for habit in answer.habits:
        if habit.made_of:
            more = habit.more or 0.0
            yield _Bar(habit.name, habit.made_of, f"{more:.2f} more" if more >= 0.005 else "")


def _bar(bar: _Bar, top: float, scale: Scale, unit: str) -> Iterator[str]:
    """The name above, the segments, their figures where there is room, the total behind."""
    yield _text(LEFT, top + 14, bar.name, "on name")
    left = 0.0
    for name, amount in bar.parts:
        if amount > 0:
            yield from _segment(name, amount, scale.at(left), scale.at(left + amount), top + 22)
            left += amount
    yield _text(scale.at(left) + 8, top + 38, f"{bar.made_of.total:.2f} {unit}", "total")
    yield _text(scale.at(left) + 8, top + 55, bar.said, "small")


def _segment(name: str, amount: float, start: float, end: float, top: float) -> Iterator[str]:
    yield (
        f'<rect class="box" x="{start:.1f}" y="{top:.1f}" width="{end - start:.1f}" height="{BAR}"'
        f' fill="url(#plan-{name})"><title>{_words(name)} {amount:.2f}</title></rect>'
    )
    label = f"{amount:.2f}"
    if end - start > LETTER * len(label) + 6:
        yield _text((start + end) / 2, top + BAR / 2 + 5, label, "on", "middle")


def _axis(scale: Scale, foot: float, unit: str) -> Iterator[str]:
    for tick in scale.ticks():
        x = scale.at(tick)
        yield f'<path class="grid" d="M{x:.1f} {TOP:.1f}V{foot:.1f}"/>'
        yield _text(x, foot + 18, f"{tick:g}", "small", "middle")
    yield f'<path class="axis" d="M{LEFT} {foot:.1f}H{RIGHT}"/>'
    yield _text(RIGHT + 10, foot + 18, unit, "small")


def _key(shown: list[str], top: float) -> Iterator[str]:
    for row, name in enumerate(shown):
        y = top + 26 * row
        yield f'<rect class="box" x="{LEFT}" y="{y - 14:.1f}" width="36" height="18" fill="url(#plan-{name})"/>'
        yield _text(LEFT + 46, y, _words(name))


def _words(name: str) -> str:
    return dict(PARTS)[name]


def _text(x: float, y: float, text: str, kind: str = "", anchor: str = "") -> str:
    if not text:
        return ""
    marks = (f' class="{kind}"' if kind else "") + (f' text-anchor="{anchor}"' if anchor else "")
    return f'<text x="{x:.1f}" y="{y:.1f}"{marks}>{escape(one_line(text))}</text>'


def _svg(title: str, proof: str, parts: list[str], height: float) -> str:
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="plan" width="{WIDTH:g}" height="{height:g}"'
        f' viewBox="0 0 {WIDTH:g} {height:g}" role="img">'
    )
    named = f"<title>{escape(title)}</title><style>{STYLE}</style><defs>{PATTERNS}</defs>"
    back = f'<rect width="{WIDTH:g}" height="{height:g}" fill="#fff"/>'
    heading = _text(LEFT, 28, title, "title") + _text(LEFT, 50, proof, "small")
    return "\n".join([head, named, back, heading, *(p for p in parts if p), "</svg>", ""])
