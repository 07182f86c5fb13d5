"""The match as a page to print or to lay on the bench: one part, one place, or every position of a board."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.replacing import BoardGlance, Judged, Matched, PositionGlance
from bom.boards.board import Board, Place
from bom.duty.cautions import by_gravity
from bom.duty.changing_a_relay import putting_in, taking_out
from bom.duty.paired_contacts import is_guarded
from bom.fit.check import fit_findings
from bom.jobs.replacing.boards import duty_pictures
from bom.jobs.replacing.matching import replacements, rule_asked
from bom.match.requirement import Requirement
from bom.paper.pages.match_page import Page, Section, Shown, board_facts, function_words, match_page, place_facts
from bom.paper.pages.match_verdicts import Pairs
from bom.paper.pictures.fit_drawing import fit_drawing
from bom.paper.writing import write_text
from bom.relays.relay import Design, Relay
from bom.shop.places import board_typed, requirement_for
from bom.shop.shop import Shop

if TYPE_CHECKING:
    from bom.duty.rules import Rule
    from bom.store.unit_of_work import Session

SHOWN, REFUSED, DRAWN, DRAWN_EACH = 5, 1, 2, 1
"""Candidates side by side, how many of them may be refused ones where others serve, and how many are drawn:
of one place, and of each place of a whole board."""

NOT_AN_APPROVAL = "A verdict here is a calculation on data-sheet figures, not an approval."


@dataclass(frozen=True, slots=True)
class Asked:
    """What the page is about, as it was typed, the rule of thumb, and how many candidates are shown at most."""

    like_part: str | None = None
    position: str | None = None
    spec: Path | None = None
    rule: str | None = None
    shown: int | None = None

    @property
    def whole_board(self) -> bool:
        """A board named without a position asks for all its positions."""
        return bool(self.position) and ":" not in (self.position or "")


def page_for(session: Session, asked: Asked, answer: Matched | None = None) -> Page:
    """The page; every position and function of a board where only the board is named.

    ``answer`` is what ``find_replacements`` found, where it was asked already.
    """
    shop = Shop(session)
    if asked.whole_board:
        return _board_page(shop, board_typed(shop, asked.position or ""), asked)
    requirement = requirement_for(shop, asked.like_part, asked.position, asked.spec)
    section = _section(shop, requirement, answer or _answer(shop, requirement, asked), asked)
    title = f"What may serve {requirement.asked}"
    facts = section.facts
    return _page(title, facts, (section,), [requirement])


def _board_page(shop: Shop, board: Board, asked: Asked) -> Page:
    places = [f"{board.name}:{position.ref}" for position in board.positions]
    requirements = [requirement_for(shop, None, where, None) for where in places]
    sections = tuple(
        _section(shop, requirement, _answer(shop, requirement, asked), asked) for requirement in requirements
    )
    title = f"{board.name}, {board.title}: every position" if board.title else f"{board.name}: every position"
    return _once_for_all(_page(title, board_facts(board), sections, requirements))


def _once_for_all(page: Page) -> Page:
    """What holds at every position is said once, at the head; what is grave at one stands there and at the head."""

    everywhere = _common(s.cautions for s in page.sections)
    cautions = by_gravity(text for s in page.sections for text in s.cautions)
    sections = tuple(
        replace(
            s,
            facts=tuple(f for f in s.facts if f not in page.facts),
            cautions=_without(s.cautions, everywhere),
        )
        for s in page.sections
    )
    return replace(page, sections=sections, cautions=cautions)


def _common(each: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    """What all of them say, in the first one's order."""
    first, *others = [*each] or [()]
    return tuple(text for text in first if all(text in other for other in others))


