"""The questions that one relay is asked about, in the order of a data sheet, and no more of them than decide a verdict.

A figure is asked for where the part's own verdicts need it (``bom.match.blank_costs``): with every answer it is worked
out anew which those are. What is left blank is unknown, and it is told at once what that costs. Nothing here prints or
reads a keyboard: whoever asks shows a ``Question`` and gives what was typed to ``answer``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from bom.intake.relay_form import (
    COLUMNS,
    WIRING,
    Kept,
    Said,
    column_called,
    footprint_said,
    left_to_say,
    relay_said,
    wiring_said,
)
from bom.match.blank_costs import LEADS, RATINGS, SIDE, Blanks, Cost
from bom.relays.checks import relay_doubts, relay_problems, wired_problems
from bom.relays.footprint import VIEW, Footprint
from bom.relays.in_a_line import LEAD, PIN
from bom.relays.rating_in_a_line import LINE, rating_in
from bom.relays.relay import Design
from bom.relays.same_drawing import same_pins, same_places
from bom.relays.usual_wirings import USUAL, shown
from bom.relays.wiring import Wiring
from bom.values.column import YES_NO, Holds
from bom.values.finding import Outcome
from bom.values.problem import Problem, Refused

Lines = tuple[tuple[str, ...], ...]
SUBJECTS: tuple[tuple[str, Lines], ...] = (
    ("The part", (("maker",), ("part_number",), ("series",))),
    ("Its pins", (("wiring",), ("pins",), ("view",), ("same",), ("lead",))),
    (
        "Its contacts",
        (
            ("ratings",),
            ("contact_material",),
            ("min_load_volts", "min_load_milliamps", "min_load_milliwatts"),
            ("contact_polarity",),
            ("most_per_minute",),
            ("together_amps",),
            ("guided",),
        ),
    ),
    (
        "Its coil",
        (
            ("coil_system",),
            ("coil_supply",),
            ("coil_volts",),
            ("coil_hertz",),
            ("coil_ohms",),
            ("coil_ohms_tol_pct",),
            ("operate_volts",),
            ("release_volts",),
            ("coil_max_volts",),
            ("hold_volts",),
            ("coil_ref_temp_c",),
            ("coil_kelvin_per_watt",),
            ("contact_rise_k", "contact_rise_amps"),
            ("coil_suppression",),
            ("suppression_ohms",),
            ("suppression_volts",),
            ("coil_henries",),
        ),
    ),
    (
        "What it bears",
        (
            ("dielectric_volts",),
            ("coil_contact_volts",),
            ("between_poles_volts",),
            ("insulation",),
            ("impulse_volts",),
            ("temp_min_c",),
            ("temp_max_c",),
            ("sealing",),
        ),
    ),
    ("Its body", (("body_length_mm", "body_width_mm"), ("body_height_mm",), ("standoff_mm",), ("pin_length_mm",))),
    ("How fast and how long", (("operate_ms",), ("release_ms",), ("mechanical_ops",))),
    ("Where it was read", (("source",), ("status",))),
)
"""Subject to its questions; those that stand together may stand for one another."""
ORDER = tuple((subject, line, key) for subject, lines in SUBJECTS for line in lines for key in line)
_ALWAYS = ("maker", "part_number", "series", "source")
_CALLED = {"pins": "footprint", "lead": LEADS, "view": SIDE, "ratings": RATINGS}
"""What a question's blank is called where its cost is worked out."""
DIFFERENCE = "difference"


@dataclass(frozen=True, slots=True)
class Question:
    """``key`` is the column, or pins, view, lead, wiring, ratings, difference; ``words`` are the closed list that an
    answer comes from, and ``usual`` is what an empty answer means instead of *unknown*; ``more`` is told where a person
    asks."""

    key: str
    subject: str
    meaning: str
    example: str = ""
    unit: str = ""
    words: tuple[str, ...] = ()
    usual: str = ""
    more: str = ""


