"""When fish are fetched: on days that suit the keeper, after both have agreed, and with what the keeper must do before."""

from dataclasses import replace
from datetime import time

from core.biology.transport import Bags
from core.fishroom.state import Absence, Batch, Fishroom, FreeTime, Group, Place, Reservation, TaskMark
from core.planning.pickup_tasks import holding_tank, pickup_tasks
from core.planning.pickups import (
    DoesNotSuit,
    Suits,
    agreed,
    catch_key,
    catch_plan,
    days_that_suit,
    decide_pickup,
    overdue,
    proposals,
    suits,
)
from core.planning.promises import TooMany
from tests.planning.garden import MORTAL, NOON, SURE, TODAY, after, batch, reservation, room

WEEKEND = FreeTime((5, 6), time(10), time(16))


def pond_room(*reservations: Reservation, of: Batch | None = None) -> Fishroom:
    """A pond that is hard to catch from, and a small holding tank."""
    found = room([of or batch(place="pond")], reservations)
    found.places["pond"] = Place("pond", "pond", 3000.0, 24.0, hard_to_catch=True)
    found.places["holding tank"] = Place("holding tank", "tank", 60.0, 25.0)
    return found


def test_a_pickup_must_fall_on_a_free_day_and_hour() -> None:
    found = room([batch()], [reservation(1, 4)], free=WEEKEND)
    one = found.reservations[1]
    assert suits(found, one, after(5), time(11), TODAY) == Suits()
    weekday = suits(found, one, after(1), None, TODAY)
    assert isinstance(weekday, DoesNotSuit)
    assert (weekday.why, weekday.days) == ("not_free", (after(5), after(6), after(12)))
    late = suits(found, one, after(5), time(18), TODAY)
    assert isinstance(late, DoesNotSuit)
    assert (late.why, late.from_time, late.to_time) == ("hours", time(10), time(16))


def test_nobody_is_handed_fish_while_the_keeper_is_away() -> None:
    found = room([batch()], [reservation(1, 4)], absences=[Absence(after(2), after(4))])
    refused = suits(found, found.reservations[1], after(3), None, TODAY)
    assert isinstance(refused, DoesNotSuit)
    assert (refused.why, refused.days[0]) == ("away", after(5))


def test_a_day_that_is_over_does_not_suit() -> None:
    found = room([batch()], [reservation(1, 4)])
    refused = suits(found, found.reservations[1], after(-1), None, TODAY)
    assert isinstance(refused, DoesNotSuit)
    assert (refused.why, refused.days[0]) == ("past", TODAY)


def test_fish_from_a_pond_need_a_day_to_catch_them() -> None:
    found = pond_room(reservation(1, 4))
    found.free = FreeTime((0, 5))
    next_days = (after(7), after(14), after(21))
    assert suits(found, found.reservations[1], after(5), None, TODAY) == DoesNotSuit("no_catch_day", next_days)
    found.free = FreeTime((3, 5))
    assert suits(found, found.reservations[1], after(5), None, TODAY) == Suits(after(3))
    assert days_that_suit(found, "B", TODAY, TODAY) == (after(5), after(12), after(19))


def test_a_pickup_moved_to_a_later_day_must_leave_all_promises_safe() -> None:
    """24 fish, all promised for today: nobody can be sure that all 24 live another sixty days."""
    found = room([batch()], [reservation(1, 14, 0), reservation(2, 10, 0)])
    assert isinstance(decide_pickup(found, 2, after(0), None, MORTAL), Suits)
    assert isinstance(decide_pickup(found, 2, after(60), None, MORTAL), TooMany)


def test_the_keeper_may_choose_a_day_off_and_the_buyer_may_not() -> None:
    found = room([batch()], [reservation(1, 4, 2)], free=WEEKEND)
    assert isinstance(decide_pickup(found, 1, after(1), None, SURE), DoesNotSuit)
    assert isinstance(decide_pickup(found, 1, after(1), None, SURE, by_keeper=True), Suits)


def test_fish_of_either_sex_are_given_so_that_promised_males_stay() -> None:
    """5 males and 1 female, one male promised to somebody else: 5 fish of either sex are 4 males and the female."""
    found = room([batch(unsexed=0, males=5, females=1)], [reservation(1, 1, 9, sex="male"), reservation(2, 5, 0)])
    (task,) = pickup_tasks(found, TODAY, NOON)
    assert task.packing[0].best == (4, 1, 0)


