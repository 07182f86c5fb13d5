"""The whole catalogue's cross-reference: which design may be replaced by which, and who has nobody else."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.replacing import CrossReferenced, PairFound, StandingFound
from bom.duty.cautions import by_gravity, cautions_together, grave_of_part
from bom.match.cross_reference import CrossReference, Kin, Replaceability, Replacement, cross_reference
from bom.paper.workbooks.cross_reference import write_csv, write_workbook
from bom.shop.placements import keep_afterwards
from bom.shop.places import design_named
from bom.store.catalogue import whole_catalogue
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

Told = Callable[[int, int], None]


def catalogue_cross_reference(
    session: Session, *, part: str = "", refused: bool = False, told: Told | None = None
) -> CrossReferenced:
    """Every pair of designs that may serve, both ways apart, and each design's standing; of one part where named."""

    keep_afterwards(session)
    catalogue = whole_catalogue(session)
    named = design_named(catalogue, part).relay if part else None
    found = cross_reference(catalogue.designs(), part=named, refused=refused, told=told)
    pairs = [r for r in found.replacements if named is None or named in (*r.old.parts, *r.new.parts)]
    standings = [s for s in found.standings() if named is None or named in s.kin.parts]
    return _answer(found, pairs, standings)


def _answer(found: CrossReference, pairs: list[Replacement], standings: list[Replaceability]) -> CrossReferenced:
    olds = {p.old.name: p.old.design for p in pairs}.values()
    return CrossReferenced(
        designs=len(found.designs),
        parts=sum(len(k.parts) for k in found.designs),
        replacements=tuple(map(_pair, pairs)),
        standings=tuple(map(_standing, standings)),
        cautions=cautions_together((None, design) for design in olds),
    )


def _pair(pair: Replacement) -> PairFound:
    worst, old, new = pair.worst, pair.old.design, pair.new.design
    return PairFound(
        maker=old.relay.maker,
        part_number=old.relay.part_number,
        status=old.relay.status,
        same_design=_others(pair.old),
        by_maker=new.relay.maker,
        by_part_number=new.relay.part_number,
        by_status=new.relay.status,
        by_same_design=_others(pair.new),
        verdict=pair.verdict,
        margin=pair.margin,
        why=f"{worst.check}: {worst.why}",
        cautions=by_gravity((*grave_of_part(old), *grave_of_part(new))),
    )


def _others(kin: Kin) -> tuple[str, ...]:
    return tuple(f"{p.maker} {p.part_number}" for p in kin.parts[1:])


def _standing(standing: Replaceability) -> StandingFound:
    relay = standing.kin.design.relay
    return StandingFound(
        maker=relay.maker,
        part_number=relay.part_number,
        status=relay.status,
        same_design=_others(standing.kin),
        standing=standing.words,
        sources=len(standing.makers),
        makers=standing.makers,
        drop_ins=tuple(f"{p.maker} {p.part_number}" for p in standing.drop_ins),
    )


def checked_ending(path: Path) -> str:
    """*.csv* or *.xlsx*; any other is refused."""
    if (ending := path.suffix.casefold()) not in (".csv", ".xlsx"):
        raise Refused(f"expected a file that ends in .csv or .xlsx, found {path.name}")
    return ending


def write_cross_reference(path: Path, ending: str, answer: CrossReferenced) -> list[str]:
    """As CSV or as XLSX; the files written."""

    if ending == ".csv":
        return [str(path), str(write_csv(path, answer))]
    write_workbook(path, answer)
    return [str(path)]
