"""What a water reading means for the fish now, how urgent it is, and how much fresh water would put it right.

Findings are values: which parameter, how urgent, why, what usually helps. Bounds without a source named beside them are
common practice, no source.
"""

from dataclasses import dataclass, replace
from enum import IntEnum, StrEnum
from math import ceil, log

from core.biology import ammonia, oxygen
from core.biology.ammonia import Kit
from core.species import Profile

USUAL_CHANGE = 0.30
"""The partial change of the trade."""
LARGEST_CHANGE = 0.50
"""More at once shocks the fish; larger needs are spread over several changes."""


class Urgency(IntEnum):
    """How soon something has to be done."""

    FINE = 0
    WATCH = 1
    SOON = 2
    NOW = 3


class Parameter(StrEnum):
    """What is measured in water."""

    AMMONIA = "ammonia"
    NITRITE = "nitrite"
    NITRATE = "nitrate"
    OXYGEN = "oxygen"
    PH = "ph"
    TEMPERATURE = "temperature"


class Reason(StrEnum):
    """Why a finding is what it is."""

    WITHIN_BOUNDS = "within_bounds"
    DETECTABLE = "detectable"
    ABOVE_LIMIT = "above_limit"
    HARMFUL = "harmful"
    TOO_LOW = "too_low"
    TOO_HIGH = "too_high"
    NOT_PLAUSIBLE = "not_plausible"


class Advice(StrEnum):
    """What usually helps."""

    CHANGE_WATER = "change_water"
    STOP_FEEDING = "stop_feeding"
    FEED_LESS = "feed_less"
    MORE_AIR = "more_air"
    CHECK_FILTER = "check_filter"
    RETEST = "retest"
    RETEST_TOMORROW = "retest_tomorrow"
    CORRECT_SLOWLY = "correct_slowly"
    CHECK_HEATER = "check_heater"
    ADD_SALT_WITH_CARE = "add_salt_with_care"
    KEEP_PH_DOWN = "keep_ph_down"


