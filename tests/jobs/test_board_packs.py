"""A board travels with its kits and parts: the same bytes each time, the same verdicts there, nothing hostile in."""

from __future__ import annotations

import stat
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import pytest

from bom.boards.pack import MOST_BYTES, Pack
from bom.jobs.bench import bench
from bom.jobs.board_packs import add_pack, check_pack, pack_board, packed
from bom.jobs.kits.taking import add_kit, forget_kit
from bom.jobs.replacing.boards import add_board, check_board
from bom.jobs.replacing.matching import find_replacements
from bom.jobs.settings import set_shop
from bom.paper.pack_out import pack_bytes
from bom.store.boards_and_kits import board, kit, kits
from bom.store.catalogue import named, supplies
from bom.store.unit_of_work import Session
from bom.values.difference import Replacing, WouldReplace
from bom.values.problem import ProblemsFound, Refused

KITS = ("bench consumables", "OS-3 pump feed", "OS-3 valve drive")
DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Session]:
    with bench(f"sqlite:///{tmp_path / 'other.db'}") as session:
        yield session


@pytest.fixture
def pack(shop: Session, tmp_path: Path) -> Path:
    pack_board(shop, "os-3", tmp_path / "os-3.zip")
    return tmp_path / "os-3.zip"


def test_the_same_verdicts_come_of_it_in_an_empty_database(shop: Session, empty: Session, pack: Path) -> None:
    add_pack(empty, pack)
    assert check_board(empty, "OS-3") == check_board(shop, "OS-3")
    assert board(empty, "OS-3") == board(shop, "OS-3")


def test_a_match_there_says_of_the_fitted_part_what_it_says_here(shop: Session, empty: Session, pack: Path) -> None:
    add_pack(empty, pack)

    def fitted(session: Session) -> list[object]:
        found = find_replacements(session, position="OS-3:K1").candidates
        return [one.findings for one in found if one.part_number == "TW2-12S"]

    assert fitted(empty) == fitted(shop) != []


def test_kits_come_with_the_kits_in_them_and_their_supplies_but_on_no_terms(empty: Session, pack: Path) -> None:
    add_pack(empty, pack)
    assert [one.name for one in kits(empty)] == ["OS-3 pump feed", "OS-3 valve drive", "bench consumables"]
    assert {s.part_number for s in supplies(empty)} >= {"SEAL-OS3", "BAG-S"}
    assert all(one.market is None and one.packing is None for one in kits(empty))
    assert not named(empty, "KGA-24")


def test_it_is_the_same_to_the_byte_and_packed_there_again(shop: Session, empty: Session, pack: Path) -> None:
    again = pack_bytes(packed(shop, "OS-3")[0])
    assert again == pack.read_bytes()
    add_pack(empty, pack)
    assert pack_bytes(packed(empty, "OS-3")[0]) == again


def test_taken_where_it_came_from_it_changes_nothing(shop: Session, pack: Path) -> None:
    before = kit(shop, "OS-3 valve drive")
    lines = add_pack(shop, pack)
    assert next(line for line in lines if line.startswith(("board", "kit"))).endswith("unchanged")
    assert kit(shop, "OS-3 valve drive") == before and before is not None and before.market is not None


def test_it_is_looked_at_without_any_database(pack: Path) -> None:
    found = check_pack(pack)
    assert found.board == "OS-3" and found.checked is not None and not found.next and not found.checked.fails


def test_every_difference_is_shown_at_once_and_nothing_taken(empty: Session, pack: Path, tmp_path: Path) -> None:
    add_pack(empty, pack)
    other = changed(pack, tmp_path, **{
        "board.toml": ("ambient_max_c = 70", "ambient_max_c = 60"),
        "kits/002-os-3-pump-feed.toml": ("batch = 10", "batch = 5"),
        "catalogue/relays.csv": ("Ostrel,SLM-12S,SLM,active", "Ostrel,SLM-12S,SLM,obsolete"),
        "holes.csv": ("pump-slim,k1,0,0,", "pump-slim,k1,0,0.1,"),
    })  # fmt: skip
    with pytest.raises(WouldReplace) as refused:
        add_pack(empty, other)
    said = {one.what: [str(c) for c in one.changes] for one in refused.value.differences}
    assert "relay Ostrel SLM-12S" in said and any("ambient_max_c: 70 → 60" in c for c in said["board OS-3"])
    assert any("y_mm: 0 → 0.1" in c for c in said["board OS-3"])


def test_a_difference_is_told_once_whatever_else_is_new(
    shop: Session, empty: Session, pack: Path, tmp_path: Path
) -> None:
    add_pack(empty, pack)
    forget_kit(empty, "OS-3 valve drive")
    other = changed(pack, tmp_path, **{"catalogue/relays.csv": (",SLM,active", ",SLM,obsolete")})
    with pytest.raises(WouldReplace) as refused:
        add_pack(empty, other)
    assert [one.what for one in refused.value.differences] == ["relay Ostrel SLM-12S"]


