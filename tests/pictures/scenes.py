"""Pictures of an invented club, small and large, kind and hostile, for the tests."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from typing import Any

from bot.pictures import growth, numbers, pedigree, season, shelf, water

TODAY = date(2026, 5, 6)
HOSTILE = "Pruď $x^2$ \\frac 名\n<b>&amp; " + "Donaudampfschifffahrtsgesellschaftskapitän " * 6


def days(count: int) -> date:
    """So many days from today."""
    return TODAY + timedelta(days=count)


def growth_picture(title: str = "Batch C") -> growth.GrowthPicture:
    """Measured three times, forecast to July, ready at 5 cm."""
    forecast = tuple(
        growth.ForecastLength(days(7 * week - 60), 12 + 1.7 * week, 12 + 2.4 * week, 12 + 3.1 * week) for week in range(20)
    )
    measured = (
        growth.MeasuredLength(days(-50), 15, 13, 18, 5),
        growth.MeasuredLength(days(-20), 27),
        growth.MeasuredLength(days(-2), 31, 26, 36, 8),
    )
    return growth.GrowthPicture(title, TODAY, measured, forecast, ready_mm=50)


def season_picture(title: str = "The season", broods: int = 3) -> season.SeasonPicture:
    """Every third brood is through all stages, every third is held now, every third was lost."""
    grown = season.SeasonRow(
        f"F1 → A {title}",
        (
            season.StageSpan("holding", days(-60), days(-40)),
            season.StageSpan("box", days(-40), days(-5)),
            season.StageSpan("grow_out", days(-5), days(0)),
            season.StageSpan("grow_out", days(0), days(60), expected=True),
        ),
        (season.WindowSpan("ready", days(50), days(70)),),
    )
    now = season.StageSpan("holding", days(-8), days(0))
    held = season.SeasonRow("F4", (now,), (season.WindowSpan("strip", days(9), days(14)),))
    lost = season.SeasonRow("F2", (season.StageSpan("holding", days(-30), days(-22)),), ended=days(-22))
    return season.SeasonPicture(title, TODAY, tuple((grown, held, lost)[number % 3] for number in range(broods)))


def water_picture(title: str = "Water of tank 2") -> water.WaterPicture:
    """Eight weekly tests, two of them above the limit."""
    nh3 = (0.003, 0.004, 0.03, 0.012, 0.02, 0.043, 0.011, 0.005)
    readings = tuple(
        water.WaterReading(days(7 * week - 49), value, 7.9 + 0.1 * (week % 3), 26, 0.1 * (week % 2), 20 + week)
        for week, value in enumerate(nh3)
    )
    return water.WaterPicture(title, TODAY, readings, 0.025, changes=(days(-30), days(-10)))


def numbers_picture(title: str = "Batch C") -> numbers.NumbersPicture:
    """Thirty-four stripped; five died or were missing, one found, eleven went."""
    told = (("stripped", 34, -90), ("died", -3, -60), ("unexplained", -3, -40), ("found", 1, -30), ("sold", -6, -12))
    steps = tuple(numbers.Step(kind, count, days(day), days(day + 3)) for kind, count, day in told)  # type: ignore[arg-type]
    return numbers.NumbersPicture(title, steps, 23)


def pedigree_picture(title: str = "Family of C", name: str = "M1") -> pedigree.PedigreePicture:
    """Half siblings through M0."""
    ancestor = pedigree.Ancestor
    grandsire = ancestor("M0", "M0", "male", "club, 2021")
    sire = ancestor("M1", name, "male", "", grandsire, ancestor("F0", "F0", "female"))
    dam = ancestor("F4", "F4", "female", "", grandsire, ancestor("F2", "F2", "female"))
    return pedigree.PedigreePicture(title, ancestor("C", "batch C", None, "", sire, dam), inbreeding=0.125)


def shelf_picture(title: str = "The shelf", name: str = "Yellow lab", strains: int = 3) -> shelf.ShelfPicture:
    """Six months of so many strains."""
    cell = shelf.ShelfCell
    row = shelf.ShelfRow(name, (cell(0, 0), cell(4, 9), cell(11, 14), cell(12, 15), cell(1, 1), cell(0, 8)))
    return shelf.ShelfPicture(title, tuple(date(2026, month, 1) for month in range(5, 11)), (row,) * strains)


@dataclass(frozen=True)
class Scene:
    """A picture with the two ways to get at it: finished, and before it becomes pixels (drawn once)."""

    name: str
    draw: Callable[[], bytes]
    figure_of: Callable[[], Any]

    @cache  # noqa: B019 - scenes live as long as the tests
    def figure(self) -> Any:
        """The figure, with every text at its place."""
        figure = self.figure_of()
        figure.canvas.draw()
        return figure


SIZE = (1080, 810)
SCENES = [
    Scene(
        "growth",
        lambda: growth.draw_growth(growth_picture()),
        lambda: growth.growth_figure(growth_picture(), "metric", "DMY", *SIZE),
    ),
    Scene("season", lambda: season.draw_season(season_picture()), lambda: season.season_figure(season_picture(), "DMY", *SIZE)),
    Scene(
        "water",
        lambda: water.draw_water(water_picture()),
        lambda: water.water_figure(water_picture(), "metric", "DMY", *SIZE),
    ),
    Scene(
        "numbers",
        lambda: numbers.draw_numbers(numbers_picture()),
        lambda: numbers.numbers_figure(numbers_picture(), "DMY", *SIZE),
    ),
    Scene(
        "pedigree",
        lambda: pedigree.draw_pedigree(pedigree_picture()),
        lambda: pedigree.pedigree_figure(pedigree_picture(), *SIZE),
    ),
    Scene("shelf", lambda: shelf.draw_shelf(shelf_picture()), lambda: shelf.shelf_figure(shelf_picture(), *SIZE)),
]
BY_NAME = {scene.name: scene for scene in SCENES}
