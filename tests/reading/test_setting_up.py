"""A fresh fishroom set up by message, against a club that has nothing yet but knows the species profiles."""

from datetime import datetime
from typing import Any

import pytest

from bot.reading import Context, Events, Names, as_json, read

NOW = datetime.fromisoformat("2026-03-02T09:00")
FRESH = Names(
    members=("Hanna", "Luis"), profiles={"yellow lab": "yellow-lab", "labidochromis caeruleus": "yellow-lab", "rusty": "rusty"}
)

FIRST = [
    ("new tank 1, 240 litres, 26 C", {"place": "tank 1", "type": "tank", "litres": 240, "temp_c": 26}),
    ("new tub, 400 l, hard to catch", {"place": "tub", "type": "tub", "litres": 400, "hard_to_catch": True}),
    ("new tub grow-out, 300 litres", {"place": "grow-out", "type": "tub", "litres": 300}),
    (
        "set up tank 4, 60 gallons, 78F, on the loop",
        {"place": "tank 4", "type": "tank", "litres": 227.1, "temp_c": 25.6, "loop": True},
    ),
    ("new holding tank, 60 litres", {"place": "holding tank", "type": "tank", "litres": 60}),
]


@pytest.mark.parametrize(("text", "slots"), FIRST)
def test_a_first_place_is_added(text: str, slots: dict[str, Any]) -> None:
    reading = read(text, now=NOW, by="Hanna", names=FRESH)
    assert as_json(reading) == {"result": "events", "events": [{"kind": "place_added", **slots}]}


STOCKED = Names(
    members=("Hanna", "Luis"),
    places=("tank 1", "tub"),
    strains={"rusty": {"names": ["rusty", "rusties"]}},
    males={"1": {"strain": "rusty", "place": "tank 1"}},
)
YOUNG = [
    ("the tub has about 40 young rusties in it, 4 cm", {"count": 40, "approx": True, "mean_mm": 40}),
    ("30 rusty fry in the tub, born on 2 feb", {"count": 30, "born": "2026-02-02"}),
    ("batch A: 20 rusties from Luis, 22 mm, tub", {"batch": "A", "count": 20, "mean_mm": 22, "origin": "Luis"}),
    ("Luis gave me 12 rusties, 3 cm, tub", {"count": 12, "mean_mm": 30, "origin": "Luis"}),
    ("someone gave us 12 rusties, 3 cm, tub", {"count": 12, "mean_mm": 30}),
    ("we have 30 rusty fry in the tub, born 1 january", {"count": 30, "born": "2026-01-01"}),
    ("14 rusties joined, 40 mm, in the tub", {"count": 14, "mean_mm": 40}),
    ("bought 15 young rusties, 2 in, into tub", {"count": 15, "mean_mm": 51}),
]


@pytest.mark.parametrize(("text", "slots"), YOUNG)
def test_the_first_young_fish_are_a_batch(text: str, slots: dict[str, Any]) -> None:
    reading = as_json(read(text, now=NOW, by="Hanna", names=STOCKED))
    whole = {"kind": "batch_joined", "strain": "rusty", "to": "tub", "on": "2026-03-02", **slots}
    assert reading == {"result": "events", "events": [whole]}


def test_the_only_male_needs_no_label_to_be_named() -> None:
    reading = as_json(read("the male is called Flint", now=NOW, by="Hanna", names=STOCKED))
    assert reading == {"result": "events", "events": [{"kind": "named", "male": "1", "nickname": "Flint"}]}


def test_he_is_the_male_spoken_of_before() -> None:
    reading = as_json(read("he is called Flint", now=NOW, by="Hanna", names=STOCKED, context=Context(male="1")))
    assert reading == {"result": "events", "events": [{"kind": "named", "male": "1", "nickname": "Flint"}]}


