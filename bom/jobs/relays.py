"""Looking relays up: by part number, by facts, and by what the bench measured."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from bom.jobs.matching import design_named
from bom.match.bounds import contact_words
from bom.relays.relay import Design
from bom.values.part_number import normal
from bom.values.quantity import read

if TYPE_CHECKING:
    from bom.duty.identify import Candidate
    from bom.store.unit_of_work import Session


def find_relays(
    session: Session,
    text: str,
    *,
    volts: str | None,
    units: int | None,
    contacts: str | None,
    pins: int | None,
    limit: int,
) -> list[dict[str, Any]]:
    """Every relay whose part number holds the text and whose facts are as asked, in part-number order."""
    from bom.store.catalogue import whole_catalogue

    wanted_volts = read(volts, "V") if volts else None
    catalogue = whole_catalogue(session)
    found = [d for d in catalogue.designs() if normal(text) in normal(d.relay.part_number)]
    rows = [_row(d) for d in found]
    asked = {"coil_volts": wanted_volts, "units": units, "contacts": contacts, "pins": pins}
    kept = [r for r in rows if all(v is None or r[k] == v for k, v in asked.items())]
    return sorted(kept, key=lambda r: (r["part_number"], r["maker"]))[:limit]


def show_relay(session: Session, text: str) -> dict[str, Any]:
    """Everything stated of one relay, its wiring and ratings, and what is not stated."""
    from bom.store.catalogue import whole_catalogue

    design = design_named(whole_catalogue(session), text)
    facts = asdict(design.relay)
    return {
        **{k: v for k, v in facts.items() if v not in (None, "")},
        **{k: v for k, v in _row(design).items() if k not in facts},
        "ratings": list(design.ratings),
        "not_stated": [k for k, v in facts.items() if v in (None, "")],
    }


def identify_relay(
    session: Session, *, ohms: str, at: str, pins: int | None, click: str | None, text: str | None
) -> dict[str, Any]:
    """Which catalogue relays a coil reading may be, and the next most telling measurement."""
    from bom.duty.identify import Seen, identify
    from bom.store.catalogue import whole_catalogue

    seen = Seen(pins=pins, click_volts=read(click, "V") if click else None, print_text=text or "")
    answer = identify(read(ohms, "ohm"), read(at, "degC"), whole_catalogue(session).designs(), seen)
    return {
        "ohms_at_20": round(answer.ohms_at_20, 1),
        "candidates": [_identified(c) for c in answer.candidates],
        "measure_next": answer.measure_next,
    }


def _identified(candidate: Candidate) -> dict[str, Any]:
    return {
        "maker": candidate.relay.maker,
        "part_number": candidate.relay.part_number,
        "coil_ohms": candidate.relay.coil_ohms,
        "off": round(candidate.off, 4),
        "assumed": list(candidate.assumed),
    }


def _row(design: Design) -> dict[str, Any]:
    relay = design.relay
    return {
        "maker": relay.maker,
        "part_number": relay.part_number,
        "coil_volts": relay.coil_volts,
        "coil_ohms": relay.coil_ohms,
        "units": len(design.wiring.units) if design.wiring else None,
        "contacts": contact_words(design.wiring) if design.wiring else None,
        "pins": len(design.footprint.pins) if design.footprint else None,
        "status": relay.status,
    }
