"""Names that stand together before a verb: "(rook died,) f2 and m1 spawned" tells of both of them, and of neither that it died."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.implied import goes_to_place
from bot.reading.main_verbs import main_verb
from bot.reading.pieces import content
from bot.reading.tokens import Token

_MOUTHS = frozenset({"spawn", "hold", "lose_brood", "release"})
_NAMES = ("fish", "number", "reservation", "hash", "batch")


def with_whole_lists(pieces: Sequence[list[Token]]) -> list[list[Token]]:
    """ "(rook died,) f2 and m1 spawned": a name that is joined to the subject of the verb behind it belongs to that verb."""
    out: list[list[Token]] = []
    for n, piece in enumerate(pieces):
        last = content(out[-1]) if n > 1 else []
        inner = content(piece)
        alone = len(last) == 1 and inner and piece[0].text in ("and", "&", "+") and last[0].kind in _NAMES
        if alone and _of_one_list(last[0], inner):
            out[-1] = [*out[-1], *piece]
        else:
            out.append(piece)
    return out


def _of_one_list(first: Token, inner: list[Token]) -> bool:
    verb = main_verb(inner)[0]
    if first.kind == "number":
        return inner[0].kind in ("number", "fish") and verb in _MOUTHS
    return inner[0].kind == first.kind and bool(verb or goes_to_place(inner))