class Assumption(StrEnum):
    """What had to be taken because it was not told."""

    TEMPERATURE_LAST = "temperature_last"
    TEMPERATURE_USUAL = "temperature_usual"
    PH_LAST = "ph_last"
    PH_HIGHEST_USUAL = "ph_highest_usual"
    AMMONIA_AS_NITROGEN = "ammonia_as_nitrogen"


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a water; None: not measured. mg/L, °C; nitrite and nitrate as the ion (as most kits have it)."""

    temperature_c: float | None = None
    ph: float | None = None
    ammonia: float | None = None
    ammonia_kit: Kit | None = None
    nitrite: float | None = None
    nitrate: float | None = None
    oxygen: float | None = None
    salinity: float = 0.0


@dataclass(frozen=True, slots=True)
class Change:
    """A partial water change: what it brings a value to, and what it takes to reach the target."""

    after_usual: float
    """The value after one change of `USUAL_CHANGE`."""
    target: float
    share: float | None
    """Each of `times` changes; None where the tap water itself is above the target."""
    times: int


@dataclass(frozen=True, slots=True)
class Finding:
    """What one parameter says. `value` for ammonia is un-ionised ammonia in mg/L as NH3; `measured` what was told."""

    parameter: Parameter
    urgency: Urgency
    reason: Reason
    value: float
    measured: float
    bound: float | None = None
    advice: tuple[Advice, ...] = ()
    change: Change | None = None


@dataclass(frozen=True, slots=True)
class Assessment:
    """All findings of a reading, most urgent first, and what was assumed for them."""

    findings: tuple[Finding, ...]
    assumed: tuple[Assumption, ...]
    temperature_c: float
    ph: float

    @property
    def urgency(self) -> Urgency:
        """The most urgent of the findings."""
        return max((finding.urgency for finding in self.findings), default=Urgency.FINE)


@dataclass(frozen=True, slots=True)
class _Step:
    """From this value on (or below it, where `below`), this urgency."""

    bound: float
    urgency: Urgency
    reason: Reason
    advice: tuple[Advice, ...]


_FOUL = (Advice.CHANGE_WATER, Advice.STOP_FEEDING, Advice.MORE_AIR)
_STEPS: dict[Parameter, tuple[_Step, ...]] = {
    Parameter.AMMONIA: (  # un-ionised, as NH3
        _Step(ammonia.HARM_NH3, Urgency.NOW, Reason.HARMFUL, (*_FOUL, Advice.KEEP_PH_DOWN, Advice.RETEST_TOMORROW)),
        _Step(ammonia.LIMIT_NH3, Urgency.SOON, Reason.ABOVE_LIMIT, (*_FOUL, Advice.RETEST_TOMORROW)),
        _Step(0.005, Urgency.WATCH, Reason.DETECTABLE, (Advice.FEED_LESS, Advice.CHECK_FILTER, Advice.RETEST_TOMORROW)),
    ),
    Parameter.NITRITE: (
        _Step(1.0, Urgency.NOW, Reason.HARMFUL, (*_FOUL, Advice.ADD_SALT_WITH_CARE, Advice.RETEST_TOMORROW)),
        _Step(0.5, Urgency.SOON, Reason.ABOVE_LIMIT, (*_FOUL, Advice.RETEST_TOMORROW)),
        _Step(0.1, Urgency.WATCH, Reason.DETECTABLE, (Advice.FEED_LESS, Advice.CHECK_FILTER, Advice.RETEST_TOMORROW)),
    ),
    Parameter.NITRATE: (  # 400 mg/L: FAO Technical Paper 589 ch. 3 (chapter copy seen)
        _Step(400.0, Urgency.NOW, Reason.HARMFUL, (Advice.CHANGE_WATER, Advice.FEED_LESS, Advice.RETEST)),
        _Step(80.0, Urgency.SOON, Reason.ABOVE_LIMIT, (Advice.CHANGE_WATER, Advice.FEED_LESS, Advice.RETEST)),
        _Step(40.0, Urgency.WATCH, Reason.ABOVE_LIMIT, (Advice.CHANGE_WATER, Advice.RETEST)),
    ),
}
_TARGETS = {Parameter.AMMONIA: ammonia.LIMIT_NH3 / 2, Parameter.NITRITE: 0.1, Parameter.NITRATE: 20.0}
"""What a change of water should bring a value to."""
_PLAUSIBLE = {
    Parameter.AMMONIA: (0.0, 20.0),
    Parameter.NITRITE: (0.0, 50.0),
    Parameter.NITRATE: (0.0, 1000.0),
    Parameter.OXYGEN: (0.0, 25.0),
    Parameter.PH: (3.0, 11.0),
    Parameter.TEMPERATURE: (2.0, 42.0),
}


def assess(
    reading: Reading,
    profile: Profile,
    last_temperature_c: float | None = None,
    last_ph: float | None = None,
    tap: Reading | None = None,
) -> Assessment:
    """What a reading means for fish of this species; what is missing is taken from the last reading, or the worst usual."""
    temperature, ph, assumed = _completed(reading, profile, last_temperature_c, last_ph)
    found = [
        _of_ammonia(reading, temperature, ph, tap),
        _of_step(Parameter.NITRITE, reading.nitrite, tap.nitrite if tap else None),
        _of_step(Parameter.NITRATE, reading.nitrate, tap.nitrate if tap else None),
        _of_oxygen(reading.oxygen),
        _of_range(Parameter.PH, reading.ph, (profile.ph.low, profile.ph.high), 0.5, (6.0, 9.5)),
        _of_range(
            Parameter.TEMPERATURE,
            reading.temperature_c,
            (profile.temperature_c.low, profile.temperature_c.high),
            2.0,
            (20.0, 32.0),
        ),
    ]
    findings = sorted((each for each in found if each), key=lambda each: -each.urgency)
    return Assessment(tuple(findings), assumed, temperature, ph)


def _completed(
    reading: Reading, profile: Profile, last_temperature_c: float | None, last_ph: float | None
) -> tuple[float, float, tuple[Assumption, ...]]:
    assumed: list[Assumption] = []
    temperature, ph = reading.temperature_c, reading.ph
    if temperature is None:
        known = last_temperature_c is not None
        assumed += [Assumption.TEMPERATURE_LAST if known else Assumption.TEMPERATURE_USUAL]
        temperature = last_temperature_c if last_temperature_c is not None else profile.temperature_c.likely
    if ph is None:
        assumed += [Assumption.PH_LAST if last_ph is not None else Assumption.PH_HIGHEST_USUAL]
        ph = last_ph if last_ph is not None else profile.ph.high
    if reading.ammonia is None:
        return temperature, ph, ()
    if reading.ammonia_kit is None:
        assumed += [Assumption.AMMONIA_AS_NITROGEN]
    return temperature, ph, tuple(assumed)


def _of_ammonia(reading: Reading, temperature_c: float, ph: float, tap: Reading | None) -> Finding | None:
    if reading.ammonia is None:
        return None
    if not _plausible(Parameter.AMMONIA, reading.ammonia):
        return _not_plausible(Parameter.AMMONIA, reading.ammonia)
    total = ammonia.as_nitrogen(reading.ammonia, reading.ammonia_kit or Kit.NITROGEN)
    per_total = ammonia.unionised_as_ammonia(1.0, ph, temperature_c, reading.salinity)
    from_tap = per_total * ammonia.as_nitrogen(tap.ammonia or 0.0, tap.ammonia_kit or Kit.NITROGEN) if tap else 0.0
    finding = _of_step(Parameter.AMMONIA, total * per_total, from_tap)
    return replace(finding, measured=reading.ammonia) if finding else None


def _of_step(parameter: Parameter, value: float | None, tap: float | None) -> Finding | None:
    if value is None:
        return None
    if not _plausible(parameter, value):
        return _not_plausible(parameter, value)
    for step in _STEPS[parameter]:
        if value >= step.bound:
            change = change_to(value, _TARGETS[parameter], tap or 0.0)
            helps = change if Advice.CHANGE_WATER in step.advice else None
            return Finding(parameter, step.urgency, step.reason, value, value, step.bound, step.advice, helps)
    return Finding(parameter, Urgency.FINE, Reason.WITHIN_BOUNDS, value, value)


def _of_oxygen(value: float | None) -> Finding | None:
    if value is None:
        return None
    if not _plausible(Parameter.OXYGEN, value):
        return _not_plausible(Parameter.OXYGEN, value)
    for bound, urgency in ((oxygen.ALARM, Urgency.NOW), (oxygen.LOW, Urgency.SOON), (oxygen.ENOUGH, Urgency.WATCH)):
        if value < bound:
            advice = (Advice.MORE_AIR, Advice.STOP_FEEDING, Advice.CHANGE_WATER, Advice.RETEST)
            return Finding(Parameter.OXYGEN, urgency, Reason.TOO_LOW, value, value, bound, advice)
    return Finding(Parameter.OXYGEN, Urgency.FINE, Reason.WITHIN_BOUNDS, value, value)


def _of_range(
    parameter: Parameter, value: float | None, usual: tuple[float, float], soon: float, danger: tuple[float, float]
) -> Finding | None:
    """Outside the species' range: watch; further out than `soon`: soon; outside `danger`: now."""
    if value is None:
        return None
    if not _plausible(parameter, value):
        return _not_plausible(parameter, value)
    if usual[0] <= value <= usual[1]:
        return Finding(parameter, Urgency.FINE, Reason.WITHIN_BOUNDS, value, value)
    low = value < usual[0]
    bound = usual[0] if low else usual[1]
    further = abs(value - bound)
    outside = not danger[0] <= value <= danger[1]
    urgency = Urgency.NOW if outside else Urgency.SOON if further > soon else Urgency.WATCH
    heat = parameter is Parameter.TEMPERATURE
    advice = [Advice.CORRECT_SLOWLY, *([Advice.CHECK_HEATER] if heat else []), Advice.RETEST]
    if heat and not low:
        advice.insert(0, Advice.MORE_AIR)
    reason = Reason.TOO_LOW if low else Reason.TOO_HIGH
    return Finding(parameter, urgency, reason, value, value, bound, tuple(advice))


