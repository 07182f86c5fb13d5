"""A new board's file, written from a few answers and from what the catalogue knows of the parts that are fitted.

Where a fitted part's drawing is known, its holes are written as the drawing has its pins, each hole on a net of its
own until somebody says which of them are joined: what joins its pins alike then joins them alike on any nets. Drills
are left open, because nobody has measured them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bom.boards.board import Hole, HolePattern, codes
from bom.intake.board_file import BOARD, DRIVER, FUNCTION, LOAD, POSITION, REPAIR, SUPPLY
from bom.intake.drawings import patterns_in
from bom.intake.rows import Report
from bom.jobs.new_files import answered, file_for, one_of_each, rising
from bom.jobs.new_files import named as name_given
from bom.paper.csv_out import holes_text
from bom.paper.toml_out import Key, Section, drafted, keys_of
from bom.paper.writing import write_new
from bom.relays.relay import Design
from bom.relays.wiring import Wiring
from bom.shop.places import design_called
from bom.shop.shop import Shop
from bom.store.catalogue import named
from bom.store.search import run_together_as
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class BoardAnswers:
    """What was answered, as it was typed; empty = not known.

    ``supply`` is a road-vehicle code or ``MIN..NOMINAL..MAX`` volts, ``ambient`` ``MIN..MAX`` in °C; each of
    ``positions`` is ``REF=PART``; each of ``does`` is ``REF.UNIT CONTACT: NAME, KIND, VOLTS V, AMPS A``.
    ``holes`` is a CSV of holes that is there already, beside the file.
    """

    title: str = ""
    supply: str = ""
    ambient: str = ""
    thickness: str = ""
    lid: str = ""
    positions: Sequence[str] = ()
    does: Sequence[str] = ()
    holes: Path | None = None


Stated = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Fitted:
    """A position with the part that is fitted there, which the catalogue may know."""

    ref: str
    part: str
    design: Design | None

    @property
    def wiring(self) -> Wiring | None:
        return self.design.wiring if self.design else None

    @property
    def holes(self) -> HolePattern | None:
        """Where the part's pins are, each hole named as its pin, of unknown drill, on a net of its own."""
        drawing = self.design.footprint if self.design else None
        if drawing is None:
            return None
        holes = (Hole(pin.name, pin.x_mm, pin.y_mm, net=f"{self.ref}_{pin.name}") for pin in drawing.pins)
        return HolePattern(self.ref, tuple(holes), drawing.view)

    @property
    def contacts(self) -> tuple[str, ...]:
        """Its contacts as an answer names them: *K1.A make*; empty where nobody knows them."""
        wiring = self.wiring
        if wiring is None:
            return ()
        several = {unit for unit in wiring.units if len(wiring.poles(unit)) > 1}
        found = ((f"{e.unit}/{e.pole}" if e.unit in several else e.unit, e.kind) for e in wiring.contacts)
        return tuple(dict.fromkeys(f"{self.ref}.{unit} {kind}" for unit, kind in found))


def new_board(session: Session | None, name: str, answers: BoardAnswers, out: Path | None = None) -> tuple[Path, ...]:
    """Write the board's file, and that of its holes where there is none yet; the files that were written.

    Nothing is written over. Refuses answers that no board can have.
    """
    name = name_given(BOARD["name"], name)
    file = file_for(name, out)
    places = fitted_at(session, answers.positions)
    if not places:
        raise Refused("expected --position REF=PART, as in --position K1=TW2-12S")
    drawn = [pattern for place in places if (pattern := place.holes)]
    known = _patterns(answers.holes, file) if answers.holes else {pattern.name: pattern for pattern in drawn}
    holes = answers.holes or file.with_name(f"{file.stem}-holes.csv")
    does = functions_of(places, answers.does)
    text = drafted(_opening(file), [*_box(name, answers, holes.name), *_positions(places, known, does), _REPAIR])
    write_new({file: text} | ({} if answers.holes else {holes: holes_text(drawn)}))
    return (file,) if answers.holes else (file, holes)


