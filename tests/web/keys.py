"""Hands on a keyboard, and how long a person takes."""

from playwright.sync_api import Page

# Of a person who types 40 words a minute: for a key, and to think before a field.
KEY_S, THINK_S = 0.28, 1.35


class Keys:
    """Hands on the keyboard: nothing here clicks."""

    def __init__(self, page: Page) -> None:
        self.page, self.count, self.fields = page, 0, 0

    @property
    def takes_s(self) -> float:
        """Return how long a person takes: each key, and a look at the diagram for each field."""
        return self.count * KEY_S + self.fields * THINK_S

    def press(self, key: str, times: int = 1) -> None:
        for _ in range(times):
            self.page.keyboard.press(key)
            self.count += 1

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.count += len(text)
        self.fields += 1

    def to(self, field: str) -> None:
        """Go on with Tab until a field, or a button of these words, has the focus."""
        for _ in range(200):
            here = self.page.evaluate(
                "[document.activeElement?.name, document.activeElement?.innerText]"
            )
            if field in here:
                return
            self.press("Tab")
        raise AssertionError(f"Tab never comes to {field}")