def _without(texts: tuple[str, ...], said: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(text for text in texts if text not in said)


def _answer(shop: Shop, requirement: Requirement, asked: Asked) -> Matched:
    return replacements(shop, requirement, rule_asked(asked.rule))


def _page(title: str, facts: Pairs, sections: tuple[Section, ...], asked: Sequence[Requirement]) -> Page:
    foot = f"Made on {date.today().isoformat()} by bom. {NOT_AN_APPROVAL} Numbers in brackets: bom explain sources."
    return Page(title, facts, sections, at_work=_change(asked), foot=foot)


def _change(asked: Sequence[Requirement]) -> tuple[str, ...]:
    """The steps that change a relay at these places, each with where it is published."""

    process = {name for r in asked if r.place for name in r.place.board.process or ()}
    guarded = any(is_guarded(r.place, r.original) for r in asked if r.place)
    return tuple(step.words for step in (*taking_out(process), *putting_in(process, guarded)))


def _section(shop: Shop, requirement: Requirement, answer: Matched, asked: Asked) -> Section:
    place = requirement.place if requirement.place and requirement.place.board.name else None
    chosen = _chosen(answer, asked.shown or SHOWN)
    most = DRAWN_EACH if asked.whole_board else DRAWN
    drawn = {id(c) for c in [c for c in chosen if c.serves][:most] or chosen[:1]}
    rule = rule_asked(asked.rule)
    shown = tuple(Shown(c, _drawings(shop, requirement, c, rule) if id(c) in drawn else ()) for c in chosen)
    return Section(
        heading=requirement.asked.removeprefix("at "),
        facts=place_facts(place) if place else (),
        functions=tuple(function_words(f) for f in place.position.functions) if place else (),
        before=answer.before_parts,
        counts=answer.counts,
        shown=shown,
        more=_more(answer, chosen),
        cautions=answer.cautions,
    )


def _more(answer: Matched, chosen: Sequence[Judged]) -> str:
    """How many of each verdict the page leaves out, and how many that may serve were not proved."""
    left = {verdict: count - sum(c.verdict is verdict for c in chosen) for verdict, count in answer.counts.items()}
    unproved = 0 if answer.more_proved else answer.more or 0
    said = [f"{count:,} {verdict.words}" for verdict, count in left.items() if count > 0]
    said += [f"at most {unproved:,} that may serve, not proved yet"] if unproved else []
    return f"Not shown here: {', '.join(said)}." if said else ""


def _chosen(answer: Matched, most: int) -> list[Judged]:
    """The best, and a few of the nearest refused ones, so that the page says why the next best are none."""
    room = min(len(answer.refused), max(REFUSED, most - len(answer.serving)))
    return [*answer.serving[: max(1, most - room)], *answer.refused][:most]


def _drawings(shop: Shop, requirement: Requirement, candidate: Judged, rule: Rule) -> tuple[tuple[str, str], ...]:
    """The pins over the holes, then the coil window and the contacts where a board says what they must do."""
    if requirement.place is None:
        return ()
    design = _design(shop, candidate)
    drawn = tuple(_fit_drawing(design, requirement.place, requirement.original))
    if not requirement.place.board.name:
        return drawn
    return drawn + duty_pictures(design, requirement.place, rule, requirement.original)


def _design(shop: Shop, candidate: Judged) -> Design:
    number, maker = candidate.part_number, candidate.maker
    return next(d for d in shop.designs(number) if (d.relay.part_number, d.relay.maker) == (number, maker))


def _fit_drawing(design: Design, place: Place, original: Design | None) -> Iterator[tuple[str, str]]:

    if design.footprint is None:
        return
    _, found = fit_findings(design, place, original)
    svg = fit_drawing(
        design.footprint,
        place.pattern,
        found.assignment,
        found.rotation_deg or 0.0,
        found.shift_mm or (0.0, 0.0),
        f"{design.relay.part_number} in {place.pattern.name}",
        wiring=design.wiring,
        expected=place.wiring,
        body_mm=_body(design.relay),
    )
    yield "Pins over holes; printed at 100 % it is true to size.", svg


def _body(relay: Relay) -> tuple[float, float] | None:
    if relay.body_length_mm is None or relay.body_width_mm is None:
        return None
    return relay.body_length_mm, relay.body_width_mm


def at_a_glance(page: Page) -> BoardGlance:
    """Each position of a board with its functions and the best that was found for it."""

    cautions = by_gravity((*page.cautions, *(text for section in page.sections for text in section.cautions)))
    return BoardGlance(page.title, tuple(map(_glance, page.sections)), cautions)


def _glance(section: Section) -> PositionGlance:
    best = section.shown[0].candidate if section.shown else None
    return PositionGlance(
        position=section.heading,
        functions=tuple(name for name, _, _ in section.functions),
        maker=best.maker if best else None,
        part_number=best.part_number if best else None,
        verdict=best.verdict if best else None,
        counts=section.counts or {},
    )


def write_page(path: Path, page: Page) -> None:
    """The page as one file, whole."""

    write_text(path, match_page(page))
