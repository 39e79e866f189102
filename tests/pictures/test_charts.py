"""The pictures: they decode, are large enough to read on a phone, say their units, and never rely on colour alone."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from io import BytesIO
from typing import Any, get_args

import pytest
from PIL import Image

from bot.pictures import growth, numbers, pedigree, season, shelf, style, water
from core.fishroom.state import Batch, Change, ChangeKind, Group
from core.planning.outlook import DayWindow
from tests.pictures import scenes
from tests.pictures.scenes import BY_NAME, HOSTILE, SCENES, TODAY, Scene, days

pytestmark = pytest.mark.xdist_group("charts")  # drawn once, by one worker

each_scene = pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)


def said(figure: Any) -> list[Any]:
    """Every text of a figure that will be seen."""
    from matplotlib.text import Text

    return [text for text in figure.findobj(Text) if text.get_text().strip() and text.get_visible()]


def words(figure: Any) -> str:
    return "\n".join(text.get_text() for text in said(figure))


@pytest.fixture(scope="module")
def drawn() -> dict[str, bytes]:
    return {scene.name: scene.draw() for scene in SCENES}


@each_scene
def test_a_picture_is_a_png_as_wide_as_a_phone_shows(scene: Scene, drawn: dict[str, bytes]) -> None:
    image = Image.open(BytesIO(drawn[scene.name]))
    assert image.format == "PNG"
    assert image.width == 1080
    assert 810 <= image.height <= 1700


@each_scene
def test_text_is_large_enough_for_a_phone(scene: Scene) -> None:
    # 1080 px across a phone 65 mm wide: 26 px are 1.6 mm, the height of 4.4 point type, like a timetable's (common practice,
    # no source)
    assert min(text.get_fontsize() for text in said(scene.figure())) >= 26


@each_scene
def test_no_text_leaves_the_sheet(scene: Scene) -> None:
    figure = scene.figure()
    for text in said(figure):
        box = text.get_window_extent()
        inside = box.x0 >= -1 and box.x1 <= figure.bbox.width + 1 and box.y0 >= -1 and box.y1 <= figure.bbox.height + 1
        ticks = [label for axes in figure.axes for label in (*axes.get_xticklabels(), *axes.get_yticklabels())]
        assert inside or text in ticks, text.get_text()


@pytest.mark.parametrize(
    "draw",
    [
        lambda: growth.growth_figure(scenes.growth_picture(HOSTILE), "metric", "DMY", 1080, 810),
        lambda: season.season_figure(scenes.season_picture(HOSTILE), "DMY", 1080, 810),
        lambda: water.water_figure(scenes.water_picture(HOSTILE), "metric", "DMY", 1080, 810),
        lambda: numbers.numbers_figure(scenes.numbers_picture(HOSTILE), "DMY", 1080, 810),
        lambda: pedigree.pedigree_figure(scenes.pedigree_picture(HOSTILE, HOSTILE), 1080, 810),
        lambda: shelf.shelf_figure(scenes.shelf_picture(HOSTILE, HOSTILE), 1080, 810),
    ],
)
def test_a_members_name_is_shown_as_written_and_kept_inside(draw: Callable[[], Any], recwarn: pytest.WarningsRecorder) -> None:
    figure = draw()
    figure.canvas.draw()
    shown = said(figure)
    assert any("Pruď $x^2$ \\frac □ <b>" in text.get_text() for text in shown)
    assert not [warning for warning in recwarn if "Glyph" in str(warning.message)]
    for text in shown:
        assert text.get_window_extent().x1 <= figure.bbox.width + 1, text.get_text()


@pytest.mark.parametrize(
    "draw",
    [
        lambda: growth.draw_growth(growth.GrowthPicture("new", TODAY)),
        lambda: season.draw_season(season.SeasonPicture("new", TODAY, ())),
        lambda: water.draw_water(water.WaterPicture("new", TODAY, (), 0.025)),
        lambda: numbers.draw_numbers(numbers.NumbersPicture("new", (), 0)),
        lambda: pedigree.draw_pedigree(pedigree.PedigreePicture("new", pedigree.Ancestor("F1", "F1", "female"))),
        lambda: shelf.draw_shelf(shelf.ShelfPicture("new", (), ())),
    ],
)
def test_a_fishroom_that_begins_has_pictures_too(draw: Callable[[], bytes]) -> None:
    assert Image.open(BytesIO(draw())).width == 1080


def test_growth_is_drawn_in_the_members_units() -> None:
    metric = BY_NAME["growth"].figure()
    us = growth.growth_figure(scenes.growth_picture(), "us", "MDY", 1080, 810)
    assert "total length (cm)" in words(metric)
    assert "ready: 5 cm" in words(metric)
    assert "total length (in)" in words(us)
    assert "ready: 1.97 in" in words(us)  # 50 mm / 25.4


def window(early: int, likely: int, late: int) -> DayWindow:
    return DayWindow(days(early), days(likely), days(late))


@pytest.mark.parametrize(
    ("half", "most", "line"),
    [
        (window(20, 30, 45), None, "half ready about 5 Jun 2026 (26 May – 20 Jun)"),
        (window(-30, -6, 5), window(-1, 9, 14), "half ready since about 30 Apr 2026; "
         "nine in ten about 15 May 2026 (6 May – 20 May)"),
        (window(-30, -6, 5), DayWindow(days(100), days(400), None), "half ready since about 30 Apr 2026; "
         "nine in ten not before 14 Aug 2026"),
        (DayWindow(days(100), None, None), None, "not ready within this forecast"),
        (None, None, ""),
    ],
)  # fmt: skip
def test_growth_says_when_they_are_ready(half: DayWindow | None, most: DayWindow | None, line: str) -> None:
    # days counted from 6 May 2026 by hand
    picture = replace(scenes.growth_picture(), half=half, most=most)
    assert growth.ready_line(picture, "DMY") == line


def test_the_season_marks_today_and_names_its_stages() -> None:
    shown = words(BY_NAME["season"].figure())
    for expected in ("today", "in the mouth", "in a box", "growing on", "strip", "ready", "expected"):
        assert expected in shown


def test_a_long_season_says_what_it_leaves_out() -> None:
    figure = season.season_figure(scenes.season_picture(broods=45), "DMY", 1080, 810)
    assert "and 25 more that do not fit here" in words(figure)


def test_water_counts_the_tests_above_the_limit() -> None:
    # of the eight readings 0.03 and 0.043 are above 0.025 mg/L, the later one on the sixth test: 21 … 22 April
    shown = words(BY_NAME["water"].figure())
    assert "above its limit on 2 of 8 tests, last on 22 Apr 2026" in " ".join(shown.split())
    assert "un-ionised ammonia (mg/L NH₃)" in shown
    assert "limit 0.025" in shown


def test_water_without_enough_readings_says_what_is_missing() -> None:
    picture = water.WaterPicture("Water", TODAY, (water.WaterReading(TODAY, ph=8.1, temp_c=25),), 0.025)
    shown = words(water.water_figure(picture, "us", "MDY", 1080, 810))
    assert "total ammonia are needed together" in shown
    assert "temperature (°F)" in shown


def test_numbers_go_from_strip_to_now_and_add_up() -> None:
    changes = (
        Change(days(-90), "stripped", 34, 1),
        Change(days(-80), "died", -2, 2),
        Change(days(-70), "unexplained", -1, 3),
        Change(days(-60), "died", -1, 4),
        Change(days(-5), "sold", -6, 5),
    )
    batch = Batch("C", "C", "lab", days(-90), changes=changes, groups=(Group("tub", "unsexed", 24),))
    picture = numbers.numbers_of(batch, "Batch C")
    told = [(step.kind, step.count) for step in picture.steps]
    assert told == [("stripped", 34), ("died", -3), ("unexplained", -1), ("sold", -6)]
    assert sum(step.count for step in picture.steps) == picture.now == 24
    shown = words(numbers.numbers_figure(picture, "DMY", 1080, 810))
    for expected in ("+34", "−3", "−1", "−6", "died, 15 Feb – 7 Mar", "24 of 34 are here"):
        assert expected in shown


def test_every_kind_of_change_has_a_name() -> None:
    assert set(numbers.WORDS) == set(get_args(ChangeKind))


def test_a_pedigree_marks_the_common_ancestor_and_tells_the_inbreeding() -> None:
    # half siblings mated: F = 1/8 (from memory: any textbook of quantitative genetics)
    picture = scenes.pedigree_picture()
    assert pedigree.common_ancestors(picture.subject) == {"M0"}
    assert "inbreeding F = 0.125 (12.5%)" in words(BY_NAME["pedigree"].figure())


def test_unknown_parents_are_no_common_ancestors() -> None:
    ancestor = pedigree.Ancestor
    sire = ancestor("M1", "M1", "male", dam=ancestor("F1", "F1", "female"))
    dam = ancestor("F2", "F2", "female", dam=ancestor("F3", "F3", "female"))
    subject = ancestor("C", "C", None, "", sire, dam)
    assert pedigree.common_ancestors(subject) == frozenset()
    assert words(pedigree.pedigree_figure(pedigree.PedigreePicture("C", subject), 1080, 810)).count("unknown") == 3


def test_a_shared_pedigree_tells_its_range() -> None:
    picture = pedigree.PedigreePicture("F9", pedigree.Ancestor("F9", "F9", "female"), 0.3125, (0.25, 0.375))
    assert pedigree.inbreeding_line(picture) == "inbreeding F = 0.312 (31.2%), between 0.250 and 0.375"


def test_the_shelf_tells_sure_fish_from_likely_ones() -> None:
    shown = words(BY_NAME["shelf"].figure()).split("\n")
    assert shown.count("12") == 3  # promisable
    assert shown.count("~8") == 3  # only likely
    assert "can be promised" in shown


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.1, https://www.w3.org/TR/WCAG21/#dfn-relative-luminance)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("ink", [style.INK, style.GRAVEL, style.CLAY, style.DEEP])
def test_text_stands_out_from_the_paper(ink: str) -> None:
    assert contrast(ink, style.PAPER) >= 4.5  # WCAG 2.1, success criterion 1.4.3


@pytest.mark.parametrize("line", [style.WATER, style.DEEP, style.CLAY, style.GRAVEL])
def test_lines_stand_out_from_the_paper(line: str) -> None:
    assert contrast(line, style.PAPER) >= 3  # WCAG 2.1, success criterion 1.4.11


def test_stages_differ_without_their_colours() -> None:
    from matplotlib.patches import Rectangle

    hatches = [hatch for _, _, hatch, _ in season.LOOKS.values()]
    assert len(set(hatches)) == len(hatches)
    figure = BY_NAME["season"].figure()
    bars = {(bar.get_hatch() or "", bar.get_linestyle()) for bar in figure.axes[0].patches if isinstance(bar, Rectangle)}
    assert len(bars) >= 4


def test_pictures_drawn_in_many_threads_are_the_same_to_the_byte(drawn: dict[str, bytes]) -> None:
    with ThreadPoolExecutor(4) as pool:
        together = dict(zip(drawn, pool.map(lambda scene: scene.draw(), SCENES), strict=True))
    assert together == drawn


@pytest.mark.parametrize("span", [1, 5, 20, 90, 400, 2000, 9000])
def test_days_below_a_picture_are_round_few_and_never_doubled(span: int) -> None:
    ticks = style.day_ticks(TODAY, days(span), 6)
    assert ticks == sorted(set(ticks))
    assert 1 <= len(ticks) <= 6
    assert all(TODAY <= tick <= days(span) for tick in ticks)
    if span > 60:
        assert all(tick.day == 1 for tick in ticks)


def test_a_year_is_named_where_it_begins() -> None:
    assert style.day_names([date(2026, 11, 1), date(2026, 12, 1), date(2027, 1, 1)], "DMY") == ["Nov", "Dec", "Jan 2027"]


def test_the_season_explains_its_cross_where_a_brood_was_lost() -> None:
    picture = scenes.season_picture()
    lost = replace(picture, rows=(replace(picture.rows[0], ended=TODAY), *picture.rows[1:]))
    kept = replace(picture, rows=tuple(replace(row, ended=None) for row in picture.rows))
    assert "brood lost" in words(season.season_figure(lost, "DMY", 1080, 810))
    assert "brood lost" not in words(season.season_figure(kept, "DMY", 1080, 810))
