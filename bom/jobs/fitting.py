"""One pin drawing in one hole pattern, from loose files, without a database."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bom.relays.wiring import Wiring
from bom.values.problem import Refused


def fit_files(
    pins: Path, holes: Path, wirings: Path | None, candidate: str | None, original: str | None, svg: Path | None
) -> dict[str, Any]:
    """The fit as the mapping of the JSON contract."""
    from bom.fit.check import fit
    from bom.intake.loose import read_holes, read_pins, read_wirings

    footprint, pattern = read_pins(pins), read_holes(holes)
    known = read_wirings(wirings) if wirings else {}
    answer = fit(
        footprint,
        pattern,
        wiring=_named(known, candidate, "--candidate", wirings),
        expected=_named(known, original, "--original", wirings),
    )
    if svg is not None:
        _draw(svg, footprint, pattern, answer)
    return {
        "outcome": answer.outcome,
        "play_mm": answer.play_mm,
        "rotation_deg": answer.rotation_deg,
        "shift_mm": list(answer.shift_mm) if answer.shift_mm is not None else None,
        "assignment": answer.assignment,
        "mirrored_fits": answer.mirrored_fits,
        "why": answer.why,
    }


def _named(known: dict[str, Wiring], name: str | None, option: str, wirings: Path | None) -> Wiring | None:
    if wirings is None:
        if name:
            raise Refused(f"{option} {name} names a wiring: add --wirings FILE")
        return None
    if not name:
        raise Refused(f"with --wirings, {option} must name one of {', '.join(sorted(known))}")
    if name not in known:
        raise Refused(f"no wiring {name} in {wirings}; there are {', '.join(sorted(known))}")
    return known[name]


def _draw(svg: Path, footprint: Any, pattern: Any, answer: Any) -> None:
    from bom.paper.drawing import fit_drawing
    from bom.paper.whole_file import write_text

    write_text(svg, fit_drawing(footprint, pattern, answer.assignment, answer.rotation_deg, answer.shift_mm))
