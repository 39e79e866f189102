"""Pictures of a real fishroom's state: what is drawn is what the journal says and what planning expects."""

from datetime import date, datetime, time, timedelta

import pytest

from bot.pictures import growth, numbers, pedigree, season, shelf, water
from core.fishroom.state import Fishroom
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
    from core.fishroom.state import Parentage

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
