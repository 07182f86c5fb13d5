"""What each file may hold, told by the very descriptions that read it, the lists that screens refer to, and guides.

A new topic is one line in ``TOPICS`` and one function that gives it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from importlib.resources import files
from pathlib import PurePath

from bom.answers.catalogue import Guide
from bom.values.column import Column, Topic, closed, folded, nearest
from bom.values.problem import Problem, Refused


def explain(name: str) -> Topic:
    """The topic of this name, also as a path or without its ending; refused with the nearest where there is none."""
    return TOPICS[_known(name)]()


def explain_column(name: str, column: str) -> Topic:
    """The topic cut down to one column or key."""
    topic = explain(name)
    if found := _called(topic.columns, column):
        return Topic(topic.name, topic.about, found)
    near = nearest(column, (*topic.columns, *map(_last, topic.columns)))
    hint = f" (is {near} meant?)" if near else ""
    raise Refused(f"{topic.name}: expected one of its columns or keys{hint}, found {column!r}")


def _called(columns: Mapping[str, Column], name: str) -> dict[str, Column]:
    """The column of this name, else the keys that end in it, whatever table they stand in."""
    if known := closed(columns).meant(name):
        return {known: columns[known]}
    return {path: column for path, column in columns.items() if folded(_last(path)) == folded(name)}


def _last(path: str) -> str:
    return path.rpartition(".")[2]


def topic_of(problem: Problem) -> str:
    """The topic that explains the file of this problem, by the file's name or by the table that its key stands in."""
    table = re.split(r"[.\[]", problem.column)[0]
    under_it = (f"{table}.", f"{table}[")
    named = (name for name in TOPICS if "." in name and problem.file.endswith(name))
    holding = (n for n in TOPICS if n.endswith(".toml") and any(p.startswith(under_it) for p in TOPICS[n]().columns))
    return next(named, "") or next(holding, "")


def pointer(problems: Iterable[Problem]) -> str:
    """The commands that explain the files of these problems, to end their list with; nothing where none does."""
    known = [f"bom explain {name}" for name in dict.fromkeys(map(topic_of, problems)) if name]
    return f"What may stand there: {', '.join(known)}" if known else ""


def topics() -> dict[str, str]:
    """Every guide, then every topic, and what it is, in order."""
    return {name: guide(name).about for name in GUIDES} | {name: topic().about for name, topic in TOPICS.items()}


GUIDES = ("your-own-shop", "tech", "shop", "seller")
"""What walks a person through a job, word by word: a Markdown file each in the package's folder ``guides``."""


def guide_called(name: str) -> Guide | None:
    """The guide of this name as people type it, or None."""
    found = next((known for known in GUIDES if folded(known) == folded(name)), None)
    return None if found is None else guide(found)


def guide(name: str) -> Guide:
    """The guide, told by its first sentence."""
    text = files("bom").joinpath("guides", f"{name}.md").read_text(encoding="utf-8")
    first = next(part for part in text.split("\n\n")[1:] if part.strip())
    return Guide(name, " ".join(first.split()).partition(". ")[0].rstrip(".") + ".", text)


def _known(name: str) -> str:
    typed = PurePath(name).name
    by_fold = {folded(n): n for n in TOPICS} | {folded(n.rpartition(".")[0]): n for n in TOPICS if "." in n}
    if (known := by_fold.get(folded(typed))) is None:
        near = nearest(typed, (*GUIDES, *TOPICS))
        raise Refused(
            f"expected one of: {' | '.join((*GUIDES, *TOPICS))}{f' (is {near} meant?)' if near else ''}, found {name!r}"
        )
    return known


def _relays() -> Topic:
    from bom.relays.relay import Relay
    from bom.values.column import described

    return Topic("relays.csv", "A catalogue's relays, one a row.", described(Relay), notes=_CELLS)


def _footprints() -> Topic:
    from bom.intake.drawings import FOOTPRINT_COLUMNS

    return Topic("footprints.csv", "Drawings of pins, one pin a row.", FOOTPRINT_COLUMNS, notes=_CELLS)


