"""The circuit of boards against a general circuit simulator: ngspice, as Debian packages it (39.3 when this was made).

Every state that shorts nothing, of the cases and of boards made up at random, as one netlist: the current of every load
and of every closed contact agrees within 1 %, and what does not flow there does not flow here.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from itertools import count
from pathlib import Path

import pytest

from bom.circuit.states import Part, Solved, solve
from tests.circuit.test_circuit_cases import CASES, net_list_of
from tests.circuit.worlds import made_up, simulated

WITHIN = 0.01
WORLDS = 40
NOTHING = 1e-6  # amps: what 1 TΩ and the printed digits leave

needs_ngspice = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


def sound_states() -> list[tuple[int, Part, Solved]]:
    circuits = [*map(net_list_of, CASES), *map(made_up, range(WORLDS))]
    parts = [part for circuit in circuits for part in solve(circuit).parts]
    sound = ((part, s) for part in parts for s in part.states.values() if not s.short)
    return [(n, part, s) for n, (part, s) in zip(count(), sound, strict=False)]


def by_ngspice(folder: Path, states: list[tuple[int, Part, Solved]]) -> dict[str, float]:
    """The current through each 0 V source, by the source's name."""
    lines = [line for n, part, state in states for line in simulated(n, part, state)]
    meters = [line.split()[0].lower() for line in lines if re.match(r"V[CL]\d", line)]
    control = [".control", "set numdgt=9", "op", *(f"print i({meter})" for meter in meters), ".endc", ".end", ""]
    netlist = folder / "states.cir"
    netlist.write_text("\n".join(["* states of boards", *lines, *control]))
    ran = subprocess.run(["ngspice", "-b", str(netlist)], capture_output=True, text=True, timeout=120, check=False)
    return {name: float(amps) for name, amps in re.findall(r"i\((\w+)\) = (\S+)", ran.stdout)}


@needs_ngspice
def test_a_circuit_simulator_finds_the_same_currents(tmp_path: Path) -> None:
    states = sound_states()
    amps = by_ngspice(tmp_path, states)
    differ = []
    for n, part, state in states:
        pairs = [(state.amps[x.name], amps[f"vl{m}_{n}"]) for m, x in enumerate(part.loads)]
        closed = [(m, c) for m, c in enumerate(part.contacts) if c.closed(state.on)]
        pairs += [(state.through[c.name], amps[f"vc{m}_{n}"]) for m, c in closed]
        differ += [(n, pair) for pair in pairs if pair[0] != pytest.approx(pair[1], rel=WITHIN, abs=NOTHING)]
    assert len(states) > 200
    assert differ == []