def test_on_wish_the_differences_are_taken(empty: Session, pack: Path, tmp_path: Path) -> None:
    add_pack(empty, pack)
    replacing = Replacing(True)
    add_pack(empty, changed(pack, tmp_path, **{"board.toml": ("ambient_max_c = 70", "ambient_max_c = 60")}), replacing)
    kept = board(empty, "OS-3")
    assert (
        kept is not None and kept.ambient_max_c == 60 and [one.what for one in replacing.differences] == ["board OS-3"]
    )


def test_refused_differences_leave_the_database_as_it_was(url: str, pack: Path, tmp_path: Path) -> None:
    target = f"sqlite:///{tmp_path / 'third.db'}"
    with bench(target) as session:
        add_pack(session, pack)
    other = changed(
        pack, tmp_path, **{"catalogue/relays.csv": ("Ostrel,SLM-12S,SLM,active", "Ostrel,SLM-12S,SLM,obsolete")}
    )
    with pytest.raises(WouldReplace), bench(target) as session:
        add_pack(session, other)
    with bench(target) as session:
        assert named(session, "SLM-12S")[0].status == "active"


def test_a_shops_own_currency_stands(empty: Session, pack: Path) -> None:
    set_shop(empty, [("currency", "EUR")])
    add_pack(empty, pack)
    assert {one.currency for one in kits(empty)} == {"EUR"}


def test_a_board_without_kits_holes_or_known_parts_travels_too(empty: Session, tmp_path: Path) -> None:
    file = tmp_path / "b.toml"
    file.write_text(
        '[board]\nname = "B-1"\nholes = "h.csv"\n[[position]]\nref = "K1"\npattern = "p"\nfitted = "ZZ-9"\n'
    )
    (tmp_path / "h.csv").write_text("pattern,hole,x_mm,y_mm\np,1,0,0\n")
    add_board(empty, file)
    said = pack_board(empty, "B-1", tmp_path / "b.zip")
    assert any("ZZ-9 is not in the catalogue" in line for line in said)
    assert check_pack(tmp_path / "b.zip").board == "B-1"


def test_a_kit_of_another_board_stays_at_home(shop: Session, pack: Path, tmp_path: Path) -> None:
    add_kit(shop, DEMO / "kits" / "lv-7-battery-link.toml", Replacing(True))
    assert "LV-7 battery link" not in packed(shop, "OS-3")[0].kits


@pytest.mark.parametrize("out", ["os-3.toml", "os-3"])
def test_a_pack_is_named_as_one_and_nothing_is_written_over(shop: Session, tmp_path: Path, out: str) -> None:
    with pytest.raises(Refused, match=r"FILE\.zip"):
        pack_board(shop, "OS-3", tmp_path / out)
    (tmp_path / "mine.zip").write_text("mine")
    with pytest.raises(Refused, match="there already"):
        pack_board(shop, "OS-3", tmp_path / "mine.zip")


def changed(pack: Path, folder: Path, **texts: tuple[str, str]) -> Path:
    """The pack as another bench would have packed it, with these words in these files replaced."""
    with ZipFile(pack) as zipped:
        files = {name: zipped.read(name).decode() for name in zipped.namelist() if name != "manifest.toml"}
    for name, (old, new) in texts.items():
        assert old in files[name], (name, files[name])
        files[name] = files[name].replace(old, new)
    (folder / "changed.zip").write_bytes(pack_bytes(Pack("OS-3", KITS, files)))
    return folder / "changed.zip"


def with_entry(pack: Path, folder: Path, name: str, data: bytes = b"x", mode: int = 0o100644, how: int = 0) -> Path:
    """The pack with one more entry."""
    file = folder / "hostile.zip"
    file.write_bytes(pack.read_bytes())
    entry = ZipInfo(name, (1980, 1, 1, 0, 0, 0))
    entry.external_attr, entry.compress_type = mode << 16, how
    with ZipFile(file, "a") as zipped:
        zipped.writestr(entry, data)
    return file


def refused(session: Session, file: Path) -> str:
    with pytest.raises(ProblemsFound) as found:
        add_pack(session, file)
    assert not kits(session) and board(session, "OS-3") is None
    return str(found.value)


@pytest.mark.parametrize(
    ("name", "mode"),
    [
        ("../../evil.toml", 0o100644),
        ("/etc/evil.toml", 0o100644),
        ("kits/../board.toml", 0o100644),
        ("kits\\001-x.toml", 0o100644),
        ("run.sh", 0o100755),
        ("catalogue/prices.csv", 0o100644),
        ("kits/001-link.toml", stat.S_IFLNK | 0o777),
        ("kits/", 0o40755),
    ],
)
def test_what_a_pack_may_not_hold_is_refused_and_goes_nowhere(
    empty: Session, pack: Path, tmp_path: Path, name: str, mode: int
) -> None:
    said = refused(empty, with_entry(pack, tmp_path, name, mode=mode))
    assert "a file that a pack may hold" in said or "a plain file" in said
    assert not list(tmp_path.rglob("evil*")) and not Path("/etc/evil.toml").exists()


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_file_twice_is_refused(empty: Session, pack: Path, tmp_path: Path) -> None:
    assert "each file once" in refused(empty, with_entry(pack, tmp_path, "board.toml"))


