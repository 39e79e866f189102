"""Running a fishroom by message: habits, absences, tasks of the digest, prices, free days, changed reservations, settings."""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta

from bot.reading import changed_orders, choices, days, prices, taken_home
from bot.reading.choices import Recogniser, hours_of
from bot.reading.facts import Facts
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token

_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_TASKS = (
    ("water_change", re.compile(r"\b(?:wc|water changes?|change (?:the )?water|pwc|waterchange)\b")),
    ("water_test", re.compile(r"\b(?:water tests?|test|tests|testing|check the water)\b")),
    ("measure", re.compile(r"\b(?:measure|measuring|size)\b")),
    ("count", re.compile(r"\bcount(?:ing)?\b")),
)


def _facts(tokens: Sequence[Token], scene: Scene, verb: str = "") -> Facts:
    return Facts(Clause(list(tokens), verb), scene)


def _habit(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    task = next((name for name, pattern in _TASKS if pattern.search(flat)), None)
    every = re.search(
        r"\bevery (?:(\d+|two|three|four|five|six|seven|ten|other|second) )?(day|days|week|weeks|wk|wks|fortnight|month)\b|\b(daily|weekly|fortnightly|monthly)\b",
        flat,
    )
    if task is None or every is None or any(token.has("negation", "condition", "hearsay") for token in tokens):
        return None
    partial = Partial("habit", {"task": task})
    number = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "ten": 10, "other": 2, "second": 2, None: 1}
    said = every.group(1)
    times = int(said) if said and said.isdigit() else number[said]
    unit = every.group(2) or every.group(3)
    length = {"d": 1, "w": 7, "f": 14, "m": 30}[unit[0]]
    every_days = times * length
    partial.put("every_days", every_days if 0 < every_days <= 365 else Trouble("every_days", "impossible", str(every_days)))
    facts = _facts(tokens, scene)
    spots = facts.where("place")
    partial.put("place", facts.place(spots[0], "place") if spots else None)
    return [partial]


