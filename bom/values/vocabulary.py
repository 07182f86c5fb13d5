"""How a word in a file is compared with the words that are known: without capitals, blanks and hyphens, and by the
other names that the trade has for it.

A word that is none of them is never guessed at: it is refused, and the nearest known word is named beside it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from difflib import get_close_matches

_BETWEEN = re.compile(r"[\s_\-\u2010-\u2015\u2212]+")

OTHER_NAMES: Mapping[str, tuple[str, ...]] = {
    "make": ("NO", "normally open", "n.o.", "form A", "closing"),
    "break": ("NC", "normally closed", "n.c.", "form B", "opening"),
    "changeover": ("CO", "C/O", "change over", "form C", "transfer"),
    "wash": ("washing", "washed", "cleaning"),
    "coating": ("conformal coating", "coated", "lacquer", "varnish"),
    "low side": ("low", "low side switch", "sink", "sinking"),
    "high side": ("high", "high side switch", "source", "sourcing"),
    "both ways": ("both", "bridge", "H bridge", "bipolar"),
    "none": ("no suppression", "unsuppressed"),
    "diode": ("freewheel diode", "freewheeling diode", "flyback diode"),
    "diode+zener": ("diode and zener", "diode/zener", "zener+diode"),
    "varistor": ("MOV", "VDR"),
    "RC": ("snubber", "RC snubber"),
    "resistive": ("ohmic",),
    "motor": ("motors",),
    "lamp": ("lamps", "bulb", "filament lamp", "incandescent", "incandescent lamp"),
    "capacitive": ("capacitor",),
    "inductive": ("inductor",),
    "general": ("general purpose", "general use"),
    "solenoid": ("solenoid valve", "valve coil"),
    "led supply": ("led driver",),
    "not for new designs": ("NRND", "not recommended for new designs"),
    "last-time buy": ("LTB",),
    "obsolete": ("discontinued",),
    "component": ("component side",),
    "solder": ("solder side",),
    "piece": ("pieces", "pcs", "pc"),
}
"""What else the trade calls a word. From memory; a name that means two things is left out."""


def folded(text: str) -> str:
    """A word as it is compared: no capitals, blanks, underscores or hyphens."""
    return _BETWEEN.sub("", text).casefold()


def word_for(text: str, words: Iterable[str]) -> str | None:
    """The one of these words that ``text`` is, or is another name for; None where it is none of them."""
    wanted, words = folded(text), tuple(words)
    for word in words:
        if folded(word) == wanted:
            return word
    return next((word for word in words if wanted in map(folded, OTHER_NAMES.get(word, ()))), None)


def nearest(text: str, words: Iterable[str]) -> str:
    """The known word that ``text`` is most like; empty where it is like none of them."""
    by_fold = {folded(word): word for word in words}
    near = get_close_matches(folded(text), by_fold, 1, 0.55)
    return by_fold[near[0]] if near else ""


def is_it(text: str, words: Iterable[str]) -> str:
    """`` (is coil_volts meant?)``, to end a sentence about an unknown word with; empty where no known one is near."""
    near = nearest(text, words)
    return f" (is {near} meant?)" if near else ""


def is_note(name: str) -> bool:
    """Whether a key or column is free text for people by its name: one that begins with *note*."""
    return name.casefold().startswith("note")
