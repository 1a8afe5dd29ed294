"""The steps of a scenario, one action each; ``repeat`` is unrolled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from pneusim.circuit.ports import canonical
from pneusim.circuit.scenario import Step
from pneusim.reading.context import Context
from pneusim.reading.faults import listed
from pneusim.reading.fields import Fields, with_misspelt
from pneusim.reading.questions import read_question, words
from pneusim.reading.references import resolve_port
from pneusim.reading.targets import find_fault, find_input, find_line, is_line
from pneusim.reading.tree import ListNode, MapNode, Node, Scalar, kind_in_words
from pneusim.reading.values import fault_value, input_value, read_trigger

MOST_STEPS = 2000
LONGEST = 24 * 3600.0  #: longest scenario [s]
LARGEST_HOLE = 0.05  #: [m]
SHORTEST = 3  #: shortest line that can break or leak [bores]
_WHEN = ("at", "when", "repeat", "every")
_OWN_KEYS: dict[str, tuple[str, ...]] = {
    "set": ("to", "over"),
    "fault": ("to",),
    "break": ("where",),
    "leak": ("hole", "where"),
    "block": (),
    "separate": ("apart_by",),
    "cross": (),
    "couple": (),
    "mend": (),
    "ask": (),
    "note": (),
}
_NEEDED = {"set": ("to",), "leak": ("hole",)}
ACTIONS = tuple(_OWN_KEYS)
_KNOWN = frozenset((*ACTIONS, *_WHEN, *(key for keys in _OWN_KEYS.values() for key in keys)))


def read_steps(node: ListNode, lasts: float, context: Context) -> tuple[Step, ...]:
    """Steps of a scenario in the order of the file, repeated ones one after the other."""
    steps: list[Step] = []
    places: dict[str, Step] = {}
    for item in node.items:
        if not isinstance(item, MapNode):
            problem = f"here stands {kind_in_words(item)}, wanted is a step"
            context.faults.report("S05", item.place, item.path, problem, "write {at: 1 s, set: foot.travel, to: 100 %}")
            continue
        found = _step(item, lasts, context)
        steps += found
        for step in found[:1]:
            _one_place(step, item, places, context)
        if len(steps) > MOST_STEPS:
            context.faults.report(
                "S10",
                item.place,
                item.path,
                f"the scenario has more than {MOST_STEPS} steps, repeats counted",
                "split it into several scenarios",
            )
            break
    return tuple(steps)


def _one_place(step: Step, node: MapNode, places: dict[str, Step], context: Context) -> None:
    """Report a line that breaks or leaks in two places, or is too short: it has one node for this, along it."""
    line = context.draft.lines.get(step.target)
    if line is None or step.action not in ("break", "leak"):
        return
    first = places.setdefault(line.name, step)
    path = f"{node.path}.{step.action}"
    if first is step and line.length < SHORTEST * line.bore * (1.0 - 1e-9):
        context.faults.report(
            "T18",
            node.place,
            path,
            f"the line {line.name!r} is {line.length * 1e3:g} mm long, shorter than {SHORTEST} of its bores "
            f"({line.bore * 1e3:g} mm)",
            "make the line longer, or let a port at its end leak",
        )
    if first.where != step.where:
        context.faults.report(
            "T17",
            node.place,
            path,
            f"the line {line.name!r} would break or leak at {100 * step.where:g} % of its length, and at "
            f"{100 * first.where:g} % in line {first.place.line}; one place is allowed",
            "write the same 'where' in both steps, or divide the line in two with a component of type tee",
        )


def _step(node: MapNode, lasts: float, context: Context) -> list[Step]:
    node = with_misspelt(node, ACTIONS, _KNOWN, context.faults)
    actions = [key for key in ACTIONS if key in node.entries]
    if len(actions) != 1:
        _not_one_action(node, actions, context)
        return []
    action = actions[0]
    needed = _NEEDED.get(action, ())
    optional = (*_WHEN, *(key for key in _OWN_KEYS[action] if key not in needed))
    fields = Fields(
        node, context.faults, [action, *needed], optional, ambient=context.ambient.pressure, missing_at=node.place
    )
    step = _READERS[action](fields, Step(action, place=node.place), context)
    times = _times(fields, lasts, context)
    trigger = None
    if isinstance(when := fields.mapping("when"), MapNode):
        trigger = read_trigger(when, context)
    if step is None:
        return []
    if trigger:
        return [replace(step, when=trigger)]
    return [replace(step, at=time) for time in times]


def _not_one_action(node: MapNode, actions: list[str], context: Context) -> None:
    seen = f"{' and '.join(actions)} stand in one step" if actions else "the step does nothing"
    context.faults.report(
        "T08",
        node.place,
        node.path,
        f"{seen}; a step has one action",
        "write one step for each" if actions else f"add one of {listed(ACTIONS)}",
    )


def _times(fields: Fields, lasts: float, context: Context) -> list[float]:
    """Times of a step and its repetitions [s]; empty where ``when`` counts or something is at fault."""
    node = fields.node
    if ("at" in fields) == ("when" in fields):
        problem = "both 'at' and 'when' are given" if "at" in fields else "neither 'at' nor 'when' is given"
        context.faults.report("T09", node.place, node.path, problem, "write 'at: 1 s', or 'when: {channel: ...}'")
        return []
    repeats, every = _repeats(fields)
    at = fields.quantity("at", "time", low=0.0)
    if at is None or repeats is None:
        return []
    last = at + (repeats - 1) * every
    if last > lasts:
        words = "the step" if repeats == 1 else f"repetition {repeats} of the step"
        fields.report(
            "T10",
            "at",
            f"{words} comes at {last:g} s, and the scenario lasts {lasts:g} s",
            "let the scenario last longer ('lasts:'), or do it earlier",
        )
        return []
    return [at + count * every for count in range(repeats)]


def _repeats(fields: Fields) -> tuple[int | None, float]:
    if "repeat" not in fields and "every" not in fields:
        return 1, 0.0
    if "when" in fields:
        key = "repeat" if "repeat" in fields else "every"
        fields.report("T11", key, f"{key!r} cannot stand with 'when'", "repeat steps with 'at' only")
        return None, 0.0
    for key, other in (("repeat", "every"), ("every", "repeat")):
        if key in fields and other not in fields:
            fields.report("T11", key, f"{key!r} is given without {other!r}", f"add '{other}: ...'")
            return None, 0.0
    repeats = fields.integer("repeat", 1, MOST_STEPS)
    every = fields.quantity("every", "time", above=0.0, high=LONGEST)
    return (None, 0.0) if every is None else (repeats, every)


def _set(fields: Fields, step: Step, context: Context) -> Step | None:
    scalar = _target(fields, "set")
    spec = find_input(scalar, context) if scalar else None
    over = fields.quantity("over", "time", low=0.0, high=LONGEST) or 0.0
    to = fields.get("to")
    if spec is None or to is None or scalar is None:
        return None
    if spec.latched and "over" in fields:
        fields.report("T12", "over", f"{scalar.text!r} moves at once", "leave 'over' out")
    value = input_value(to, spec, context)
    return None if value is None else replace(step, target=scalar.text, to=value, over=over)


def _fault(fields: Fields, step: Step, context: Context) -> Step | None:
    scalar = _target(fields, "fault")
    spec = find_fault(scalar, context) if scalar else None
    if spec is None or scalar is None:
        return None
    to = fields.get("to")
    value = spec.default if to is None else fault_value(to, spec, context)
    return None if value is None else replace(step, target=scalar.text, to=value)


def _break(fields: Fields, step: Step, context: Context) -> Step | None:
    return _on_line(fields, "break", replace(step, where=_where(fields)), context)


def _block(fields: Fields, step: Step, context: Context) -> Step | None:
    return _on_line(fields, "block", step, context)


def _on_line(fields: Fields, action: str, step: Step, context: Context) -> Step | None:
    scalar = _target(fields, action)
    line = find_line(scalar, context) if scalar else None
    return replace(step, target=line) if line else None


def _leak(fields: Fields, step: Step, context: Context) -> Step | None:
    scalar = _target(fields, "leak")
    hole = fields.quantity("hole", "length", above=0.0, high=LARGEST_HOLE)
    where = _where(fields)
    if scalar is None:
        return None
    if "." in scalar.text and not is_line(scalar.text, context):
        port = resolve_port(scalar, "", context)
        if "where" in fields:
            fields.report("T13", "where", "a leak at a port has no place along a line", "leave 'where' out")
        target = str(port) if port else None
    else:
        target = find_line(scalar, context)
    line = context.draft.lines.get(target or "")
    if line and hole and hole > line.bore:
        fields.report(
            "T14",
            "hole",
            f"the hole is wider than the bore of {line.name!r}, {line.bore * 1e3:g} mm",
            "write a smaller hole, or 'break:' the line",
        )
        return None
    return replace(step, target=target, to=hole, where=where) if target and hole else None


def _where(fields: Fields) -> float:
    where = fields.quantity("where", "fraction", low=0.0, high=1.0)
    return 0.5 if where is None else where


def _couplings(fields: Fields, step: Step, context: Context) -> Step | None:
    action = step.action
    scalars = fields.texts(action)
    names = [find_line(scalar, context, coupling=True) for scalar in scalars]
    over = fields.quantity("apart_by", "time", low=0.0, high=LONGEST) or 0.0
    node = fields.sequence(action)
    if node is None:
        return None
    distinct = len({scalar.text for scalar in scalars})
    if (not node.items) or distinct < len(scalars) or (action == "cross" and len(node.items) != 2):
        wanted = "two different couplings" if action == "cross" else "couplings, each once"
        fields.report("T15", action, f"{action!r} wants {wanted}", "write for example [supply_line, control_line]")
        return None
    if None in names or len(names) < len(node.items):
        return None
    return replace(step, targets=tuple(name for name in names if name), over=over)


def _mend(fields: Fields, step: Step, context: Context) -> Step | None:
    scalar = _target(fields, "mend")
    if scalar is None:
        return None
    owner, _, word = scalar.text.rpartition(".")
    model = context.draft.parts.get(owner)
    if model and any(spec.name == word for spec in model.faults):
        return replace(step, target=scalar.text)
    if model and (number := canonical(model.ports, word)):
        return replace(step, target=f"{owner}.{number}")
    if owner and not is_line(scalar.text, context):
        find_fault(scalar, context)
        return None
    line = find_line(scalar, context)
    return replace(step, target=line) if line else None


def _ask(fields: Fields, step: Step, context: Context) -> Step | None:
    return read_question(fields, step)


def _note(fields: Fields, step: Step, context: Context) -> Step | None:
    text = words(fields.get("note"), fields.faults)
    return replace(step, text=text) if text else None


def _target(fields: Fields, action: str) -> Scalar | None:
    node: Node | None = fields.get(action)
    if isinstance(node, Scalar) and node.value is not None:
        return node
    fields.text(action)
    return None


_READERS: dict[str, Callable[[Fields, Step, Context], Step | None]] = {
    "set": _set,
    "fault": _fault,
    "break": _break,
    "leak": _leak,
    "block": _block,
    "separate": _couplings,
    "cross": _couplings,
    "couple": _couplings,
    "mend": _mend,
    "ask": _ask,
    "note": _note,
}
