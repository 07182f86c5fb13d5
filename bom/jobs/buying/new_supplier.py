"""A new supplier's file, written from a few answers: its terms, and how a price list of its would be read."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bom.intake.supplier_file import BREAK, BREAK_FROM, FEED, SHIPPING, SUPPLIER
from bom.jobs.new_files import answered, currency_of, file_for, named
from bom.paper.toml_out import Section, drafted, keys_of
from bom.paper.writing import write_new
from bom.shop.shop import Shop

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class SupplierAnswers:
    """What was answered, as it was typed; empty = not known. An empty ``currency`` is the shop's own."""

    currency: str = ""
    tax: str = ""
    includes_tax: str = ""
    shipping: str = ""
    free_from: str = ""
    minimum: str = ""
    days: str = ""


_ASKED = {
    "tax_pct": ("tax", "--tax"),
    "prices_include_tax": ("includes_tax", "--includes-tax"),
    "minimum_order": ("minimum", "--minimum"),
    "lead_days": ("days", "--days"),
}


def new_supplier(session: Session | None, name: str, answers: SupplierAnswers, out: Path | None = None) -> Path:
    """Write the supplier's file; nothing is written over. Refuses answers that no supplier can have."""
    name = named(SUPPLIER["name"], name)
    file = file_for(name, out)
    shop = Shop(session) if session is not None else None
    terms, sent = terms_of(answers)
    terms = {"name": name, **terms, "currency": currency_of(shop, answers.currency)}
    listed = "How its price list is read, where it sends one: the headings stand as the list has them."
    sections = [
        Section("[supplier]", keys_of(SUPPLIER, SUPPLIER, terms)),
        Section("[supplier.shipping]", keys_of(SHIPPING, SHIPPING, sent), "", set(sent.values()) == {None}),
        Section("[feed]", keys_of(FEED, ("file", "columns", "break_kind", "keep_hours"), {}), listed, example=True),
        Section("[[feed.breaks]]", keys_of({**BREAK_FROM, **BREAK}, ("from", "column"), {}), "", example=True),
    ]
    write_new({file: drafted(_opening(file), sections)})
    return file


def terms_of(answers: SupplierAnswers) -> tuple[dict[str, object], dict[str, object]]:
    """The terms and the shipping that were answered; refuses what no supplier can have."""
    if answers.currency.strip():
        currency_of(None, answers.currency)
    terms = {key: answered(SUPPLIER[key], getattr(answers, of), option) for key, (of, option) in _ASKED.items()}
    sent = {
        "fee": answered(SHIPPING["fee"], answers.shipping, "--shipping"),
        "free_from": answered(SHIPPING["free_from"], answers.free_from, "--free-from"),
    }
    return terms, sent


def _opening(file: Path) -> tuple[str, ...]:
    return (
        "A key behind a # is not stated: take the # away and put your own figure in the place of the example.",
        f"What stands in the way: bom supplier check {file}. Every key: bom explain supplier.toml.",
        "A token for a list has no place in this file: secret_env names the environment variable that holds it.",
    )