def _wirings() -> Topic:
    from bom.intake.drawings import WIRING_COLUMNS

    about = "What the pins are joined to inside, one coil, contact or bridge a row."
    return Topic("wirings.csv", about, WIRING_COLUMNS, notes=_CELLS)


def _ratings() -> Topic:
    from bom.relays.relay import Rating
    from bom.values.column import described

    return Topic(
        "ratings.csv", "Published contact ratings, one line of a data sheet a row.", described(Rating), notes=_CELLS
    )


def _supplies() -> Topic:
    from bom.relays.relay import SupplyPart
    from bom.values.column import described

    about = "What a repair needs besides relays, one part a row."
    return Topic("supplies.csv", about, described(SupplyPart), notes=_CELLS)


def _series() -> Topic:
    from bom.intake.series_file import SERIES_KEYS

    return Topic(
        "series.toml",
        "A series sheet: a whole series of relays as its data sheet prints it.",
        SERIES_KEYS,
        notes=_SHEET,
    )


def _usual_wirings() -> Topic:
    from bom.relays.usual_wirings import USUAL, shown

    about = "What the trade's names for wirings stand for; a number is the place of a pin in pins."
    notes = ("Common practice, no source. A pin of a coil that must be plus is marked, as in 2(+) 1 3 4 5.",)
    return Topic("usual-wirings", about, entries=tuple((name, shown(name)) for name in USUAL), notes=notes)


def _holes() -> Topic:
    from bom.intake.drawings import HOLE_COLUMNS

    return Topic("holes.csv", "A board's hole patterns, one hole a row.", HOLE_COLUMNS, notes=_CELLS)


def _measured() -> Topic:
    from bom.intake.measured_file import MEASURED_KEYS

    about = "Holes or pins measured with callipers, or marked on a picture, for bom measure."
    return Topic("measured.toml", about, MEASURED_KEYS, notes=_KEYS[1:])


def _board() -> Topic:
    from bom.intake.board_file import BOARD_KEYS

    return Topic(
        "board.toml", "A board: the box, its positions, functions, loads and repairs.", BOARD_KEYS, notes=_KEYS
    )


def _kit() -> Topic:
    from bom.intake.kit_file import KIT_KEYS

    return Topic("kit.toml", "A kit: its lines, its packing and the market it is sold in.", KIT_KEYS, notes=_KEYS)


def _supplier() -> Topic:
    from bom.intake.supplier_file import SUPPLIER_KEYS

    about = "A supplier: its terms, and how its price list is read."
    return Topic("supplier.toml", about, SUPPLIER_KEYS, notes=_KEYS)


def _rates() -> Topic:
    from bom.intake.supplier_file import RATES_KEYS

    return Topic("rates.toml", "Dated exchange rates.", RATES_KEYS, notes=_KEYS)


def _rule() -> Topic:
    from bom.intake.rule_file import RULE
    from bom.values.column import under

    return Topic("rule.toml", "A shop's own rule of thumb.", under("rule", RULE), notes=_KEYS)


def _stock() -> Topic:
    from bom.intake.shelf_files import STOCK_COLUMNS

    return Topic("stock.csv", "What lies in the drawers, one lot a row.", STOCK_COLUMNS, notes=_CELLS)


def _usage() -> Topic:
    from bom.intake.shelf_files import USAGE_COLUMNS

    return Topic("usage.csv", "What was used when, one entry a row.", USAGE_COLUMNS, notes=_CELLS)


def _levels() -> Topic:
    from bom.intake.shelf_files import LEVEL_COLUMNS

    return Topic("levels.csv", "The levels that parts are ordered at, one part a row.", LEVEL_COLUMNS, notes=_CELLS)


