"""Waiting for a plan at a terminal: the first Ctrl-C takes the best order, the second ends the command."""

from __future__ import annotations

import io
import os
import signal
import sys

import pytest

from bom.buying.plan_problem import SoFar
from bom.cli.buying import waiting_for_plan


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_nobody_waits_where_there_is_no_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with waiting_for_plan() as watcher:
        assert watcher is None


def test_the_first_ctrl_c_is_enough_and_the_second_ends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", Terminal())
    before = signal.getsignal(signal.SIGINT)
    with waiting_for_plan() as watcher:
        assert watcher is not None and not watcher.enough
        watcher.hear(SoFar(20.0, 19.0, "GBP"))
        os.kill(os.getpid(), signal.SIGINT)
        assert watcher.enough
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before
