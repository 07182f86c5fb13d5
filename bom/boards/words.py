"""The closed lists of words that a board file chooses from: what its loads are, what lies across them, how a coil is
driven, what the finished board goes through."""

from __future__ import annotations

from dataclasses import replace

from bom.relays.relay import LOADS, Suppression
from bom.relays.wiring import CONTACT_WORDS
from bom.values.column import Words

BOARD_LOADS = replace(
    LOADS,
    words=(
        *LOADS.words,
        *("solenoid", "transformer", "mercury lamp", "sodium lamp", "led supply", "electromagnet", "mixed"),
    ),
    also={**LOADS.also, "led supply": ("led driver",), "solenoid": ("solenoid valve",)},
)
"""Also what a published inrush table tells apart, an electromagnet whose utilisation category follows from its size,
and a load of several kinds."""

CONTACTS = Words(("make", "break"), CONTACT_WORDS)

SUPPRESSIONS = Words(
    (*(word.value for word in Suppression), "zener", "TVS", "varistor", "RC"),
    {
        "none": ("no", "without", "unsuppressed"),
        "diode": ("freewheeling diode", "flyback diode"),
        "diode+zener": ("diode and zener", "zener and diode", "zener+diode"),
        "varistor": ("MOV", "VDR"),
        "RC": ("snubber", "RC snubber", "R+C"),
    },
    {"clamp": "a zener, a TVS or a diode+zener?"},
)
"""What may lie across a coil or a load."""

ONE_WAY_SUPPRESSIONS = ("diode", "zener")
"""Conduct freely one way round, so they short a load whose polarity is reversed."""

POLARITIES = Words(
    ("low side", "high side", "both ways"),
    {
        "low side": ("low", "low side switch", "sinking"),
        "high side": ("high", "high side switch", "sourcing"),
        "both ways": ("both", "bridge", "H bridge"),
    },
)

NET_WORDS = {
    "supply": ("+", "plus", "positive", "battery", "feed", "B+"),
    "ground": ("gnd", "earth", "minus", "negative", "0 V", "chassis", "return"),
}
"""The trade's other words for what holds a net at its volts."""

PROCESSES = Words(
    ("wash", "coating"),
    {"wash": ("washing", "washed"), "coating": ("conformal coating", "coated", "lacquer", "varnish")},
)
"""What the finished board may go through."""
