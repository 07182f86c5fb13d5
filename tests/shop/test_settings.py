"""Who the shop is: kept as said, never guessed, and understood or refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import text

from bom.jobs.bench import bench, glance
from bom.shop.settings import COLUMNS, Settings, change_setting, settings_of, settle
from bom.store.engine import open_engine, upgrade
from bom.values.problem import Refused


@pytest.fixture
def url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'bom.db'}"


def test_a_new_shop_has_said_nothing(url: str) -> None:
    with bench(url) as session:
        assert settings_of(session) == Settings()


@pytest.mark.parametrize(
    ("name", "typed", "kept"),
    [
        ("currency", "gbp", "GBP"),
        ("Currency", " EUR ", "EUR"),
        ("tax_registered", "TRUE", True),
        ("tax-registered", "n", False),
        ("tax registered", "", False),
        ("name", "Mill Lane Bench", "Mill Lane Bench"),
        ("name", "", ""),
    ],
)
def test_a_setting_is_kept_as_it_is_understood(url: str, name: str, typed: str, kept: object) -> None:
    with bench(url) as session:
        change_setting(session, name, typed)
    with glance(url) as session:
        assert getattr(settings_of(session), name.casefold().replace("-", "_").replace(" ", "_")) == kept


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("curency", "GBP", "is currency meant?"),
        ("currency", "GPB", "is GBP meant?"),
        ("currency", "pounds", "an ISO 4217 code"),
        ("tax_registered", "perhaps", "yes or no"),
    ],
)
def test_what_is_no_setting_or_cannot_be_one_is_refused(url: str, name: str, typed: str, said: str) -> None:
    with pytest.raises(Refused, match=said), bench(url) as session:
        change_setting(session, "name", "half a job")
        change_setting(session, name, typed)
    with glance(url) as session:
        assert settings_of(session) == Settings()


def test_what_was_never_said_is_taken_from_the_first_thing_that_states_it_and_told_once(url: str) -> None:
    with bench(url) as session:
        assert "counts in GBP" in settle(session, currency="GBP", tax_registered=True)[0]
        assert settle(session, currency="EUR", tax_registered=False) == ()
        assert settings_of(session) == Settings(currency="GBP", tax_registered=True)


def test_blank_statements_settle_nothing(url: str) -> None:
    with bench(url) as session:
        assert settle(session) == settle(session, currency="") == ()
        assert settings_of(session) == Settings()


def test_every_setting_explains_itself() -> None:
    assert all(column.meaning and column.example for column in COLUMNS.values())


KIT = '{{"name": "{0}", "currency": "{1}", "market": {2}}}'


@pytest.mark.parametrize(
    ("kits", "base", "found"),
    [
        ([], "", Settings()),
        ([], "CHF", Settings(currency="CHF")),
        ([("a", "GBP", "null")], "", Settings(currency="GBP")),
        ([("a", "GBP", '{"tax_registered": true}'), ("b", "EUR", "null")], "", Settings("", "", "", "GBP", True)),
        ([("a", "GBP", '{"tax_registered": false}')], "EUR", Settings(currency="EUR")),
    ],
)
def test_an_older_shop_keeps_what_was_guessed_of_it(
    url: str, kits: list[tuple[str, str, str]], base: str, found: Settings
) -> None:
    engine = open_engine(url)
    upgrade(engine, "0011")
    with engine.begin() as connection:
        for kit in kits:
            row = {"name": kit[0], "document": KIT.format(*kit)}
            connection.execute(text("INSERT INTO kits (name, document, digest) VALUES (:name, :document, '')"), row)
        if base:
            connection.execute(text("INSERT INTO settings (name, value) VALUES ('base currency', :b)"), {"b": base})
    upgrade(engine)
    engine.dispose()
    with glance(url) as session:
        assert settings_of(session) == found


def test_what_an_upgrade_took_over_is_said_once(url: str) -> None:
    engine = open_engine(url)
    upgrade(engine, "0011")
    with engine.begin() as connection:
        connection.execute(text("INSERT INTO settings (name, value) VALUES ('base currency', 'CHF')"))
    upgrade(engine)
    engine.dispose()
    for times in (1, 0):
        heard: list[str] = []
        with bench(url, heard.append):
            pass
        assert ["currency CHF" in line for line in heard if "taken over" in line] == [True] * times
