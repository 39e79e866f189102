"""What a water test means, in words: how it is now, how urgent, what usually helps, how much to change."""

from __future__ import annotations

from bot.replies.words import Style, capital, days_long, number
from core.biology.ammonia import LIMIT_NH3
from core.biology.water import Advice, Assumption, Finding, Parameter, Reason, Urgency
from core.fishroom.records import WaterChange
from core.planning.water_verdict import WaterVerdict

HELPS = {
    Advice.CHANGE_WATER: "change water (dechlorinated, same temperature)",
    Advice.STOP_FEEDING: "stop feeding today",
    Advice.FEED_LESS: "feed less",
    Advice.MORE_AIR: "more air",
    Advice.CHECK_FILTER: "look at the filter",
    Advice.RETEST: "test again after the change",
    Advice.RETEST_TOMORROW: "test again tomorrow",
    Advice.CORRECT_SLOWLY: "correct it slowly, over days",
    Advice.CHECK_HEATER: "check heater and thermometer (unplug before hands go in)",
    Advice.ADD_SALT_WITH_CARE: "a little plain salt can ease nitrite; ask somebody who has done it",
    Advice.KEEP_PH_DOWN: "do nothing that raises the pH",
}
ASSUMED = {
    Assumption.TEMPERATURE_LAST: "the last known temperature",
    Assumption.TEMPERATURE_USUAL: "the usual temperature",
    Assumption.PH_LAST: "the last known pH",
    Assumption.PH_HIGHEST_USUAL: "the highest pH usual for the species",
    Assumption.AMMONIA_AS_NITROGEN: "a kit that shows ammonia as nitrogen",
}
NOW = {Urgency.FINE: "Fine", Urgency.WATCH: "Watch it", Urgency.SOON: "See to it today", Urgency.NOW: "Act now"}


def verdict_line(found: WaterVerdict, style: Style) -> str:
    """The water in a line, with the day of the test."""
    old = f", {days_long(found.age_days)} ago" if found.age_days else ""
    return f"Water tested {style.day(found.on)}{old}: {NOW[found.assessment.urgency].lower()}."


def verdict(found: WaterVerdict, style: Style) -> list[str]:
    """Everything that the last test says: each finding that matters, what helps, what was assumed."""
    findings = [one for one in found.assessment.findings if one.urgency is not Urgency.FINE]
    ammonia = next((one for one in found.assessment.findings if one.parameter is Parameter.AMMONIA), None)
    fine = "safe" if ammonia else "fine as far as it was tested; ammonia was not"
    safe = {Urgency.FINE: fine, Urgency.WATCH: "safe for now", Urgency.SOON: "unsafe if it stays so", Urgency.NOW: "dangerous"}
    lines = [f"{capital(found.place)}'s water{_age(found, style)} is {safe[found.assessment.urgency]}."]
    lines += [_finding(one, style) for one in findings]
    if ammonia is not None and ammonia not in findings and ammonia.value > 0:
        lines.append(f"Un-ionised ammonia {number(ammonia.value, 3)} mg/L, well under the limit of {number(ammonia.bound or LIMIT_NH3, 3)}.")
    steps = {step: None for one in findings for step in one.advice}
    advice = [HELPS[step] for step in steps if not (step is Advice.RETEST_TOMORROW and Advice.RETEST in steps)]
    if advice:
        lines.append(f"{NOW[found.assessment.urgency]}: {'; '.join(advice)}.")
    assumed = [ASSUMED[one] for one in found.assessment.assumed]
    if assumed:
        lines.append(f"(Reckoned with {' and '.join(assumed)}.)")
    return lines


def _age(found: WaterVerdict, style: Style) -> str:
    return f", as tested {style.day(found.on)} ({days_long(found.age_days)} ago)," if found.age_days else ""


def _finding(one: Finding, style: Style) -> str:
    name, unit = one.parameter.value, "" if one.parameter is Parameter.PH else " mg/L"
    traces = one.reason is Reason.DETECTABLE  # from there on we speak of it; the limit is higher
    bound = None if traces else one.bound
    if one.parameter is Parameter.AMMONIA:
        limit = LIMIT_NH3 if traces else bound
        text = f"Un-ionised ammonia {number(one.value, 3)} mg/L (as NH3)" + (f", limit {number(limit, 3)}" if limit is not None else "")
    elif one.parameter is Parameter.TEMPERATURE:
        text = f"Temperature {style.temperature(one.value)}"
    elif one.parameter is Parameter.PH:
        text = f"pH {number(one.value, 2)}"
    else:
        text = f"{capital(name)} {number(one.value, 2)}{unit}" + (f", limit {number(bound, 2)}" if bound is not None else "")
    reason = {
        Reason.ABOVE_LIMIT: "above what fish bear for long",
        Reason.HARMFUL: "harmful",
        Reason.DETECTABLE: "a settled water shows none",
        Reason.TOO_LOW: "too low for them",
        Reason.TOO_HIGH: "too high for them",
        Reason.NOT_PLAUSIBLE: "cannot be right: test again",
    }.get(one.reason, "")
    if one.reason is Reason.ABOVE_LIMIT and one.bound is not None and one.value <= one.bound:
        reason = "at the limit of what fish bear for long"
    return f"{text}: {reason}.{_change(one)}"


def _change(one: Finding) -> str:
    change = one.change
    if change is None:
        return ""
    usual = f" Changing 30% brings it to {number(change.after_usual, 3)}"
    if change.share is None:
        return f"{usual}; your tap water alone cannot bring it lower."
    if change.times > 1:
        return f"{usual}; {change.times} changes of {change.share:.0%}, some hours apart, bring it to {number(change.target, 3)}."
    return f"{usual}, {change.share:.0%} to {number(change.target, 3)}."


def changed(change: WaterChange, style: Style) -> str:
    """Water was changed since the test, or on its day."""
    amount = f"{number(change.percent, 0)}%" if change.percent is not None else style.volume(change.litres or 0)
    return f"Water changed {style.near(change.on)}: {amount}. A new test shows what it did."


def never_tested(place: str, style: Style) -> str:
    """No test of this water is in the book: how to tell one, in the reader's units."""
    warm = "79f" if style.units == "us" else "26c"
    return f'The water of {place} was never tested. "{place} ph 8 amm 0 temp {warm}" tells me.'
