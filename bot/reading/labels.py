"""Labels: "f4", "#12", "batch B" and lists of them; when a letter is a batch, and when it is only a word."""

from __future__ import annotations

from dataclasses import replace

from bot.reading import days
from bot.reading.vocabulary import vocabulary
from bot.reading.walk import Fish, Run

_LABEL_AFTER = {"female", "male"}
_PRONOUN_LETTERS = frozenset("ainurwxkystmflgpvhoj")
"""Letters that are words or units when small; such a batch needs its capital or a word like "of" before it."""
_BEFORE_BATCH = frozenset(
    [
        "of",
        "from",
        "off",
        "in",
        "into",
        "batch",
        "out",
        "and",
        "to",
        "with",
        "w",
        "for",
        "under",
        "brood",
        "lot",
        "counted",
        "fed",
        "measured",
        "sexed",
        "moved",
        "offer",
        "sell",
        "culled",
        "split",
        "merged",
        "mvd",
        "vented",
    ]
)
_AFTER_ARTICLE_LETTER = frozenset(
    [
        "costs",
        "came",
        "is",
        "was",
        "has",
        "now",
        "to",
        "into",
        "in",
        "at",
        "on",
        "today",
        "yesterday",
        "for",
        "from",
        "and",
        "are",
        "have",
        "moved",
        "down",
        "still",
        "back",
        "with",
        "off",
        "under",
        "w",
        "ready",
        "again",
        "went",
        "goes",
        "holds",
        "be",
        "reach",
        "reaches",
        "get",
        "need",
        "needs",
        "looks",
        "looking",
        "doing",
        "reserved",
        "eat",
        "gets",
        "pls",
        "please",
        "thanks",
        "thx",
        "cheers",
        "lol",
    ]
)
_DAY_UNITS = frozenset(["day", "days", "week", "weeks", "wk", "wks", "night", "nights", "hour", "hours", "hrs"])


def fish_label(run: Run, n: int) -> int:
    """ "female 4", "f4", "fem #4", "female no 4", "females 1, 2 and 3"."""
    sexes = run.means(n) & _LABEL_AFTER
    if not sexes or run.tokens[n].kind != "word":
        return 0
    step = n + 1
    if run.text(step) in ("#", "number", "no", "num", "nr"):
        step += 1 + (run.text(step + 1) == "." and run.text(step) != "#")
    token = run.at(step)
    spelt = step > n + 1
    if token is None or token.kind != "number" or not isinstance(token.value, int) or token.note == "approx":
        return 0
    if _counts_fish(run, n, step) and not spelt:
        return 0
    if _is_generation(run, n, step):
        run.out.append(run.span(n, step + 1 - n, "word", "generation", frozenset({"filler", "deformed"})))
        return step + 1 - n
    sex = next(iter(sexes))
    letter = run.raw(n)
    if (
        days.find(run.flat, run.offsets[step])
        and step == n + 1
        and token.start > run.tokens[n].end
        and letter.upper() in ("M", "F")
        and run.text(step + 1) in _DAY_UNITS
    ):
        return 0
    spaced = letter in ("M", "F") and letter in run.names.batches and token.start > run.tokens[n].end
    if spaced and (str(token.value) not in run.names.fish(sex) or run.text(n - 1) in _BEFORE_BATCH):
        return 0
    plural = run.text(n).endswith("s") and len(run.text(n)) > 2
    run.out.append(run.span(n, step + 1 - n, "fish", Fish(sex, str(token.value), plural)))
    return step + 1 - n + _more_labels(run, step + 1, sex, plural)


def _is_generation(run: Run, n: int, step: int) -> bool:
    """ "6 F1 labs", "wanted F1 saulosi": first young of wild parents, no female 1."""
    following = run.text(step + 1)
    kinds = run.names.phrases.get(following, ("",))[0] == "strain" or bool(run.means(step + 1) & {"fry", "batch_word"})
    counted = run.at(n - 1) is not None and run.tokens[n - 1].kind == "number"
    return run.text(n) == "f" and kinds and step == n + 1 and (counted or run.raw(n) == "F")


def _counts_fish(run: Run, n: int, step: int) -> bool:
    """ "15 m 20 f": the sex belongs to the number before it, unless that one is spoken for."""
    before = run.out[-1] if run.out else None
    adjacent = run.tokens[step].start == run.tokens[n].end
    return bool(before and before.kind == "number" and before.end >= run.tokens[n].start - 1 and not adjacent)


