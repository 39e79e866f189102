"""The morning digest reads as a walk through the fishroom, and the sitter's as a note to a neighbour."""

import re
from datetime import date, timedelta

import pytest
from hypothesis import given, settings

from bot.replies.digest import agenda, digest, sitter_digest
from bot.replies.tasks import done_line, short_line, task_line
from bot.replies.words import Style
from core.events import (
    Away,
    BatchJoined,
    Died,
    Habit,
    HeldBack,
    Holding,
    Joined,
    Measured,
    Moved,
    Parents,
    PickupSet,
    PlaceAdded,
    Released,
    Reserved,
    Sexed,
    Spawned,
    StrainAdded,
    Stripped,
    WaterChanged,
    WaterTested,
)
from core.fishroom.replay import replay
from core.planning.care import TRAITS, care_plan, due_tasks, tasks_between
from tests.fishroom.conftest import MONDAY, Telling
from tests.fishroom.streams import ANYHOW, Told, journal


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


@pytest.fixture
def marit() -> Telling:
    """A tank at 27 °C with three yellow lab females and their male, a box that hangs in it, a tub."""
    return Telling().on(
        -60,
        StrainAdded("lab", "Yellow lab", "yellow-lab"),
        PlaceAdded("tank 1", "tank", 240.0, 27.0),
        PlaceAdded("tub", "tub", 500.0, 25.0),
        PlaceAdded("box 1", "box", 8.0, hangs_in="tank 1"),
        *(Joined(f"F{n}", "female", str(n), "lab", "tank 1") for n in (4, 5, 6)),
        Joined("M1", "male", "1", "lab", "tank 1"),
    )


def morning(marit: Telling, on: int, **style: str) -> str | None:
    return digest(marit.room, due_tasks(marit.room, day(on)), Style(day(on), **style))  # type: ignore[arg-type]


def test_a_quiet_day_has_no_digest(marit: Telling) -> None:
    assert morning(marit, 0) is None


def test_the_window_is_told_with_its_days_its_reason_and_what_to_say(marit: Telling) -> None:
    marit.on(-200, Released("F4")).on(0, Spawned("F4", "M1", "brood 1"))
    text = morning(marit, 16)
    assert text is not None
    assert re.search(r"Tank 1\n1\. Strip female 4.*window \w{3} \d+ Mar to \w{3} \d+ Mar \(day 16, at 27 °C", text)
    assert 'say "stripped 4' in text


def test_a_first_brood_is_better_left_to_her(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1"))
    assert "let her finish" in (morning(marit, 16) or "")


def test_units_and_dates_are_the_members(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 9, to="tub", mean_mm=30.0), Spawned("F4", "M1", "brood 1"))
    american = morning(marit, 30, units="us", dates="MDY") or ""
    assert "Mar 2" in american
    assert " in)" in american or " in " in american
    assert " cm" not in american
    assert "80.6 °F" in (morning(marit, 16, units="us", dates="MDY") or "")


def test_tasks_are_numbered_through_and_grouped_as_one_walks(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 9, to="tub"), BatchJoined("B", "lab", 9, to="box 1"), Habit("water_test", 7, "tank 1"))
    text = morning(marit, 40) or ""
    headings = re.findall(r"^(Tank 1|Tub|Box 1)$", text, re.MULTILINE)
    assert headings == ["Tank 1", "Box 1", "Tub"]
    numbers = [int(found) for found in re.findall(r"^(\d+)\. ", text, re.MULTILINE)]
    assert numbers == list(range(1, len(due_tasks(marit.room, day(40))) + 1))


