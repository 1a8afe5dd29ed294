"""What scenarios act on and look at: inputs, faults and parameters of components, lines, channels."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, TypeVar

from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec
from pneusim.reading.braking import WANTS, owns_sums, report_missing, specs_of
from pneusim.reading.context import Context
from pneusim.reading.faults import listed, nearest
from pneusim.reading.references import component, split, unread
from pneusim.reading.tree import Scalar

LINE_CHANNELS = (
    ChannelSpec("flow_in", "mass_flow", "mass flow into the line at its start"),
    ChannelSpec("flow_out", "mass_flow", "mass flow out of the line at its end"),
    ChannelSpec("pressure_in", "pressure", "pressure at the start of the line"),
    ChannelSpec("pressure_out", "pressure", "pressure at the end of the line"),
)


class _Named(Protocol):
    @property
    def name(self) -> str: ...


_T = TypeVar("_T", bound=_Named)


def find_input(scalar: Scalar, context: Context) -> InputSpec | None:
    """Input that ``foot.travel`` names; None if it is at fault."""
    found = _owned(scalar, "component.input, for example foot.travel", context)
    if found is None:
        return None
    name, word = found
    specs = context.draft.parts[name].inputs
    spec = _pick(specs, word)
    if spec is None:
        _unknown("T01", scalar, name, word, specs, "input", context)
    return spec


def find_fault(scalar: Scalar, context: Context) -> FaultSpec | None:
    """Fault of a part that ``relay.stuck_open`` names; None if it is at fault."""
    found = _owned(scalar, "component.fault, for example relay.stuck_open", context)
    if found is None:
        return None
    name, word = found
    specs = context.draft.parts[name].faults
    spec = _pick(specs, word)
    if spec is None:
        _unknown("T02", scalar, name, word, specs, "fault", context)
    return spec


def find_channel(scalar: Scalar, context: Context) -> ChannelSpec | None:
    """Channel that ``tank.pressure``, ``feed.flow_in`` or ``axle_1.brake_force`` names; None if it is at fault."""
    owner, word = split(scalar, "component.channel, for example tank.pressure", context)
    if owner is None:
        return None
    specs: Sequence[ChannelSpec]
    if owns_sums(owner, context) and not unread(owner, context):
        specs = specs_of(owner, context)
    elif is_line(owner, context):
        specs = LINE_CHANNELS
    else:
        name = component(owner, scalar, "", context)
        if name is None or name not in context.draft.parts:
            return None
        specs = [*context.draft.parts[name].channels, *specs_of(name, context)]
    spec = _pick(specs, word)
    if spec is None and (word in WANTS or owns_sums(owner, context)):
        report_missing(scalar, owner, word, [spec.name for spec in specs], context)
    elif spec is None:
        _unknown("T03", scalar, owner, word, specs, "channel", context)
    return spec


def is_line(name: str, context: Context) -> bool:
    """Whether a name is a line or a coupling."""
    return context.draft.names.get(name, ("",))[0] in ("line", "coupling")


def find_line(scalar: Scalar, context: Context, *, coupling: bool = False) -> str | None:
    """Name of a line, or of a coupling; None if it is at fault."""
    wanted = "coupling" if coupling else "line"
    kind = context.draft.names.get(scalar.text, ("",))[0]
    if kind == "coupling" or kind == wanted:
        return scalar.text
    if not unread(scalar.text, context):
        known = context.names("coupling") if coupling else [*context.names("line"), *context.names("coupling")]
        near = None if context.faults.many else nearest(scalar.text, known)
        fix = f"write {near!r}" if near else f"use one of {listed(known)}" if known else f"add the {wanted}"
        problem = f"there is no {wanted} {scalar.text!r}"
        context.faults.report("T05" if coupling else "T04", scalar.place, scalar.path, problem, fix)
    return None


def _owned(scalar: Scalar, form: str, context: Context) -> tuple[str, str] | None:
    owner, word = split(scalar, form, context)
    name = component(owner, scalar, "", context) if owner else None
    return (name, word) if name in context.draft.parts and name else None


def _pick(specs: Sequence[_T], word: str) -> _T | None:
    return next((spec for spec in specs if spec.name == word), None)


def _unknown(
    code: str, scalar: Scalar, name: str, word: str, specs: Sequence[_Named], kind: str, context: Context
) -> None:
    names = [spec.name for spec in specs]
    near = nearest(word, names)
    owner = context.draft.parts[name].type if name in context.draft.parts else "line"
    problem = f"{name!r} is a {owner} and has no {kind} {word!r}; its {kind}s: {listed(names)}"
    fix = f"write '{name}.{near}'" if near else f"use one of its {kind}s" if names else "choose another component"
    context.faults.report(code, scalar.place, scalar.path, problem, fix)