def fitted_at(session: Session | None, positions: Iterable[str]) -> tuple[Fitted, ...]:
    """Each position with its part; one that the catalogue does not know is taken as it is typed."""
    named = one_of_each(list(positions), "--position", "REF=PART, as in K1=TW2-12S")
    for ref in named:
        answered(POSITION["ref"], ref, "--position")
    shop = Shop(session) if session is not None else None
    return tuple(_fitted(shop, ref, part) for ref, part in named.items())


def _fitted(shop: Shop | None, ref: str, part: str) -> Fitted:
    if shop is None or not part:
        return Fitted(ref, part, None)
    spelled = bool(named(shop.session, part))
    if not spelled and not run_together_as(shop.session, part):
        return Fitted(ref, part, None)
    design = design_called(shop, part)
    return Fitted(ref, part if spelled else design.relay.part_number, design)


def _patterns(holes: Path, file: Path) -> dict[str, HolePattern]:
    """The patterns of a file of holes; raises ``ProblemsFound`` with every problem in it."""
    if holes.resolve().parent != file.resolve().parent:
        raise Refused(f"--holes: expected a file beside {file}, found {holes}")
    report = Report()
    return report.taken(patterns_in(holes, report)).value


def _opening(file: Path) -> tuple[str, ...]:
    return (
        "A key behind a # is not stated: take the # away and put your own figure in the place of the example.",
        f"What to state next, and why: bom board check {file}. Every key: bom explain board.toml.",
        "Measure with the battery disconnected; mains is for licensed hands.",
    )


def _box(name: str, answers: BoardAnswers, holes: str) -> Iterator[Section]:
    """The box itself, and what feeds it."""
    box, supply = stated_of(answers)
    stated = {"name": name, "holes": holes, **box}
    shown = ("title", "ambient_min_c", "ambient_max_c", "board_thickness_mm", "lid_clearance_mm", "process", "cautions")
    yield Section("[board]", keys_of(BOARD, (*shown, "safety"), stated))
    volts = () if "code" in supply else ("min_volts", "nominal_volts", "max_volts")
    about = "" if supply else "Either the volts, or code = one letter for a road vehicle."
    yield Section("[board.supply]", keys_of(SUPPLY, (*volts, "jump_start", "crank_volts"), supply), about)


def stated_of(answers: BoardAnswers) -> tuple[Stated, Stated]:
    """What was answered about the box and about its supply; refuses what neither can be."""
    box = {
        "title": answered(BOARD["title"], answers.title, "--title"),
        "board_thickness_mm": answered(BOARD["board_thickness_mm"], answers.thickness, "--thickness"),
        "lid_clearance_mm": answered(BOARD["lid_clearance_mm"], answers.lid, "--lid"),
        **rising({key: BOARD[key] for key in ("ambient_min_c", "ambient_max_c")}, answers.ambient, "--ambient"),
    }
    return box, _supply(answers.supply)


def _supply(text: str) -> Stated:
    """A code of a road vehicle, or volts."""
    if text.strip().upper() in codes():
        return {"code": text.strip().upper()}
    if text.strip()[:1].isalpha():
        answered(SUPPLY["code"], text, "--supply")
    return rising({key: SUPPLY[key] for key in ("min_volts", "nominal_volts", "max_volts")}, text, "--supply")


def _positions(
    places: Sequence[Fitted], known: Mapping[str, HolePattern], does: Mapping[str, Sequence[Stated]]
) -> Iterator[Section]:
    for place in places:
        yield Section("[[position]]", _position(place, known), _about_holes(place, known))
        shown = ("channel_milliamps", "package_milliamps", "drop_volts", "polarity", "suppression")
        yield Section("[position.driver]", keys_of(DRIVER, shown, {}), f"What drives the coil of {place.ref}.")
        for stated in does.get(place.ref, ()):
            yield from _function(stated, "")
        if place.ref not in does:
            said = f"What {place.ref} switches, such a pair of tables for each contact that does anything."
            has = f" It has: {', '.join(place.contacts)}." if place.contacts else ""
            yield from _function({}, said + has)


def _position(place: Fitted, known: Mapping[str, HolePattern]) -> tuple[Key, ...]:
    own = place.holes is not None and known.get(place.ref) == place.holes
    stated = {
        "ref": place.ref,
        "pattern": next((name for name in known if name.casefold() == place.ref.casefold()), place.ref),
        "fitted": place.part or None,
        "wiring": place.wiring.name if own and place.wiring else None,
    }
    return keys_of(POSITION, ("units_on_together", "x_mm", "y_mm", "turn_deg"), stated)


