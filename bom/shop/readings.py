"""How the shop's own spreadsheets are read: told with a file, remembered by their headings for the next one.

What is remembered is kept among the shop's settings, as the text of its TOML, by the kind of list and its headings.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from hashlib import blake2b
from typing import TYPE_CHECKING

from bom.intake.reading_file import read_reading, reading_of_text
from bom.paper.reading_toml import reading_toml
from bom.store.settings import keep_setting, kept_settings
from bom.values.problem import Refused
from bom.values.reading import HowAsked, HowRead, Reading, same_heading

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

_KEPT = "reading "


def how_read(session: Session | None, asked: HowAsked) -> HowRead:
    """How a command's files are read: as it was told, else as is remembered of their headings, where there is a
    database. Raises ProblemsFound with every problem of the readings told."""
    told = tuple(map(read_reading, asked.readings))
    if twice := next((one.of for one in told if [o.of for o in told].count(one.of) > 1), ""):
        raise Refused(f"expected one reading of {twice}, found several")
    how = HowRead(told, asked.sheet, asked.heading_row)
    if session is None:
        return how
    kept = {(one.of, one.headings): one for one in remembered_readings(session)}
    return replace(how, remembered=lambda of, headings: kept.get((of, headings)))


def remember(session: Session, how: HowRead) -> None:
    """Keep what was told, for the next file with the same headings; sheet and row are found again there."""
    for one in how.told:
        keep_setting(session, _name(one), reading_toml(replace(one, sheet="", heading_row=0)))


def remembered_readings(session: Session) -> Iterator[Reading]:
    """Every reading that is kept and still means something here."""
    for name, written in sorted(kept_settings(session).items()):
        if name.startswith(_KEPT) and (reading := reading_of_text(name, written)) is not None:
            yield reading


def forget_reading(session: Session, of: str, heading: str = "") -> int:
    """Forget the readings of this kind of list, or those that have this heading; how many there were."""
    wanted = same_heading(heading)
    gone = [one for one in remembered_readings(session) if one.of == of and (not wanted or wanted in one.headings)]
    for one in gone:
        keep_setting(session, _name(one), "")
    return len(gone)


def _name(reading: Reading) -> str:
    mark = blake2b("\n".join(sorted(reading.headings)).encode(), digest_size=8).hexdigest()
    return f"{_KEPT}{reading.of} {mark}"