def _plausible(parameter: Parameter, value: float) -> bool:
    low, high = _PLAUSIBLE[parameter]
    return low <= value <= high


def _not_plausible(parameter: Parameter, value: float) -> Finding:
    low, high = _PLAUSIBLE[parameter]
    bound = low if value < low else high
    return Finding(parameter, Urgency.WATCH, Reason.NOT_PLAUSIBLE, value, value, bound, (Advice.RETEST,))


def after_change(value: float, share: float, tap: float = 0.0) -> float:
    """A dissolved value after a share of the water was replaced by tap water."""
    return value * (1 - share) + tap * share


def change_needed(value: float, target: float, tap: float = 0.0) -> float | None:
    """The share to replace at once to bring a value down to a target; None where the tap is no better than the target."""
    if value <= target:
        return 0.0
    return None if tap >= target else (value - target) / (value - tap)


def change_to(value: float, target: float, tap: float = 0.0) -> Change:
    """Equal changes of at most `LARGEST_CHANGE` that bring a value to the target."""
    whole = change_needed(value, target, tap)
    after = after_change(value, USUAL_CHANGE, tap)
    if whole is None:
        return Change(after, target, None, 0)
    times = ceil(log(1 - whole) / log(1 - LARGEST_CHANGE) - 1e-9) if whole > 0 else 0
    return Change(after, target, 1 - float((1 - whole) ** (1 / times)) if times else 0.0, times)
