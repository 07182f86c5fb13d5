"""One relay stated by a person: what the catalogue has for it to use, how it was understood, and taking it.

It is checked as a catalogue's row is, and stored like one. A part that is there already and would change is shown with
each change and whom it concerns, and is replaced only where that is said.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.catalogue import BlankCost, RelayStated
from bom.intake.relay_form import Kept, StatedRelay, column_called, differences, stated
from bom.intake.relay_form import Said as Said
from bom.intake.relay_questions import Question as Question
from bom.intake.relay_questions import Questions as Questions
from bom.jobs.catalogue import Users, changed_rest, in_order
from bom.jobs.replacing.relays import draw_design, relay_shown
from bom.match.blank_costs import costs
from bom.relays.catalogue import Catalogue
from bom.relays.checks import relay_doubts, series_doubts
from bom.relays.relay import Design, Relay
from bom.shop.places import design_called
from bom.shop.shop import Shop
from bom.store.catalogue import all_but_relays, named, take_all_but_relays, values_of
from bom.store.relay_rows import coils_of, mark_rated, take_rows
from bom.store.running_figures import mark_shared
from bom.values.difference import Change, Difference, Replacing, changes_between
from bom.values.problem import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class Beginning:
    """What a part is stated against: what the catalogue has, and the part that it is like, if any."""

    kept: Kept
    like: Design | None


def beginning(session: Session | None, like: str = "") -> Beginning:
    """What there is to state a part against; without a session there is nothing yet."""
    if session is None:
        if like:
            raise Refused(f"no relay {like}: there is no database yet, and so no part to be like")
        return Beginning(Kept(), None)
    there = all_but_relays(session)
    original = design_called(Shop(session), like) if like else None
    return Beginning(Kept(there.footprints, there.wirings, there.ratings), original)


def said_by_options(
    facts: Collection[str],
    ratings: Collection[str],
    *,
    maker: str = "",
    part_number: str = "",
    pins: str = "",
    view: str = "",
    lead: str = "",
    wiring: str = "",
) -> Said:
    """What options say of a part; raises Refused where a fact is not COLUMN=VALUE, or is stated twice."""
    cells = {"maker": maker, "part_number": part_number}
    cells = {name: text for name, text in cells.items() if text}
    for fact in facts:
        name, equals, text = (part.strip() for part in fact.partition("="))
        if not equals:
            raise Refused(f"expected a fact as COLUMN=VALUE, as in coil_ohms=240, found {fact!r}")
        if (column := column_called(name)) in cells:
            raise Refused(f"expected {column} once, found it twice")
        cells[column] = text
    return Said(cells, pins, view, lead, wiring, tuple(ratings))


def understood(session: Session | None, start: Beginning, said: Said, insist: bool = False) -> RelayStated:
    """The part as it is understood, and what taking it would change; raises ProblemsFound with all that is wrong."""
    whole = _whole(session, start, said, insist)
    design = whole.design
    return RelayStated(
        relay=relay_shown(design),
        new_footprint=_new(design.relay.footprint, start.kept.footprints),
        new_wiring=_new(design.relay.wiring, start.kept.wirings),
        like=start.like.relay.part_number if start.like else "",
        differs=tuple(_from_like(design, start.like)) if start.like else (),
        notes=whole.notes,
        would_replace=tuple(_changes(session, whole)) if session is not None else (),
        blanks=tuple(BlankCost(name, cost.checks, cost.outcome.value, cost.where) for name, cost in costs(design)),
        typed=said.typed,
    )


def take_relay(
    session: Session, start: Beginning, said: Said, insist: bool = False, replacing: Replacing | None = None
) -> RelayStated:
    """Take the part with its new drawings and ratings; raises WouldReplace where it would change what is there and
    may not."""
    answer = understood(session, start, said, insist)
    (replacing or Replacing()).settle(answer.would_replace)
    whole = _whole(session, start, said, insist)
    take_all_but_relays(session, _rest(whole))
    take_rows(session, [values_of(whole.design.relay)])
    mark_rated(session)
    mark_shared(session)
    return replace(answer, taken=True)


def draw_stated(start: Beginning, said: Said, file: Path) -> None:
    """The pins of the part as it was stated, as an SVG."""
    draw_design(stated(said, start.kept, start.like).design, file)


def _whole(session: Session | None, start: Beginning, said: Said, insist: bool) -> StatedRelay:
    """The part, held against what is kept."""
    whole = stated(said, start.kept, start.like)
    doubts = () if insist else tuple(_doubts(session, whole.design.relay))
    spelled = () if session is None else tuple(_spelled_otherwise(session, whole.design.relay))
    if problems := [*doubts, *spelled]:
        raise ProblemsFound(problems)
    return whole


def _doubts(session: Session | None, relay: Relay) -> Iterator[Problem]:
    """A coil of no likely power, or one that no other code of its series comes near."""
    beside = () if session is None else tuple(coils_of(session, {(relay.maker, relay.series)}))
    others = (r for r in beside if r.part_number != relay.part_number)
    of_series = (doubt for whose, doubt in series_doubts([relay, *others]) if whose is relay)
    for doubt in (*relay_doubts(relay), *of_series):
        how = f"{doubt.expected}; --insist takes it where its data sheet says so"
        yield replace(doubt, expected=how)


def _spelled_otherwise(session: Session, relay: Relay) -> Iterator[Problem]:
    """One part under two spellings would be counted twice."""
    for other in named(session, relay.part_number):
        if other.maker.casefold() == relay.maker.casefold() and (other.maker, other.part_number) != (
            relay.maker,
            relay.part_number,
        ):
            there = f"{other.maker} {other.part_number}"
            yield Problem("", 0, "part_number", f"the spelling that is there, {there}", relay.part_number)


def _new(name: str, kept: Collection[str]) -> str:
    return name if name not in kept else ""


def _from_like(design: Design, like: Design) -> Iterator[Change]:
    for name, before, after in differences(design, like):
        yield from changes_between(before, after, name)


def _rest(whole: StatedRelay) -> Catalogue:
    """The drawings and ratings that come with the part."""
    footprint, wiring = whole.design.footprint, whole.design.wiring
    return Catalogue(
        (),
        {} if footprint is None else {footprint.name: footprint},
        {} if wiring is None else {wiring.name: wiring},
        whole.ratings,
    )


def _changes(session: Session, whole: StatedRelay) -> Iterator[Difference]:
    """What is there already and would read differently: the part itself, its drawings, its ratings."""
    relay = whole.design.relay
    yield from in_order(changed_rest(session, _rest(whole)))
    for there in named(session, relay.part_number):
        if (there.maker, there.part_number) == (relay.maker, relay.part_number):
            changes = tuple(changes_between(there, relay))
            if changes:
                users = Users(session).of(relay.part_number, relay.maker)
                yield Difference(f"relay {relay.maker} {relay.part_number}", changes, users)