def _away(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    if any(
        token.kind in ("fish", "batch", "place", "reservation")
        or (token.has("negation", "condition", "hearsay") and token.text not in ("until", "till"))
        for token in tokens
    ):
        return None
    facts = _facts(tokens, scene)
    spans = [token.value for token in tokens if token.kind == "day" and isinstance(token.value, days.DaySpan)]
    found = [days.resolve(span, scene.now, "future", scene.names.date_order) for span in spans]
    partial = Partial("away")
    first, last = _ends(tokens, found, scene)
    if first is None and last is None:
        return None
    partial.put("from", first.isoformat() if isinstance(first, date) else first or Trouble("from"))
    partial.put("to", last.isoformat() if isinstance(last, date) else last or Trouble("to"))
    if isinstance(first, date) and isinstance(last, date) and last < first:
        partial.put("to", Trouble("to", "impossible", last.isoformat()))
    member = facts.member()
    partial.put("sitter", member)
    return [partial]


def _ends(
    tokens: Sequence[Token], found: Sequence[date | days.DayTrouble], scene: Scene
) -> tuple[date | Trouble | None, date | Trouble | None]:
    """The first and the last day: two days, "3 to 10 april", "3-10 april", or "until the 10th" from today on."""
    told = [day if isinstance(day, date) else Trouble(slot, day.why) for day, slot in zip(found, ("from", "to"), strict=False)]
    if len(told) >= 2:
        return told[0], told[1]
    flat = " ".join(token.text for token in tokens)
    span = re.search(
        r"\b(\d{1,2})(?:st|nd|rd|th)? ?(?:to|-|–|until|till|through) ?(?:the )?(\d{1,2})(?:st|nd|rd|th)? (?:of )?([a-z]{3,9})\b",
        flat,
    )
    if span:
        ends = [days.find(f"{number} {span.group(3)}", 0) for number in span.groups()[:2]]
        both = [
            days.resolve(end[1], scene.now, "future", scene.names.date_order) if end else days.DayTrouble("ambiguous")
            for end in ends
        ]
        first, last = (
            day if isinstance(day, date) else Trouble(slot, day.why) for day, slot in zip(both, ("from", "to"), strict=True)
        )
        return first, last
    if told and isinstance(told[0], date) and (behind := _same_month(tokens, told[0])):
        return told[0], behind
    if told and re.search(r"\b(?:until|till|til|to|back)\b", flat) and isinstance(told[0], date):
        return scene.now.date(), told[0]
    if told and re.search(r"\b(?:on)\b", flat):
        return told[0], told[0]
    return (told[0] if told else None), None


def _same_month(tokens: Sequence[Token], first: date) -> date | Trouble | None:
    """The last day of "april 3 to 10", "apr 3-10": a number behind the first day, of its month or the next."""
    at = next((n for n, token in enumerate(tokens) if token.kind == "day"), len(tokens))
    text = " ".join(token.text for token in tokens[at : at + 4])
    found = re.search(r"(?:\bto|\btill|\buntil|\btil|\bthrough|\bthru|-|–) ?(?:the )?(\d{1,2})(?:st|nd|rd|th)?\b", text)
    if found is None:
        return None
    number = int(found.group(1))
    month = first if number > first.day else first.replace(day=1) + timedelta(days=32)
    try:
        return month.replace(day=number)
    except ValueError:
        return Trouble("to", "impossible", str(number))


def _tasks(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """ "1 and 3 done", "task 2 later until friday": numbers of the last list, and hardly another word."""
    kind = next((kind for kind, words in _TASK_WORDS.items() if any(token.text in words for token in tokens)), None)
    numbers = [int(str(token.value)) for token in tokens if token.kind in ("number", "hash") and str(token.value).isdigit()]
    if kind is None or not numbers or any(_beside_a_task(token) for token in tokens) or re.match(r"^\d+ did\b", flat):
        return None  # "1 did" is hardly a task: it may be one that died
    until = _facts(tokens, scene).day("future", "until") if kind == "task_later" else None
    return [_task(kind, number, until, scene) for number in numbers]


def _task(kind: str, number: int, until: date | Trouble | None, scene: Scene) -> Partial:
    listed = scene.names.tasks
    partial = Partial(kind)
    unknown = Trouble("number", "unknown", str(number), tuple(map(str, listed)))
    partial.put("number", unknown if listed and number not in listed else number)
    partial.put("until", until.isoformat() if isinstance(until, date) else until)
    return partial


def _beside_a_task(token: Token) -> bool:
    """Whether the word makes more of the message than numbers of tasks."""
    return token.kind not in ("number", "hash", "day", "punct") and token.text not in _WITH_TASKS


_TASK_WORDS = {
    "task_done": ("done", "did", "finished", "complete", "completed", "ticked", "tick"),
    "task_later": ("later", "postpone", "snooze", "postponed", "not now", "put off", "wait"),
    "task_dropped": ("never", "drop", "skip", "dropped", "skipped", "never again", "forget"),
}
_WITH_TASKS = {word for group in _TASK_WORDS.values() for word in group} | {
    *("task", "tasks", "job", "number", "no", "nr", "#", "the", "mark", "as", "it", "is", "are", "do"),
    *("and", ",", "&", "+", "!", "please", "pls", "thanks", "thx", "until", "till", "til", "for", "to", "on"),
}


def _price(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    if any(
        token.kind in ("fish", "member", "reservation", "place")
        or token.has("verb:offer", "verb:leave", "verb:reserve", "verb:deposit", "verb:want", "negation", "plan")
        for token in tokens
    ):
        return None
    if "price" not in flat and any(
        meaning.startswith("verb:") and not token.has("filler") for token in tokens for meaning in token.means
    ):
        return None
    facts = _facts(tokens, scene)
    partial = Partial("price")
    batches, strains = facts.batches(), facts.where("strain")
    if batches:
        partial.put("batch", batches[0])
    elif strains:
        partial.put("strain", str(tokens[strains[0]].value))
    else:
        return None
    amount = facts.money("price")
    bare = [quantity for quantity in facts.quantities if isinstance(quantity.value, (int, float))]
    if amount is None and "price" not in flat and not (bare and isinstance(bare[0].value, float)):
        return None
    if len(batches) > 1 or (amount is not None and any(quantity.at not in facts.used for quantity in bare)):
        return None
    if amount is None and len(bare) == 1:
        amount = f"{float(bare[0].value or 0):.2f}"
    sexes = {str(token.value) for token in tokens if token.kind == "sex"}
    partial.put("sex", sexes.pop() if len(sexes) == 1 else None)
    partial.put("price", amount or Trouble("price"))
    return [partial]


def _decision(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """ "confirm 12", "decline #12", "12 confirmed"."""
    kind = (
        "declined"
        if re.search(r"\b(?:decline[sd]?|declining|reject(?:ed)?|turn(?:ed)? down|refuse[sd]?)\b", flat)
        else "confirmed"
    )
    numbers = [str(token.value) for token in tokens if token.kind in ("number", "hash", "reservation")]
    partials = []
    for number in numbers:
        partial = Partial(kind)
        partial.put("reservation", number if number in scene.names.reservations else Trouble("reservation", "unknown", number))
        partials.append(partial)
    return partials or None


def _free_days(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    if any(
        token.kind in ("fish", "batch", "place", "reservation") or token.has("negation", "condition", "hedge") for token in tokens
    ):
        return None
    found = [_WEEKDAYS.index(word[:3]) for word in re.findall(r"\b(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\b", flat)]
    if re.search(r"\bweekends?\b", flat):
        found += [5, 6]
    if re.search(r"\bweekdays?\b", flat) and not found:
        found += [0, 1, 2, 3, 4]
    if not found:
        return None
    partial = Partial("free_days", {"weekdays": sorted(set(found))})
    partial.put("hours", hours_of(flat))
    return [partial]


RECOGNISERS: tuple[tuple[re.Pattern[str], Recogniser], ...] = (
    (re.compile(r"\bevery (?:\w+ )?(?:days?|weeks?|wks?|fortnight|month)\b|\b(?:daily|weekly|fortnightly|monthly)\b"), _habit),
    (re.compile(r"\b(?:away|on holiday|on vacation|out of town|travelling|traveling|abroad)\b"), _away),
    (re.compile(r"\b(?:done|later|never|postpone|snooze|skip|drop|finished|completed?|did)\b"), _tasks),
    (
        re.compile(
            r"^(?:please |i |ive |have |we )?(?:confirm(?:ed)?|accept(?:ed)?|approved?|declined?|reject(?:ed)?|turn(?:ed)? down|refused?) (?:the )?(?:(?:res|reservation|booking|order)s? )?#? ?\d+(?: (?:and|,|&) #? ?\d+)*$|^(?:(?:res|reservation|booking|order) )?#? ?\d+ (?:is )?(?:confirmed|accepted|approved|declined|rejected|refused|turned down)$"
        ),
        _decision,
    ),
    (re.compile(prices.BY_SEX), prices.prices_by_sex),
    (re.compile(r"\bprices?\b|\bcosts?\b|\b(?:each|apiece|ea|a piece|per fish)(?: now)?$|\bnow [$€£]?\d"), _price),
    (
        re.compile(
            r"^(?:i ?a?m |im |we are |i am )?(?:usually |always )?(?:free|available for pick ?ups?) (?:on )?(?:days?|mon|tue|wed|thu|fri|sat|sun|week)|^free days?\b|^(?:pick ?up|handover|collection) days?\b|\bcan hand over\b|\bhand ?overs? (?:only )?on\b"
        ),
        _free_days,
    ),
    (re.compile(changed_orders.CHANGED), changed_orders.reservation_changed),
    (re.compile(taken_home.TAKEN), taken_home.taken_home),
    *choices.RECOGNISERS,
)
