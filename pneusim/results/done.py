"""Which step of the scenario an event is."""

from __future__ import annotations

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Step
from pneusim.parts.registry import part
from pneusim.results.run import Event, Run

_SAME_TIME = 1e-6


def steps_done(run: Run) -> list[tuple[Event, Step]]:
    """The steps that the run came to, in its order, each with its event.

    Of steps that an event may be, one that is done at a time comes before one that waits for something.
    """
    waiting = sorted(run.scenario.steps, key=lambda step: step.at is None)
    found = []
    for event in run.events:
        own = [k for k, step in enumerate(waiting) if _tells(event, step, run.circuit)]
        if own:
            found.append((event, waiting.pop(own[0])))
    return found


def _tells(event: Event, step: Step, circuit: Circuit) -> bool:
    if event.category != "step" or step.action != event.kind:
        return False
    if step.at is not None and abs(step.at - event.time) > _SAME_TIME:
        return False
    if step.action in ("ask", "note"):
        return event.text == step.text
    if step.action in ("separate", "couple", "cross"):
        return event.component == step.targets[0]
    if step.action in ("set", "fault"):
        component, name = step.target.rsplit(".", 1)
        return event.component == component and _words(circuit, component, name) in event.text
    if step.action == "mend":
        return event.component in (step.target, step.target.rsplit(".", 1)[0])
    return event.component == step.target


def _words(circuit: Circuit, component: str, name: str) -> str:
    """What an input or a fault of a component is called."""
    kind = part(circuit.components[component].type)
    words = {spec.name: spec.words for spec in kind.inputs} | {spec.name: spec.words for spec in kind.faults}
    return words[name]