def _more_labels(run: Run, n: int, sex: str, plural: bool) -> int:
    """Further labels of a list: "females 1, 2 and 3", "f5 + 7 holding"; a number with a noun behind it is a count."""
    taken = 0
    while True:
        step = n + taken
        comma = run.text(step) == ","
        joined = run.text(step) in ("and", "&", "+")
        if comma and run.text(step + 1) in ("and", "&"):
            step, joined = step + 1, True
        token = run.at(step + 1)
        if not (joined or (comma and plural)) or token is None or token.kind != "number" or not isinstance(token.value, int):
            return taken
        follows = run.means(step + 2)
        label = str(token.value)
        is_verb = any(meaning.startswith("verb:") for meaning in follows)
        if label not in run.names.fish(sex) or (
            not is_verb
            and run.text(step + 2) not in ("", ",", "and", "&", "+", "both", "are", ".", ";", "have", "still", "all", "to")
        ):
            return taken
        run.out.append(replace(run.tokens[step], text="and", means=frozenset({"with", "filler"})))
        run.out.append(run.span(step + 1, 1, "fish", Fish(sex, label, plural)))
        taken = step + 2 - n


def reservation(run: Run, n: int) -> int:
    """ "#12", "res 12", "reservation #12", "order no 12"."""
    step = n
    worded = "reservation" in run.means(n)
    if worded:
        step += 1
        if run.text(step) in ("no", "number", "num", "nr"):
            step += 1 + (run.text(step + 1) == ".")
    hashed = run.text(step) == "#"
    step += hashed
    token = run.at(step)
    if not (worded or hashed) or token is None or token.kind != "number" or not isinstance(token.value, int) or token.note:
        return 0
    run.out.append(run.span(n, step + 1 - n, "reservation" if worded else "hash", str(token.value)))
    return step + 1 - n


def batch_label(run: Run, n: int) -> int:
    """ "batch B", "batches C and E": after the word, any letters are a batch; a number is one that does not exist."""
    if run.text(n) not in ("batch", "batches", "btch", "bach", "brood"):
        return 0
    token = run.at(n + 1)
    letters = run.raw(n + 1)
    if token is None or not _could_be_letters(run, n + 1):
        return 0
    run.out.append(run.span(n, 2, "batch", letters.upper()))
    taken = 2
    while run.text(n) == "batches":
        step = n + taken + (run.text(n + taken) in ("and", "&", "+", ","))
        if step == n + taken or not _could_be_letters(run, step):
            break
        run.out.append(replace(run.tokens[step - 1], text="and", means=frozenset({"with", "filler"})))
        run.out.append(run.span(step, 1, "batch", run.raw(step).upper()))
        taken = step + 1 - n
    return taken


def _could_be_letters(run: Run, n: int) -> bool:
    token = run.at(n)
    if token is None:
        return False
    if token.kind == "number" and run.text(n - 1) in ("batch", "batches") and isinstance(token.value, int):
        return not vocabulary().meanings(run.text(n + 1)) & {"fry", "female", "male", "verb:die"}
    raw = run.raw(n)
    if token.kind != "word" or not raw.isascii() or not raw.isalpha():
        return False
    return len(raw) == 1 or (len(raw) == 2 and (raw.isupper() or raw.upper() in run.names.batches))


def batch_letter(run: Run, n: int) -> int:
    """A letter by itself: the batch of that letter, unless it is a word or a unit here."""
    raw = run.raw(n)
    if run.tokens[n].kind != "word" or not raw.isascii() or not raw.isalpha() or len(raw) > 2:
        return 0
    letters = raw.upper()
    known = letters in run.names.batches
    if len(raw) == 2 and not (known and raw.isupper()):
        return 0
    if not _letter_is_batch(run, n, raw, known):
        return 0
    run.out.append(run.span(n, 1, "batch", letters))
    return 1


def _letter_is_batch(run: Run, n: int, raw: str, known: bool) -> bool:
    before, after = run.text(n - 1), run.text(n + 1)
    if run.raw(n - 1) in ("'", "°") or after == "'" or _hyphened(run, n):
        return False
    if (
        run.text(n - 1) == "as"
        and raw not in ("a", "A", "i", "I")
        and any(token.has("verb:split", "verb:strip") for token in run.out)
    ):
        return True
    if run.out and run.out[-1].has("call_it") and run.out[-1].text not in ("to", "as", "to be", "label") and len(raw) == 1:
        return True
    if raw in ("a", "A"):
        return known and _is_batch_a(run, n, raw)
    if raw in ("i", "I"):
        return before in ("batch", "of", "from", "into", "off")
    if known and (raw.isupper() or raw not in _PRONOUN_LETTERS):
        return not (raw == "c" and _is_degrees(run, n))
    if raw.isupper() and raw not in "XUWRNKYFMCTP":
        return before in _BEFORE_BATCH or bool(run.means(n - 1)) or n == 0
    if raw in _PRONOUN_LETTERS:
        return known and (before in _BEFORE_BATCH or _heads_values(run, n, raw))
    after_batch = before in ("and", "with", "&", "+") and len(run.out) > 1 and run.out[-2].kind == "batch"
    if after_batch or before in ("chart", "forecast", "history", "status"):
        return True
    return before in ("of", "from", "off", "into", "counted", "moved", "fed", "in") or (n == 0 and not known and raw in "bdez")