class _Taken(NamedTuple):
    """The drawing that an answer makes, and what it was taken for."""

    footprint: Footprint | None
    notes: tuple[str, ...]


@dataclass
class Questions:
    """The questions still to be asked of one part, given what was ``said`` already. ``insisted`` are the figures that a
    person stands by though they are hardly likely."""

    kept: Kept
    like: Design | None = None
    said: Said = field(default_factory=Said)
    insisted: set[str] = field(default_factory=set)
    _done: list[str] = field(default_factory=list)
    _passed: list[str] = field(default_factory=list)
    _before: list[tuple[Said, list[str], list[str]]] = field(default_factory=list)
    _doubted: tuple[str, str] = ("", "")

    def __post_init__(self) -> None:
        said = {"pins": self.said.pins, "view": self.said.view, "lead": self.said.lead, "wiring": self.said.wiring}
        self._done += [key for key, text in said.items() if text] + (["ratings"] if self.said.ratings else [])
        self._done += [*self.said.cells]

    def next(self) -> Question | None:
        """The next question; None where all that matters is said or left blank."""
        if self.like is not None:
            return self._next_difference(self.like)
        blanks = self._blanks()
        for subject, line, key in ORDER:
            if key not in (*self._done, *self._passed):
                if self._matters(key, line, blanks):
                    return self._question(key, subject)
                self._passed.append(key)
        return self._next_of_passed()

    def _next_of_passed(self) -> Question | None:
        """What mattered nothing when it was passed over, and does by what was said, or left blank, since then."""
        blanks = self._blanks()
        for subject, line, key in ORDER:
            if key not in self._done and self._matters(key, line, blanks):
                return self._question(key, subject)
        return None

    def back(self) -> bool:
        """Go back to the question before; False at the first one."""
        if not self._before:
            return False
        self.said, self._done, self._passed = self._before.pop()
        return True

    def answer(self, question: Question, text: str) -> tuple[str, ...]:
        """Take what was typed. Returns what is to be told of it; raises Refused with the reason, in one line."""
        key, text = question.key, text.strip() or question.usual
        said = self._with(key, text)
        told = tuple(self._told(key, text, said))
        self._before.append((self.said, list(self._done), list(self._passed)))
        self.said = said
        if not (key in ("ratings", DIFFERENCE) and text):
            self._done.append(key)
        return told

    # ---- what is asked

    def _matters(self, key: str, line: tuple[str, ...], blanks: Blanks) -> bool:
        if key in _ALWAYS or key in ("wiring", "pins", "ratings"):
            return True
        if key == "same":
            return bool(self._same())
        if key in ("view", "lead") and not self._drawn_anew():
            return False
        later = [_CALLED.get(other, other) for other in line if other == key or other not in self._done]
        return blanks.matters(*later)

    def _drawn_anew(self) -> Footprint | None:
        """The pins that were typed, where they are not those of a drawing that is kept."""
        footprint = self._footprint()
        return None if footprint is None or footprint.name in self.kept.footprints else footprint

    def _same(self) -> str:
        """The kept drawing that has these pins at these places; how thick they are was not said yet."""
        drawn = self._drawn_anew()
        return next(same_pins(drawn, self.kept.footprints, leads=False), "") if drawn is not None else ""

    def _next_difference(self, like: Design) -> Question | None:
        for key in ("maker", "part_number", DIFFERENCE):
            if key not in self._done:
                usual = like.relay.maker if key == "maker" else ""
                return replace(_question(key, "The part"), usual=usual)
        blanks = self._blanks()
        for key in left_to_say(self.said, like.relay):
            if key not in self._done and blanks.matters(key):
                return _question(key, "Its coil, of other volts")
        return None

    def _question(self, key: str, subject: str) -> Question:
        question = _question(key, subject)
        if key == "same":
            return replace(question, meaning=f"These pins are those of footprint {self._same()}: is it the one?")
        return replace(question, meaning=_FURTHER, example="") if key == "ratings" and self.said.ratings else question

    # ---- what is answered

    def _with(self, key: str, text: str) -> Said:
        """What is said with this answer; raises Refused where it cannot be."""
        if key == DIFFERENCE:
            return self._with_difference(text)
        if key == "ratings":
            return replace(self.said, ratings=(*self.said.ratings, text)) if text else self.said
        if key == "same":
            return self._with_same(text)
        if key in ("pins", "view", "lead", "wiring"):
            line: dict[str, Any] = {key: text}
            return replace(self.said, **line)
        _read(key, text)
        if self.like is not None and text == getattr(self.like.relay, key):
            return self.said
        return replace(self.said, cells={**self.said.cells, key: text})

    def _with_same(self, text: str) -> Said:
        """The drawing that is kept, where it is the one; Enter is no."""
        if (meant := YES_NO.meant(text or "no")) is None:
            raise Refused(f"expected yes or no, found {text!r}")
        return replace(self.said, pins=self._same(), view="") if meant == "yes" else self.said

    def _with_difference(self, text: str) -> Said:
        if not text:
            return self.said
        name, equals, value = (part.strip() for part in text.partition("="))
        if not equals:
            raise Refused(f"expected a difference as COLUMN=VALUE, as in coil_volts=24, found {text!r}")
        key = name if name in ("pins", "view", "lead", "wiring") else column_called(name)
        return self._with(key, value)

    def _told(self, key: str, text: str, said: Said) -> Iterator[str]:
        """What is to be told of an answer; raises Refused where it contradicts what stands already."""
        taken = self._checked(key, text, said)
        about = "wiring" if key == "wiring" else "footprint"
        yield from (note for note in taken.notes if about in note)
        if key == "view" and taken.footprint is not None and not taken.notes:
            yield from self._alike(taken.footprint)
        if key == "series" and (lines := [r for r in self.kept.ratings if text and r.applies_to == text]):
            yield f"{len(lines)} ratings are there for series {text}, and hold for this part"
        if not text and key != DIFFERENCE:
            yield from self._cost_told(key)

    def _checked(self, key: str, text: str, said: Said) -> _Taken:
        """The drawing as it would be said now; raises Refused with the first thing that is wrong by this answer."""
        problems: list[Problem] = []
        notes: list[str] = []
        relay = relay_said(said, self.like, problems)
        footprint = footprint_said(said, relay, self.kept, problems, notes)
        wiring = wiring_said(said, relay, self.kept, problems, notes)
        for line in said.ratings:
            rating_in(line, relay.part_number, problems)
        if footprint and wiring and not problems:
            problems += (_pins_left_out(p) if key == "pins" else p for p in wired_problems(footprint, wiring))
        answered = {*self._done, key, *said.cells}
        problems += (problem for problem in relay_problems(relay) if problem.column in answered)
        if problems:
            raise Refused(_in_words(problems[0]))
        for doubt in relay_doubts(relay):
            self._insist(key, text, doubt)
        return _Taken(footprint, tuple(notes))

    def _insist(self, key: str, text: str, doubt: Problem) -> None:
        """A hardly likely figure is taken when it is typed again."""
        if key not in ("coil_volts", "coil_ohms", DIFFERENCE) or key in self.insisted:
            return
        if (key, text) == self._doubted:
            self.insisted.add(key)
            return
        self._doubted = (key, text)
        raise Refused(f"{_in_words(doubt)}; type it again if the data sheet says so")

    def _alike(self, footprint: Footprint) -> Iterator[str]:
        if next(same_pins(footprint, self.kept.footprints, leads=False), ""):
            return
        if name := next(same_places(footprint, self.kept.footprints), ""):
            yield f"these pins lie where those of footprint {name} do, under other names"

    def _cost_told(self, key: str) -> Iterator[str]:
        blanks = self._blanks()
        if key == "same" or (key == "ratings" and blanks.known.ratings):
            return
        if (cost := blanks.without(_CALLED.get(key, key))) is not None:
            yield f"left blank: {in_words(cost)}"

    # ---- the part so far

    def _blanks(self) -> Blanks:
        left = frozenset(_CALLED.get(key, key) for key in (*self._done, *self._passed))
        problems: list[Problem] = []
        relay = relay_said(self.said, self.like, problems)
        ratings = [rating_in(line, relay.part_number, problems) for line in self.said.ratings]
        lines = tuple(rating for rating in ratings if rating is not None)
        if not lines and self.like is not None:
            lines = self.like.ratings
        elif not lines and relay.series:
            lines = tuple(r for r in self.kept.ratings if r.applies_to == relay.series)
        return Blanks(Design(relay, self._footprint(), self._wiring(), lines), left)

    def _footprint(self) -> Footprint | None:
        drawn = footprint_said(self.said, relay_said(self.said, self.like, []), self.kept, [], [])
        return drawn or (self.like.footprint if self.like else None)

    def _wiring(self) -> Wiring | None:
        wired = wiring_said(self.said, relay_said(self.said, self.like, []), self.kept, [], [])
        return wired or (self.like.wiring if self.like else None)


