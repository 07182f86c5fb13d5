"""The shop as one job sees it: who it is and what it has, each thing read when it is first asked for and kept.

A job makes one ``Shop`` of its session and hands it on. The session counts what is written through it; a Shop reads
anew whatever it read before the last of that, so what it says is never older than what the job itself did.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING, Any, Generic, TypeVar, cast, overload

from bom.boards.board import Board
from bom.buying.offer import Rates, Supplier
from bom.shop.names import with_our_names
from bom.shop.settings import settings_of
from bom.store import boards_and_kits, catalogue, offers, on_order, shelf
from bom.store.marks import marked
from bom.store.part_names import PartNames, part_names, parts_called
from bom.store.unit_of_work import writes_so_far

if TYPE_CHECKING:
    from bom.answers.settings import Settings
    from bom.kits.kit import Kit
    from bom.relays.catalogue import Catalogue
    from bom.relays.footprint import Footprint
    from bom.relays.relay import Design, Relay, SupplyPart
    from bom.relays.wiring import Wiring
    from bom.stock.ledger import Level, Lot
    from bom.store.offers import Confirmed
    from bom.store.on_order import Ordered
    from bom.store.shelf import Shelf
    from bom.store.unit_of_work import Session

T = TypeVar("T")

WHOLE = 1_000
"""So many relays are read, and proved, one and all: some tenths of a second."""


class read_once(Generic[T]):
    """A property of a Shop, read when it is first asked for and again after the job wrote."""

    def __init__(self, read: Callable[[Any], T]) -> None:
        self._read, self.__doc__ = read, read.__doc__

    @overload
    def __get__(self, shop: None, owner: type) -> read_once[T]: ...
    @overload
    def __get__(self, shop: Shop, owner: type) -> T: ...
    def __get__(self, shop: Shop | None, owner: type) -> read_once[T] | T:
        return self if shop is None else shop.kept(self._read, partial(self._read, shop))


class ByName(Mapping[str, T]):
    """What is known of each part, or of whatever else has a name, read when it is first asked for; ``expect`` has many
    read at once.

    ``besides`` are those to read with the first that is asked for. Its length, and whoever goes through it, knows only
    of what was asked for.
    """

    def __init__(self, read: Callable[[Collection[str]], Mapping[str, T]], besides: Iterable[str] = ()) -> None:
        self._read, self._besides, self._asked, self._found = read, besides, set[str](), dict[str, T]()

    def expect(self, parts: Iterable[str]) -> None:
        """These will be asked for."""
        if new := [part for part in dict.fromkeys(parts) if part not in self._asked]:
            new = [*new, *self._besides]
            self._besides = ()
            self._asked.update(new)
            self._found.update(self._read(new))

    def among(self, parts: Collection[str]) -> dict[str, T]:
        """Those of these parts of which something is known."""
        self.expect(parts)
        return {part: self._found[part] for part in parts if part in self._found}

    def __getitem__(self, part: str) -> T:
        self.expect((part,))
        return self._found[part]

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


class Shop:
    """One shop, read through ``session``; what it tells of a part goes by the part's name here."""

    def __init__(self, session: Session) -> None:
        self.session, self.today = session, date.today()
        self._kept: dict[Hashable, object] = {}
        self._as_of = writes_so_far(session)

    def kept(self, key: Hashable, read: Callable[[], T]) -> T:
        """What ``read`` gave when it was last called for this key; called again where the job wrote since."""
        if self._as_of != (now := writes_so_far(self.session)):
            self._kept, self._as_of = {}, now
        if key not in self._kept:
            self._kept[key] = read()
        return cast(T, self._kept[key])

    @read_once
    def settings(self) -> Settings:
        return settings_of(self.session)

    @property
    def currency(self) -> str:
        """The currency that it counts in."""
        return self.settings.counts_in

    @read_once
    def names(self) -> PartNames:
        return part_names(self.session)

    def called(self, text: str) -> list[tuple[str, str]]:
        """(number, maker) of every relay and supply that a text names, whoever makes it."""
        return self.calls.among((text,)).get(text, [])

    @read_once
    def calls(self) -> ByName[list[tuple[str, str]]]:
        """Each text that names a part to what it names."""
        return ByName(partial(parts_called, self.session))

    @read_once
    def catalogue(self) -> Catalogue:
        """The whole of it. A long one takes seconds: ask for it where every part matters."""
        return catalogue.whole_catalogue(self.session)

    @read_once
    def is_long(self) -> bool:
        """Whether the catalogue holds more relays than are read, and proved, one and all."""
        return marked(self.session, "relays") > WHOLE

    def around(self, text: str) -> Catalogue:
        """No less of the catalogue than the relays that this names: all of it, unless it is long."""
        if not self.is_long:
            return self.catalogue
        self.look_up([text])
        return self._looked_up[text]

    def look_up(self, texts: Iterable[str]) -> None:
        """Reads at once what ``around`` will be asked for by each of these."""
        new = [text for text in dict.fromkeys(texts) if text not in self._looked_up] if self.is_long else []
        if new:
            here = catalogue.catalogue_around(self.session, catalogue.named_any(self.session, new))
            self._looked_up.update(here.around(new))
            for relay in here.relays:
                self._relays_read.setdefault(self.names.name(relay.part_number, relay.maker), relay)

    @read_once
    def _looked_up(self) -> dict[str, Catalogue]:
        """What was read of a long catalogue, by the texts that it was read for."""
        return {}

    @read_once
    def _relays_read(self) -> dict[str, Relay]:
        """The relays of a long catalogue that were read, by their names here."""
        return {}

    def relay(self, text: str) -> Relay | None:
        """The one relay that this names; None where there is none, or two makers have that number."""
        return self.around(text).only(text)

    def designs(self, text: str) -> tuple[Design, ...]:
        """Every relay that this names, whoever makes it, with its drawings and ratings."""
        here = self.around(text)
        return tuple(map(here.design, here.named(text)))

    def part(self, name: str) -> Relay | SupplyPart | None:
        """The relay or supply that goes by this name."""
        if not self.is_long:
            return self.parts.get(name)
        if (supply := self._supplies.get(name)) is not None:
            return supply
        self.look_up([name])
        return self._relays_read.get(name)

    def maker(self, name: str) -> str:
        """Who makes the part of this name; empty where the catalogue does not say one maker."""
        number, maker = self.names.part(name)
        relays = {r.maker for r in self.around(number).relays if r.part_number == number}
        makers = relays | {s.maker for s in self._supplies.values() if s.part_number == number}
        return maker or (next(iter(makers)) if len(makers) == 1 else "")

    @read_once
    def _supplies(self) -> Mapping[str, SupplyPart]:
        found = catalogue.supplies(self.session)
        return {self.names.name(supply.part_number, supply.maker): supply for supply in found}

    @read_once
    def parts(self) -> Mapping[str, Relay | SupplyPart]:
        """Every part of the whole catalogue."""
        parts: tuple[Relay | SupplyPart, ...] = (*self.catalogue.relays, *self.catalogue.supplies)
        return {self.names.name(part.part_number, part.maker): part for part in parts}

    @read_once
    def statuses(self) -> Mapping[str, str]:
        """Every part of the whole catalogue to its lifecycle, empty where it is not stated."""
        if not self.is_long:
            return {name: str(part.status or "") for name, part in self.parts.items()}
        return {self.names.name(number, maker): status for number, maker, status in catalogue.statuses(self.session)}

    @read_once
    def units(self) -> Mapping[str, str]:
        """Part to its unit (g, mm, ml), for those that are not kept by the piece."""
        return {name: supply.unit for name, supply in self._supplies.items() if supply.unit != "piece"}

    def unit(self, part: str) -> str:
        return self.units.get(part, "piece")

    @read_once
    def footprints(self) -> ByName[Footprint]:
        return ByName(lambda names: catalogue.drawings_named(self.session, [(name, "") for name in names]).footprints)

    @read_once
    def wirings(self) -> ByName[Wiring]:
        return ByName(lambda names: catalogue.drawings_named(self.session, [("", name) for name in names]).wirings)

    @read_once
    def boards(self) -> Mapping[str, Board]:
        return {board.name: board for board in boards_and_kits.boards(self.session)}

    @read_once
    def kits(self) -> Mapping[str, Kit]:
        """Every kit by its name, its parts by the names they go by here."""
        return {kit.name: with_our_names(self, kit) for kit in boards_and_kits.kits(self.session)}

    @read_once
    def planned_kits(self) -> Mapping[str, int]:
        """Kit to how many are planned and not made yet."""
        return boards_and_kits.planned_kits(self.session)

    @read_once
    def suppliers(self) -> tuple[Supplier, ...]:
        return offers.suppliers(self.session)

    @read_once
    def lots(self) -> tuple[Lot, ...]:
        return shelf.lots(self.session)

    @read_once
    def shelf(self) -> Shelf:
        """What is there now of all parts and lots."""
        return shelf.shelf(self.session)

    @read_once
    def levels(self) -> ByName[Level]:
        """What is there now of a part: all of them at once where the catalogue is not long, else those asked for."""
        return ByName(lambda parts: shelf.shelf(self.session, parts).parts if self.is_long else self.shelf.parts)

    @read_once
    def levels_wanted(self) -> Mapping[str, tuple[Decimal, Decimal]]:
        """Part to the reorder point and the order-up-to level that somebody set."""
        return shelf.levels_wanted(self.session)

    @read_once
    def on_order(self) -> tuple[Ordered, ...]:
        return tuple(on_order.on_order(self.session))

    @read_once
    def confirmed_prices(self) -> tuple[Confirmed, ...]:
        return offers.confirmed_prices(self.session)

    def rates_to(self, base: str) -> Rates:
        """The newest rates to this currency, crossed through the shop's own where there are none to it directly.

        Without any, only amounts in the currency itself can be compared.
        """
        return self.kept(("rates to", base), partial(self._rates_to, base))

    def _rates_to(self, base: str) -> Rates:
        direct, own = offers.rates(self.session, base), self._own_rates if base != self.settings.currency else None
        crossed = own.in_terms_of(base) if own else None
        return direct or crossed or Rates(base, date.today())

    @read_once
    def _own_rates(self) -> Rates | None:
        return offers.rates(self.session, self.settings.currency)