def test_a_small_zip_that_unpacks_to_much_is_refused(empty: Session, pack: Path, tmp_path: Path) -> None:
    bomb = with_entry(pack, tmp_path, "kits/099-bomb.toml", b"#" * (MOST_BYTES + 10), how=ZIP_DEFLATED)
    assert bomb.stat().st_size < 100_000 and "bytes together" in refused(empty, bomb)


def test_too_many_files_or_too_large_a_file_is_refused(
    empty: Session, pack: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bom.intake.pack_file.MOST_FILES", 5)
    assert "at most 5 files" in refused(empty, pack)
    monkeypatch.setattr("bom.intake.pack_file.MOST_BYTES", 100)
    assert "at most 100 bytes" in refused(empty, pack)


Spoil = Callable[[bytes], bytes]


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda data: data[: len(data) // 2], "a zip that bom board pack made"),
        (lambda data: b"", "a zip that bom board pack made"),
        (lambda data: b"no zip at all", "a zip that bom board pack made"),
        (lambda data: data.replace(b"ambient_max_c = 70", b"ambient_max_c = 20"), "a zip that bom board pack made"),
    ],
)
def test_another_file_or_a_spoilt_one_is_one_clear_error(
    empty: Session, pack: Path, tmp_path: Path, spoil: Spoil, said: str
) -> None:
    (tmp_path / "bad.zip").write_bytes(spoil(pack.read_bytes()))
    assert said in refused(empty, tmp_path / "bad.zip")


def rewritten(pack: Path, folder: Path, **texts: tuple[str, str] | None) -> Path:
    """The pack with words replaced in a file, or the file left out, and its old manifest."""
    with ZipFile(pack) as zipped:
        files = {name: zipped.read(name).decode() for name in zipped.namelist()}
    for name, change in texts.items():
        files = {n: t for n, t in files.items() if n != name or change is not None}
        if change is not None:
            assert change[0] in files[name]
            files[name] = files[name].replace(*change)
    with ZipFile(folder / "rewritten.zip", "w", zipfile.ZIP_STORED) as zipped:
        for name, text in files.items():
            zipped.writestr(name, text)
    return folder / "rewritten.zip"


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        ({"board.toml": ("ambient_max_c = 70", "ambient_max_c = 20")}, "changed after it was packed"),
        ({"kits/001-bench-consumables.toml": None}, "changed after it was packed"),
        ({"manifest.toml": ("format = 1", "format = 2")}, "a newer bom made it"),
        ({"manifest.toml": ("format = 1", "")}, "a format up to 1"),
        ({"manifest.toml": ("format = 1", "format = 0")}, "not below 1"),
        ({"manifest.toml": ("content =", "contents =")}, "content"),
        ({"manifest.toml": ("board =", "baord =")}, "is 'board' meant"),
        ({"manifest.toml": ('"OS-3"', '"OS-4"')}, "OS-4, as the manifest says"),
        ({"manifest.toml": ('"OS-3 pump feed"', '"OS-3 pump fed"')}, "the kits of the manifest"),
        ({"manifest.toml": ("kits = ", "# kits = ")}, "the kits of the manifest, none"),
        ({"manifest.toml": ("kits = [", "kits = [3, ")}, "a list of texts"),
        ({"manifest.toml": None}, "a file of this name in the pack"),
        ({"board.toml": None}, "a file of this name in the pack"),
    ],
)
def test_a_pack_that_is_not_whole_is_refused(
    empty: Session, pack: Path, tmp_path: Path, texts: dict[str, tuple[str, str] | None], said: str
) -> None:
    assert said in refused(empty, rewritten(pack, tmp_path, **texts))


def test_problems_of_every_file_are_told_together(empty: Session, pack: Path, tmp_path: Path) -> None:
    said = refused(empty, changed(pack, tmp_path, **{
        "board.toml": ("ambient_max_c = 70", "ambient_max_c = 7000"),
        "kits/002-os-3-pump-feed.toml": ("batch = 10", "batch = 0"),
        "catalogue/relays.csv": ("Ostrel,SLM-12S,SLM,active", "Ostrel,SLM-12S,SLM,actvie"),
    }))  # fmt: skip
    assert all(word in said for word in ("board.toml:", "002-os-3-pump-feed.toml:", "relays.csv:"))


def test_a_hostile_pack_is_a_problem_too_where_it_is_only_looked_at(pack: Path, tmp_path: Path) -> None:
    assert check_pack(with_entry(pack, tmp_path, "../x")).problems
    assert check_pack(tmp_path / "none.zip").problems
