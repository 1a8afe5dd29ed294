"""The replay page as a person at it: what is seen, and what can be pressed."""

from __future__ import annotations

import json
from functools import cached_property
from typing import TYPE_CHECKING, Any

from tests.browser.watched import until

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page


class Player:
    """A replay page that is ready."""

    def __init__(self, page: Page) -> None:
        self.page = page
        page.locator("html[data-ready]").wait_for(state="attached")

    @cached_property
    def document(self) -> dict[str, Any]:
        """What the page was made from."""
        return json.loads(self.page.locator("#replay").text_content() or "")

    def button(self, name: str) -> Locator:
        """A button by its whole name."""
        return self.page.get_by_role("button", name=name, exact=True)

    def toggle(self, name: str) -> Locator:
        """A check box by its whole name."""
        return self.page.get_by_role("checkbox", name=name, exact=True)

    def choice(self, name: str) -> Locator:
        """A list of choices by its whole name."""
        return self.page.get_by_role("combobox", name=name, exact=True)

    @property
    def slider(self) -> Locator:
        """The slider of time."""
        return self.page.get_by_role("slider", name="Time")

    @property
    def time(self) -> float:
        """Where the slider stands [s]."""
        return float(self.slider.input_value())

    @property
    def address(self) -> str:
        """The part of the address behind #."""
        return str(self.page.evaluate("location.hash"))

    @property
    def playing(self) -> bool:
        """Whether the one button would pause."""
        return self.button("Pause").count() == 1

    def seek(self, time: float) -> None:
        """Put the slider somewhere, as a finger does."""
        moved = "(slider, to) => { slider.value = to; slider.dispatchEvent(new Event('input', {bubbles: true})); }"
        self.slider.evaluate(moved, time)

    def rest(self) -> float:
        """Wait until it no longer plays; the time it has."""
        until(lambda: not self.playing, "it plays on")
        return self.time

    def text(self, selector: str = "body") -> str:
        """What can be read there."""
        return self.page.locator(selector).inner_text()

    def events(self) -> list[str]:
        """The events of the list that can be read."""
        return [item.strip() for item in self.page.locator("#events li:visible").all_inner_texts()]

    def drawn(self) -> str:
        """The whole picture as it is now, attributes and all."""
        return self.page.locator("#hosts").evaluate("host => host.innerHTML")
