"""The keys of a board file: what each means, its unit, what it may hold and an example; they are read and explained
by these descriptions."""

from __future__ import annotations

from bom.boards.board import BOARD_LOADS, CONTACTS, NET_WORDS, POLARITIES, PROCESSES, SUPPRESSIONS, NetIs, codes
from bom.fit.hole_clearance import LEVELS, Stacking
from bom.relays.relay import SupplyKind
from bom.values.column import called, keys, number, table, text, texts, under, whole, word, yes_or_no

BOARD = keys(
    name=called("The board's name, by which its positions are asked for, as in OS-3:K1.", "OS-3", needed=True),
    title=text("What the box is.", "Orchard sprayer valve box"),
    ambient_min_c=number("degC", "The coldest it gets round the relays.", "-20", least=-100, most=300),
    ambient_max_c=number("degC", "The hottest it gets round the relays.", "70", least=-100, most=300),
    board_thickness_mm=number("mm", "How thick the board is.", "1.6", above=0),
    lid_clearance_mm=number("mm", "From the board's surface to the lid.", "14.8", above=0),
    holes=text("The CSV of its holes, beside this file.", "os-3-holes.csv"),
    process=texts("What the finished board goes through.", '["wash"]', PROCESSES),
    cautions=texts("What to mind at this box.", '["Keep clear of the boom."]'),
    hole_clearance=word(tuple(LEVELS), "How much wider than its lead a hole must be, as a published level.", "B"),
    hole_tolerances=word(tuple(s.value for s in Stacking), "How the tolerances of its holes add.", "worst case"),
    drill_tolerance_mm=number("mm", "How far a drill may be off its diameter.", "0.05", least=0),
    hole_position_tolerance_mm=number("mm", "How far a hole may be off its place.", "0.05", least=0),
    leg_dressing_mm=number("mm", "How far legs may be bent to go in.", "0.2", least=0),
    safety=yes_or_no("Whether someone's safety rests on every function of the box.", "false"),
)
SUPPLY = keys(
    code=word(codes(), "The supply code of a road vehicle (ISO 16750-2), in the place of volts.", "C"),
    min_volts=number("V", "The lowest supply.", "9", above=0),
    nominal_volts=number("V", "The usual supply.", "12", above=0),
    max_volts=number("V", "The highest supply.", "16", above=0),
    jump_start=yes_or_no("Whether a boost start from 24 V is to be allowed for.", "true"),
    jump_volts=number("V", "What a boost start puts on it.", "24", above=0),
    jump_seconds=number("s", "How long a boost start lasts.", "60", above=0),
)
POSITION = keys(
    ref=called("The position as it is printed on the board.", "K1", needed=True),
    pattern=text("Its hole pattern, in the holes file.", "twin-10", needed=True),
    fitted=text("The part fitted at the factory.", "TW2-12S"),
    wiring=text("What the board expects, hole names standing for pins; else the fitted part's.", "board-twin"),
    units_on_together=whole("How many units of it are on at once.", "1"),
    coil_rise_k=number("", "How many kelvin a coil that stays on gets warmer than the ambient.", "35", least=0),
)
DRIVER = keys(
    channel_milliamps=number("mA", "The most that one coil may draw.", "80", above=0),
    package_milliamps=number("mA", "The most that the driver's coils may draw together.", "350", above=0),
    drop_volts=number("V", "What the driver keeps of the supply.", "0.9", least=0),
    polarity=word(POLARITIES, "Which end of the coil it switches.", "low side"),
    suppression=word(SUPPRESSIONS, "What lies across the coil on the board.", "diode"),
    off_volts=number("V", "What its leakage leaves on a coil that is off.", "0.3", least=0),
    pulse_ms=number("ms", "How long it drives a latching coil.", "50", above=0),
    breakdown_volts=number("V", "The most that its switch bears while it is open.", "60", above=0),
    clamp_volts=number("V", "The most that the board's own suppression lets arise over the coil.", "24", above=0),
)
KEEP_OUT = keys(
    name=text("What stands there.", "rib of the lid", needed=True),
    x_mm=number("mm", "Its middle, in the hole pattern's own mm, to the right.", "4", needed=True),
    y_mm=number("mm", "Its middle, in the hole pattern's own mm, downwards.", "-2", needed=True),
    length_mm=number("mm", "How long it is, along x unless it is turned.", "10", above=0, needed=True),
    width_mm=number("mm", "How wide it is.", "1.5", above=0, needed=True),
    angle_deg=number("deg", "How far it is turned.", "0", least=-360, most=360),
    from_mm=number("mm", "How high above the board it begins.", "12", least=0),
)
FUNCTION = keys(
    name=text("What this contact does.", "left boom valve, open", needed=True),
    unit=text("Which independent relay inside the body.", "A"),
    pole=text("Which pole of that unit, where it has several.", "1"),
    contact=word(CONTACTS, "Which of its contacts.", "make", needed=True),
    safety=yes_or_no("Whether someone's safety rests on it.", "false"),
)
LOAD = keys(
    kind=word(BOARD_LOADS, "What kind of load it is.", "motor", needed=True),
    volts=number("V", "Voltage of the load.", "14", above=0),
    amps=number("A", "Running current.", "2.1", above=0),
    stall_amps=number("A", "Current of a motor that is held.", "9", above=0),
    stall_seconds=number("s", "How long a stall lasts.", "0.4", above=0),
    inrush_amps=number("A", "Current at switching on.", "15", above=0),
    lr_ms=number("ms", "Time constant L/R of the load.", "7", above=0),
    power_factor=number("", "Power factor (cos φ) of the load.", "0.4", above=0, most=1),
    supply=word(SupplyKind, "What the load is fed by; else as its kind says, else dc.", "dc"),
    temp_c=number("degC", "The ambient at the contact, where it differs from the board's.", "85", least=-100, most=300),
    operations_per_day=number("ops", "How often it is switched in a day.", "120", least=0),
    reversing=yes_or_no("Whether its polarity is reversed to turn it round.", "true"),
    suppression=word(SUPPRESSIONS, "What lies across the load.", "none"),
    brake_amps=number("A", "What flows through the resting contact after switching off.", "6", above=0),
    mixed=table("The running amps of each kind that a mixed load is made of.", "{ lamp = 2, resistive = 8 }"),
    in_parallel=whole("How many contacts share it; none counts for more than itself.", "2", least=1),
    life_years=number("", "How many years the contact should last.", "10", above=0),
)
NET = keys(
    name=text("The net, as the holes and the loads name it.", "VBAT", needed=True),
    **{
        "is": word(
            NetIs, "What holds it at its volts; every other net is found.", "supply", also=NET_WORDS, needed=True
        )
    },
    volts=number("V", "Its volts, where a supply differs from the board's nominal one.", "14", above=0),
)
ENDS = keys(
    name=called("The load.", "left boom valve", needed=True),
    plus=text("The net of its one end; a current from there to minus is forward.", "MOT_LP", needed=True),
    minus=text("The net of its other end.", "MOT_LN", needed=True),
    forward=called("What people call what it does with the current forward.", "left boom valve opens"),
    reverse=called("What people call what it does with the current reversed.", "left boom valve closes"),
    stops_at_end=yes_or_no("Whether it is switched off while it stalls at its end.", "true"),
)
"""Of a load between nets, beside the keys that every load has."""
NEVER = keys(
    together=texts("Units that the electronics never has on at the same time.", '["K1.A", "K1.B"]'),
)
REPAIR = keys(
    name=called("The repair, which a kit is made for.", "valve drive", needed=True),
    symptoms=texts("What a customer notices.", '["valve runs on"]'),
    positions=texts("The positions that serve it.", '["K1"]'),
    first_check=texts("What to check before blaming the relay.", '["fuse"]'),
)
BOARD_KEYS = {
    **under("board", BOARD),
    **under("board.supply", SUPPLY),
    **under("position[]", POSITION),
    **under("position[].driver", DRIVER),
    **under("position[].keep_out[]", KEEP_OUT),
    **under("position[].function[]", FUNCTION),
    **under("position[].function[].load", LOAD),
    **under("net[]", NET),
    **under("load[]", {**ENDS, **LOAD}),
    **under("never[]", NEVER),
    **under("repair[]", REPAIR),
}
"""Every key of a board file by its path."""