def _quote() -> Topic:
    from bom.intake.filled_sheet import QUOTE_COLUMNS

    notes = ("Above them stand whom it is for and until when its prices hold; any other heading is refused.",)
    return Topic("quote.xlsx", "A quote that came back, one part a row.", QUOTE_COLUMNS, notes=notes)


def _orders() -> Topic:
    from bom.intake.reorder_sheet import HEADINGS, ORDER_COLUMNS

    notes = (f"For whoever looks at it, and not read: {', '.join(h for h in HEADINGS if h not in ORDER_COLUMNS)}.",)
    return Topic("reorder.xlsx", "An order book as it is sent, a supplier a sheet.", ORDER_COLUMNS, notes=notes)


def _reading() -> Topic:
    from bom.intake.reading_file import READING
    from bom.values.column import under

    notes = ("A value that begins with ? was proposed and waits for you; bom catalog reading FILE proposes one.",)
    return Topic("reading.toml", "How a spreadsheet of your own is read.", under("reading", READING), notes=notes)


def _counts() -> Topic:
    from bom.intake.shelf_files import COUNT_COLUMNS

    return Topic("counts.csv", "What a count of the shelf found, a lot or a part a row.", COUNT_COLUMNS, notes=_CELLS)


def _spec() -> Topic:
    from bom.match.spec_bounds import spec_keys

    notes = ('Keys stand under [spec]; a number may carry its unit in quotes, as in coil_volts = "12 V".',)
    return Topic("spec.toml", "What was measured on the bench, as bounds for a replacement.", spec_keys(), notes=notes)


def _sources() -> Topic:
    from bom.duty.sources import SOURCES

    entries = tuple((f"[{s.number}]", f"{s.publisher}: {s.title}, {s.edition}; {s.used}") for s in SOURCES)
    return Topic(
        "sources", "The publications that figures come from, by the number a screen gives them.", entries=entries
    )


def _cautions() -> Topic:
    from bom.duty.cautions import all_cautions

    return Topic("cautions", "Every caution in full, the gravest first.", entries=all_cautions())


_CELLS = (
    "A bare number is in the column's unit; a cell may carry its own, as in 7,5 mm or 0.787\".",
    "An empty cell is not stated. In words, capitals, spaces and hyphens make no difference.",
)

_KEYS = (
    "Keys with a path stand under its heading: position[].driver.drop_volts in driver = { … } under [[position]].",
    'A number may carry its unit in quotes, as in drop_volts = "900 mV". Keys that begin with note are free text;',
    'leave_out = ["NAME"] leaves keys and columns of your own out.',
)

_SHEET = (
    "A column stands in one of [shared], [coils] and a choice, but a choice may say other than [shared]; what a part's",
    'own table says goes before all. Empty text is not stated, as in coil_ohms_tol_pct = "".',
    "A sheet's only footprint is that of all its parts, as is its only wiring; of several the one without a name is",
    "that of each part that names none.",
    'operate_volts, release_volts, hold_volts, coil_max_volts may be a percentage of coil_volts, as in "75 %". These',
    "volts, and the ohms that a power or a current gives, are worked out to three figures: bom catalog check FILE.",
    *_KEYS[1:],
)

TOPICS: dict[str, Callable[[], Topic]] = {
    "relays.csv": _relays,
    "footprints.csv": _footprints,
    "wirings.csv": _wirings,
    "ratings.csv": _ratings,
    "supplies.csv": _supplies,
    "series.toml": _series,
    "holes.csv": _holes,
    "measured.toml": _measured,
    "stock.csv": _stock,
    "usage.csv": _usage,
    "levels.csv": _levels,
    "counts.csv": _counts,
    "reading.toml": _reading,
    "board.toml": _board,
    "kit.toml": _kit,
    "supplier.toml": _supplier,
    "rates.toml": _rates,
    "rule.toml": _rule,
    "spec.toml": _spec,
    "quote.xlsx": _quote,
    "reorder.xlsx": _orders,
    "usual-wirings": _usual_wirings,
    "sources": _sources,
    "cautions": _cautions,
}