def _question(key: str, subject: str) -> Question:
    if (made := _BY_LINE.get(key)) is not None:
        return replace(made, subject=subject)
    column = COLUMNS[key]
    words = column.words.words if column.holds is Holds.WORD else ()
    return Question(key, subject, column.meaning, column.example, column.sign, words)


_FURTHER = "The next of its published ratings; nothing where there is no other."
_WIRINGS = "\n  ".join((f"expected {WIRING}", *(f"{name}: {shown(name)}" for name in USUAL)))
_BY_LINE = {
    "wiring": Question(
        "wiring",
        "",
        "What its pins are joined to, by the trade's name or unit by unit.",
        "single changeover: A1, A2, 11, 14, 12",
        more=_WIRINGS,
    ),
    "pins": Question(
        "pins",
        "",
        "Each pin and its middle in mm, to the right and downwards; or a footprint that is there.",
        PIN.partition("as in ")[2] + ", A2 0/5",
    ),
    "same": Question("same", "", "", "yes", words=YES_NO.words),
    "view": Question("view", "", VIEW.meaning, "component", words=VIEW.words.words),
    "lead": Question(
        "lead", "", "How thick its pins are, in mm; flat ones by both sides.", LEAD.partition("as in ")[2]
    ),
    "ratings": Question("ratings", "", "A published rating, one at a time.", LINE.partition("such as ")[2]),
    DIFFERENCE: Question(
        DIFFERENCE, "", "What differs, one at a time; nothing where nothing else does.", "coil_volts=24"
    ),
}


def _read(key: str, text: str) -> None:
    column = COLUMNS[key]
    if column.needed and not text:
        raise Refused(f"expected {column.meaning.rstrip('.').lower()}: a part without it cannot be told from another")
    try:
        column.read(text)
    except Refused as refused:
        raise Refused(f"expected {refused}, found {text!r}") from refused


def _pins_left_out(problem: Problem) -> Problem:
    return Problem("", 0, "", f"the pins that the wiring names too: {problem.found}")


def _in_words(problem: Problem) -> str:
    found = f", found {problem.found!r}" if problem.found else ""
    column = f"{problem.column}: " if problem.column and problem.column != "rating" else ""
    return f"{column}expected {problem.expected}{found}"


def in_words(cost: Cost) -> str:
    """What a blank costs, for a person: *pull-in when hot stays unknown on any board*."""
    checks = ", ".join(cost.checks)
    if cost.outcome is Outcome.CONDITION:
        return f"{checks}: no better than a condition, {cost.where}"
    return f"{checks} {'stays' if len(cost.checks) == 1 else 'stay'} unknown {cost.where}"
