"""What a shop says for what the tables call something else: the one list of such words.

Words of the trade and plain words only, no maker's names. A word that may mean several things
stands here with all of them, and is refused with them. Every face's arguments pass through `meant`
on their way in (`answers.ask`), those of a record made in Python where its names are looked up.
"""

from __future__ import annotations

from typing import Final

from specdb.errors import BadRequest


def fold(text: str) -> str:
    """A word as the tables write words: small letters, joined by hyphens."""
    return "-".join(text.strip().casefold().replace("_", " ").split())


def _words(said: dict[str, str]) -> dict[str, tuple[str, ...]]:
    """`what it means, or may mean` -> `all words for it`, turned round: word -> meanings.

    All are written in small letters here, so that starting up need not fold them.
    """
    return {
        word.replace(" ", "-"): tuple(meant.split())
        for meant, words in said.items()
        for word in words.split(", ")
    }


_HEAD: Final = _words(
    {
        "aluminium": "alu, alum, ally, alloy, light alloy, aluminum, aluminium alloy, alloy head",
        "grey-iron": "gray iron, grey cast iron, gray cast iron, flake iron, flake graphite iron",
        "ductile-iron": "sg iron, sg, nodular iron, nodular, spheroidal iron, ductile",
        "compacted-iron": "cgi, vermicular iron, compacted graphite iron",
        "grey-iron ductile-iron compacted-iron": "iron, cast iron, ci, cast",
    }
)
_RING: Final = _words(
    {
        "copper-beryllium": "beryllium, cu be, be cu, becu",
        "austenitic-cast-iron": "austenitic iron, nickel cast iron",
        "alloyed-cast-iron": "alloyed iron, alloy iron, alloy cast iron",
        "high-chrome": "chrome, high chromium",
        "sintered-copper-infiltrated": "copper infiltrated, infiltrated",
        "nickel-base austenitic-cast-iron": "nickel",
        "cobalt-base": "cobalt",
        "alloyed-cast-iron austenitic-cast-iron high-chrome": "iron, cast iron, ci, cast",
        "alloyed-cast-iron nickel-base cobalt-base": "alloy",
        "sintered-plain sintered-tool-steel sintered-copper-infiltrated": (
            "sintered, powder, powder metal, powdered metal, pm"
        ),
        "sintered-tool-steel high-chrome": "hard, hardened, steel, tool steel",
        "bronze copper-beryllium sintered-copper-infiltrated": "copper, copper coloured",
    }
)
_POSITION: Final = _words({"intake": "inlet, in, int, inl, i", "exhaust": "exh, ex, outlet, e"})
_MEDIUM: Final = _words(
    {
        "liquid-nitrogen": "nitrogen, ln2, n2, liquid n2, lin",
        "dry-ice": "dryice, solid co2, co2",
        "dry-ice-isopropanol dry-ice-ethanol": "dry ice in alcohol, dry ice and alcohol",
        "domestic-freezer commercial-freezer chest-freezer": (
            "freezer, deep freeze, deep freezer, deepfreeze"
        ),
        "domestic-freezer chest-freezer": "chest freezer, freezer chest",
        "chest-freezer": "low temperature freezer, low temperature chest, -40 freezer",
        "hot-wash-tank": "hot tank, hot wash, wash tank, washer, parts washer",
        "hot-plate": "hotplate",
        "room-air": "room, room temperature",
        "none": "no chill, nothing, no",
    }
)
FREEZERS: Final = {
    "domestic-freezer": "-18 degC, an ordinary kitchen or chest freezer",
    "commercial-freezer": "-23 degC",
    "chest-freezer": "-40 degC, a low-temperature chest",
}
"""How cold each freezer is, said wherever one may be taken for another; as the rows of `media`."""
_FUEL: Final = _words(
    {
        "petrol": "gasoline",
        "gas": "lpg, autogas, propane, cng, lng, natural gas, biogas",
        "alcohol": "ethanol, methanol",
        "hydrogen": "h2",
    }
)
_VALVE: Final = _words({"sodium-filled": "sodium, hollow", "titanium": "ti"})
_PART: Final = _words({"seat-insert": "insert, seat, ring", "valve-guide": "guide"})
_ABOUT: Final = _words(
    {
        "loose-ring": "loose, loose insert, loose seat",
        "counterbore": "bare counterbore, pocket",
        "welded-head": "welded, weld, soft, soft head, overheated head",
    }
)
_COOLING: Final = _words({"water": "liquid, water cooled, coolant", "air": "air cooled"})
_RETENTION: Final = _words(
    {"none": "unpeened, plain", "peened": "rolled", "staked": "caulked, punched"}
)
_STATE: Final = _words({"welded": "repaired", "soft": "annealed, overheated"})

WORDS: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "head": _HEAD,
    "insert": _RING,
    "old_insert_class": _RING,
    "position": _POSITION,
    "chill": _MEDIUM,
    "available": _MEDIUM,
    "fuel": _FUEL,
    "valve_material": _VALVE,
    "part": _PART,
    "about": _ABOUT,
    "cooling": _COOLING,
    "retention": _RETENTION,
    "head_state": _STATE,
}
"""Argument -> word -> what it means; several where it may mean several."""
_NAMES: Final = ("head", "insert", "old_insert_class")
"""Arguments that also take designations, which are no words of the tables and stay as typed."""

HEAD_METALS: Final = ("aluminium", "grey-iron", "ductile-iron", "compacted-iron", "steel")


def meant(argument: str, text: str) -> str:
    """What `text` means where `argument` is asked for; `text` itself where it is no such word.

    Raises `BadRequest` for a word that may mean several things.
    """
    words = WORDS.get(argument)
    if words is None:
        return text
    said = fold(text)
    found = words.get(said)
    if found is None:
        return text if argument in _NAMES else said
    if text.strip() in found:
        return text.strip()  # the word of the tables itself, typed as they write it
    if len(found) > 1:
        *front, last = map(_described, found)
        raise BadRequest(
            f"{argument}: {text!r} may mean {', '.join(front)} or {last}.",
            hint=f"Accepted: one of {', '.join(found)}.",
            field=argument,
        )
    return found[0]


def echo(argument: str, text: str) -> str | None:
    """The line that says how a word was understood; None where it was taken as it stands."""
    if fold(text) not in WORDS.get(argument, ()):
        return None
    understood = _described(meant(argument, text))
    return f"{argument.replace('_', ' ')}: {text!r} understood as {understood}"


def _described(word: str) -> str:
    """A word of the tables, a freezer with how cold it is."""
    return f"{word} ({FREEZERS[word]})" if word in FREEZERS else word


def metals(text: str) -> tuple[str, ...]:
    """The classes of head metal a word means or may mean; none where it is no such word."""
    said = fold(text)
    return (said,) if said in HEAD_METALS else _HEAD.get(said, ())
