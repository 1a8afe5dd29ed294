"""A question for a class at a step: its words alone, or with choices, the answer among them and an explanation."""

from __future__ import annotations

from dataclasses import replace

from pneusim.circuit.scenario import Step
from pneusim.reading.faults import Faults, listed, nearest
from pneusim.reading.fields import Fields
from pneusim.reading.tree import MapNode, Node, Scalar, kind_in_words

MOST_CHOICES = 6
KEYS = ("text", "choices", "answer", "explanation")


def read_question(fields: Fields, step: Step) -> Step | None:
    """The step with its question; None if it is at fault."""
    node = fields.get("ask")
    if not isinstance(node, MapNode):
        text = words(node, fields.faults)
        return replace(step, text=text) if text else None
    inner = Fields(node, fields.faults, ["text"], KEYS[1:], missing_at=node.place)
    text = words(inner.get("text"), fields.faults)
    explanation = words(inner.get("explanation"), fields.faults)
    choices = _choices(inner)
    answer = _answer(inner, choices)
    return replace(step, text=text, choices=choices, answer=answer, explanation=explanation) if text else None


def words(node: Node | None, faults: Faults) -> str:
    """A text of one word or more, without spaces at its ends; "" if the key is not there or its value at fault."""
    if node is None:
        return ""
    if not isinstance(node, Scalar):
        faults.report("S05", node.place, node.path, f"here stands {kind_in_words(node)}", "write a text")
        return ""
    text = "" if node.value is None else node.text.strip()
    if not text:
        faults.report("T19", node.place, node.path, "here stands no word", "write a text, or leave the key out")
    return text


def _choices(fields: Fields) -> tuple[str, ...]:
    """The choices; none if there are too few, too many, or two that are the same."""
    node = fields.sequence("choices")
    if node is None:
        return ()
    choices = [words(item, fields.faults) for item in node.items]
    if not 2 <= len(choices) <= MOST_CHOICES:
        count = {0: "no choice", 1: "one choice only"}.get(len(choices), f"{len(choices)} choices")
        problem = f"the question has {count}; allowed are 2 to {MOST_CHOICES}"
        fields.report("T20", "choices", problem, "write for example [it rises, it falls]")
        return ()
    if not all(choices):
        return ()
    for index, (choice, item) in enumerate(zip(choices, node.items)):
        if choice.casefold() in (other.casefold() for other in choices[:index]):
            fields.faults.report("T20", item.place, item.path, f"the choice {choice!r} stands twice", "write another")
            return ()
    return tuple(choices)


def _answer(fields: Fields, choices: tuple[str, ...]) -> int | None:
    """Index of the answer, given as the text of a choice or else as its number from 1."""
    given = fields.get("answer")
    if given is None or "choices" not in fields:
        if ("answer" in fields) != ("choices" in fields):
            here, missing = ("answer", "choices") if "answer" in fields else ("choices", "answer")
            fields.report("T22", here, f"{here!r} is given without {missing!r}", f"add '{missing}: ...'")
        return None
    text = words(given, fields.faults)
    if not text or not choices:
        return None
    if text in choices:
        return choices.index(text)
    if text.isdecimal() and 1 <= int(text) <= len(choices):
        return int(text) - 1
    near = nearest(text, choices)
    fix = f"write {near!r}" if near else f"write its number, 1 to {len(choices)}"
    fields.report("T21", "answer", f"{text!r} is none of the choices {listed(choices)}", fix)
    return None