def _hyphened(run: Run, n: int) -> bool:
    """ "e-mail": a letter tied to a word."""
    end, following = run.tokens[n].end, run.at(n + 1)
    return (
        run.message[end : end + 1] in ("-", "–")
        and following is not None
        and following.kind == "word"
        and following.start == end + 1
    )


def _heads_values(run: Run, n: int, raw: str) -> bool:
    """ "g mean 4.2 cm", "h: 31 29 30 mm": a small letter at the head, with its values behind it."""
    first = n == 0 or run.text(n - 1) in (",", ";", "/", "\n")
    following = run.at(n + 1)
    valued = following is not None and (following.text == ":" or following.kind == "length" or bool(run.means(n + 1) & {"mean"}))
    return first and valued and raw in "fmglvhpoj"


def _is_degrees(run: Run, n: int) -> bool:
    """ "25 c": a temperature where a word for it, or a place, stands before the number."""
    number, before = run.at(n - 1), run.out[-2] if len(run.out) > 1 else None
    return bool(number and number.kind == "number" and before and (before.kind == "place" or before.has("temp_c")))


def _is_batch_a(run: Run, n: int, raw: str) -> bool:
    """ "a" is an article before a noun; it is the batch before a number, a verb, a preposition or at the end."""
    before, after = run.text(n - 1), run.text(n + 1)
    following = run.at(n + 1)
    if before in ("of", "from", "off", "into", "batch", "out") and not (
        run.means(n + 1) & {"tank", "box", "tub", "pond", "vague"}
        or after in ("new", "spare", "few", "couple", "friend", "mate", "shop")
    ):
        return True
    if following is None or following.kind in ("punct", "newline", "arrow", "length", "suffixed", "range", "fraclen", "weight"):
        return bool(following is None or following.text not in ("'", "♀", "♂"))
    if raw == "A" and n > 0 and run.out and run.out[-1].kind != "newline" and run.text(n - 1) not in (".", "!", "?"):
        return True
    if following.kind == "number":
        return following.note != "spelt" and run.text(n + 2) not in _MEASURED_TIME
    if len(after) == 1 and after.upper() in run.names.batches and after not in _PRONOUN_LETTERS:
        return bool(run.out) and any(meaning.startswith("verb:") for meaning in run.out[-1].means)
    number, counted = run.at(n + 2), run.at(n - 1)
    if counted is not None and counted.kind == "number" and run.means(n + 1) & {"male", "female", "unsexed", "fry"}:
        return True
    dated = bool(days.find(run.flat, run.offsets[n + 1]))
    if before == "in" and dated:
        return True
    told = bool(run.out) and run.out[-1].has(*_BATCH_A_HANDLED) and run.out[-1].has("form:done")
    if told and (dated or ("approx" in run.means(n + 1) and number is not None and number.kind in ("number", "punct"))):
        return True
    if raw == "A" and after == "count" and _count_follows(run, n + 2):
        return True
    if (after in ("lost", "counted") or (raw == "A" and after in ("got", "has", "had"))) and number is not None and number.kind == "number":
        return True
    length = trade_phrase(run, n + 1)
    means = vocabulary().meanings(" ".join(token.text for token in run.tokens[n + 1 : n + 1 + length]))
    if after in _AFTER_ARTICLE_LETTER or means & {"sample", "mean"} or run.means(n + 1) & {"sample", "mean"}:
        return True
    return "form:done" in means and bool(means & _BATCH_A_VERBS) and not means & {"filler", "verb:die"}


_BATCH_A_HANDLED = frozenset(f"verb:{verb}" for verb in ["count", "measure", "sex", "feed", "move", "cull", "split", "offer"])


def _count_follows(run: Run, n: int) -> bool:
    """ "A count 40", "A count is 39": with no other batch that "a count of 39 in C" would be of."""
    n += run.text(n) in ("is", "was", "now", ":", "=")
    number = run.at(n)
    return number is not None and number.kind == "number" and (run.at(n + 1) is None or run.tokens[n + 1].kind in ("punct", "newline"))


_MEASURED_TIME = ("hour", "hours", "hr", "hrs", "h", "day", "days", "minute", "minutes", "min", "week", "weeks", "mile", "km")
_BATCH_A_VERBS = frozenset(
    f"verb:{verb}"
    for verb in ["move", "sex", "merge", "offer", "withdraw", "measure", "feed", "split", "cull", "left_over", "mix"]
)


def trade_phrase(run: Run, n: int) -> int:
    """How many words the longest phrase of the trade has at a position."""
    known = vocabulary()
    for length in range(min(known.longest, len(run.tokens) - n), 0, -1):
        if " ".join(token.text for token in run.tokens[n : n + length]) in known.phrases:
            return length
    return 0
