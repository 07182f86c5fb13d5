"""Knows how a board looks in a terminal: its positions and their checks, what to check before parts, the rules."""

from __future__ import annotations

from collections.abc import Sequence

from bom.answers.catalogue import CategoryListed, RuleListed
from bom.answers.replacing import (
    BoardChecked,
    BoardFileChecked,
    BoardListed,
    BoardShown,
    PositionChecked,
    ProtectedLoad,
)
from bom.boards.board import Load, NetLoad
from bom.duty.before_parts import BeforeParts
from bom.duty.load_protection import LoadProtection
from bom.paper.before_checks import checks_of
from bom.paper.terminal.cautions import take_care
from bom.paper.terminal.tables import findings_table, problems_in, simple_table
from bom.values.finding import Outcome


def boards_table(boards: Sequence[BoardListed]) -> str:
    """Every board in a line."""
    if not boards:
        return "No board yet: bom board add FILE takes one."
    rows = [(b.name, b.title, b.positions, b.repairs) for b in boards]
    return simple_table("Boards", ["board", "title", "positions", "repairs"], rows)


def board_table(board: BoardShown) -> str:
    """A board's positions with their functions and loads, repairs, checks before parts, load protection, cautions."""
    rows = [
        (p.ref, p.fitted, f.name, f"{f.unit} {f.contact}", _load(f.load)) for p in board.positions for f in p.functions
    ]
    repairs = [(r.name, ", ".join(r.positions), "; ".join(r.symptoms)) for r in board.repairs]
    return (
        simple_table(f"{board.name}  {board.title}", ["position", "fitted", "function", "contact", "load"], rows)
        + _circuit_tables(board)
        + simple_table("Repairs", ["repair", "positions", "symptoms"], repairs)
        + before_parts_table(board.before_parts)
        + protection_table(board.protection)
        + take_care(board.cautions)
    )


def _circuit_tables(board: BoardShown) -> str:
    """The loads between nets, what holds the nets, and what is never on together; nothing where none is stated."""
    if not board.loads:
        return ""
    loads = [(x.name, f"{x.plus} → {x.minus}", _load(x.load), _called(x)) for x in board.loads]
    nets = [(net.name, net.is_.value, _with(net.volts, "V")) for net in board.nets]
    never = [(" and ".join(units),) for units in board.never]
    return (
        simple_table("Loads between nets: bom board circuit solves them", ["load", "nets", "what", "ways"], loads)
        + simple_table("Supplies and grounds", ["net", "is", "volts"], nets)
        + (simple_table("Never on together", ["units"], never) if never else "")
    )


def _called(load: NetLoad) -> str:
    return ", ".join(filter(None, (load.forward, load.reverse)))


def _load(load: Load) -> str:
    volts = _with(load.volts, "V") + (" AC" if load.supply == "ac" else "")
    parts = [load.kind, volts, _with(load.amps, "A")]
    parts.append(f"stall {load.stall_amps:g} A" if load.stall_amps is not None else "")
    return " ".join(p for p in parts if p)


def _with(value: float | None, unit: str) -> str:
    return "" if value is None else f"{value:g} {unit}"


def before_parts_table(groups: Sequence[BeforeParts]) -> str:
    """The checks of the whole board once, the caution that goes before them, and their sources below."""
    if not groups:
        return ""
    checks = checks_of(groups)
    rows = [(n, *check) for n, check in enumerate(checks.rows, 1)]
    cautions = simple_table(
        "Before a part is blamed, in this order", ["", ""], [("⚠", text) for text in checks.cautions]
    )
    table = simple_table("", ["", "check", "do", "right when"], rows)
    return f"\n{cautions}{table}" + simple_table("", ["", ""], [("sources", "; ".join(checks.sources))])


def protection_table(loads: Sequence[ProtectedLoad]) -> str:
    """What to add at each bare inductive load; loads that need the same are shown together."""
    alike: dict[object, tuple[list[str], LoadProtection]] = {}
    for load in loads:
        needed = load.protection
        names, _ = alike.setdefault((needed.ways, needed.joules), ([], needed))
        names.append(f"{load.position} {needed.function}")
    return "".join(_ways("; ".join(names), needed) for names, needed in alike.values())


def _ways(names: str, load: LoadProtection) -> str:
    rows = [(w.name, w.parts, _volts(w.peak_volts), w.remark) for w in load.ways]
    sources = "; ".join(dict.fromkeys(w.source for w in load.ways))
    table = simple_table(f"To add at the load, one of these: {names}", ["way", "parts", "peak", "remark"], rows)
    return table + simple_table("", ["", ""], [("energy", _energy(load)), ("sources", sources)])


def _volts(volts: float | None) -> str:
    return "not known" if volts is None else f"{volts:.0f} V"


def _energy(load: LoadProtection) -> str:
    if load.joules is None:
        return load.remark
    return f"each switching off at {load.amps:g} A gives back {load.joules:.3g} J"


