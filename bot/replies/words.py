"""How a day, a length, a number of fish and a list are written for the member who reads them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from math import ceil, floor

from core.events import Sex
from core.units import DateOrder, Units

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "$": "$", "€": "€", "£": "£"}


@dataclass(frozen=True, slots=True)
class Style:
    """How one member reads: order of day and month, units, the club's currency, and the day it is for them."""

    today: date
    dates: DateOrder = "DMY"
    units: Units = "metric"
    currency: str = "EUR"

    def day(self, day: date) -> str:
        """A day with weekday and the month's name: "Sat 28 Feb", in US clubs "Sat Feb 28"; the year where it is another and not near."""
        month, number = MONTHS[day.month - 1], str(day.day)
        parts = [DAYS[day.weekday()], *([number, month] if self.dates == "DMY" else [month, number])]
        if abs((day - self.today).days) > 300 and day.year != self.today.year:
            parts.append(str(day.year))
        return " ".join(parts)

    def days(self, first: date, last: date) -> str:
        """A span of days, both included: "Fri 13 Mar to Tue 17 Mar"; one day where they are the same."""
        return self.day(first) if first == last else f"{self.day(first)} to {self.day(last)}"

    def near(self, day: date) -> str:
        """A day with "today", "tomorrow" or "yesterday" in front where it is one."""
        word = {0: "today", 1: "tomorrow", -1: "yesterday"}.get((day - self.today).days)
        return f"{word}, {self.day(day)}" if word else self.day(day)

    def length(self, mm: float) -> str:
        """A length in cm (one decimal; mm below 1 cm) or inches (one decimal)."""
        if self.units == "us":
            return f"{number(mm / 25.4, 1)} in"
        return f"{number(mm, 0)} mm" if mm < 10 else f"{number(mm / 10, 1)} cm"

    def lengths(self, low: float, high: float) -> str:
        """A range of lengths with one unit."""
        if self.units == "us":
            return f"{number(low / 25.4, 1)}–{number(high / 25.4, 1)} in"
        return f"{number(low / 10, 1)}–{number(high / 10, 1)} cm"

    def measured(self, mm: float, high: float | None = None) -> str:
        """A length as it was measured: mm, or inches to the twentieth; with `high` a range with one unit."""
        lengths = [mm] if high is None else [mm, high]
        if self.units == "us":
            return "–".join(number(round(one / 25.4 * 20) / 20, 2) for one in lengths) + " in"
        return "–".join(number(one, 0) for one in lengths) + " mm"

    def temperature(self, celsius: float) -> str:
        """A temperature in °C or °F, to 0.1."""
        if self.units != "us":
            return f"{number(celsius, 1)} °C"
        fahrenheit = celsius * 9 / 5 + 32
        whole = abs(fahrenheit - round(fahrenheit)) <= 0.1  # kept to 0.1 °C, so that 78 °F comes back as 78.08
        return f"{number(fahrenheit, 0 if whole else 1)} °F"

    def temperatures(self, low: float, high: float) -> str:
        """A span of °C to keep within; in °F the whole degrees inside it: "22 °C to 26 °C", "72 °F to 78 °F"."""
        if self.units != "us":
            return f"{self.temperature(low)} to {self.temperature(high)}"
        return f"{ceil(low * 9 / 5 + 32)} °F to {floor(high * 9 / 5 + 32)} °F"

    def volume(self, litres: float) -> str:
        """A volume in litres or US gallons."""
        return f"{number(litres / 3.785411784, 1)} gal" if self.units == "us" else f"{number(litres, 1)} L"

    def grams(self, grams: float) -> str:
        """A weight of food or fish in grams."""
        return f"{number(grams, 2 if grams < 1 else 1)} g"

    def money(self, amount: Decimal) -> str:
        """An amount in the club's currency."""
        sign = SIGNS.get(self.currency)
        return f"{sign}{amount:.2f}" if sign else f"{amount:.2f} {self.currency}"

    def clock(self, at: time) -> str:
        """A time of day: 06:30, 14:30; in US clubs 6:30 am, 2:30 pm."""
        if self.units != "us":
            return f"{at:%H:%M}"
        return f"{at.hour % 12 or 12}:{at:%M} {'am' if at.hour < 12 else 'pm'}"


def example_tank(us: bool) -> str:
    """The size and warmth of a tank, as an example in the reader's units."""
    return "55 gallons, 79 F" if us else "240 litres, 26 C"


def number(value: float, decimals: int) -> str:
    """A number with at most so many decimals, without trailing zeros."""
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def percent(share: float) -> str:
    """A share from 0 to 1 as a percentage with at most two decimals."""
    return f"{number(share * 100, 2)}%"


def capital(text: str) -> str:
    """The text with a capital at its start, the rest as it is."""
    return text[:1].upper() + text[1:]


def listed(items: Iterable[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    found = list(items)
    if len(found) < 2:
        return "".join(found)
    return f"{', '.join(found[:-1])} {last} {found[-1]}"


def counted(count: int, one: str, many: str | None = None, *, approx: bool = False) -> str:
    """ "1 fish", "about 20 males"."""
    return f"{'about ' if approx else ''}{count} {one if count == 1 else many or one + 's'}"


def of_sex(count: int, sex: Sex | None, *, approx: bool = False) -> str:
    """ "4 females", "1 male", "6 unsexed fish", "6 fish"."""
    match sex:
        case "male" | "female":
            return counted(count, sex, approx=approx)
        case "unsexed":
            return counted(count, "unsexed fish", "unsexed fish", approx=approx)
        case None:
            return counted(count, "fish", "fish", approx=approx)


def by_sex(males: int, females: int, unsexed: int) -> str:
    """ "3 males, 5 females, 2 unsexed": only what is there."""
    parts = [
        counted(males, "male") if males else "",
        counted(females, "female") if females else "",
        f"{unsexed} unsexed" if unsexed else "",
    ]
    return ", ".join(part for part in parts if part) or "none"


def days_long(days: int) -> str:
    """ "1 day", "12 days"."""
    return counted(days, "day")