def test_one_message_may_add_a_place_and_what_is_in_it() -> None:
    text = "new tank 1, 240 litres\nnew box 1 hangs in tank 1\nadded 4 female yellow labs and a male to tank 1"
    reading = read(text, now=NOW, by="Hanna", names=FRESH)
    assert isinstance(reading, Events)
    assert [item.kind for item in reading.items] == ["place_added", "place_added", "joined", "joined"]
    assert reading.items[1].slots["hangs_in"] == "tank 1"
    assert reading.items[2].slots == {"sex": "female", "count": 4, "strain": "yellow-lab", "to": "tank 1", "on": "2026-03-02"}


def test_a_place_that_stands_already_is_asked_about(club: Names) -> None:
    reading = as_json(read("new tank 1, 100 litres", now=NOW, by="Hanna", names=club))
    assert (reading["result"], reading["about"], reading["why"]) == ("ask", "place", "taken")


def test_a_message_reads_in_about_a_millisecond_against_a_large_club() -> None:
    """A bound ten times over the aim, so that a busy machine does not fail it."""
    import time

    large = Names(
        members=tuple(f"Member{n}" for n in range(300)),
        places=tuple(f"tank {n}" for n in range(1, 60)),
        females={str(n): {"strain": "rusty", "place": "tank 1"} for n in range(1, 150)},
        males={str(n): {"strain": "rusty", "place": "tank 1"} for n in range(1, 40)},
        batches={
            f"{a}{b}": {"strain": "rusty", "place": "tank 2", "count": 20} for a in "BCDE" for b in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
        },
        strains={"rusty": {"names": ["rusty"]}},
    )
    texts = [
        "female 4 holding since tuesday",
        "moved 10 of BC to tank 3",
        "feamle 7 holdng",
        "what's due today",
        "30% wc tank 5, fed tank 6",
    ]
    for text in texts:
        read(text, now=NOW, by="Hanna", names=large)
    began = time.process_time()
    for _ in range(10):
        for text in texts:
            read(text, now=NOW, by="Hanna", names=large)
    assert (time.process_time() - began) / 50 < 0.010


TOLD_IN_OWN_WORDS = [
    ("my main tank is 55 gal at 78", ["place_added main tank 208.2 25.6"]),
    ("tank 1 is 75 gallons, tank 2 is 40", ["place_added tank 1 283.9", "place_added tank 2 151.4"]),
    ("tank 1 75g 78F, tub 100g", ["place_added tank 1 283.9 25.6", "place_added tub 378.5"]),
    ("three tanks: 1, 2 and 3, all 55 gallons", [f"place_added tank {n} 208.2" for n in (1, 2, 3)]),
    ("tanks 1-3 are 200 l each", [f"place_added tank {n} 200.0" for n in (1, 2, 3)]),
    ("the big tank holds 400 litres and sits at 25C", ["place_added big tank 400.0 25.0"]),
    ("new tub out in the garage, 300 l, unheated", ["place_added tub 300.0"]),
    ("pond, 2000 litres, outside", ["place_added pond 2000.0"]),
    ("new tank 1, 200 l. a breeder box clipped to tank 1, 8 l", ["place_added tank 1 200.0", "place_added box tank 1 8.0"]),
    (
        "Tank 1 is 75 gal, 78F, with 1 male and 5 female yellow labs",
        ["place_added tank 1 283.9 25.6", "joined male yellow-lab tank 1", "joined female yellow-lab tank 1 5"],
    ),
    (
        "new tank 2: 200 l, 8 rusties (2m, 6f)",
        ["place_added tank 2 200.0", "joined male rusty tank 2 2", "joined female rusty tank 2 6"],
    ),
]


@pytest.mark.parametrize(("text", "told"), TOLD_IN_OWN_WORDS)
def test_places_and_colonies_are_told_in_ones_own_words(text: str, told: list[str]) -> None:
    reading = read(text, now=NOW, by="Hanna", names=FRESH)
    assert isinstance(reading, Events)
    hidden = ("type", "on")
    assert [
        " ".join([item.kind, *(str(value) for slot, value in item.slots.items() if slot not in hidden)]) for item in reading.items
    ] == told


