"""Places by their numbers: "tank 2", "t2", "box #1", "tanks 1 2 3", and "A1", whose number has a letter."""

from __future__ import annotations

from bot.reading.names import PLACE_TYPES, Names
from bot.reading.walk import Run, Spot


def lettered_place(run: Run, n: int) -> int:
    """ "A1", "tank A1": a place numbered with a letter, where letter and number are written as one."""
    if not run.names.lettered:
        return 0
    for head in (1, 0):
        letters, digits = run.at(n + head), run.at(n + head + 1)
        if letters is None or digits is None or digits.kind != "number" or letters.end != digits.start:
            continue
        label = f"{letters.text}{digits.text}"
        name = run.names.lettered.get(f"{run.text(n)} {label}" if head else label)
        if name is None and head and run.means(n) & set(PLACE_TYPES):
            name = run.names.lettered.get(label)
        if name is not None:
            run.out.append(run.span(n, head + 2, "place", Spot(name, said=name)))
            return head + 2
    return 0


def misspelt_place(run: Run, n: int) -> int:
    """ "put him in tak 2": a word that is none, with a number, where a place stands; that is asked about."""
    number = run.at(n + 1)
    if number is None or number.kind != "number" or not isinstance(number.value, int) or run.text(n - 1) not in ("in", "into", "to"):
        return 0
    strange = run.tokens[n].kind == "word" and not run.means(n) and run.text(n) not in run.names.words and len(run.text(n)) > 1
    ends = run.at(n + 2) is None or run.tokens[n + 2].kind in ("punct", "newline")
    if not strange or not ends or (run.tokens[n].start and run.message[run.tokens[n].start].isupper()):
        return 0
    run.out.append(run.span(n, 2, "place", Spot(None, None, f"{run.text(n)} {number.text}")))
    return 2


def place_label(run: Run, n: int) -> int:
    """ "tank 2", "tank2", "t2", "box #1", "tanks 1 2 3"; a number that no place has stays an unknown place."""
    types = run.means(n) & set(PLACE_TYPES)
    short = {"t": "tank", "b": "box"}.get(run.text(n), "")
    type_ = next(iter(types), short)
    step = n + 1 + (run.text(n + 1) in ("#", "no", "number", "nr"))
    token = run.at(step)
    if not type_ or token is None or token.kind != "number" or not isinstance(token.value, int):
        return 0
    name = f"{type_} {token.value}"
    if short and not types and (token.start != run.tokens[n].end or name not in run.names.places):
        return 0
    numbered = any(place.startswith(f"{type_} ") and place.split()[-1].isdigit() for place in run.names.places)
    if (
        name not in run.names.phrases
        and not numbered
        and type_ in run.names.phrases
        and run.text(n - 1) not in ("new", "add", "added", "another", "up", "setup", "set up", "built", "installed")
    ):
        return 0
    run.out.append(run.span(n, step + 1 - n, "place", _spot(run.names, name, type_)))
    plural = run.text(n) in ("tanks", "boxes", "tubs", "ponds")
    return step + 1 - n + _more_places(run, step + 1, type_, plural)


def _ends_a_list(run: Run, n: int) -> bool:
    """ "fed tank 1, 2 and 3": behind the second number comes "and" with the last, and nothing that it could count."""
    last, behind = run.at(n + 1), run.at(n + 2)
    ends = behind is None or behind.kind in ("punct", "newline", "day")
    return run.text(n) in ("and", "&", "+") and last is not None and last.kind == "number" and ends


def _spot(names: Names, name: str, type_: str) -> Spot:
    known = names.phrases.get(name)
    return Spot(known[1], said=name) if known and known[0] == "place" else Spot(None, None, name)


def _more_places(run: Run, n: int, type_: str, plural: bool) -> int:
    taken = 0
    while True:
        step = n + taken
        joiner = run.text(step) in ("and", "&", "+", ",", "/")
        number = run.at(step + 1) if joiner else run.at(step)
        here = step + 1 if joiner else step
        if joiner and run.text(step) == "," and run.text(step + 1) in ("and", "&"):
            here, number = step + 2, run.at(step + 2)
        fits = number is not None and number.kind == "number" and f"{type_} {number.value}" in run.names.places
        if run.text(here + 1) in (",", ":") and run.means(here + 3) & {"fry", "egg"}:
            return taken  # "to box 1 and 3, 18 fry to box 2": female 3
        noun = run.means(here + 1) & {"fry", "female", "male", "unsexed", "egg", "food", "verb:die"}
        listed = plural or run.text(step) in ("and", "&", "+") or _ends_a_list(run, here + 1)
        if not fits or noun or not listed or run.text(here + 1) in ("of", "from"):
            return taken
        run.out.append(run.span(here, 1, "place", _spot(run.names, f"{type_} {run.tokens[here].value}", type_)))
        taken = here + 1 - n
