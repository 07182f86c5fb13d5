"""What all tests share: a skip for want of a program fails where everything must be installed; property tests try the
same examples every time, and new ones with ``--hypothesis-profile=roaming``."""

from __future__ import annotations

import os
import sys
from collections.abc import Generator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

TOP = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(TOP / "tests"))  # for what several folders of tests share, taken_whole.py
DEMO = TOP / "catalogs" / "demo"

# A shared machine is slow at times, so no example is failed for its time.
PATIENT = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("roaming", PATIENT)
settings.register_profile("steady", PATIENT, derandomize=True)
settings.load_profile("steady")


@pytest.fixture(scope="session")
def demo_folder() -> Path:
    return DEMO


@pytest.fixture(autouse=True)
def _nothing_worked_out(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each test begins without what programs on this machine worked out before."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if report.skipped and os.environ.get("BOM_SKIP_NOTHING") and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped where nothing may be: {report.longrepr}"
    return report
