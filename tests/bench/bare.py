"""The floor of everything painted: a Textual app with a header, a footer and one line of text."""

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Footer, Header, Static


class Bare(App[None]):
    """Each key is counted on the line; `w` fills the whole screen with the count."""

    BINDINGS = [("q", "quit", "Quit")]

    def __init__(self) -> None:
        super().__init__()
        self.keys = 0

    def compose(self) -> ComposeResult:
        yield Header()
        yield Static("ready", id="line")
        yield Footer()

    def on_key(self, event: events.Key) -> None:
        self.keys += 1
        told = f"painted {self.keys}."
        self.query_one("#line", Static).update("\n".join([told * 5] * 22) if event.key == "w" else told)


if __name__ == "__main__":
    Bare().run()
