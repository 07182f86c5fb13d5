"""A person waiting at a terminal for a plan: its cost and what is proved of it as they improve, until Ctrl-C."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bom.jobs.buying.planning import Watcher


@contextmanager
def waiting_for_plan() -> Iterator[Watcher | None]:
    """Who hears of the plan as it gets better, when a person is watching; None when nobody is.

    The first Ctrl-C takes the best order found so far, a second one ends the command.
    """
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    from bom.jobs.buying.planning import watcher

    columns = (SpinnerColumn(), TimeElapsedColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("planning; Ctrl-C takes the best order found so far", total=None)
        heard = watcher(lambda words: progress.update(task, description=f"best so far {words}; Ctrl-C takes it"))
        with _taken_at_ctrl_c(heard):
            yield heard


@contextmanager
def _taken_at_ctrl_c(heard: Watcher) -> Iterator[None]:
    def taken(*_: object) -> None:
        if heard.enough:
            raise KeyboardInterrupt
        heard.enough = True

    before = signal.signal(signal.SIGINT, taken)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
