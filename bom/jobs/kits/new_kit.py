"""A new kit's file, written from a few answers and from what its board's file says of the repair."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bom.boards.board import Board
from bom.intake.kit_file import KIT, LINE, MARKET, PACKING, VERDICTS
from bom.jobs.new_files import answered, currency_of, file_for, one_of_each
from bom.jobs.new_files import named as name_given
from bom.paper.toml_out import Section, drafted, keys_of
from bom.paper.writing import write_new
from bom.shop.places import board_called
from bom.shop.shop import Shop
from bom.store.settings import kept_settings
from bom.values.problem import Refused
from bom.values.quantity import read_amount

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class KitAnswers:
    """What was answered, as it was typed; empty = not known. Each of ``parts`` is ``PART=AMOUNT``, alone one piece.

    Without ``positions`` those of the board's repair are taken. An empty ``currency`` is the shop's own.
    """

    board: str = ""
    repair: str = ""
    positions: Sequence[str] = ()
    parts: Sequence[str] = ()
    kits: Sequence[str] = ()
    currency: str = ""
    price: str = ""
    margin: str = ""


def new_kit(session: Session | None, name: str, answers: KitAnswers, out: Path | None = None) -> Path:
    """Write the kit's file; nothing is written over. Refuses answers that no kit can have."""
    name = name_given(KIT["name"], name)
    file = file_for(name, out)
    shop = Shop(session) if session is not None else None
    board, lines, market = answers_read(session, answers)
    if not lines:
        raise Refused("expected what goes into it: --position, --part or --kit, or --board with --repair")
    stated = {
        "name": name,
        "board": (board.name if board else answers.board) or None,
        "repair": repair_of(board, answers.repair) or None,
        "currency": currency_of(shop, answers.currency),
    }
    sections = [
        Section("[kit]", keys_of(KIT, ("board", "repair", "batch", "attrition_pct"), stated)),
        *(Section("[[line]]", keys_of(LINE, (), line)) for line in lines),
        Section("[packing]", keys_of(PACKING, ("cost", "postage", "minutes", "hourly_rate"), {}), example=True),
        market,
    ]
    write_new({file: drafted(_opening(file), sections)})
    return file


Line = dict[str, object]


def answers_read(session: Session | None, answers: KitAnswers) -> tuple[Board | None, list[Line], Section]:
    """The board, the lines and the market that were answered; refuses answers that no kit can have."""
    shop = Shop(session) if session is not None else None
    if answers.currency.strip():
        currency_of(shop, answers.currency)
    board = board_of(shop, answers.board)
    kits: list[Line] = [{"kit": kit} for kit in answers.kits if kit]
    lines = [*_by_position(board, answers), *_parts(answers.parts), *kits]
    return board, lines, _market(shop, answers)


def _opening(file: Path) -> tuple[str, ...]:
    return (
        "A key behind a # is not stated: take the # away and put your own figure in the place of the example.",
        f"What stands in the way: bom kit check {file}. Every key: bom explain kit.toml.",
    )


def board_of(shop: Shop | None, name: str) -> Board | None:
    """The board named, which the shop must have where there is a shop."""
    return board_called(shop.boards, name) if shop is not None and name.strip() else None


def repair_of(board: Board | None, repair: str) -> str:
    """The repair as the board's file spells it; any where the board is not known."""
    if board is None or not repair.strip():
        return repair.strip()
    names = [one.name for one in board.repairs]
    if (found := next((n for n in names if n.casefold() == repair.strip().casefold()), None)) is None:
        raise Refused(f"--repair: expected a repair of {board.name}, {' or '.join(names) or 'none'}, found {repair!r}")
    return found


def _by_position(board: Board | None, answers: KitAnswers) -> Iterator[Line]:
    """A line for each relay by its place: those named, else those that serve the repair."""
    if answers.positions and not answers.board.strip():
        raise Refused("--position: expected --board NAME beside it")
    repair = repair_of(board, answers.repair)
    serving = next((one.positions for one in board.repairs if one.name == repair), ()) if board else ()
    for ref in dict.fromkeys(answers.positions or serving):
        place = next((p.ref for p in board.positions if p.ref.casefold() == ref.casefold()), "") if board else ref
        if not place.strip():
            refs = ", ".join(p.ref for p in board.positions) if board else "K1"
            raise Refused(f"--position: expected one of {refs}, found {ref!r}")
        yield {"position": place, "accept": [VERDICTS.words[0]]}


def _parts(parts: Iterable[str]) -> Iterator[Line]:
    for part, amount in one_of_each(list(parts), "--part", "PART=AMOUNT, as in SAC305-1.0=1.2 g").items():
        try:
            quantity, unit = read_amount(amount or "1 piece")
        except Refused as refused:
            raise Refused(f"--part: {refused}") from None
        if quantity <= 0:
            raise Refused(f"--part: expected an amount above 0, found {amount!r}")
        yield {"part": part, "quantity": f"{quantity:f} {unit}"}


def _market(shop: Shop | None, answers: KitAnswers) -> Section:
    """Price or margin, where one is answered; else the whole table is an example."""
    if answers.price.strip() and answers.margin.strip():
        raise Refused("expected either --price or --margin, found both")
    said = shop is not None and bool(kept_settings(shop.session).get("tax_registered"))
    stated = {
        "tax_registered": shop.settings.tax_registered if shop is not None and said else None,
        "price": answered(MARKET["price"], answers.price, "--price"),
        "margin_pct": answered(MARKET["margin_pct"], answers.margin, "--margin"),
    }
    sold = any(stated[key] is not None for key in ("price", "margin_pct"))
    shown = ("tax_registered", "tax_pct", "fee_pct", "fee_fixed", "postage_charged", *(() if sold else ("price",)))
    about = "" if said or not sold else "Say here whether the shop, and so the price, is taxed: nobody has said so yet."
    return Section("[market]", keys_of(MARKET, shown, stated), about, example=not sold)
