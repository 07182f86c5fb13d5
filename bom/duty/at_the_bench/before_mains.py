"""Before parts where the load is on the mains: the same order, but isolated and dead, and no limit meant for vehicles.

Nothing here is measured live. The order and the figures are common practice, no source, unless a step says otherwise.
"""

from __future__ import annotations

from bom.boards.board import Function, Load
from bom.duty.at_the_bench.before_step import PRACTICE, Step, currents
from bom.duty.figures.sources import AUTOMOTIVE_SHEETS

LIVE_MAINS = "Mains: only for those licensed to work on it there. Isolate, lock off, prove dead; local codes decide."

NEW_CONTACT_MILLIOHMS = 100
CONTACT_SOURCE = f"{AUTOMOTIVE_SHEETS.cited}: 100 mΩ at 6 V, 1 A over the closed contact, when new"


def mains_load(load: Load) -> Step:
    do = "isolated: measure the load's ohms and its insulation to earth; trying it live is for those licensed"
    return Step("load", do, f"no path to earth; {currents(load)}", PRACTICE)


def mains_fuse(load: Load) -> Step:
    blown = "blown: find the short or the stall first" if load.kind == "motor" else "blown: find the short first"
    return Step("fuse", "isolated, take the fuse out and measure its ohms", f"under 1 Ω; {blown}", PRACTICE)


def mains_joints() -> Step:
    do = (
        "isolated, look at each plug contact, lug and soldered joint in its way; measure its ohms, flexing it meanwhile"
    )
    return Step("joints", do, "not browned or cracked, no more ohms than the meter's own leads, and steady", PRACTICE)


def mains_contact(function: Function) -> Step:
    do = (
        f"isolated, 1 A from a bench supply of 6 V through the closed {function.contact} contact: "
        "measure over it at the relay's own pins"
    )
    right = (
        f"{NEW_CONTACT_MILLIOHMS / 1000:g} V at most, which is {NEW_CONTACT_MILLIOHMS} mΩ; more: the contact is worn"
    )
    return Step("relay, contact", do, right, CONTACT_SOURCE)
