"""Knows how catalogue folders, the database and the columns of a file look in a terminal: how many rows were taken,
every problem with its place, what may stand in a column."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bom.answers.catalogue import CatalogueChecked, CatalogueTaken, DatabaseChecked, FileChecked, PartMade
from bom.answers.readings import HeadingRead, ReadingProposed, ReadingRemembered
from bom.paper.terminal.tables import problems_in, simple_table
from bom.values.column import Column, Topic
from bom.values.difference import in_words


def taken_table(answer: CatalogueTaken) -> str:
    """How many rows of each file, and what became of them."""
    rows = (
        ("folder", answer.folder),
        ("relays", answer.relays),
        ("footprints", answer.footprints),
        ("wirings", answer.wirings),
        ("ratings", answer.ratings),
        ("supplies", answer.supplies),
        ("added", answer.added),
        ("updated", answer.updated),
        ("unchanged", answer.unchanged),
    )
    return _parts_table(answer.parts) + simple_table("", ["", ""], rows)


def _parts_table(parts: Sequence[PartMade]) -> str:
    """The parts that a series sheet makes, and beneath them what is known otherwise."""
    if not parts:
        return ""
    made = simple_table(
        f"{parts[0].maker}: {len(parts)} part number{'s' if len(parts) > 1 else ''}",
        ["part number", "coil V", "ohm", "operate V", "release V", "most V", "status", ""],
        [
            (
                *(p.part_number, p.coil_volts, p.coil_ohms, p.operate_volts, p.release_volts, p.coil_max_volts),
                *(p.status, p.known),
            )
            for p in parts
        ],
    )
    return made + "".join(f"{p.part_number}: {change}\n" for p in parts for change in p.changes)


def problems_table(answer: CatalogueChecked) -> str:
    """Every problem with its place, or that there is none."""
    notes = "".join(f"note: {note}\n" for note in answer.notes)
    if not answer.problems:
        changes = "".join(f"{line}\n" for one in answer.would_change for line in in_words(one, "would change"))
        relays = "1 relay" if answer.relays == 1 else f"{answer.relays} relays"
        return f"{_parts_table(answer.parts)}{changes}{notes}{answer.folder}: {relays}, no problem found"
    return notes + problems_in(answer.problems)


def file_table(answer: FileChecked) -> str:
    """What stands in the way of taking the file, or how it is taken; what to know besides."""
    notes = "".join(f"note: {note}\n" for note in answer.notes)
    if answer.problems:
        return notes + problems_in(answer.problems)
    if answer.wrong:
        return notes + "".join(f"{line}\n" for line in answer.wrong)
    taken = {"rule": "bom board check BOARD --rule"}.get(answer.kind, f"bom {answer.kind} add")
    verb = "used" if answer.kind == "rule" else "taken"
    return notes + f"{answer.file}: {answer.kind} {answer.name} can be {verb}: {taken} {answer.file}\n"


def database_table(answer: DatabaseChecked) -> str:
    """The version that is needed, and what is wrong."""
    problems = "; ".join(answer.problems) or "none"
    return simple_table("", ["", ""], [("version needed", answer.version_needed), ("problems", problems)])


def reading_table(answer: ReadingProposed) -> str:
    """What to do first, then each heading: what it is taken for, and its first rows as understood."""
    waiting = "1 value begins" if answer.doubts == 1 else f"{answer.doubts} values begin"
    first = f"{waiting} with ? in {answer.written}: look, mend, then" if answer.doubts else "Nothing is in doubt:"
    rows = [(_sign(h), h.heading, h.column or "left out", " · ".join(h.understood or h.holds)) for h in answer.headings]
    head = f"{answer.where}, headings in row {answer.heading_row}, read as {answer.of}"
    asks = "no heading states it: say it under [reading.every_row], or name its heading"
    return "".join(
        (
            f"{first}\n  {answer.next}\n\n",
            simple_table(head, ["", "heading", "column", "the first rows as understood"], rows),
            *(f"? {h.heading}: {h.doubt}\n" for h in answer.headings if h.doubt),
            *(f"? {name}: {asks}\n" for name in answer.asked),
            *(f"note: {note}\n" for note in answer.notes),
            problems_in(answer.problems) if answer.problems else "",
        )
    )


def _sign(heading: HeadingRead) -> str:
    return "?" if heading.doubt else "✓" if heading.column else "–"


def readings_table(answer: Sequence[ReadingRemembered]) -> str:
    """What is remembered, a reading after the other."""
    if not answer:
        return "no reading is remembered: bom catalog reading FILE proposes one\n"
    tables = (
        simple_table(
            f"a list of {one.of}", ["heading", "column"], [(h, c or "left out") for h, c in one.headings.items()]
        )
        for one in answer
    )
    return "\n".join(tables)


def topic_table(topic: Topic) -> str:
    """A topic's columns or entries, a row each, and its notes beneath."""
    head = f"{topic.name}: {topic.about}"
    called = "column" if topic.name.endswith((".csv", ".xlsx")) else "key"
    rows = [(column.name or name, _in(column), column.example, _text(column)) for name, column in topic.columns.items()]
    body = simple_table(head, [called, "in", "as in", "text"], rows) if rows else ""
    listed = simple_table(head, ["", ""], topic.entries) if topic.entries else ""
    return body + listed + "".join(f"{note}\n" for note in topic.notes)


def _in(column: Column) -> str:
    """The unit of a number, of anything else what it is."""
    return column.sign or column.holds.value


def _text(column: Column) -> str:
    needed = " It must be there." if column.needed else ""
    return f"{column.meaning}{needed}{_words(column)}{_bounds(column)}"


def _words(column: Column) -> str:
    """The allowed words, each with the other words that are read as it."""
    if not column.words.words:
        return ""
    words, also = column.words, column.words.also
    listed = [f"{w} ({', '.join(also[w])})" if also.get(w) else w for w in words.words]
    return f" One of: {' | '.join(listed)}{f', or {words.besides_words}' if words.besides_words else ''}."


def _bounds(column: Column) -> str:
    said = column.bounds
    return f" {said[:1].upper()}{said[1:]}." if said else ""


def topics_table(topics: Mapping[str, str]) -> str:
    """Every topic and what it is."""
    return simple_table("bom explain TOPIC", ["", ""], topics.items())
