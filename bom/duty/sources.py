"""The publications that the figures of this product come from, each with its number.

A screen names a company's paper by what it is and its number here, as in *relay maker's application note [1]*; a
standard or a public body it names itself. What was read was a stored copy or an excerpt; no standard's own text was.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """One publication: its number, what it is, who published which title, the edition, and what is taken from it."""

    number: int
    what: str
    publisher: str
    title: str
    edition: str
    used: str

    @property
    def cited(self) -> str:
        """As a screen names it.

        >>> COPPER_NOTE.cited
        "relay maker's application note [1]"
        """
        return f"{self.what} [{self.number}]"


_NOTE = "relay maker's application note"
_SHEET = "relay data sheets"
_GUIDE = "relay maker's guide"
_CATEGORIES = "overview of utilisation categories"
_SWITCHGEAR = "switchgear maker's manual"
_EXCERPT = "excerpt, edition not shown"

COPPER_NOTE = Source(
    1, _NOTE, "TE Connectivity", "Coil Voltage and Temperature Compensation", "13C9135, 06/13", "copper and temperature"
)
TEMPERATURE_NOTE = Source(
    2, _NOTE, "Leach International", "Relays and Temperature Variations", "AN 102", "copper and temperature"
)
RELAY_NEWS = Source(3, _NOTE, "Babcock", "Relay News", _EXCERPT, "copper's 234.5 °C; operate volts when hot")
PULL_IN_NOTE = Source(
    4,
    _NOTE,
    "Kilovac (Schrack)",
    "Application notes: pull-in voltage at temperature",
    _EXCERPT,
    "operate volts when hot",
)
SUPPRESSION_NOTE = Source(
    5, _NOTE, "TE Connectivity", "Relay coil suppression with DC relays", "13C3311", "a zener about equal to the supply"
)
SLOW_RELEASE_NOTE = Source(
    6, _NOTE, "TE Connectivity", "Coil suppression can reduce relay life", _EXCERPT, "slow release wears the contact"
)
CONTACT_LIFE_NOTE = Source(
    7, _NOTE, "TE Connectivity", "Relay Contact Life", _EXCERPT, "where silver contacts clean themselves: 12 V, 0.4 A"
)
RELAY_GLOSSARY = Source(
    8, _GUIDE, "Omron", "Technical guide, general purpose relays: glossary", _EXCERPT, "release at 10 % of rated volts"
)
LOAD_TYPES = Source(9, _GUIDE, "Omron", "Load Types & Ratings", _EXCERPT, "inrush: lamps ten times, motors six times")
SNAP_SWITCHES = Source(
    10, _GUIDE, "Omron", "Snap switches, product training module, slide 13", "2011", "inrush: up to five times"
)
INDUCTIVE_ANSWER = Source(11, _GUIDE, "Omron", "FAQ 02771, MY2 relay", _EXCERPT, "40 % at cos φ 0.4 or L/R 7 ms")
SAFETY_UNIT_MANUAL = Source(12, "safety unit manual", "Omron", "G9SA manual, page C-A-4", _EXCERPT, "RC snubber values")
CONTROL_CLASSES = Source(
    13, _SWITCHGEAR, "Siemens", "NEMA and IEC control circuit classifications", _EXCERPT,
    "designations A300 to R300; categories of IEC 60947-5-1",
)  # fmt: skip
CONTACTOR_MANUAL = Source(
    14, _SWITCHGEAR, "Siemens", "SIRIUS System Manual, page 3-5, tables 3-3 and 3-31", _EXCERPT,
    "categories of IEC 60947-4-1 and 60947-5-1",
)  # fmt: skip
SWITCHGEAR_CATALOGUE = Source(
    15, "switchgear maker's catalogue", "Eaton", "CA08103002Z, page 22/16", _EXCERPT, "designations A300 to R300"
)
DURABILITY_PAGE = Source(
    16, _SWITCHGEAR, "ABB", "Auxiliary contacts, durability, page 702", "1SBC100214C02", "power factors of AC-15 tests"
)
CATEGORY_PAGE = Source(
    17, _CATEGORIES, "ABB", "Utilisation categories, page 177", _EXCERPT, "AC-3 makes six times its amps at every start"
)
CATEGORY_OVERVIEW = Source(
    18, _CATEGORIES, "ELESTA", "Overview of conventional utilization categories", _EXCERPT, "L/R of DC-1, DC-3, DC-5"
)
RELAY_PRESENTATION = Source(
    19, _CATEGORIES, "Schneider Electric", "Relays, technical presentation", "DIA5ED2130303EN", "AC-14 to 72 VA"
)
PILOT_DUTY = Source(
    20, _GUIDE, "Panasonic", "Tech Insights: What is a pilot duty rating, how is it obtained?", "2012",
    "power factor 0.35 of the pilot-duty test",
)  # fmt: skip
AUTOMOTIVE_SHEETS = Source(
    21, _SHEET, "Panasonic", "Automotive relays CT and CP", "2022", "100 mΩ and 0.2 V over a new closed contact"
)
REVERSING_SHEET = Source(
    22, _SHEET, "Panasonic", "CR relays, test data, page 4", _EXCERPT, "brake current through the break contact"
)
SOLDERING_GUIDE = Source(
    23, "relay maker's soldering guide", "Panasonic", "Relay soldering and cleaning guidelines",
    "DS_X61_EN 091112D; ASCTB45E 2014-02", "iron at 350 °C for 3 s; no bent terminals; no ultrasonic cleaning",
)  # fmt: skip
GUIDED_SHEET = Source(24, _SHEET, "Finder", "50 series", _EXCERPT, "which contacts of type B may prove each other")
RANGE_SHEETS = Source(25, _SHEET, "Finder", "40, 50 and 60 series", _EXCERPT, "AC coils work from 0.8 to 1.1 of rated")
BOARD_MANUAL = Source(
    26,
    "relay output board manual",
    "Adlink",
    "PCI-7256 manual, appendix A",
    _EXCERPT,
    "diode, zener and snubber values",
)
DRIVE_MANUAL = Source(27, "printer manual", "Hitachi", "UX2 manual, page 55", _EXCERPT, "diode and snubber values")
PUMP_MANUAL = Source(
    28, "pump controller manual", "Duniway Stockroom", "Terranova 907, page 30; 752A, page A-2", _EXCERPT,
    "C. C. Bates' snubber formula",
)  # fmt: skip
METER_MANUAL = Source(
    29, "measuring instrument manual", "Keysight", "34970A/34972A, pages 322 and 323", _EXCERPT, "C = (I / 300)² L"
)
OUTPUT_MODULE = Source(
    30, "relay output module manual", "National Instruments", "FP-RLY-420, page 8", _EXCERPT, "inrush by kind of load"
)
RATINGS_ANSWER = Source(31, _GUIDE, "Hando", "Meaning of contact ratings", _EXCERPT, "amps times the power factor")
DERATING_PAGE = Source(
    32, "derating page", "interfacebus.com", "Relay Derating Guidelines", _EXCERPT, "contact stress ratio 0.50"
)
CAR_MANUAL = Source(
    33, "car workshop manual", "Bentley Publishers", "BMW 3 Series (E46) Service Manual, Electrical System, General: "
    "voltage drop testing", "1999-2005", "volts lost over joints and contacts, which it ascribes to SAE",
)  # fmt: skip
REMOVAL_GUIDE = Source(
    34, "rework guide", "Circuit Technology Center", "8.1.1, through hole components, vacuum method (IPC-7711, 3.1.1)",
    "revision E, 2001-10-18", "taking a part out",
)  # fmt: skip
SOLDERING_STEPS = Source(
    35, "rework guide", "Circuit Technology Center", "7.2.1, through hole components, point to point (IPC-7711, 7.2.1)",
    _EXCERPT, "soldering a part in",
)  # fmt: skip
ARC_PAGE = Source(
    36, "trade magazine", "all-electronics.de", "Umkehrsteuerung für DC-Motoren: relays for 42 V", _EXCERPT,
    "an arc that outlasts the transfer",
)  # fmt: skip
LIFE_TABLE = Source(
    37, "output module manual", "GE", "VersaMax GFK-1504N, page B-1, contact life", "GFK-1504N", "life over amps"
)
CONTACT_BOOK = Source(
    38, "contact maker's handbook", "Doduco", "Electrical contacts wiki, 13.3.2", _EXCERPT, "mechanical life"
)
DUMP_PAPER = Source(
    39, "journal paper", "KIEES", "JKIEES 30-8-629, table 1", _EXCERPT, "load dump without suppression, ISO 16750-2"
)
SUPPLY_MANUAL = Source(
    40, "laboratory supply manual", "Itech", "IT6015C manual, pages 93 and 94", _EXCERPT, "load dump, tests A and B"
)

_PUBLIC = (
    ("low-voltage limits", "European Union", "Directive 2014/35/EU, article 1", "2014, from memory", "mains cautions"),
    ("volts lost on the way", "FAA", "AC 43.13-1B, table 11-6", "change 1, 2001", "volts lost on the way"),
    ("switch derating", "FAA", "AC 43.13-1B, table 11-4 and page 11-17", "change 1, 2001", "derating; silver contacts"),
    ("boat wiring", "ABYC", "E-11, 11.14.2.6", "edition not shown", "volts lost in boats"),
    ("lamp test", "US Department of Defense", "MIL-R-5757J, 4.6.20.3", "revision J", "lamps make twelve times"),
    ("failure factors", "US Department of Defense", "MIL-HDBK-217F, 13.1", "revision F, from memory", "derating"),
    ("derating", "Rome Air Development Center", "RADC-TR-84-254", "1984, from memory", "derating"),
    ("control circuits", "IEC", "60947-5-1, table 4 and annex A", "as reprinted", "categories, designations"),
    ("contactors", "IEC", "60947-4-1", "as reprinted", "categories"),
    ("latching coils", "US Department of Defense", "MIL-PRF-6106, notes", "revision R", "length of a pulse"),
    ("contact forms", "NARM/RSIA", "list of contact forms", "as reprinted", "break before make"),
    ("vehicle supplies", "ISO", "16750-2, supply voltage codes", "as reprinted, partly from memory", "boost start"),
    (
        "vehicle supplies",
        "ISO",
        "16750-2, starting profile and load dump",
        "as reprinted, partly from memory",
        "events",
    ),
    ("insulation", "IEC", "60664-1, 5.3.3.2.3 and table F.1", "2007, from memory", "coil from contacts on mains"),
    ("winding insulation", "IEC", "60085, class F", "from memory", "no winding is hotter than 155 °C"),
    ("printed boards", "IPC", "2222, hole over lead", "from memory", "narrow and wide holes"),
    ("relays", "IEC", "61810-1, operative range class 1", "from memory", "AC coils"),
    ("guided relays", "CENELEC", "EN 50205, now IEC 61810-3", "2002", "guided contacts"),
    ("preferred values", "IEC", "60063", "series E3 to E24", "resistors, capacitors, zeners"),
    ("mains capacitors", "IEC", "60384-14", "from memory", "class X2"),
    ("terminals", "CENELEC and DIN", "EN 50005; DIN 72552", "as reprinted", "names of terminals"),
    ("soldered assemblies", "IPC", "J-STD-001, plated-through holes", "from memory", "how far solder fills a hole"),
    ("rework", "IPC", "7711/7721, coating", "from memory", "coating off and on again"),
)
"""What it is, publisher, title, edition and use of those that a screen names outright."""

_COMPANIES = tuple(sorted((s for s in globals().values() if isinstance(s, Source)), key=lambda s: s.number))
SOURCES: tuple[Source, ...] = (
    *_COMPANIES,
    *(Source(number, *told) for number, told in enumerate(_PUBLIC, len(_COMPANIES) + 1)),
)
"""All of them by number: companies' papers first, then standards and public bodies."""
