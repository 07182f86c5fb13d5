"""A relay as its data sheet states it, and the ratings published for it. None always means *not stated*."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from bom.relays.footprint import Footprint
from bom.relays.wiring import CONTACT_WORDS, Kind, Wiring
from bom.values.column import Words, given, number, part_number, stated, text, word


class Status(StrEnum):
    ACTIVE = "active"
    NOT_FOR_NEW_DESIGNS = "not for new designs"
    LAST_TIME_BUY = "last-time buy"
    OBSOLETE = "obsolete"


class CoilSystem(StrEnum):
    MONOSTABLE = "monostable"
    LATCHING_1_COIL = "latching-1-coil"
    LATCHING_2_COIL = "latching-2-coil"


class SupplyKind(StrEnum):
    DC = "dc"
    AC = "ac"


class Suppression(StrEnum):
    NONE = "none"
    RESISTOR = "resistor"
    DIODE = "diode"
    DIODE_ZENER = "diode+zener"


DIODES = (Suppression.DIODE, Suppression.DIODE_ZENER)
"""Those that conduct freely one way round: the coil then has a + end."""


class Sealing(StrEnum):
    """Sealing categories of IEC 61810-1, in rising order of tightness."""

    RT_0 = "RT 0"
    RT_I = "RT I"
    RT_II = "RT II"
    RT_III = "RT III"
    RT_IV = "RT IV"
    RT_V = "RT V"

    @property
    def rank(self) -> int:
        return list(Sealing).index(self)


class Insulation(StrEnum):
    """What insulation counts as, in rising order; double insulation counts as reinforced (IEC 60664-1)."""

    FUNCTIONAL = "functional"
    BASIC = "basic"
    REINFORCED = "reinforced"

    @property
    def rank(self) -> int:
        return list(Insulation).index(self)


class Mains(StrEnum):
    """The frequency of an AC supply, or those that an AC coil is wound for, in hertz."""

    HZ_50 = "50"
    HZ_60 = "60"
    BOTH = "50/60"


class Guided(StrEnum):
    """Forcibly guided contacts, IEC 61810-3 types A and B."""

    NO = "no"
    A = "A"
    B = "B"


class ContactPolarity(StrEnum):
    """Which way direct current must flow through a contact; a magnet that blows out the arc works one way only."""

    EITHER = "either"
    COMMON_PLUS = "common plus"
    COMMON_MINUS = "common minus"


# The trade's other words for these; only those that can mean nothing else. Sealing: IEC 61810-1 names its categories
# so, from memory.
_STATUS = {
    "active": ("in production",),
    "not for new designs": ("NRND", "not recommended for new designs"),
    "last-time buy": ("LTB",),
    "obsolete": ("discontinued", "end of life", "EOL"),
}
_COIL_SYSTEMS = {
    "monostable": ("non-latching", "single side stable"),
    "latching-1-coil": ("1 coil latching", "single coil latching"),
    "latching-2-coil": ("2 coil latching", "dual coil latching", "double coil latching"),
}
_WHICH_LATCH = "a latching relay with one coil or with two? write latching-1-coil or latching-2-coil"
_SUPPRESSION = {
    "none": ("no", "without"),
    "resistor": ("parallel resistor",),
    "diode": ("freewheeling diode", "flyback diode"),
    "diode+zener": ("diode and zener", "zener and diode", "zener+diode"),
}
_SEALING = {
    "RT 0": ("unenclosed",),
    "RT I": ("RT 1", "dust protected"),
    "RT II": ("RT 2", "flux proof", "flux tight"),
    "RT III": ("RT 3", "wash tight", "washable"),
    "RT IV": ("RT 4",),
    "RT V": ("RT 5", "hermetic", "hermetically sealed"),
}
_MAINS = {"50": ("50 Hz",), "60": ("60 Hz",), "50/60": ("50/60 Hz", "50 Hz/60 Hz", "50-60", "50-60 Hz", "50...60")}
_CONTACT_POLARITY = {
    "either": ("any", "none", "no", "not polarised", "bidirectional"),
    "common plus": ("common +", "COM +"),
    "common minus": ("common -", "COM -"),
}
_GUIDED = {"no": ("none", "not guided"), "A": ("type A",), "B": ("type B",)}
_WHICH_TYPE = "forcibly guided of type A or of type B? see IEC 61810-3"


@dataclass(frozen=True, slots=True)
class Relay:
    """One orderable part, a row of relays.csv. Temperatures in degrees Celsius; every None is *not stated*."""

    maker: str = field(metadata=given(text("Who makes it.", "Ostrel", needed=True)))
    part_number: str = field(metadata=given(part_number("The number that it is ordered by.", "TW2-12S")))
    series: str = stated(text("The family that ratings and drawings are published for.", "TW2"))
    status: Status | None = stated(word(Status, "Whether it is still made.", "active", also=_STATUS))
    footprint: str = stated(text("Its pins: a drawing in footprints.csv.", "OST-TW2"))
    wiring: str = stated(text("What its pins are joined to: a wiring in wirings.csv.", "twin-2c"))
    coil_system: CoilSystem | None = stated(
        word(
            CoilSystem,
            "Whether it falls back when its coil is off (monostable), or stays.",
            "monostable",
            also=_COIL_SYSTEMS,
            unclear={"latching": _WHICH_LATCH, "bistable": _WHICH_LATCH},
        )
    )
    coil_supply: SupplyKind | None = stated(word(SupplyKind, "What the coil is driven by.", "dc"))
    coil_volts: float | None = stated(number("V", "Rated voltage of the coil.", "12", above=0))
    coil_ohms: float | None = stated(number("ohm", "Resistance of the coil at coil_ref_temp_c.", "240", above=0))
    coil_ohms_tol_pct: float | None = stated(
        number("%", "How far coil_ohms may be off either way.", "10", least=0, most=99)
    )
    operate_volts: float | None = stated(
        number("V", "It has pulled in once the voltage is up to this (must operate).", "8.4", above=0)
    )
    release_volts: float | None = stated(
        number("V", "It has let go once the voltage is down to this (must release).", "1.2", above=0)
    )
    coil_max_volts: float | None = stated(number("V", "The most the coil may see for good.", "18", above=0))
    coil_ref_temp_c: float | None = stated(
        number("degC", "The temperature that the coil's figures are stated at.", "20", least=-273.15)
    )
    hold_volts: float | None = stated(
        number("V", "It stays pulled in as long as the voltage is not below this (must hold).", "5", above=0)
    )
    coil_hertz: Mains | None = stated(word(Mains, "The frequency that an AC coil is wound for.", "50/60", also=_MAINS))
    coil_kelvin_per_watt: float | None = stated(
        number("", "How many kelvin the coil warms for each watt in it, its contacts idle.", "40", above=0)
    )
    contact_rise_k: float | None = stated(
        number("", "How many kelvin the coil warms besides by what its contacts carry.", "12", least=0)
    )
    contact_rise_amps: float | None = stated(
        number("A", "What the contacts carry where contact_rise_k is stated.", "20", above=0)
    )
    coil_suppression: Suppression | None = stated(
        word(
            Suppression,
            "What is inside across the coil.",
            "none",
            also=_SUPPRESSION,
            unclear={"varistor": "not one of these: leave it empty and see the data sheet"},
        )
    )
    coil_henries: float | None = stated(number("H", "Inductance of the coil, armature closed.", "1.9", above=0))
    suppression_ohms: float | None = stated(number("ohm", "The resistor across the coil.", "680", above=0))
    suppression_volts: float | None = stated(number("V", "The zener in series with the diode.", "24", above=0))
    contact_material: str = stated(text("What the contacts are made of.", "AgSnO2"))
    min_load_volts: float | None = stated(
        number("V", "The least voltage that the contacts switch reliably.", "5", least=0)
    )
    min_load_milliamps: float | None = stated(
        number("mA", "The least current that the contacts switch reliably.", "100", least=0)
    )
    min_load_milliwatts: float | None = stated(
        number("mW", "The least power that the contacts switch reliably.", "500", least=0)
    )
    contact_polarity: ContactPolarity | None = stated(
        word(ContactPolarity, "Which way DC must flow through its contacts.", "either", also=_CONTACT_POLARITY)
    )
    most_per_minute: float | None = stated(
        number("ops", "How often a minute it may switch its rated load.", "6", above=0)
    )
    together_amps: float | None = stated(
        number("A", "What each half carries while every other half carries as much.", "15", above=0)
    )
    dielectric_volts: float | None = stated(
        number("V", "Dielectric strength across the open contacts, V AC.", "500", above=0)
    )
    coil_contact_volts: float | None = stated(
        number("V", "Dielectric strength between coil and contacts, V AC.", "4000", above=0)
    )
    between_poles_volts: float | None = stated(
        number("V", "Dielectric strength between the contacts of different poles or halves, V AC.", "2500", above=0)
    )
    insulation: Insulation | None = stated(
        word(
            Insulation,
            "What the insulation between coil and contacts counts as.",
            "reinforced",
            also={"basic": ("single",), "reinforced": ("double",)},
            unclear={"supplementary": "beside a basic one it makes double insulation: reinforced"},
        )
    )
    impulse_volts: float | None = stated(
        number("V", "The impulse (1.2/50 µs) that the insulation between coil and contacts bears.", "4000", above=0)
    )
    temp_min_c: float | None = stated(number("degC", "The coldest ambient it works in.", "-40", least=-273.15))
    temp_max_c: float | None = stated(number("degC", "The hottest ambient it works in.", "85", least=-273.15))
    sealing: Sealing | None = stated(
        word(
            Sealing,
            "How tight it is, as a category of IEC 61810-1.",
            "RT III",
            also=_SEALING,
            unclear={"sealed": "wash tight is RT III; sealed, as IEC 61810-1 means it, is RT IV"},
        )
    )
    guided: Guided | None = stated(
        word(
            Guided,
            "Whether its contacts are forcibly guided, and of which type of IEC 61810-3.",
            "no",
            also=_GUIDED,
            unclear={"yes": _WHICH_TYPE, "forcibly guided": _WHICH_TYPE},
        )
    )
    body_length_mm: float | None = stated(number("mm", "The longer side of the body on the board.", "18", above=0))
    body_width_mm: float | None = stated(number("mm", "The shorter side of the body on the board.", "17", above=0))
    body_height_mm: float | None = stated(number("mm", "Height of the body without its standoffs.", "14", above=0))
    standoff_mm: float | None = stated(number("mm", "What the body stands above the board.", "0.3", least=0))
    pin_length_mm: float | None = stated(number("mm", "What the pins reach below the body's seat.", "3.5", above=0))
    operate_ms: float | None = stated(number("ms", "Time to pull in.", "6", above=0))
    release_ms: float | None = stated(number("ms", "Time to let go.", "3", above=0))
    mechanical_ops: float | None = stated(number("ops", "How often it switches without a load.", "1e7", above=0))
    source: str = stated(text("Where these figures were read.", "data sheet 3/2019"))

    @property
    def coil_watts(self) -> float | None:
        """Rated coil power, V squared over R."""
        if not self.coil_volts or not self.coil_ohms:
            return None
        return self.coil_volts**2 / self.coil_ohms


CATEGORIES = (
    *("AC-1", "AC-2", "AC-3", "AC-3e", "AC-4", "AC-5a", "AC-5b", "AC-6a", "AC-6b", "AC-7a", "AC-7b", "AC-7c", "AC-7d"),
    *("AC-8a", "AC-8b", "AC-12", "AC-13", "AC-14", "AC-15", "DC-1", "DC-3", "DC-5", "DC-6", "DC-12", "DC-13", "DC-14"),
)
"""Utilisation categories of IEC 60947-4-1 and -5-1, from memory."""

DESIGNATIONS = (
    *("A150", "A300", "A600", "B150", "B300", "B600", "C150", "C300", "C600", "D150", "D300", "E150"),
    *("N150", "N300", "N600", "P150", "P300", "P600", "Q150", "Q300", "Q600", "R150", "R300"),
)
"""Contact rating designations, A to E for AC and N to R for DC (IEC 60947-5-1, annex A; UL 508; NEMA ICS 5)."""

LOADS = Words(
    ("resistive", "inductive", "motor", "lamp", "capacitive", "general"),
    {
        "resistive": ("ohmic", "resistive load"),
        "inductive": ("inductive load",),
        "motor": ("motor load",),
        "lamp": ("lamp load", "lamps", "bulb", "filament lamp", "incandescent"),
        "capacitive": ("capacitive load",),
        "general": ("general use", "general purpose"),
    },
    besides=(*CATEGORIES, *DESIGNATIONS),
    besides_words="a category such as AC-15",
)
"""Kinds of load that a rating is published for."""


_RATED_CONTACTS = CONTACT_WORDS | {"both": ("changeover", "CO", "form C", "NO/NC")}


def supply_of(load: str) -> SupplyKind | None:
    """The supply that a utilisation category or a contact rating designation is for; None for any other load."""
    if load in CATEGORIES:
        return SupplyKind.AC if load.startswith("AC") else SupplyKind.DC
    if load in DESIGNATIONS:
        return SupplyKind.AC if load[0] in "ABCDE" else SupplyKind.DC
    return None


@dataclass(frozen=True, slots=True)
class Rating:
    """One published line, a row of ratings.csv: this contact, this load, at these volts and amps, so conditioned."""

    applies_to: str = field(metadata=given(part_number("The part number or series that it is published for.", "TW2")))
    contact: str = field(
        metadata=given(
            word(("make", "break", "both"), "The contact it is for.", "make", also=_RATED_CONTACTS, needed=True)
        )
    )
    load: str = field(metadata=given(word(LOADS, "The kind of load.", "resistive", needed=True)))
    supply: SupplyKind = field(metadata=given(word(SupplyKind, "What the load is fed by.", "dc", needed=True)))
    volts: float = field(metadata=given(number("V", "Voltage of the load.", "14", above=0, needed=True)))
    amps: float | None = stated(number("A", "Current that is switched on and off.", "20", above=0))
    inrush_amps: float | None = stated(number("A", "Current at switching on.", "60", above=0))
    carry_amps: float | None = stated(
        number("A", "Current that is carried, not switched, for carry_seconds.", "35", above=0)
    )
    carry_seconds: float | None = stated(number("s", "How long carry_amps may flow.", "3", above=0))
    lr_ms: float | None = stated(number("ms", "Time constant L/R of the load.", "7", above=0))
    power_factor: float | None = stated(number("", "Power factor (cos φ) of the load.", "0.4", above=0, most=1))
    temp_c: float | None = stated(number("degC", "Ambient that it is published at.", "85", least=-273.15))
    operations: float | None = stated(number("ops", "How many operations it is published for.", "1e5", above=0))
    source: str = stated(text("Where it was read.", "data sheet 3/2019"))

    def covers(self, contact: Kind) -> bool:
        return self.contact in ("both", contact.value)


@dataclass(frozen=True, slots=True)
class SupplyPart:
    """What a repair needs besides relays, a row of supplies.csv, kept in ``unit``."""

    part_number: str = field(metadata=given(part_number("The number that it is ordered by.", "BRAID-2.5")))
    name: str = field(metadata=given(text("What it is.", "Braid, 2.5 mm", needed=True)))
    maker: str = field(metadata=given(text("Who makes it.", "Hollowmere")))
    kind: str = field(
        metadata=given(word(("consumable", "part", "packing", "print"), "What it is for.", "consumable", needed=True)),
    )
    unit: str = field(
        metadata=given(
            word(
                ("g", "mm", "ml", "piece"),
                "What it is counted in.",
                "mm",
                also={"piece": ("pieces", "pcs", "pc")},
                needed=True,
            )
        ),
    )
    status: Status | None = stated(word(Status, "Whether it is still made.", "active", also=_STATUS))
    source: str = stated(text("Where it was read.", "stores list 2026"))


@dataclass(frozen=True, slots=True)
class Design:
    """A relay together with what its names stand for: its footprint, its wiring and every rating that applies."""

    relay: Relay
    footprint: Footprint | None
    wiring: Wiring | None
    ratings: tuple[Rating, ...] = ()
