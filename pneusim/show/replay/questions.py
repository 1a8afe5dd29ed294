"""The questions of a run for a page."""

from __future__ import annotations

from typing import Any

from pneusim.results.done import steps_done
from pneusim.results.restate import restate
from pneusim.results.run import Run
from pneusim.show.replay.pack import on_tick


def questions(run: Run, units: str, step: float) -> list[dict[str, Any]]:
    """The questions that were asked, with what the scenario's steps say on each; times on whole ``step`` s."""
    return [
        {
            "time": on_tick(event.time, step), "text": restate(asked.text, units),
            "choices": [restate(choice, units) for choice in asked.choices], "answer": asked.answer,
            "explanation": restate(asked.explanation, units),
        }
        for event, asked in steps_done(run) if asked.action == "ask"
    ]  # fmt: skip
