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
    """ "(rook died,) f2 and m1 spawned": names that are joined to the subject of the verb behind them belong to that verb."""
    if not any(piece[0].text in ("and", "&", "+") for piece in pieces[2:]):
        return list(pieces)
    out: list[list[Token]] = []
    listed = False
    for n in range(len(pieces) - 1, -1, -1):
        piece = pieces[n]
        joined = bool(out) and (out[0][0].text in ("and", "&", "+") or (listed and out[0][0].text == ","))
        alone = [token for token in content(piece) if token.kind != "word"] if n and joined and not _tells(piece) else []
        listed = len(alone) == 1 and alone[0].kind in _NAMES and _of_one_list(alone[0], content(out[0]))
        if listed:
            out[0] = [*piece, *out[0]]
        else:
            out.insert(0, list(piece))
    return out


def _tells(piece: Sequence[Token]) -> bool:
    """Whether a piece says something itself; "caught rook" and "the" do not."""
    words = [token for token in content(piece) if token.kind == "word"]
    return any(not token.has("filler") and token.text not in _SEEN for token in words)


_SEEN = frozenset(["caught", "watched", "found", "both"])


def _of_one_list(first: Token, inner: list[Token]) -> bool:
    if not inner:
        return False
    verb = main_verb(inner)[0]
    if first.kind == "number":
        return inner[0].kind in ("number", "fish") and verb in _MOUTHS
    return inner[0].kind == first.kind and bool(verb or goes_to_place(inner))