def test_numbering_goes_on_from_another_fishroom(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"))
    text = digest(marit.room, due_tasks(marit.room, day(5)), Style(day(5)), first=4)
    assert text is not None
    assert "\n4. " in text


def test_bad_water_says_what_was_found_and_what_helps(marit: Telling) -> None:
    marit.on(0, WaterTested("tank 1", ph=8.2, tan_mg_l=1.0, temp_c=27.0, kit_unit="N"))
    text = morning(marit, 1) or ""
    assert re.search(r"Now: Test tank 1 again: on Mon 2 Mar un-ionised ammonia was 0\.1\d+ mg/L", text)
    assert "change water" in text


def test_a_habit_nobody_set_says_how_to_set_another(marit: Telling) -> None:
    marit.on(0, WaterChanged("tank 1", percent=30))
    assert 'unless you say "change water in tank 1 every 14 days"' in (morning(marit, 7) or "")


def test_the_same_words_are_not_repeated_every_morning(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"))
    assert "Look whether female 4 still holds" in (morning(marit, 5) or "")
    assert (
        morning(marit, 7)
        == "Mon 9 Mar: 1 thing to do.\n\nTank 1\n1. Look whether female 4 still holds (open since Sat 7 Mar)."
    )


def test_names_of_members_stand_in_what_concerns_them(marit: Telling) -> None:
    marit.on(0, BatchJoined("A", "lab", 9, to="tub", mean_mm=40.0), Reserved(7, "p9", "A", 4), PickupSet(7, day(3)))
    tasks = due_tasks(marit.room, day(3))
    text = digest(marit.room, tasks, Style(day(3)), names={"p9": "Oleg"}) or ""
    assert "Oleg" in text
    assert "p9" not in text


def test_a_week_is_told_day_by_day(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1"), Habit("water_test", 5, "tank 1"), WaterTested("tank 1", ph=7.8))
    text = agenda(marit.room, tasks_between(marit.room, day(0), day(0), day(6)), Style(day(0))) or ""
    assert text.startswith("Sat 7 Mar:\n1. ")
    assert "Today" not in text
    assert agenda(marit.room, [], Style(day(0))) is None


def test_every_rule_can_be_worded(marit: Telling) -> None:
    """One season that brings up nearly everything; each task is a sentence that ends, names no code and no missing value."""
    marit.on(-300, BatchJoined("G", "lab", 20, to="tub", born=day(-300)), Parents("G", "M1", "F4"))
    marit.on(-40, Joined("F7", "female", "7", "lab", "tank 1", from_batch="G"), HeldBack("G", 2), Sexed("G", males=8, females=8))
    for n, start in enumerate((-90, -60, -30)):
        marit.on(start, Spawned("F5", "M1", f"old {n}")).on(start + 20, Stripped("F5", f"X{n}", 30, to="box 1"))
    marit.on(
        -8, Spawned("F6", "M1", "brood 1"), Released("F5"), Moved("tub", fish="F5"), WaterTested("tank 1", ph=8.9, tan_mg_l=1.0)
    )
    marit.on(
        -5,
        Died(place="tub", count=1),
        BatchJoined("H", "lab", 9, to="tub"),
        Died(place="tub", count=2),
        Measured("H", mean_mm=44),
    )
    marit.on(
        -4,
        Reserved(7, "p9", "H", 2),
        PickupSet(7, day(4)),
        Reserved(8, "p9", "H", 1, confirmed=False),
        Away(day(3), day(9), "p9"),
    )
    marit.on(-3, Reserved(9, "p9", "H", 1), PickupSet(9, day(8), proposed_by="p9"), WaterChanged("tank 1", percent=30))
    seen: set[str] = set()
    for on in range(-60, 60, 4):
        room = marit.room
        style = Style(day(on))
        for task in (*care_plan(room, day(on), day(on + 12)), *due_tasks(room, day(on), for_sitter=True)):
            if task.rule.startswith("sitter"):
                text = sitter_digest(room, [task], style, "Marit") or ""
            else:
                text = task_line(room, task, style, {"p9": "Oleg"})
                assert not re.search(r"None|\{|\}|_", short_line(room, task, style))
            seen.add(task.rule)
            assert text[0].isupper() or text[0] == "#", text
            assert text.rstrip(')"')[-1] in ".?", text
            assert not re.search(r"None|\{|\}|\bp9\b|datetime|_", text), text
    assert len(set(TRAITS) - seen) <= 6, set(TRAITS) - seen


def test_a_sitter_reads_no_terms_of_the_trade(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1"), BatchJoined("A", "lab", 9, to="tub", mean_mm=30.0), Away(day(14), day(20), "p9"))
    tasks = due_tasks(marit.room, day(17), for_sitter=True)
    text = sitter_digest(marit.room, tasks, Style(day(17)), "Marit", back=day(20)) or ""
    assert not re.search(r"brood|strip|holding|yolk sac|ration|batch|nitrite|dechlorinat|buccal|%", text, re.IGNORECASE)
    assert "pinch" in text
    assert "in her mouth" in text
    assert "until Sun 22 Mar" in text
    assert "2 dead in tub" in text
    assert "plugs" in text


def test_a_sitter_with_nothing_to_do_is_left_alone(marit: Telling) -> None:
    assert sitter_digest(marit.room, [], Style(day(0)), "Marit") is None


@settings(max_examples=20, deadline=None)
@given(ANYHOW)
def test_any_plan_can_be_worded(told: list[Told]) -> None:
    room = replay("fishroom:marit", journal(told))
    today = date(2026, 3, 24)
    plan = care_plan(room, today, today + timedelta(days=20))
    text = digest(room, plan, Style(today))
    assert (text is None) == (not plan)
    sitting = due_tasks(room, today, for_sitter=True)
    assert (sitter_digest(room, sitting, Style(today), "Marit") is None) == (not sitting)


@pytest.mark.parametrize(
    ("key", "asked"),
    [
        ("brood_overdue:brood 1:2026-03-30", '"4 released 20" or "4 lost them"'),
        ("release_expected:brood 1:once", '"4 released 20"'),
        ("retest:tub:2026-03-02", '"tub ph 8 ammonia 0 nitrite 0"'),
        ("water_test:tank 1:first", '"tank 1 ph 8 ammonia 0 nitrite 0"'),
        ("move_up:A:once", '"A moved to tub"'),
        ("missed:7:2026-03-02", '"#7 collected" or "#7 no show"'),
    ],
)
def test_done_alone_leaves_no_hole_in_the_book(marit: Telling, key: str, asked: str) -> None:
    marit.on(0, Holding("F4", "brood 1"), BatchJoined("A", "lab", 9, to="box 1", mean_mm=20.0))
    line = done_line(marit.room, f"{marit.room.id}/{key}")
    assert line.startswith("Done")
    assert asked in line


def test_what_must_be_done_now_says_since_when_in_one_breath(marit: Telling) -> None:
    marit.on(0, WaterTested("tank 1", ph=8.2, tan_mg_l=1.0, temp_c=27.0, kit_unit="N"))
    assert "1. Now: Test tank 1 again (open since Tue 3 Mar)." in (morning(marit, 5) or "")


def test_a_fish_has_a_small_letter_inside_a_sentence(marit: Telling) -> None:
    marit.on(0, Holding("F4", "brood 1"))
    said = "\n".join(morning(marit, number) or "" for number in range(40))
    assert "female 4" in said
    assert not re.search(r"[a-z,;] (?:Female|Male) \d", said)


def test_nobody_is_pressed_to_strip(marit: Telling) -> None:
    marit.on(0, Spawned("F4", "M1", "brood 1"))
    strips = [line for number in range(40) for line in (morning(marit, number) or "").splitlines() if "trip female 4" in line]
    assert any("today at the latest" in line for line in strips)
    assert not any("Now:" in line for line in strips)
