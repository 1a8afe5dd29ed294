"""The consistent start: everything comes to rest before t = 0.

Reservoirs are held as ideal sources, compressor and leaks are off, vehicles keep their place and speed.  First the
spring pistons are held off while the circuit charges and no control may trip; then all is free and must come to rest.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pneusim.engine.assembly import Assembly, EventSpec
from pneusim.engine.machine import Machine
from pneusim.engine.segments import Loop, Method
from pneusim.errors import RunFailed

RTOL = 1e-3  # the way to rest does not matter, rest does
DAMPING = 100.0  # of the flows in lines, which would ring for half a minute [1/s]
HEAT = 100.0  # times the wall exchange: air that still cools draws air in for minutes
REST = 2e-4  # scaled rate of a circuit at rest [1/s]: 0.16 kPa/s
LONGEST = 180.0  # a road train charges through one feed for longer than a minute [s]
LOOK = 0.5  # [s]
LONGEST_WAIT = 8.0  # between looks, each twice as long as the one before [s]
LONGEST_STEP = 0.5  # longer ones lose so many digits that left and right part, and their lines ring [s]


def settle(machine: Machine, assembly: Assembly, method: Method, happened: Callable[[EventSpec], None]) -> None:
    """Bring the machine to rest and set its clock and the atmosphere's balance to zero.

    Raises
    ------
    RunFailed
        If the circuit is not at rest after 180 s; names what still moves.
    """
    held = [rate for node in assembly.nodes if node.storage for rate in node.rates] + assembly.motions
    machine.set(assembly.running, 0.0)
    for rate in assembly.line_damping:
        machine.set_rate(rate, -DAMPING)
    for rate in assembly.exchanges:
        machine.multiply_rate(rate, HEAT)
    for rate in held:
        machine.set_rate(rate, 0.0)
    longest, machine.longest_step = machine.longest_step, min(machine.longest_step, LONGEST_STEP)
    watched, machine.events = machine.events, ()
    _hold_springs(machine, assembly, 1.0)
    _rest(machine, assembly, method, happened)
    machine.events = watched
    _hold_springs(machine, assembly, 0.0)
    _rest(machine, assembly, method, happened)
    for rate in (*assembly.line_damping, *assembly.exchanges, *held):
        machine.restore_rate(rate)
    machine.set(assembly.running, 1.0)
    machine.longest_step = longest
    machine.time = 0.0
    for state in (assembly.mass_out, assembly.energy_out):
        machine.set_state(state, 0.0)


def _hold_springs(machine: Machine, assembly: Assembly, held: float) -> None:
    for element in assembly.springs:
        machine.set_field(element, "held", held)


def _rest(
    machine: Machine, assembly: Assembly, method: Method, happened: Callable[[EventSpec], None]
) -> None:
    """Run until the rates of all that is free are small.

    What is fast rests only after short steps: a look begins with them, and between looks they grow on.
    """
    machine.time = 0.0
    loop = Loop(machine, method, lambda steps: None, happened)
    idle = _idle(machine, assembly)
    wait = 0.0
    while machine.time < LONGEST:
        loop.run(machine.time + wait, fresh=False)
        loop.run(machine.time + LOOK)
        rates = machine.rates()
        rates[idle] = 0.0
        if np.max(np.abs(rates)) < REST:
            return
        wait = min(max(2.0 * wait, LOOK), LONGEST_WAIT)
    worst = machine.program.states[int(np.argmax(np.abs(rates)))].name
    raise RunFailed(
        f"The circuit did not come to rest in {LONGEST:.0f} s before the start: {worst} still moves. It fills very "
        f"slowly, or something flows that no reservoir holds; look for a narrow way into a large volume, an open port, "
        f"a leak from the beginning, or a control that hunts."
    )


def _idle(machine: Machine, assembly: Assembly) -> list[int]:
    """States whose rates do not count: all but air, strokes and spools.

    Flows between held reservoirs may go on, and they exchange adiabatic air for as long as they like.
    """
    adiabatic = [machine.tape.state_of(value) for value in assembly.adiabatic]
    return adiabatic + [
        i
        for i, state in enumerate(machine.program.states)
        if state.kind not in ("mass", "energy", "stroke", "spool") or state.name.startswith("atmosphere")
    ]