def _about_holes(place: Fitted, known: Mapping[str, HolePattern]) -> str:
    if place.ref not in known:
        return (
            f"No hole of {place.ref} is known: write a row for each into the file of holes, its pattern being"
            f" {place.ref} (bom explain holes.csv)."
        )
    if known[place.ref] != place.holes:
        return ""
    return (
        f"The holes of {place.ref} are where the drawing of {place.part} has its pins: measure each drill and two"
        " distances, and give holes that the board joins the same net."
    )


def _function(stated: Stated, about: str) -> Iterator[Section]:
    load = {key: value for key, value in stated.items() if key in LOAD and key != "name"}
    own = {key: value for key, value in stated.items() if key in FUNCTION}
    yield Section("[[position.function]]", keys_of(FUNCTION, ("name", "unit", "contact"), own), about, not stated)
    shown = ("kind", "volts", "amps", "stall_amps", "stall_seconds", "inrush_amps", "operations_per_day", "suppression")
    yield Section("[position.function.load]", keys_of(LOAD, shown, load), "", not stated)


_DOES = re.compile(
    r"(?P<ref>[^.\s:]+)(?:\.(?P<unit>[^/\s:]+)(?:/(?P<pole>[^\s:]+))?)?(?:\s+(?P<contact>[^:]+))?\s*:(?P<rest>.*)"
)
_HOW = "REF.UNIT CONTACT: NAME, KIND, VOLTS V, AMPS A, as in 'K1.A make: boom valve, motor, 14 V, 2.1 A'"


def functions_of(places: Sequence[Fitted], does: Iterable[str]) -> dict[str, list[Stated]]:
    """What each position's contacts do, as keys of a function and of its load."""
    found: dict[str, list[Stated]] = {}
    by_ref = {place.ref.casefold(): place for place in places}
    for text in does:
        match = _DOES.fullmatch(text.strip())
        place = by_ref.get(match["ref"].casefold()) if match else None
        if match is None:
            raise Refused(f"--does: expected {_HOW}, found {text!r}")
        if place is None:
            refs = ", ".join(one.ref for one in places)
            raise Refused(f"--does: expected one of the positions {refs}, found {match['ref']!r}")
        contact = answered(FUNCTION["contact"], match["contact"] or "make", "--does")
        stated = {"unit": _unit_meant(place, match["unit"] or ""), "pole": match["pole"], "contact": contact}
        found.setdefault(place.ref, []).append({**stated, **_switched(match["rest"], text)})
    return found


def _unit_meant(place: Fitted, unit: str) -> str:
    """The unit named, else the only one there is."""
    units = place.wiring.units if place.wiring else ()
    if unit and units and unit not in units:
        raise Refused(f"--does: expected a unit of {place.part}, {' or '.join(units)}, found {place.ref}.{unit}")
    if not unit and len(units) > 1:
        raise Refused(f"--does: {place.ref} has units {', '.join(units)}: say {place.ref}.{units[0]}")
    return unit or (units[0] if units else "A")


def _switched(rest: str, text: str) -> Stated:
    """The name of what is switched, its kind, volts and amps; the last three may be left out from behind."""
    parts = [part.strip() for part in rest.split(",")]
    stated: dict[str, object] = {}
    for key, unit in (("amps", "A"), ("volts", "V")):
        if len(parts) > 2 and parts[-1].upper().endswith(unit) and parts[-1][:1].isdigit():
            stated[key] = answered(LOAD[key], parts.pop(), "--does")
    if len(parts) < 2 or not all(parts):
        raise Refused(f"--does: expected {_HOW}, found {text!r}")
    kind = answered(LOAD["kind"], parts.pop(), "--does")
    return {"name": ", ".join(parts), "kind": kind} | stated


_REPAIR = Section(
    "[[repair]]",
    keys_of(REPAIR, ("name", "symptoms", "positions", "first_check"), {}),
    "What is repaired here; kits are made for it.",
    example=True,
)
