"""How a shop's own spreadsheets are read: proposed for one, written down, and what is remembered."""

from __future__ import annotations

from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from bom.answers.readings import HeadingRead, ReadingProposed, ReadingRemembered
from bom.intake.kinds_of_list import kind_of_list
from bom.intake.proposed_reading import propose
from bom.paper.reading_toml import reading_toml
from bom.paper.writing import write_text
from bom.shop.readings import forget_reading, remembered_readings
from bom.values.problem import Refused
from bom.values.reading import LISTS, HowRead

if TYPE_CHECKING:
    from bom.intake.proposed_reading import Proposal
    from bom.store.unit_of_work import Session


def propose_reading(
    file: Path, of: str = "", sheet: str = "", heading_row: int = 0, out: Path | None = None
) -> ReadingProposed:
    """What the headings of a file likely mean, written to ``out`` or beside the file to be looked through.

    ``of`` is what its rows are, "" where the file's name or its sheet says that. Raises Refused where a file of that
    name is there already: somebody may have worked on it.
    """
    if not file.is_file():
        raise Refused(f"there is no file {file}")
    kind = kind_of_list(of or _told_by(file.stem, sheet))
    target = out or file.with_name(f"{file.stem}-reading.toml")
    if target.exists():
        raise Refused(f"{target} is there already; --out writes another, or take it away first")
    proposal = propose(file, kind, HowRead((), sheet, heading_row))
    write_text(target, reading_toml(proposal.reading, proposal.remarks, _above(proposal, file)))
    command = f"{kind.taken_by} {quote(str(file))} --reading {quote(str(target))}"
    return ReadingProposed(
        of=kind.of,
        where=proposal.where,
        heading_row=proposal.reading.heading_row,
        headings=tuple(HeadingRead(h.heading, h.column, h.doubt, h.holds, h.understood) for h in proposal.headings),
        asked=proposal.asked,
        doubts=proposal.doubts,
        notes=proposal.notes,
        problems=proposal.problems,
        written=str(target),
        next=command,
    )


def _told_by(*names: str) -> str:
    found = [of for of in LISTS if any(of == name.casefold() for name in names)]
    if len(found) != 1:
        raise Refused(f"expected what its rows are: --of {' | '.join(LISTS)}")
    return found[0]


_TOPICS = {"pins": "footprints"}  # a list explained under another name


def _above(proposal: Proposal, file: Path) -> str:
    """What stands above the proposal in its file."""
    waiting = "1 value begins with ? and waits" if proposal.doubts == 1 else f"{proposal.doubts} begin with ? and wait"
    return (
        f"How {file.name} is read, proposed from its headings and cells. "
        f"{f'{waiting} for you' if proposal.doubts else 'Nothing is in doubt'}.\n"
        'A heading with "" is left out. What a column means: bom explain '
        f"{_TOPICS.get(proposal.reading.of, proposal.reading.of)}.csv; what may stand here: bom explain reading.toml"
    )


def list_readings(session: Session) -> list[ReadingRemembered]:
    """Every reading that is remembered."""
    return [ReadingRemembered(one.of, dict(one.columns)) for one in remembered_readings(session)]


def forget_readings(session: Session, of: str, heading: str = "") -> str:
    """Forget what is remembered of a kind of list, or of the sheets of it with this heading; what to tell."""
    if not (count := forget_reading(session, kind_of_list(of).of, heading)):
        raise Refused(f"no reading of {of}{f' with a heading {heading}' if heading else ''} is remembered")
    return f"{count} reading{'s' if count > 1 else ''} of {of} forgotten"
