"""Pictures of a real fishroom's state: what is drawn is what the journal says and what planning expects."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from bot.pictures import calendar, growth, numbers, parcels, pedigree, season, shelf, water
from core.fishroom.state import Fishroom, Parentage, ReservationStatus
from tests.pictures.fishroom import NOW, TODAY, days, fishroom


@pytest.fixture(scope="module")
def room() -> Fishroom:
    return fishroom()


def test_growth_shows_what_was_measured_and_goes_on_until_they_are_ready(room: Fishroom) -> None:
    picture = growth.growth_of(room, room.batches["B"], TODAY, "B")
    first, second = picture.measured
    assert (first.on, first.mean_mm, first.shortest_mm, first.longest_mm, first.n) == (days(-20), 27.4, 24, 31, 5)
    assert (second.on, second.mean_mm, second.shortest_mm, second.n) == (days(-2), 33, None, 6)
    assert picture.forecast[0].on == days(-68)
    assert picture.forecast[-1].on > TODAY + timedelta(days=35)
    assert all(point.low_mm <= point.median_mm <= point.high_mm for point in picture.forecast)
    assert picture.half is not None
    assert picture.half.likely is not None
    near = min(picture.forecast, key=lambda point: abs(point.on - picture.half.likely))  # type: ignore[operator, union-attr]
    assert near.median_mm == pytest.approx(picture.ready_mm, abs=1.5)  # the middle crosses the line on the day that is named


def test_growth_of_a_larger_size_is_later(room: Fishroom) -> None:
    usual, large = (growth.growth_of(room, room.batches["B"], TODAY, "B", mm) for mm in (None, 60))
    assert usual.half is not None
    assert large.half is not None
    assert usual.half.likely < large.half.likely  # type: ignore[operator]


def test_the_season_has_a_row_for_each_brood_with_its_stages(room: Fishroom) -> None:
    rows = {row.name: row for row in season.season_of(room, TODAY, "season").rows}
    assert set(rows) == {
        "F1 → A · Yellow lab",
        "F2 → B · Yellow lab",
        "F3 → C · Yellow lab",
        "F1 · Yellow lab",
        "F2 · Yellow lab",
    }
    of_b = rows["F2 → B · Yellow lab"]
    lived = [(span.stage, span.since, span.until) for span in of_b.spans if not span.expected]
    assert lived == [
        ("holding", days(-90), days(-68)),
        ("box", days(-68), days(-30)),
        ("grow_out", days(-30), TODAY),
    ]
    assert [window.kind for window in of_b.windows] == ["ready"]
    held = rows["F2 · Yellow lab"]
    assert [span.expected for span in held.spans] == [False, True]
    assert [window.kind for window in held.windows] == ["strip"]
    assert rows["F1 · Yellow lab"].ended == days(-19)
    assert rows["F1 → A · Yellow lab"].spans[-1].until == days(-98)  # the last of them were sold


def test_what_ended_long_ago_leaves_the_season(room: Fishroom) -> None:
    names = [row.name for row in season.season_of(room, days(120), "season").rows]
    assert "F1 → A · Yellow lab" not in names


def test_water_of_a_hanging_box_is_that_of_its_tank(room: Fishroom) -> None:
    assert water.water_of(room, "Box 1", TODAY, "w") == water.water_of(room, "Tank 1", TODAY, "w")


def test_water_works_out_the_poisonous_part(room: Fishroom) -> None:
    # UF/IFAS FA16 (as copied): 1.0 mg/L total ammonia nitrogen at pH 8.0 and 24 °C holds 0.0502 mg/L of it un-ionised;
    # as NH3 that is 17.031 / 14.007 times as much (standard atomic weights)
    readings = {reading.on: reading for reading in water.water_of(room, "Tank 1", TODAY, "w").readings}
    assert readings[days(-7)].nh3_mg_l == pytest.approx(0.0502 * 17.031 / 14.007, rel=0.002)
    assert len(readings) == 10


def test_water_looks_back_as_far_as_asked(room: Fishroom) -> None:
    picture = water.water_of(room, "Tank 1", TODAY, "w", days=10)
    assert [reading.on for reading in picture.readings] == [days(-7), days(0)]
    assert picture.changes == (days(-8),)
    assert water.water_of(room, "nowhere", TODAY, "w").readings == ()


def test_numbers_say_where_every_fish_went(room: Fishroom) -> None:
    picture = numbers.numbers_of(room.batches["B"], "B")
    # 34 stripped, 3 died: 31; 29 counted, so 2 are missing
    assert [(step.kind, step.count) for step in picture.steps] == [("stripped", 34), ("died", -3), ("unexplained", -2)]
    assert picture.now == 29


def test_a_family_goes_back_through_a_batch_to_its_parents(room: Fishroom) -> None:
    # father and daughter: F of their young is 1/4 (from memory: any textbook of quantitative genetics)
    picture = pedigree.pedigree_of("marit/C", pedigree.kin_of(room), "Family of C")
    assert picture.inbreeding == pytest.approx(0.25)
    assert picture.subject.sire is not None
    assert picture.subject.dam is not None
    assert picture.subject.sire.name == "M1 “Sol”"
    assert (picture.subject.dam.name, picture.subject.dam.note) == ("F3", "from A")
    assert picture.subject.dam.sire == picture.subject.sire
    assert pedigree.common_ancestors(picture.subject) == {"marit/M1"}


def test_a_family_of_somebody_without_parents_on_record_says_so(room: Fishroom) -> None:
    picture = pedigree.pedigree_of("marit/F1", pedigree.kin_of(room), "Family of F1")
    assert picture.inbreeding is None
    assert "not recorded" in pedigree.inbreeding_line(picture)


def test_a_mixed_batch_has_an_expectation_and_a_range(room: Fishroom) -> None:
    kin = pedigree.kin_of(room)
    mixed = Parentage(((("marit/M1", "marit/F3"), 0.6), (("marit/M1", "marit/F2"), 0.4)))
    kin["marit/D"] = pedigree.Kin("batch D", None, "", mixed)
    picture = pedigree.pedigree_of("marit/D", kin, "Family of D")
    # 0.6 of father and daughter (1/4), 0.4 of unrelated parents (0)
    assert picture.inbreeding == pytest.approx(0.15)
    assert picture.inbreeding_range == pytest.approx((0.0, 0.25))
    assert picture.subject.share == 0.6


def test_the_shelf_holds_what_is_offered_and_not_what_is_promised(room: Fishroom) -> None:
    picture = shelf.shelf_of([room], TODAY, NOW, 0.9, "shelf")
    assert picture.months[0] == date(2026, 5, 1)
    assert picture.months[-1] == date(2026, 10, 1)
    (row,) = picture.rows  # only batch B is offered
    assert row.name == "Yellow lab"
    assert all(0 <= cell.promisable <= cell.expected <= 24 for cell in row.cells)  # 29 alive, 5 promised
    assert row.cells[2].promisable > row.cells[0].promisable  # they are larger in July


def test_months_of_the_shelf_go_over_the_year() -> None:
    assert shelf.months_from(date(2026, 11, 30), 3) == (date(2026, 11, 1), date(2026, 12, 1), date(2027, 1, 1))


def test_moments_along_the_lower_edge_have_their_time_of_day() -> None:
    from bot.pictures.style import day_number

    assert day_number(datetime.combine(TODAY, time(18))) - day_number(TODAY) == 0.75


def test_a_parcel_says_where_the_fish_come_from_and_what_water_they_know(room: Fishroom) -> None:
    parcel = parcels.parcel_of(room, room.reservations[14], TODAY, kinship=0.0)
    assert (parcel.males, parcel.females, parcel.unsexed, parcel.batch, parcel.strain) == (1, 4, 0, "B", "Yellow lab")
    assert parcel.scientific == "Labidochromis caeruleus"
    assert (parcel.sire, parcel.dam) == ("M1 “Sol”", "F2")
    assert (parcel.temp_c, parcel.ph) == (26, None)  # the tub's usual warmth; it was never tested
    # spawned 90 days ago at 26 °C; Malawi cichlids hatch some days after spawning (common practice: 3 to 8)
    assert parcel.hatched is not None
    assert 2 <= (parcel.hatched - days(-90)).days <= 9


def test_fish_fetched_before_are_not_packed_again(room: Fishroom) -> None:
    part = replace(room.reservations[14], collected=2, collected_males=1, collected_females=1)
    parcel = parcels.parcel_of(room, part, TODAY)
    assert (parcel.males, parcel.females, parcel.count) == (0, 3, 3)


def test_a_batch_in_tested_water_tells_its_readings(room: Fishroom) -> None:
    assert parcels.water_now(room, room.batches["C"]) == (26, 8.0)  # the box hangs in tank 1


@pytest.mark.parametrize(
    ("status", "cancelled"), [("confirmed", False), ("cancelled", True), ("no_show", True), ("collected", False)]
)
def test_a_pickup_in_the_calendar_follows_its_reservation(room: Fishroom, status: ReservationStatus, cancelled: bool) -> None:
    reservation = replace(room.reservations[14], status=status, sequence=3)
    found = calendar.pickup_day_of(reservation, club="club:gravel", title="Fetch 5", zone="Europe/Berlin", changed=NOW)
    assert found is not None
    assert (found.day, found.at, found.sequence, found.cancelled) == (days(40), time(16, 30), 3, cancelled)


def test_a_reservation_without_a_day_is_not_in_the_calendar(room: Fishroom) -> None:
    reservation = replace(room.reservations[14], pickup=None)
    assert calendar.pickup_day_of(reservation, club="c", title="t", zone="UTC", changed=NOW) is None


def test_the_day_on_which_a_batch_is_ready_is_the_one_its_growth_shows(room: Fishroom) -> None:
    ready = calendar.ready_day_of(room, room.batches["B"], TODAY, "B ready", NOW)
    picture = growth.growth_of(room, room.batches["B"], TODAY, "B")
    assert ready is not None
    assert picture.half is not None
    assert ready.day == picture.half.likely
    assert TODAY < ready.day < days(60)


def test_a_batch_that_has_long_been_ready_leaves_the_calendar(room: Fishroom) -> None:
    assert calendar.ready_day_of(room, room.batches["B"], days(120), "B ready", NOW) is None
