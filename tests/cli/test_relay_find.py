"""`bom relay find` of nothing is an answer that is "no": exit status 1, and the hint on stderr."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.cli.main import run
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue


@pytest.fixture(scope="module")
def url(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('found') / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, demo_folder)
    return url


@pytest.mark.parametrize(
    ("typed", "status", "said"),
    [
        (("kithmar k2r 12s",), 0, "K2R-12S"),
        (("--fact", "maker=kithmar"), 0, "K2R-12S"),
        (("--fact", "amps=20..", "--fact", "contact=make"), 0, "TW2-12S"),
        (("nothing like it",), 1, "No relay was found."),
        (("--fact", "coil_volts=900"), 1, "No relay was found."),
        (("--fact", "coil_ohms=200-260"), 2, "200..260"),
        (("--fact", "colour=blue"), 2, "bom explain relays.csv"),
    ],
)
def test_what_is_found_and_what_is_not(
    url: str,
    typed: tuple[str, ...],
    status: int,
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr("sys.argv", ["bom", "relay", "find", *typed, "--db", url])
    with pytest.raises(SystemExit) as left:
        run()
    shown = capsys.readouterr()
    assert left.value.code == status and said in shown.out + shown.err
