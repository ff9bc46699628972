"""Where things stand on the screen: one frame from a view, the chat and the size of the terminal.

From the top: a small line about the movement, the large thing (shape, number, side), the state in
words, a rule, the chat, and, where the athlete types, the line to type in. All sizes follow from
the terminal's; at 80 columns and 24 rows a digit is eleven rows high.

How high that is: with letters of 12 points a row is about 3 mm high or more on a 14-inch screen
(1920 by 1200, unscaled: 19 dots of 0.157 mm), so the digits' ten and a half rows are over 31 mm. At
three metres the 2010 ADA Standards (table 703.5.5) ask 28.3 mm of a sign, and ISO 9241-3 prefers 20
to 22 minutes of arc, 17.5 to 19.2 mm (3000 mm times the tangent); the digits have 36. The state's
word has 12, which good eyes read from there; for the others there is the shape, as high as a digit.
"""

from __future__ import annotations

from dataclasses import dataclass

from rich.cells import cell_len
from rich.text import Text

from assistant.screen.block_letters import (
    Bitmap,
    beside,
    bitmap,
    can_draw,
    drawn,
    rows_of,
    shape,
    size_for,
)
from assistant.screen.chat import Chat, Who
from assistant.screen.view import View
from intents.lines import Lines

FULL = (80, 24)
"""Columns and rows from which the large captions are worth having."""

PROMPT = "> "

STYLES = {
    "question": "bold yellow", "ready": "bold yellow", "get_set": "bold cyan", "work": "bold green",
    "off": "bold magenta", "switch": "bold cyan", "rest": "bold blue", "paused": "bold magenta",
    "stop": "bold red", "lost": "bold red", "done": "bold green",
}  # fmt: skip
"""Colour on top of what shape and word already tell; the number keeps the terminal's own."""


@dataclass(frozen=True)
class Size:
    columns: int
    rows: int


def frame(
    view: View, chat: Chat, lines: Lines, size: Size, now: float, *, prompt: bool
) -> list[Text]:
    """Exactly `size.rows` lines, none wider than `size.columns` cells."""
    word = headline(view, lines)
    wordy = _word_rows(word, size)
    below = 1 if prompt else 0
    talk = max(2, min(size.rows // 4, size.rows - 12))
    room = size.rows - 1 - len(wordy) - 1 - talk - below
    large = _large(view, size, now, room)
    talk += max(0, room - len(large))
    found = [
        _cut(_about(view, lines), size),
        *large,
        *wordy,
        Text("─" * size.columns, STYLES[view.shape].removeprefix("bold ")),
        *_filled(chat.lines(who(lines), size.columns, talk), talk),
    ]
    if prompt:
        found.append(Text(PROMPT))
    return [_cut(line, size) for line in found[: size.rows]]


def headline(view: View, lines: Lines) -> str:
    """The state in words, with the side where there is one."""
    word = lines.word(f"headline_{view.headline}")
    sided = view.side != "none" and view.shape in ("work", "get_set", "switch")
    return f"{word} {lines.word(view.side)}" if sided else word


def who(lines: Lines) -> dict[Who, str]:
    """What the speakers are called."""
    return {
        "coach": lines.word("who_coach"),
        "athlete": lines.word("who_athlete"),
        "note": lines.word("who_note"),
    }


def _about(view: View, lines: Lines) -> Text:
    return Text(". ".join(lines.render(line) for line in view.about), "bold")


def _large(view: View, size: Size, now: float, rows: int) -> list[Text]:
    """Shape, number and side as large as there is room; as a plain number where there is none."""
    number = view.shown_number(now)
    text = "" if number is None else f"{number}{view.unit}"
    if view.until is not None:
        # What counts down keeps the place of two digits: nothing moves from ten to nine.
        text = text.rjust(2, "\u2007")
    parts: list[tuple[Bitmap, str]] = [(shape(view.shape), STYLES[view.shape])]
    if text:
        parts.append((bitmap(text), "bold"))
    if view.side != "none":
        parts.append((shape(view.side), "bold"))
    whole = beside(part for part, _ in parts)
    dot = size_for(whole, size.columns - 2, rows)
    if dot is None:
        return [Text(text.strip(), "bold", justify="center")][: max(0, rows)]
    wide, high = dot
    margin = " " * ((size.columns - wide * len(whole[0])) // 2)
    found = []
    blocks = [(drawn(part, wide, high), style) for part, style in parts]
    for row in range(rows_of(high)):
        line = Text(margin)
        for number_of, (block, style) in enumerate(blocks):
            line.append(" " * wide if number_of else "")
            line.append(block[row], style)
        line.rstrip()
        found.append(line)
    return found


def _word_rows(word: str, size: Size) -> list[Text]:
    """The state's word: block letters where they fit, else one line of ordinary letters."""
    small = [Text(""), _centred(Text(word.upper(), "bold"), size)]
    if not can_draw(word) or size.rows < FULL[1]:
        return small[size.rows < FULL[1] :]
    dots = bitmap(word)
    dot = size_for(dots, size.columns - 2, 4 * (size.rows // FULL[1]))
    if dot is None:
        return small
    margin = " " * ((size.columns - dot[0] * len(dots[0])) // 2)
    found = [Text(margin + line, "bold") for line in drawn(dots, *dot)]
    for line in found:
        line.rstrip()
    return [*([Text("")] * (dot[1] > 1)), *found]


def _centred(text: Text, size: Size) -> Text:
    return Text(" " * max(0, (size.columns - cell_len(text.plain)) // 2)) + text


def _filled(lines: list[Text], rows: int) -> list[Text]:
    return [*lines, *([Text("")] * (rows - len(lines)))]


def _cut(line: Text, size: Size) -> Text:
    line = line.copy()
    line.truncate(size.columns)
    return line