HOUSED = Names(members=("Hanna", "Luis"), places=("tank 1", "tub"), profiles=FRESH.profiles)
COLONIES = [
    ("1m 4f rusties tank 1", [("male", None, 1), ("female", None, 4)]),
    ("1m/4f rusty in tank 1", [("male", None, 1), ("female", None, 4)]),
    ("yellow labs 1m5f tank 1", [("male", None, 1), ("female", None, 5)]),
    ("6 rusty females and a male moved in to tank 1 today", [("female", None, 6), ("male", None, 1)]),
    ("tank 1 houses 4 rusty females plus 2 males", [("female", None, 4), ("male", None, 2)]),
    ("8 rusties in tank 1, 2 male 6 female", [("male", None, 2), ("female", None, 6)]),
    ("3 female yellow labs named Pip, Dot and May, tank 1", [("female", "Pip", 1), ("female", "Dot", 1), ("female", "May", 1)]),
    (
        "female yellow labs Pip and Dot and a male called Rook in tank 1",
        [("female", "Pip", 1), ("female", "Dot", 1), ("male", "Rook", 1)],
    ),
    ("male rusty Flint in tank 1", [("male", "Flint", 1)]),
    ("male rusty from Luis into tank 1", [("male", None, 1)]),
    ("just the one male rusty in tank 1", [("male", None, 1)]),
    ("we keep 1 male 4 females of yellow labs in tank 1", [("male", None, 1), ("female", None, 4)]),
]


@pytest.mark.parametrize(("text", "fish"), COLONIES)
def test_a_colony_is_told_of_in_one_go(text: str, fish: list[tuple[str, str | None, int]]) -> None:
    reading = read(text, now=NOW, by="Hanna", names=HOUSED)
    assert isinstance(reading, Events)
    assert [(item.slots["sex"], item.slots.get("nickname"), item.slots.get("count", 1)) for item in reading.items] == fish
    assert {item.slots["to"] for item in reading.items} == {"tank 1"}


@pytest.mark.parametrize(
    ("text", "about"),
    [
        ("8 rusties in tank 1, 2 male 5 female", None),
        ("3 female yellow labs named Pip and Dot, tank 1", None),
        ("1m 4f rusties tank 7", "to"),
        ("2 new males arrived, rusty, quarantine", "to"),
        ("I have a 75 gallon tank", "place"),
    ],
)
def test_a_colony_that_does_not_add_up_is_not_recorded(text: str, about: str | None) -> None:
    reading = as_json(read(text, now=NOW, by="Hanna", names=HOUSED))
    assert reading["result"] != "events"
    assert reading.get("about") == about or about is None


def test_several_fish_are_named_in_turn(club: Names) -> None:
    reading = read("f1 = Wren, f2 = Lark and f3 = Finch", now=NOW, by="Hanna", names=club)
    assert isinstance(reading, Events)
    assert [(item.slots["female"], item.slots["nickname"]) for item in reading.items] == [
        ("1", "Wren"),
        ("2", "Lark"),
        ("3", "Finch"),
    ]


LETTERED = Names(
    members=("Hanna",),
    places=("tank a1", "tank f2"),
    females={"2": {"strain": "rusty"}},
    batches={"A": {"strain": "rusty", "count": 9}},
)


def test_a_place_is_known_by_its_lettered_number() -> None:
    for text, kind, place in [
        ("A1 30% wc", "water_changed", "tank a1"),
        ("2 dead in A1", "died", "tank a1"),
        ("tank F2 ph 8", "water_tested", "tank f2"),
    ]:
        reading = read(text, now=NOW, by="Hanna", names=LETTERED)
        assert isinstance(reading, Events)
        assert [(item.kind, item.slots["place"]) for item in reading.items] == [(kind, place)]
    assert as_json(read("f2 holding", now=NOW, by="Hanna", names=LETTERED))["events"][0]["female"] == "2"  # type: ignore[index]
    assert as_json(read("counted A 12", now=NOW, by="Hanna", names=LETTERED))["events"][0]["batch"] == "A"  # type: ignore[index]
