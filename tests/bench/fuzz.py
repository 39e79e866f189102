"""Random and mutated messages by the hundred thousand, and whole clubs in random conversation: `python -m tests.bench.fuzz`.

`[--messages 100000] [--clubs 200] [--steps 40] [--seed 1]`. Messages are sentences of the vocabulary and of the reading tests, cut, glued,
misspelt and mixed with numbers, letters of other scripts and control characters. They are heard by a real conversation: it must answer
each without raising, and whatever it records must be something that the model of a fishroom allows. The last line is one JSON object.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from pathlib import Path
from random import Random
from time import perf_counter
from traceback import extract_tb

from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test

from core.fishroom.state import Fishroom
from tests.bench.reading import messages
from tests.fuzz.club import BUYERS, KEEPER, ORGANISER, SETTING_UP, Club
from tests.fuzz.machine import Conversations

STRANGE = ["\x00", "\u202e", "🐟", "ß", "Ⅳ", "٣", "\t", "  ", "'", '"', "<b>", "=1+1", "#", "-", "1e9", "0", "-3", "½", "99999999999999999999", "%s"]
WORDS = [
    "female 4 holding", "counted 12 in A",
    "2 died in A", "reserve 4 of A", "undo", "cancel #1", "what's due", "split 5 off A", "moved 3 of A to tank 1",
    "sold 2 of A", "stripped 2: 20 fry", "fed tub", "kinship of 1 and 2",
    "away 3 to 9 may", "yes", "no", "history of A", "A average 40 mm",
    "merge A and B", "tank 1: pH 8.1", "hold back 2 of A", "pickup for #1 saturday 11:00", "collected #1", "invite Jo as buyer", "give me my data",
]  # fmt: skip


def mutated(chance: Random, said: list[str]) -> Iterator[str]:
    """Messages without end."""
    while True:
        text = chance.choice(said)
        for _ in range(chance.choice((0, 1, 1, 2, 3))):
            place = chance.randrange(len(text) + 1)
            match chance.randrange(6):
                case 0:
                    text = text[:place] + chance.choice(STRANGE) + text[place:]
                case 1:
                    text = text[:place] + text[place + chance.randint(1, 3) :]
                case 2:
                    text = f"{text} {chance.choice(('and', 'then', ',', '.', ';', ''))} {chance.choice(said)}"
                case 3:
                    words = text.split()
                    chance.shuffle(words)
                    text = " ".join(words)
                case 4:
                    text = text[:place] + str(chance.choice((0, 1, 3, 7, 12, 40, 1000, -2, 2.5))) + text[place:]
                case _:
                    text = text[:place] + chance.choice("abcdefghijklmnopqrstuvwxyz ") + text[place + 1 :]
        yield text


def forbidden(room: Fishroom) -> str | None:
    """What no fishroom can be: fish below nothing, a promise of nothing, a brood that is over in a female's mouth."""
    for batch in room.batches.values():
        if any(group.count < 0 for group in batch.groups):
            return f"batch {batch.label} has less than no fish"
    for one in room.reservations.values():
        if one.count < 1:
            return f"reservation {one.number} of nothing"
    for female, brood in room.holding.items():
        if female not in room.fish or room.broods[brood].ended is not None:
            return f"{female} holds nothing"
    return None


def hear(many: int, seed: int) -> dict[str, int]:
    """Messages in clubs of a few hundred messages each; how many were heard, recorded, and what went wrong."""
    chance = Random(seed)
    texts = mutated(chance, [*WORDS, *(each["text"] for each in messages())])
    tally = {"messages": 0, "recorded": 0, "raised": 0, "unanswered": 0, "forbidden": 0, "differs": 0}
    while tally["messages"] < many:
        club = Club()
        for text in SETTING_UP:
            club.say(KEEPER, text)
        for _ in range(min(400, many - tally["messages"])):
            hear_one(club, chance, next(texts), tally)
        tally["differs"] += club.room() != club.room_anew()
        club.close()
    return tally


def hear_one(club: Club, chance: Random, text: str, tally: dict[str, int]) -> None:
    """One message, or a press of a button that somebody was shown."""
    who = chance.choice((KEEPER, KEEPER, KEEPER, *BUYERS, ORGANISER))
    before = club.heads()
    tally["messages"] += 1
    try:
        shown = club.buttons[who] if chance.random() < 0.15 else []
        replies = club.press(who, chance.choice(shown).token) if shown else club.say(who, text)
    except Exception as problem:  # the count of these is the point
        tally["raised"] += 1
        where = " < ".join(f"{Path(frame.filename).name}:{frame.lineno}" for frame in reversed(extract_tb(problem.__traceback__)[-6:]))
        print(f"raised {type(problem).__name__}: {problem} over {text!r} at {where}")
        return
    tally["unanswered"] += not replies
    if club.heads() != before:
        tally["recorded"] += 1
        wrong = forbidden(club.room())
        if wrong:
            tally["forbidden"] += 1
            print(f"{wrong} after {text!r}")
    if chance.random() < 0.1:
        club.pass_days(1)


def main() -> None:
    """Prints the tally."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--messages", type=int, default=100_000)
    parser.add_argument("--clubs", type=int, default=200)
    parser.add_argument("--steps", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    began = perf_counter()
    tally: dict[str, float] = dict(hear(options.messages, options.seed))
    tally["messages_s"] = round(perf_counter() - began, 1)
    if options.clubs:
        began = perf_counter()
        how = settings(
            max_examples=options.clubs,
            stateful_step_count=options.steps,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        )
        run_state_machine_as_test(Conversations, settings=how)
        tally |= {"clubs": options.clubs, "clubs_s": round(perf_counter() - began, 1)}
    print(json.dumps(tally))


if __name__ == "__main__":
    main()
