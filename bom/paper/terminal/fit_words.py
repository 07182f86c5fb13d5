"""Knows how the answer of one fit looks in a terminal, made from the same mapping that ``--json`` prints."""

from __future__ import annotations

from typing import Any

from bom.paper.terminal.take_care import in_a_line

Answer = dict[str, Any]
PINS_ONLY = "Pins only, and no approval: coil, contacts and load are judged by bom match."


def fit_table(answer: Answer) -> str:
    """The outcome and its reason, which pin goes into which hole, every other finding, what was asked of the nets."""
    lines = [f"{answer['outcome']}: {answer['why']}"]
    if answer["assignment"]:
        lines.append(_position(answer))
        lines.append(f"pins into holes: {', '.join(f'{pin} → {hole}' for pin, hole in answer['assignment'].items())}")
    lines += [_finding(f) for f in answer["findings"] if f["why"] != answer["why"] or _joined(f)]
    lines += [_nets(answer["nets"])]
    lines += [f"Drawn at true size: {answer['drawing']}"] if answer["drawing"] else []
    lines += [_care(answer)]
    return "\n".join(lines)


def _care(answer: Answer) -> str:
    """What the pins alone cannot tell, with the gravest caution."""
    return f"{PINS_ONLY}\n{in_a_line(answer['cautions'])}".rstrip()


def _position(answer: Answer) -> str:
    play = "not known" if answer["play_mm"] is None else f"{answer['play_mm']:.3f} mm"
    x, y = answer["shift_mm"]
    return f"turned by {answer['rotation_deg']:.2f}°, moved by ({x:.3f}, {y:.3f}) mm, smallest play {play}"


def _finding(finding: Answer) -> str:
    return f"{finding['check']}: {finding['outcome']}, {finding['why']}{_joined(finding)}"


def _joined(finding: Answer) -> str:
    """Where the nets differ: what is joined in that state, on the board and with this part."""
    if finding["check"] != "connects alike" or not finding["offered"]:
        return ""
    return f" (on the board {finding['required']}; with this part {finding['offered']})"


def _nets(nets: str) -> str:
    return {
        "proved": "Nets: proved, state by state, by the wirings named.",
        "differ": "Nets: tried state by state; they differ.",
        "unknown": "Nets: asked, and not known.",
        "not asked": "Nets: not asked. --wirings FILE with --candidate and --original proves them.",
        "not reached": "Nets: not tried, since the pins do not go in.",
    }[nets]
