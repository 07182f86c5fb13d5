"""A kit's file checked or taken, and a kit taken out again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.catalogue import FileChecked
from bom.intake.kit_file import take_kit
from bom.kits.kit import Kit, way_back
from bom.relays.relay import Relay, SupplyPart
from bom.shop.names import (
    kit_named,
    name_meant,
    resting_on,
    whose_is_meant,
    with_our_names,
)
from bom.shop.settings import settle
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.store.boards_and_kits import forget_kit as forget
from bom.store.boards_and_kits import kit as kept_kit
from bom.store.boards_and_kits import lots_of
from bom.store.boards_and_kits import take_kit as keep_kit
from bom.values.difference import Difference, Replacing, changes_between
from bom.values.finding import Verdict
from bom.values.part_number import suggest
from bom.values.problem import ProblemsFound, Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


_VERDICTS = (Verdict.DROP_IN.words, Verdict.CONDITIONAL.words)


def add_kit(session: Session, file: Path, replacing: Replacing | None = None) -> list[str]:
    """Take a kit's file; what to tell the user. Raises ProblemsFound; WouldReplace where it is kept with something else
    in it and may not be replaced; Refused where the kit would hold itself, takes a part in another unit than it is kept
    in, accepts what is neither a verdict nor a known part, or names what its board does not have."""
    stated, notes = take_kit(file)
    return take_stated_kit(session, stated, file, notes, replacing)


def take_stated_kit(
    session: Session, stated: Kit, file: Path, notes: Sequence[str] = (), replacing: Replacing | None = None
) -> list[str]:
    """Take a kit that was read from this file, as ``add_kit`` does."""
    shop = Shop(session)
    kit = with_our_names(shop, stated)
    if wrong := _wrong_in(shop, kit, file):
        raise Refused("\n".join(wrong))
    if (kept := kept_kit(shop.session, kit.name)) is not None:
        changes = tuple(changes_between(kept, stated))
        (replacing or Replacing()).settle([Difference(f"kit {kit.name}", changes, resting_on(shop, kit.name))])
    keep_kit(shop.session, stated)
    lines = f"{len(kit.lines)} line" + ("" if len(kit.lines) == 1 else "s")
    return [
        f"kit {kit.name}: {lines}{', unchanged' if kept == stated else ''}",
        *(f"note: {note}" for note in (*notes, *_not_known(shop, kit), *_unlikely(kit))),
        *settle(shop.session, currency=kit.currency, tax_registered=kit.market.tax_registered if kit.market else None),
    ]


def check_kit_file(session: Session | None, file: Path) -> FileChecked:
    """A kit's file read as taking it would read it; nothing is taken. Without a session no part or board is known, and
    only the file itself is looked at."""
    try:
        stated, notes = take_kit(file)
    except ProblemsFound as found:
        return FileChecked(str(file), "kit", None, found.problems, (), ())
    if session is None:
        empty = tuple(_empty_words(stated))
        return FileChecked(str(file), "kit", stated.name, (), empty, (*notes, *_unlikely(stated), *_unpriced(stated)))
    shop = Shop(session)
    kit = with_our_names(shop, stated)
    wrong = tuple(_wrong_in(shop, kit, file))
    unserved = () if wrong else tuple(_unserved(shop, kit))
    said = (*notes, *_not_known(shop, kit), *unserved, *_unlikely(kit), *_unpriced(kit))
    return FileChecked(str(file), "kit", kit.name, (), wrong, said)


def _unserved(shop: Shop, kit: Kit) -> Iterator[str]:
    """Positions that no part of the catalogue serves as the kit would have it, and why none does."""
    sourcing = Sourcing(shop)
    for line in (line for line in kit.lines if line.position and kit.board in shop.boards):
        if not sourcing.served_by(kit, line):
            yield f"{line.position}: no part serves it: {sourcing.why_none(kit, line)}"


def _wrong_in(shop: Shop, kit: Kit, file: Path) -> list[str]:
    """Why the kit cannot be taken, a line each, with its place in the file."""
    checks = (_empty, _in_itself, _two_makers, _wrong_units, _wrong_accepted, _misspelt)
    return [_placed(file, why) for check in checks for why in check(shop, kit)]


def _unpriced(kit: Kit) -> Iterator[str]:
    """What nobody has stated of its terms, and what that makes of its profit."""
    market = kit.market
    if market is None or (market.price is None and market.margin_pct is None):
        yield "no price and no margin_pct under [market]: what it leaves is not known"
    if kit.packing is None:
        yield "nothing under [packing]: packing and postage count as nothing"
    if market is not None and not market.fee_pct:
        yield "no fee_pct under [market]: the marketplace's share counts as nothing"


def _empty(shop: Shop, kit: Kit) -> Iterator[str]:
    yield from _empty_words(kit)


def _empty_words(kit: Kit) -> Iterator[str]:
    if not kit.lines:
        yield f"kit {kit.name} has no [[line]]: nothing goes into it"


def _in_itself(shop: Shop, kit: Kit) -> Iterator[str]:
    if around := way_back(kit, shop.kits):
        yield f"a kit cannot hold itself: {' > '.join(around)}"


def _two_makers(shop: Shop, kit: Kit) -> Iterator[str]:
    """A number that two makers share does not say which part goes into the bag."""
    for text in dict.fromkeys(word for line in kit.lines for word in (line.part, *line.accept)):
        if text and (makers := shop.names.makers(text)):
            yield whose_is_meant(text, makers)


def _wrong_units(shop: Shop, kit: Kit) -> Iterator[str]:
    known = shop.parts
    for line in kit.lines:
        part = known.get(line.part)
        kept = part.unit if isinstance(part, SupplyPart) else "piece"
        if part is not None and kept != line.unit:
            yield f"part {line.part!r} is kept in {kept}, and the kit takes it by the {line.unit}"


def _wrong_accepted(shop: Shop, kit: Kit) -> Iterator[str]:
    """A word nobody can have meant would make a line that no part ever serves."""
    words = dict.fromkeys(word for line in kit.lines for word in line.accept if word not in _VERDICTS)
    parts = {name for name, part in shop.parts.items() if isinstance(part, Relay)} if words else set()
    for word in words:
        if name_meant(shop, word) not in parts:
            near = get_close_matches(word.casefold(), _VERDICTS, 1, 0.8) or suggest(word, parts)
            meant = f" (is {' or '.join(near)} meant?)" if near else ""
            yield f"accept: expected {', '.join(_VERDICTS)} or a part number in the catalogue, found {word!r}{meant}"


def _misspelt(shop: Shop, kit: Kit) -> Iterator[str]:
    """Names that a board which is known does not have, and parts that are one slip away from one in the catalogue."""
    if (board := shop.boards.get(kit.board)) is not None:
        if kit.repair and kit.repair not in (names := [r.name for r in board.repairs]):
            yield f"board {board.name} has no repair {kit.repair!r}; it has {', '.join(names) or 'none'}"
        for ref in (line.position for line in kit.lines):
            if ref and board.position(ref) is None:
                yield f"board {board.name} has no position {ref!r}; it has {', '.join(p.ref for p in board.positions)}"
    parts = shop.parts
    for part in (line.part for line in kit.lines):
        if part and part not in parts and (near := suggest(part, parts)):
            yield f"part {part!r} is not in the catalogue; is {' or '.join(near)} meant?"


def _placed(file: Path, why: str) -> str:
    """What is wrong, with the line of the file where the name that it quotes stands."""
    quoted = why.partition("'")[2].partition("'")[0]
    lines = file.read_text(encoding="utf-8-sig").splitlines()
    line = next((f":{n}" for n, text in enumerate(lines, 1) if quoted and f'"{quoted}"' in text), "")
    return f"{file.name}{line}: {why}"


def _unlikely(kit: Kit) -> Iterator[str]:
    """A percentage below 1 is a share of 1 more often than a percentage: common practice, no source."""
    if kit.market is not None and 0 < kit.market.tax_pct < 1:
        as_percent = f"{(kit.market.tax_pct * 100).normalize():f}"
        yield f"tax_pct = {kit.market.tax_pct} is less than 1 %; write {as_percent} if {as_percent} % is meant"


def _not_known(shop: Shop, kit: Kit) -> Iterator[str]:
    """What the kit speaks of and the shop does not have yet: a board, a part, a kit inside."""
    parts, kits, board = shop.parts, shop.kits, shop.boards.get(kit.board)
    if kit.board and board is None:
        yield f"board {kit.board} is not known yet: bom board add FILE"
    for line in kit.lines:
        if line.part and line.part not in parts:
            yield f"part {line.part} is not in the catalogue"
        if line.kit and line.kit not in kits:
            yield f"kit {line.kit}, which goes into it, is not known yet"


def forget_kit(session: Session, name: str) -> str:
    """Take a kit out again, its name as its file spells it; refused while lots, plans or other kits refer to it."""
    shop = Shop(session)
    kit = kit_named(shop, name).name
    if why := _referred(shop, kit):
        raise Refused(f"{kit} stays: {why}")
    forget(shop.session, kit)
    return kit


def _referred(shop: Shop, kit: str) -> str:
    """What still refers to the kit; empty for nothing."""
    if lots := lots_of(shop.session, kit):
        return f"kit lot {', '.join(lots[:3])}{' and more' if len(lots) > 3 else ''} is of it"
    if planned := shop.planned_kits.get(kit):
        return f"{planned} are planned; bom kit plan {kit!r} {planned} --fewer takes them off"
    holders = [k.name for k in shop.kits.values() if any(line.kit == kit for line in k.lines)]
    return f"it is a line of {', '.join(holders)}" if holders else ""
