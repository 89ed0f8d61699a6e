"""The settings of the kit on a machine of the reader's own, from the few figures that its owner knows."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import parse_qsl

from kitforge.language import later, render_text, say, say_as, use_language
from kitforge.model.errors import KitforgeError, UnreadableKitError
from kitforge.model.record import record

if TYPE_CHECKING:
    from kitforge.live.work import Follower
    from kitforge.plugins import Plugins

_NAME = Path("my-machine.yaml")
_LONGEST, _MOST = 2000, 20


@record
class OwnField:
    """A figure that can be given: its name in the form, words, unit, and its key in a machine's file.

    Two fields of one key stand together in brackets.
    """

    name: str
    words: str
    unit: str
    key: str


FIELDS = (
    OwnField("x", later("Travel along X"), "mm", "area"),
    OwnField("y", later("Travel along Y"), "mm", "area"),
    OwnField("z", later("Travel along Z"), "mm", "z_travel"),
    OwnField("slow", later("Lowest speed"), later("rpm"), "rpm"),
    OwnField("fast", later("Highest speed"), later("rpm"), "rpm"),
    OwnField("feed", later("Fastest feed"), "mm/min", "feed_limit"),
    OwnField("plunge", later("Fastest plunge"), "mm/min", "plunge_limit"),
    OwnField("power", later("Power at the cutter"), "W", "power"),
)


class OwnMachine:
    """Answers for one machine at a time."""

    def __init__(self, follower: Follower, plugins: Plugins) -> None:
        self._follower, self._plugins = follower, plugins
        self._lock = threading.Lock()

    def answer(self, query: str) -> bytes:
        """Return the settings of the kit for the figures of a query, or what is wrong with them."""
        with use_language(self._follower.code):
            return self._answer(query)

    def _answer(self, query: str) -> bytes:
        from dataclasses import replace

        from kitforge.live.pieces import filled, settings_piece
        from kitforge.stages.planning import plan
        from kitforge.stages.read_machine import machine_of

        good = self._follower.good
        if good is None:
            return filled("mistake.html", {"text": say("There is no kit yet that could be planned.")})
        try:
            machine = machine_of(_text(query).encode("utf-8"), _NAME)
            with self._lock:
                kit = replace(good.kit, machines=(machine,), machines_named=True)
                return settings_piece(kit, plan(kit, self._plugins), good.blocks, own=True)
        except UnreadableKitError as error:
            return filled("mistake.html", {"text": _words(error)})
        except KitforgeError as error:
            return filled("mistake.html", {"text": str(error)})


def _words(error: UnreadableKitError) -> str:
    return " ".join(f"{render_text(one.message)} {render_text(one.advice)}" for one in error.problems)


def _text(query: str) -> str:
    """Return the file of a machine. Raises KitforgeError for a figure that is none and one that lacks its pair."""
    try:
        given = dict(parse_qsl(query[:_LONGEST], max_num_fields=_MOST))
    except ValueError:
        raise KitforgeError(say("That is more than a machine has.")) from None
    figures: dict[str, list[str]] = {}
    for field in FIELDS:
        typed = given.get(field.name, "").strip().replace(",", ".")
        if typed:
            figures.setdefault(field.key, []).append(_number(field, typed))
    for key, values in figures.items():
        pair = [field for field in FIELDS if field.key == key]
        if len(values) != len(pair):
            raise KitforgeError(say("{field}: give both, or leave both empty.", field=", ".join(map(_name, pair))))
    if not figures:
        raise KitforgeError(say("Give at least one figure of your machine."))
    written = (
        f"{key}: {values[0] if len(values) == 1 else f'[{values[0]}, {values[1]}]'}" for key, values in figures.items()
    )
    return "name: My machine\n" + "\n".join(written) + "\n"


def _name(field: OwnField) -> str:
    return say_as(field.words)


def _number(field: OwnField, typed: str) -> str:
    try:
        value = float(typed)
    except ValueError:
        raise KitforgeError(say("{field}: “{text}” is no number.", field=_name(field), text=typed[:40])) from None
    if not 0 < value < 1e7:
        raise KitforgeError(
            say(
                "{field}: {value} is not between {low} and {high} {unit}.",
                field=_name(field),
                value=typed[:40],
                low="0",
                high="10 000 000",
                unit=say_as(field.unit),
            )
        )
    return f"{value:.6g}" if value < 1e6 else f"{value:.0f}"