def test_a_proposal_waits_for_the_other_side() -> None:
    proposed = reservation(1, 4, 5, member="Oleg", proposed=(after(8), None, "Oleg"))
    found = room([batch()], [proposed])
    assert [(one.day, one.by_buyer) for one in proposals(found, NOON)] == [(after(8), True)]
    assert [pickup.day for pickup in agreed(found, NOON)] == [after(5)]


def test_a_pickup_that_passed_without_a_word_is_asked_about() -> None:
    found = room([batch()], [reservation(1, 4, -1), reservation(2, 4, 0)])
    assert [pickup.reservation.number for pickup in overdue(found, TODAY, NOON)] == [1]
    assert "missed" in [task.rule for task in pickup_tasks(found, TODAY, NOON)]


def test_one_catch_for_the_weekend_and_no_food_in_the_holding_tank() -> None:
    found = pond_room(reservation(1, 4, 5), reservation(2, 6, 6))
    (day,) = catch_plan(found, TODAY, NOON).days
    assert (day.day, day.count) == (after(4), 10)
    (task,) = pickup_tasks(found, after(4), NOON)
    assert (task.rule, task.place, task.waits_in, task.batches) == ("catch", "pond", "holding tank", (("B", 10),))
    assert task.crowding is None


def test_a_holding_tank_that_would_be_too_full_is_a_warning() -> None:
    many = pond_room(reservation(1, 90, 1), of=batch(unsexed=100, place="pond", spawned=after(-400)))
    many.places["holding tank"] = replace(many.places["holding tank"], litres=20.0)
    (task,) = pickup_tasks(many, TODAY, NOON)
    assert task.crowding is not None
    assert task.crowding.room_kg < 0


def test_a_catch_that_was_told_as_done_is_not_asked_for_again() -> None:
    found = pond_room(reservation(1, 4, 3))
    assert catch_plan(found, TODAY, NOON).days
    found.task_marks[f"north/{catch_key('pond', after(0))}"] = TaskMark("done", TODAY)
    assert catch_plan(found, TODAY, NOON).days == ()


def test_fish_that_already_wait_outside_the_pond_go_to_the_first_buyers() -> None:
    part = replace(batch(place="pond"), groups=(Group("pond", "unsexed", 20), Group("holding tank", "unsexed", 5)))
    found = pond_room(reservation(1, 4, 3), reservation(2, 4, 9), of=part)
    plan = catch_plan(found, TODAY, NOON)
    assert [(one.reservation, one.count) for day in plan.days for one in day.fetchings] == [(2, 3)]


def test_nobody_is_sent_to_catch_more_than_swims_there() -> None:
    found = pond_room(reservation(1, 6, 5), reservation(2, 4, 5), of=batch(unsexed=8, place="pond"))
    (day,) = catch_plan(found, TODAY, NOON).days
    assert [(one.reservation, one.count) for one in day.fetchings] == [(1, 6), (2, 2)]


def test_a_pickup_nobody_can_catch_for_is_said() -> None:
    found = pond_room(reservation(1, 4, 0))
    (task, *_) = pickup_tasks(found, TODAY, NOON)
    assert task.impossible is not None
    assert task.impossible.why == "too_soon"


def test_fish_from_an_easy_tub_stop_eating_the_day_before() -> None:
    found = room([batch()], [reservation(1, 4, 3)])
    assert [task.rule for task in pickup_tasks(found, after(2), NOON)] == ["stop_feeding"]
    assert [task.rule for task in pickup_tasks(found, after(1), NOON)] == []


def test_on_the_day_the_bags_are_counted() -> None:
    """10 g of fish per litre of bag water on a short journey with air (common practice, no source), 1 L in a 3 L bag."""
    found = room([batch()], [reservation(1, 12, 0, at=time(15))])
    (task,) = pickup_tasks(found, TODAY, NOON)
    packed = task.packing[0].bags
    assert isinstance(packed, Bags)
    assert packed.bags * packed.fish_per_bag >= 12
    assert packed.grams_per_l <= 10
    assert (task.rule, task.at) == ("bag", time(15))


def test_nothing_is_packed_from_a_batch_whose_birth_was_taken_back() -> None:
    found = room([], [reservation(1, 12, 0), reservation(2, 4, 1)])
    assert pickup_tasks(found, TODAY, NOON) == ()


def test_the_holding_tank_is_the_one_the_keeper_names() -> None:
    found = pond_room()
    found.settings["holding_place"] = "tank 1"
    tank = holding_tank(found)
    assert tank is not None
    assert tank.name == "tank 1"