def board_check_table(answer: BoardChecked) -> str:
    """A verdict for each position, then every finding that is no pass, then what to check before parts.

    Positions where the same part comes to the same are shown together.
    """
    alike: dict[object, tuple[list[str], PositionChecked]] = {}
    for position in answer.positions:
        key = (position.fitted, position.verdict, len(position.findings), position.open)
        alike.setdefault(key, ([], position))[0].append(position.ref)
    shown = f"rule of thumb, where no rating of a load's kind is published: {answer.rule}\n"
    shown += "".join(_checked(answer.board, refs, position) for refs, position in alike.values())
    care = take_care(answer.cautions)
    return shown + (f"\n{care}" if care else "") + before_parts_table(answer.before_parts)


def board_file_table(answer: BoardFileChecked) -> str:
    """What stands in the way of taking the file, else what to state next and what each position comes to today."""
    notes = "".join(f"note: {note}\n" for note in answer.notes)
    if answer.checked is None:
        return notes + problems_in(answer.problems)
    called = f"{answer.file}: board {answer.board} can be taken: bom board add {answer.file}\n"
    rows = [(n, one.where, one.what, ", ".join(one.positions), len(one.opens)) for n, one in enumerate(answer.next, 1)]
    headings = ["", "state", "that is", "at", "checks that wait"]
    wanted = simple_table("What to state next", headings, rows) if rows else "Nothing that was asked is unknown.\n"
    return notes + called + wanted + _today(answer.checked)


def _today(checked: BoardChecked) -> str:
    """What each position comes to; of what fails or hangs on a condition, the worst reason."""
    rows = [(p.ref, p.fitted or "nothing known", p.verdict, _worst(p)) for p in checked.positions]
    return simple_table("What is fitted, judged today", ["position", "fitted", "verdict", "why"], rows) if rows else ""


def _worst(position: PositionChecked) -> str:
    known = [f for f in position.open if f.outcome is not Outcome.UNKNOWN]
    if known:
        return f"{known[0].check}: {known[0].why}"
    unknown, passed = len(position.open), len(position.findings) - len(position.open)
    return f"{passed} checks pass, {unknown} wait for what is not stated" if unknown else f"all {passed} checks pass"


def _checked(board: str, refs: list[str], position: PositionChecked) -> str:
    passed = len(position.findings) - len(position.open)
    fitted = position.fitted or "nothing fitted"
    title = f"{board}:{', '.join(refs)}  {fitted}: {position.verdict.words}"
    return f"{title} ({passed} checks passed)\n" + (f"{findings_table(position.open)}\n" if position.open else "")


def rules_table(rules: Sequence[RuleListed | CategoryListed]) -> str:
    """What each rule of thumb prints, with its source; then load by load, so that those who differ stand together."""
    chosen = [r for r in rules if isinstance(r, RuleListed)]
    rows = [(_rule_name(r), r.prints, _rule_source(r)) for r in chosen]
    listed = simple_table("Rules of thumb, chosen by --rule", ["name", "prints", "source"], rows)
    sides = "".join(_side_by_side(chosen, volts) for volts in chosen[0].times)
    fixed = [r for r in rules if isinstance(r, CategoryListed)]
    return listed + sides + "".join(_fixed([r for r in fixed if r.kind == kind], kind) for kind in _FIXED)


_FIXED = {
    "utilisation category": "Utilisation categories, used by their name in a load or a rating",
    "contact rating designation": "Contact rating designations, used by their name in a rating",
}


def _fixed(rows: Sequence[CategoryListed], kind: str) -> str:
    """A table of a standard, its sources below where its rows share them."""
    sources = list(dict.fromkeys(r.source for r in rows))
    if len(sources) > 1:
        return simple_table(_FIXED[kind], ["name", "prints", "source"], [(r.name, r.prints, r.source) for r in rows])
    table = simple_table(_FIXED[kind], ["name", "prints"], [(r.name, r.prints) for r in rows])
    return table + "".join(f"source: {source}\n" for source in sources)


def _rule_name(rule: RuleListed) -> str:
    return f"{rule.name} (used unless another is chosen)" if rule.used_unless_chosen else rule.name


def _rule_source(rule: RuleListed) -> str:
    memory = "; from memory" if rule.from_memory else ""
    note = f"; {rule.note}" if rule.note else ""
    return f"{rule.source}{memory}{note}"


def _side_by_side(rules: Sequence[RuleListed], volts: str) -> str:
    """Loads for which two rules or more print a figure."""
    loads = dict.fromkeys(load for r in rules for load in r.times[volts])
    rows = []
    for load in loads:
        said = [(_span(*r.times[volts][load]), r.name) for r in rules if load in r.times[volts]]
        if len(said) > 1:
            rows.append((load, "; ".join(f"{span} ({name})" for span, name in said)))
    title = f"Running current is multiplied by, at {volts}, before it is held against the resistive rating"
    return simple_table(title, ["load", "by each source that says so"], rows)


def _span(low: float, high: float) -> str:
    return f"{low:.3g}" if low == high else f"{low:.3g} to {high:.3g}"
