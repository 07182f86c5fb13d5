"""A plan written down: as a spreadsheet that recalculates, and as a picture beside the habits."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.answers.buying import ShopPlan


def write_plan_book(path: Path, answer: ShopPlan) -> None:
    """The plan as a workbook. Refused: another ending than .xlsx, or a plan that orders nothing from anybody named."""
    from bom.paper.workbooks.plan_sheet import write_plan

    _check(path, ".xlsx", answer)
    write_plan(path, answer)


def write_plan_picture(path: Path, answer: ShopPlan) -> None:
    """What plan and habits are made of, as stacked bars. Refused as above, for .svg."""
    from bom.paper.pictures.plan_picture import plan_picture
    from bom.paper.whole_file import written_whole

    _check(path, ".svg", answer)
    with written_whole(path) as draft:
        draft.write_text(plan_picture(answer), encoding="utf-8")


def _check(path: Path, ending: str, answer: ShopPlan) -> None:
    if path.suffix.lower() != ending:
        raise Refused(f"{path.name}: expected a name ending in {ending}")
    if not answer.orders:
        raise Refused(f"{path.name}: not written, the plan orders nothing from a supplier of the shop")
