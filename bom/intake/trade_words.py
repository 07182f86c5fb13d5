"""What people head their columns with: each column's other names, in English, German, French and Spanish.

Common words of the trade, no source. A word here proposes a column; it never decides alone whether a cell is taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from bom.values.column import folded, nearest

_WORDS: Mapping[str, str] = {
    "part_number": "part, part no, part nr, part #, p/n, pn, mpn, order code, order no, item, item no, article, type, "
    "model, relay, component, number, Artikel, Artikelnummer, Art.-Nr., Artikel-Nr., Teilenummer, Bestellnummer, "
    "Best.-Nr., Typ, Bezeichnung, Relais, Bauteil, référence, réf., article, pièce, modèle, referencia, ref., "
    "artículo, código, pieza, número de parte",
    "maker": "manufacturer, mfr, mfg, make, brand, Hersteller, Marke, Fabrikat, fabricant, marque, fabricante, marca",
    "series": "family, range, Serie, Baureihe, série, gamme, familia",
    "status": "lifecycle, life cycle, availability, state, Zustand, Lebenszyklus, statut, estado",
    "footprint": "pinout drawing, pin pattern, land pattern, outline, drawing, Footprint, Lochbild, empreinte, huella",
    "wiring": "pinout, contacts, contact form, circuit, Schaltbild, Schaltung, Kontaktart, schéma, câblage, esquema",
    "coil_system": "coil type, system, Spulensystem, latching",
    "coil_supply": "coil current, ac/dc, ac dc, Stromart",
    "coil_volts": "coil, coil voltage, coil v, nominal voltage, rated coil voltage, volts, voltage, V, Spule, "
    "Spulenspannung, Nennspannung, bobine, tension bobine, tension nominale, bobina, tensión bobina",
    "coil_ohms": "coil resistance, resistance, ohms, ohm, R coil, Spulenwiderstand, Widerstand, résistance, "
    "résistance bobine, resistencia, resistencia bobina",
    "coil_ohms_tol_pct": "resistance tolerance, tolerance, tol, Toleranz, tolérance, tolerancia",
    "operate_volts": "pull-in, pull in voltage, pickup, pick-up voltage, operate voltage, must operate, "
    "Ansprechspannung, tension d'appel, tensión de accionamiento",
    "release_volts": "drop-out, dropout voltage, release voltage, must release, Abfallspannung, Rückfallspannung, "
    "tension de relâchement, tensión de reposición",
    "coil_max_volts": "max coil, max coil voltage, max voltage, maximum coil voltage, Grenzspannung, "
    "tension max, tensión máxima",
    "coil_ref_temp_c": "coil reference temperature, at temperature",
    "coil_suppression": "suppression, diode, coil diode, Löschdiode, Freilaufdiode",
    "contact_material": "material, contacts of, Kontaktmaterial, Kontaktwerkstoff, matériau, material de contacto",
    "dielectric_volts": "dielectric strength, Prüfspannung, rigidité diélectrique",
    "temp_min_c": "min temp, min temperature, temp min, Tmin, Umgebungstemperatur min, température min",
    "temp_max_c": "max temp, max temperature, temp max, Tmax, Umgebungstemperatur max, température max",
    "sealing": "protection, enclosure, rt, sealed, Schutzart, Abdichtung, protection category",
    "guided": "forcibly guided, force guided, mechanically linked, zwangsgeführt",
    "body_length_mm": "length, L, body length, Länge, longueur, largo, longitud",
    "body_width_mm": "width, W, body width, Breite, largeur, ancho",
    "body_height_mm": "height, H, body height, Höhe, hauteur, alto, altura",
    "pin_length_mm": "pin length, Stiftlänge, Anschlusslänge",
    "operate_ms": "operate time, pull-in time, Ansprechzeit, temps d'appel",
    "release_ms": "release time, drop-out time, Abfallzeit, Rückfallzeit",
    "mechanical_ops": "mechanical life, life, Lebensdauer, endurance mécanique",
    "source": "data sheet, datasheet, sheet, Datenblatt, Quelle, fiche technique, hoja de datos",
    "drawer": "location, bin, box, place, shelf, rack, position, Fach, Schublade, Lagerort, Lagerplatz, Platz, tiroir, "
    "emplacement, casier, cajón, ubicación",
    "lot": "lot no, batch, batch no, our lot, Charge, Charge-Nr., Los, lote",
    "maker_lot": "maker's lot, manufacturer lot, trace code, Herstellercharge",
    "date_code": "datecode, d/c, dc, date code, Datecode, code date",
    "supplier": "vendor, bought from, source of supply, distributor, Lieferant, Händler, fournisseur, proveedor",
    "quantity": "qty, quant., amount, stock, in stock, on hand, pcs, pieces, count, counted, used, Menge, Anzahl, "
    "Bestand, Lagerbestand, Stück, Stk, gezählt, verbraucht, quantité, qté, stock actuel, cantidad, cant., existencias",
    "unit_cost": "cost, price, unit price, cost each, each, price each, paid, EK, EK netto, Einkaufspreis, Preis, "
    "Stückpreis, Einzelpreis, prix, prix unitaire, coût, precio, precio unitario, coste",
    "currency": "cur, ccy, Währung, devise, monnaie, moneda, divisa",
    "date": "day, received, bought, when, arrived, Datum, Tag, Eingang, Kaufdatum, Verbrauchsdatum, date d'achat, "
    "date de réception, fecha, fecha de compra",
    "expires": "expiry, expiry date, best before, use by, Ablaufdatum, haltbar bis, MHD, date limite, caducidad",
    "reason": "why, for, job, used for, comment, Grund, Zweck, Auftrag, motif, raison, motivo",
    "reorder_point": "min, minimum, min stock, minimum stock, reorder at, order at, Meldebestand, Mindestbestand, "
    "stock minimum, seuil, mínimo, stock mínimo, punto de pedido",
    "order_up_to": "max, maximum, max stock, target, fill up to, Sollbestand, Höchstbestand, stock maximum, máximo",
    "applies_to": "part, series, relay, for, Typ, gilt für, référence",
    "contact": "contacts, which contact, Kontakt",
    "load": "load kind, load type, Lastart, charge, carga",
    "supply": "ac/dc, current kind, Stromart",
    "volts": "voltage, V, switching voltage, Spannung, Schaltspannung, tension, tensión",
    "amps": "current, A, switching current, Strom, Schaltstrom, courant, corriente",
    "operations": "cycles, switching cycles, electrical life, Schaltspiele, manœuvres, ciclos",
    "name": "description, title, designation, Bezeichnung, Beschreibung, désignation, descripción, denominación",
    "kind": "type, category, Art, Kategorie, catégorie, categoría",
    "unit": "uom, unit of measure, measure, Einheit, ME, unité, unidad",
    "pin": "pin no, terminal, Anschluss, Stift, broche, pata",
    "hole": "hole no, pad, Loch, Bohrung, trou, agujero",
    "x_mm": "x, x mm, x pos",
    "y_mm": "y, y mm, y pos",
    "lead_mm": "lead, lead diameter, pin diameter, diameter, Stiftdurchmesser",
    "drill_mm": "drill, hole diameter, diameter, Bohrung, Durchmesser, perçage",
    "net": "signal, connected to, Netz",
    "element": "what, kind",
    "from_pin": "from, pin 1, von",
    "to_pin": "to, pin 2, nach",
}


class Meant(NamedTuple):
    """A column that a heading may mean; ``sure`` where the heading is one of its names in full."""

    column: str
    sure: bool


_BRACKETS = re.compile(r"[\(\[]\s*([^)\]]*?)\s*[\)\]]")
_UNIT_BEHIND = re.compile(r"\s(V|A|mA|mW|mm|in|ms|s|Ω|ohms?|°C|%)$")
_MARKS = re.compile(r"[.:#*,'’€£$¥]+")
_CODES = re.compile(r"\b(EUR|USD|GBP|CHF)\b")


def meanings(heading: str, columns: Iterable[str]) -> list[Meant]:
    """The columns that a heading may mean, likeliest first.

    >>> meanings("Coil voltage [V]", ["coil_volts", "coil_ohms"])[0]
    Meant(column='coil_volts', sure=True)
    """
    known = {column: _names(column) for column in columns}
    plain = _plain(_BRACKETS.sub(" ", heading))
    spelt = {plain, _plain(heading), _plain(_UNIT_BEHIND.sub("", heading))}
    whole = [column for column, names in known.items() if spelt & names]
    own = [column for column in whole if folded(column) in spelt]
    if whole:
        return [Meant(column, bool(own) or len(whole) == 1) for column in own or whole]
    words = {folded(word) for word in re.split(r"[\s/_\-.,:]+", _BRACKETS.sub(" ", heading)) if len(word) > 1}
    inside = [(max(map(len, met)), column) for column, names in known.items() if (met := words & names)]
    if inside:
        return [Meant(column, False) for _, column in sorted(inside, key=lambda one: -one[0])]
    by_name = {name: column for column, names in known.items() for name in names if len(name) > 3}
    near = nearest(plain, by_name, 0.8) if len(plain) > 3 else ""
    return [Meant(by_name[near], False)] if near else []


def unit_in(heading: str) -> str:
    """The unit that a heading names, in brackets or behind it; empty where it names none.

    >>> unit_in("Height (in)")
    'in'
    """
    match = _BRACKETS.search(heading) or _UNIT_BEHIND.search(heading)
    return match[1] if match else ""


def _names(column: str) -> set[str]:
    bare = re.sub(r"_(mm|c|pct|ms|deg)$", "", column)
    return {folded(column), folded(bare), *(_plain(word) for word in _WORDS.get(column, "").split(",") if word.strip())}


def _plain(text: str) -> str:
    return folded(_MARKS.sub("", _CODES.sub("", text)))
