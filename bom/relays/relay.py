"""A relay as its data sheet states it, and the ratings published for it. None always means *not stated*."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bom.relays.footprint import Footprint
from bom.relays.wiring import Kind, Wiring


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


class Guided(StrEnum):
    """Forcibly guided contacts, IEC 61810-3 types A and B."""

    NO = "no"
    A = "A"
    B = "B"


@dataclass(frozen=True, slots=True)
class Relay:
    """One orderable part. Units are in the names; temperatures in degrees Celsius; every None is *not stated*.

    ``coil_henries`` is the winding's inductance, armature closed; ``suppression_ohms`` the resistor, and
    ``suppression_volts`` the zener, of the part's own coil suppression.
    """

    maker: str
    part_number: str
    series: str = ""
    status: Status | None = None
    footprint: str = ""
    wiring: str = ""
    coil_system: CoilSystem | None = None
    coil_supply: SupplyKind | None = None
    coil_volts: float | None = None
    coil_ohms: float | None = None
    coil_ohms_tol_pct: float | None = None
    operate_volts: float | None = None
    release_volts: float | None = None
    coil_max_volts: float | None = None
    coil_ref_temp_c: float | None = None
    coil_suppression: Suppression | None = None
    coil_henries: float | None = None
    suppression_ohms: float | None = None
    suppression_volts: float | None = None
    contact_material: str = ""
    min_load_volts: float | None = None
    min_load_milliamps: float | None = None
    min_load_milliwatts: float | None = None
    dielectric_volts: float | None = None
    temp_min_c: float | None = None
    temp_max_c: float | None = None
    sealing: Sealing | None = None
    guided: Guided | None = None
    body_length_mm: float | None = None
    body_width_mm: float | None = None
    body_height_mm: float | None = None
    standoff_mm: float | None = None
    pin_length_mm: float | None = None
    operate_ms: float | None = None
    release_ms: float | None = None
    mechanical_ops: float | None = None
    source: str = ""

    @property
    def coil_watts(self) -> float | None:
        """Rated coil power, V squared over R."""
        if not self.coil_volts or not self.coil_ohms:
            return None
        return self.coil_volts**2 / self.coil_ohms


@dataclass(frozen=True, slots=True)
class Rating:
    """One published line: this contact, this kind of load, at these volts and amps, under these conditions.

    ``contact`` is *make*, *break* or *both*; ``load`` is resistive, inductive, motor, lamp, capacitive, general,
    or a utilisation category such as AC-15.
    """

    applies_to: str
    contact: str
    load: str
    supply: SupplyKind
    volts: float
    amps: float | None = None
    inrush_amps: float | None = None
    carry_amps: float | None = None
    carry_seconds: float | None = None
    lr_ms: float | None = None
    power_factor: float | None = None
    temp_c: float | None = None
    operations: float | None = None
    source: str = ""

    def covers(self, contact: Kind) -> bool:
        return self.contact in ("both", contact.value)


@dataclass(frozen=True, slots=True)
class SupplyPart:
    """What a repair needs besides relays: a consumable, a part, packing or print; in ``unit``: g, mm, ml or piece."""

    part_number: str
    name: str
    maker: str
    kind: str
    unit: str
    status: Status | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Design:
    """A relay together with what its names stand for: its footprint, its wiring and every rating that applies."""

    relay: Relay
    footprint: Footprint | None
    wiring: Wiring | None
    ratings: tuple[Rating, ...] = ()
