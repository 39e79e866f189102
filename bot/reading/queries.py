"""What a question asks for: the kinds of query, each with the words that tell it.

The first rule that fits wins; a question that fits none has no answer here, and is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bot.reading.clauses import WATER, Clause
from bot.reading.facts import Facts, Scene
from bot.reading.kinds_orders import least_length
from bot.reading.partial import Partial, Trouble
from bot.reading.tagging import Fish
from bot.reading.tokens import Token

_ASKING = re.compile(
    r"^(?:(?:ok|so|and|but|hi|hey|hello|hiya|um|er|please|pls|oh|well|btw|by the way|also|now|then|just|morning|yo|bot|frywire|,|quick question|:)\s*)*"
    r"(?:whats?|whos?|wheres?|whens?|hows?|which|why|whose|what|who|where|when|how|is|are|can|could|do|does|did|has|have|am|was|were|will|would|should|any|anyone|anything|anybody|isnt|arent|whatre|wat|wot|wher|whod|shall|may|got any|got some|theres any|do you|has anyone|tell me|remind me|show me|show|list|give me|let me see|lemme see|lemme know|let me know|need to know|i need to know|i want to know|want to know|id like to know|wondering|curious)\b"
)


@dataclass(frozen=True)
class Question:
    """A piece of a message that asks: its words in one string, and its facts."""

    flat: str
    facts: Facts
    asked: bool


def is_question(tokens: Sequence[Token], asked: bool) -> bool:
    """Whether the words ask for something: by a question mark or by how they begin."""
    return asked or bool(_ASKING.match(flatten(tokens)))


def flatten(tokens: Sequence[Token]) -> str:
    """The words of some tokens in one string."""
    return " ".join(token.text for token in tokens)


def query_of(tokens: Sequence[Token], scene: Scene, asked: bool) -> Partial | None:
    """The query that some words make; None where they make none."""
    flat = flatten(tokens)
    opened = bool(_ASKING.match(flat)) or asked
    for rule in _RULES:
        pattern = rule.asked if opened else rule.told
        if pattern is not None and pattern.search(flat):
            partial = rule.make(Question(flat, Facts(Clause(list(tokens)), scene), asked))
            if partial is not None:
                return partial
    return None


def _subject(question: Question, kinds: Sequence[str] = ("female", "male", "batch", "place")) -> list[tuple[str, str | Trouble]]:
    """The fish, batches and places that a question names."""
    facts = question.facts
    found: list[tuple[str, str | Trouble]] = []
    for n, token in enumerate(facts.tokens):
        if isinstance(token.value, Fish) and token.value.sex in kinds:
            found.append((token.value.sex, facts.known(token.value.sex, token.value.label)))
        elif token.kind == "batch" and "batch" in kinds:
            found.append(("batch", facts.known_batch(str(token.value))))
        elif token.kind == "place" and "place" in kinds and not (token.text == "tank" and facts.before(n) in ("which", "what", "wat")):
            found.append(("place", facts.place(n, "place")))
    return found or _numbered(question, kinds) or _spoken(question, kinds)


def _numbered(question: Question, kinds: Sequence[str]) -> list[tuple[str, str | Trouble]]:
    facts = question.facts
    sexes = [sex for sex in ("female", "male") if sex in kinds]
    bare = [str(quantity.value) for quantity in facts.free() if quantity.bare]
    bare += [str(facts.tokens[n].value) for n in facts.where("hash")]
    if not sexes or not bare:
        return []
    having = [sex for sex in facts.names.sexes_of(bare[0]) if sex in sexes]
    if len(having) == 1:
        return [(having[0], bare[0])]
    options = tuple(f"{sex} {bare[0]}" for sex in having)
    return [(sexes[0], Trouble(sexes[0], "ambiguous" if options else "unknown", bare[0], options))]


def _spoken(question: Question, kinds: Sequence[str]) -> list[tuple[str, str | Trouble]]:
    """ "her", "that batch": the one spoken of last, in this message or before it."""
    facts, memory, context = question.facts, question.facts.scene.memory, question.facts.scene.context
    choices = [
        ("female", "bare_pronoun", memory.female or context.female),
        ("male", "he", memory.male or context.male),
        ("batch", "they", (memory.batches[-1] if memory.batches else None) or context.batch),
        ("female", "they", memory.female or context.female),
    ]
    for kind, word, value in choices:
        if kind in kinds and value and facts.has(word):
            memory.taken.append(f"{kind} {value}")
            return [(kind, value)]
    if "batch" in kinds and facts.where("strain") and (facts.has("fry", "batch_word") or "female" not in kinds):
        found = facts.batch_like()
        return [("batch", found)] if found is not None else []
    return []


def _about(kind: str, kinds: Sequence[str] = ("female", "male", "batch", "place"), needed: bool = True) -> Callable[[Question], Partial | None]:
    def make(question: Question) -> Partial | None:
        partial = Partial(kind)
        subject = _subject(question, kinds)
        if subject:
            partial.put(*subject[0])
        elif needed:
            unknown = question.facts.unknown_words()
            return None if len(unknown) != 1 else _unknown(partial, kinds[0], question.facts.tokens[unknown[0]].text)
        return partial

    return make


def _unknown(partial: Partial, slot: str, word: str) -> Partial | None:
    if word in ("history", "status", "forecast", "chart", "related", "family"):
        return None
    partial.put(slot, Trouble(slot, "unknown", word))
    return partial


def _plain(kind: str) -> Callable[[Question], Partial | None]:
    return lambda question: Partial(kind)


def _status(question: Question) -> Partial | None:
    subject = _subject(question)
    partial = Partial("status")
    if subject:
        partial.put(*subject[0])
    elif question.facts.unknown_words():
        whole = re.search(r"\b(?:fishroom|fish room|everything|all|room|whole)\b", question.flat)
        return partial if whole or len(question.facts.unknown_words()) == 1 and question.flat.split()[0] == "status" and len(question.flat.split()) == 1 else None
    return partial


def _status_named(question: Question) -> Partial | None:
    """ "Is 4 holding?", "how many in B": only where something is named."""
    subject = _subject(question)
    if not subject:
        return None
    partial = Partial("status")
    partial.put(*subject[0])
    return partial


def _count_of(question: Question) -> Partial | None:
    """ "How many in B", also by the one place or strain that stands for a batch."""
    subject = _subject(question, ("batch", "place", "female", "male"))
    if not subject:
        return None
    partial = Partial("status")
    partial.put(*subject[0])
    return partial


def _span(question: Question) -> str | None:
    if re.search(r"\b(?:tomorrow|tmrw|tmw|tomoz|2moro|tommorow|tomorow|tmr)\b", question.flat):
        return "tomorrow"
    if re.search(r"\b(?:today|tonight|2day|now|this (?:morning|evening|afternoon|am|pm))\b", question.flat):
        return "today"
    if re.search(r"\b(?:week|weekly|7 days|next few days|coming days|seven days)\b", question.flat):
        return "week"
    return None


def _due(question: Question) -> Partial | None:
    return Partial("due", {"span": _span(question) or "today"})


def _pickups(question: Question) -> Partial | None:
    partial = Partial("pickups")
    partial.put("span", _span(question))
    return partial


def _available(question: Question) -> Partial | None:
    facts = question.facts
    partial = Partial("available")
    strains = facts.where("strain")
    partial.put("strain", str(facts.tokens[strains[0]].value) if strains else _unknown_fish(question))
    sexes = {str(facts.tokens[n].value) for n in facts.where("sex")}
    counts = [quantity for quantity in facts.free() if isinstance(quantity.value, int)]
    partial.put("sex", sexes.pop() if len(sexes) == 1 else None)
    if len(counts) == 1:
        partial.put("count", facts.use(counts[0]).value)
    partial.put("min_mm", least_length(facts))
    day = facts.day("future", "by")
    partial.put("by", day if isinstance(day, Trouble) or day is None else day.isoformat())
    return partial


def _unknown_fish(question: Question) -> Trouble | None:
    """ "any demasoni for sale": the word where a strain stands, and the club has none of that name."""
    found = re.search(r"\bany (?:more |of the |of your |young )?([a-z]+)(?: fry| females?| males?)? (?:for sale|available|up for|to sell)", question.flat)
    unknown = {question.facts.tokens[n].text for n in question.facts.unknown_words()}
    return Trouble("strain", "unknown", found.group(1)) if found and found.group(1) in unknown else None


def _reservations(question: Question) -> Partial | None:
    facts = question.facts
    partial = Partial("reservations")
    batches = facts.batches()
    member = facts.member() or facts.member("for", "has", "does", "did")
    mine = re.search(r"\b(?:my|i|ive|mine|me|have i|i have)\b", re.sub(r"\b(?:show|tell|give|remind|remind) me\b", "", question.flat))
    if batches:
        partial.put("batch", batches[0])
    elif member:
        partial.put("member", member)
    elif mine:
        partial.put("member", facts.scene.by)
    return partial


def _relatedness(question: Question) -> Partial | None:
    partial = Partial("relatedness")
    facts = question.facts
    for slot in ("female", "male"):
        found = facts.fish(slot)
        if len(found) == 1:
            partial.put(slot, found[0])
    missing = [slot for slot in ("female", "male") if slot not in partial.slots and not any(t.slot == slot for t in partial.troubles)]
    bare = [quantity for quantity in facts.free() if quantity.bare]
    for quantity in bare:
        if not missing:
            break
        result = facts.labelled(facts.use(quantity), missing, missing[0])
        if isinstance(result, Trouble):
            partial.put(missing[0], result)
            missing.pop(0)
        else:
            partial.put(*result)
            missing.remove(result[0])
    return partial if partial.slots or partial.troubles else None


def _strip_date(question: Question) -> Partial | None:
    partial = Partial("strip_date")
    subject = _subject(question, ("female",))
    if not subject:
        described = question.facts.described("female")
        if described is None:
            return _unknown(partial, "female", "") if re.search(r"strip date|when .*strip", question.flat) else None
        subject = [("female", described[0] if len(described) == 1 else Trouble("female", "ambiguous", "", tuple(described)))]
    partial.put(*subject[0])
    return partial


def _bagging(question: Question) -> Partial | None:
    partial = Partial("bagging")
    facts = question.facts
    found = re.search(r"\b(?:for )?(\d+|an?) (?:hours?|hrs?|h)\b", question.flat)
    hours = {"a": 1, "an": 1}.get(found.group(1)) or int(found.group(1)) if found else None
    batches = facts.batches()
    strains = facts.where("strain")
    if batches:
        partial.put("batch", batches[0])
    elif strains:
        partial.put("strain", str(facts.tokens[strains[0]].value))
    else:
        partial.put("batch", Trouble("batch"))
    counts = [quantity for quantity in facts.free() if isinstance(quantity.value, int) and not _is_hours(facts, quantity.end)]
    partial.put("count", counts[0].value if counts else Trouble("count"))
    partial.put("hours", hours)
    return partial


def _is_hours(facts: Facts, end: int) -> bool:
    return end < len(facts.tokens) and facts.tokens[end].text in ("hour", "hours", "hrs", "hr", "h")


def _unsexed_needed(question: Question) -> Partial | None:
    partial = Partial("unsexed_needed")
    for quantity in question.facts.free():
        if quantity.sex in ("male", "female"):
            partial.put(f"{quantity.sex}s", question.facts.use(quantity).value)
    percents = question.facts.where("percent")
    if percents:
        partial.put("certainty", round(question.facts.tokens[percents[0]].number / 100, 4))
    return partial if partial.slots else None


def _pairings(question: Question) -> Partial | None:
    partial = Partial("pairings")
    subject = _subject(question, ("female",))
    strains = question.facts.where("strain")
    if subject:
        partial.put(*subject[0])
    elif strains:
        partial.put("strain", str(question.facts.tokens[strains[0]].value))
    return partial


def _where(question: Question) -> Partial | None:
    if re.search(r"\bwhere (?:do|can|should) (?:i|we|you)\b", question.flat) and not _subject(question, ("female", "male", "batch")):
        return None
    return _about("where", ("female", "male", "batch"))(question)


def _contents(question: Question) -> Partial | None:
    places = [subject for subject in _subject(question, ("place",)) if subject[0] == "place"]
    if not places:
        return None
    partial = Partial("contents")
    partial.put(*places[0])
    return partial


def _holding_list(question: Question) -> Partial | None:
    named = question.facts.where("fish", "batch") or [quantity for quantity in question.facts.free() if quantity.bare]
    return None if named else Partial("holding_list")


def _history(question: Question) -> Partial | None:
    return _about("history")(question)


@dataclass(frozen=True)
class Rule:
    """A kind of query: what tells it in a question, and what tells it without one ("history dot")."""

    asked: re.Pattern[str] | None
    told: re.Pattern[str] | None
    make: Callable[[Question], Partial | None]


def _rule(asked: str | None, told: str | None, make: Callable[[Question], Partial | None]) -> Rule:
    return Rule(re.compile(asked) if asked else None, re.compile(told) if told else None, make)


_PARAM = "ph|ammonia|nitrite|nitrate|temp|temperature|params|parameters|water"
_RULES: tuple[Rule, ...] = (
    _rule(r"\bhelp\b|what (?:can|do|could) (?:you|u|it|this|the bot|i (?:say|ask|do|type|write))\b|\bwhat commands\b|how (?:do|does|to) (?:i |you |u |we )?(?:this (?:bot )?work|use (?:you|this|it)|work|it work)|how (?:does|do) (?:this|it|you|the bot)(?: bot)? work",
          r"^(?:please |pls |i need )?(?:/)?help(?: me)?(?: please| pls)?$|^commands$|^menu$|^instructions$|^\? ?$|^how to use|^how does this work|^what can (?:i|you|u)", _plain("help")),
    _rule(r"\bstrip(?:ped|s|ping)?\b.*\b(?:date|day|due|ready|when)\b|\b(?:when|what day|what date|how (?:long|soon|many days))\b.*\b(?:strip|stripped|stripping|striped)\b|\b(?:ready|time|due|safe|ok|okay|can i|should i|able|too early) (?:to |for |be )*strip|\bstrip(?:ping)? (?:date|day|window|time)\b|\bcan (?:i|we) strip\b|\bshould (?:i|we) strip\b|\b(?:ready|due) (?:for |to be )strip",
          r"\bstrip(?:ping)? (?:date|day|window|time|due)\b|^when (?:to |can i |do i )?strip", _strip_date),
    _rule(r"\brelated(?:ness)?\b|\b(?:kin|kinship|inbred|inbreeding|siblings|sibs|cousins|brother|sister|same (?:parents|blood|family))\b", r"^(?:relatedness|kinship|related|inbreeding)\b|\brelated(?:ness)?\b.*\?$|^how related", _relatedness),
    _rule(r"\bhow many (?:unsexed|fry|juveniles|juvies|fish|young|babies|youngsters)?\b.*\b(?:for|to get|to have|need|get|have|so that)\b.*\b(?:male|males|female|females|pair|trio|f|m)\b", None, _unsexed_needed),
    _rule(r"\bbag(?:s|ging|ged)?\b", r"^bag(?:s|ging)?\b", _bagging),
    _rule(r"\b(?:pair|pairing|pairings|mate|match|matches|put with|breed with|cross|crossed|best male|which male|what male|least related|best mate|best partner)\b.*", r"^(?:pairings?|best (?:male|mate|match|pairings?))\b", _pairings),
    _rule(r"\bfamily\b|\b(?:parents?|pedigree|lineage|ancestors|bloodline|family tree|father|mother|sire|dam|offspring)\b", r"^(?:family|pedigree|lineage|family tree|parents)\b(?! of .* (?:is|are))", _about("family", ("female", "male", "batch"))),
    _rule(r"\b(?:chart|graph|plot|curve|picture of the growth|growth of)\b", r"^(?:chart|graph|plot|growth|growth chart|growth curve|show chart|draw)\b", _about("chart", ("batch", "place"))),
    _rule(r"\bwanted(?: list)?\b(?!.*\bto\b)|\bwaiting list\b|\bwho (?:wants|is looking|needs)\b|\bwhos looking\b|\bwhat (?:are|do) (?:people|members|others) (?:looking|want|after)", r"^(?:the )?(?:wanted|wish|waiting) ?list$", _plain("wanted_list")),
    _rule(r"\bpick ?ups?\b|\bpicking up\b|\bpick up\b|\bcollect(?:s|ing|ions?)?\b|\bcoming (?:for|to (?:get|collect|fetch))\b|\bhandovers?\b|\bwho(?:s| is) coming\b|\bfetch(?:es|ing)?\b|\bgets? (?:collected|picked up)\b|\bbeing (?:collected|picked up)\b",
          r"^(?:upcoming |next |coming |all |list |the |show |todays |tomorrows |future |pending )*(?:pick ?ups?|collections)(?: list| today| tomorrow| tmrw| this week| coming up| due| next| for today| for this week| planned| please| pls| for tomorrow)*$", _pickups),
    _rule(r"\b(?:reserv\w*|bookings?|booked|orders?|spoken for|set aside|earmarked|promised|put (?:my|his|her|their) name|has? dibs|on hold for)\b", r"^(?:list |all |my |the |show |open |current |every |olegs )*(?:reservations?|bookings?|orders?|reserved|res)(?: list| for \w+| of \w+| on (?:batch )?\w+| from (?:batch )?\w+)*$", _reservations),
    _rule(r"\b(?:who|whos|which|any|anyone|anybody|list|how many|what|show|whats|are)\b.*\b(?:holding|carrying|brooding|mouthbrooding|mouth full|mouthful|mouths full|full mouth|has a mouthful|full|incubating|hold)\b", r"^(?:holding|holders|holding list|list (?:of )?(?:holding|holders)|females holding|holding females|all holding|list holding females|current holders|show holding)(?: list| now| females| today)*$", _holding_list),
    _rule(r"\b(?:ready|saleable|sellable|sale size|big enough|large enough|sell size|full size|grown|reach|hit|be \d|sell(?:able)?|up for sale|for sale size|for sale|sexable)\b.*", r"^(?:forecast|outlook|projection)\b|\bforecast\b", lambda q: _forecast(q)),
    _rule(r"\bforecast\b|\bhow (?:big|large|long)\b.*\bbe\b|\bhow fast\b.*\bgrow", r"^forecast\b", lambda q: _forecast(q)),
    _rule(r"\b(?:for sale|available|in stock|on offer|up for grabs|to sell|selling|sale|can i buy|to buy|can i get|on the shelf|offered|spare|sells|have .* left to sell|going begging|for grabs)\b|\bany\b.*\b(?:going|spare)\b|^(?:who|whos) (?:has|got|selling)\b|\bhave (?:you |u )?(?:got )?any\b|\bdo (?:you|u|we) have\b|\bhave (?:you|u) got\b|^got (?:any )?", r"^(?:the )?(?:shelf|stock list|for sale list|availability|sale list|available|whats available|for sale)(?: list| now| please| pls)*$", lambda q: _available_checked(q)),
    _rule(r"\b(?:due|to ?do|jobs?|tasks?|chores?|to be done|needs? doing|need to do|must i do|should i do|have to do|on (?:the )?(?:list|agenda|plan|schedule)|agenda|coming up|happening|whats on(?: for| today| tomorrow| tmrw| this week|$)|on today|planned|plan for|up next|needs? (?:my )?attention|scheduled|do i (?:need to|have to) do)\b",
          r"^(?:due|todo|to do|tasks?|jobs?|agenda|digest|chores|task list|to do list|todays? (?:jobs|tasks|list|digest|plan)|my (?:tasks|jobs|list)|this weeks (?:jobs|tasks)|tomorrows (?:jobs|tasks|list)|jobs list|list (?:of )?(?:jobs|tasks))(?: list| today| tomorrow| tmrw| tmw| this week| for today| for tomorrow| for tmrw| for (?:the|this) week| week| now| due)*$", lambda q: _due_checked(q)),
    _rule(r"\bhistory\b|\bwhat happened (?:to|with|in)\b|\brecord of\b|\blog (?:of|for)\b|\b(?:past|back ?story|timeline)\b|\bwhat has happened\b", r"^(?:history|log|timeline|story|journal|records?)\b(?:(?! that).)*$|\bhistory$", _history),
    _rule(r"\bhow much (?:food|to feed|should|do|does|can|is)\b.*\b(?:feed|food|eat|get|ration)?\b.*|\bration\b|\bhow (?:many grams|often)\b.*\bfeed\b|\bfeed\b.*\bhow much\b", r"^ration\b|^feeding (?:plan|ration|amount)\b|^how much (?:to )?feed\b|^food for\b", lambda q: _ration(q)),
    _rule(rf"\b(?:{_PARAM})\b.*\b(?:in|of|at|for|like|ok|okay|doing|was|is|last)\b|\b(?:hows|how is|how are|whats|what is|what are|what was|is|are|check)\b.*\b(?:{_PARAM}|levels|readings?|no 2|no 3|nh 3)\b", rf"^(?:(?:last |latest |recent )?water(?: values| params| readings| quality| tests?| history)?|params|parameters|readings)\b(?: for| of| in)?(?!.*\d\.)", lambda q: _water(q)),
    _rule(r"\bwhere\b|\bwheres\b|\bwher\b|\b(?:which|what|wat) (?:tank|tub|box|place|pond|one)\b.*\b(?:in|is|are|at|has|holds|did)\b|\bin (?:which|what) (?:tank|tub|box|place)\b|\b(?:which|what) (?:tank|box|tub)\b", r"^(?:where|find|locate|location(?: of)?)\b", _where),
    _rule(r"^(?:.*\b)?(?:what(?:s| is| are| fish| batches| all| do i have| have i got)?|who(?:s| is| are| all| lives)?|which(?: fish| batches| females| males| ones)?|anything|anyone|contents?|list|show me whats|list everything|tell me whats|show)\b.*\b(?:in|inside|living in|lives in|contents of|swimming in|at|kept in|of)\b.*", r"^(?:contents?(?: of)?|in)\b|\bcontents$", lambda q: _contents_checked(q)),
    _rule(r"\bhow many\b|\bhow much\b|\bwhats left\b|\bcount\b|\bwhat is left\b|\bleft in\b|\bnumber of\b|\bnumbers?\b|\bheadcount\b|\btotal in\b|\bremaining\b|\bleft of\b", r"^(?:numbers?|how many|headcount of|whats left)\b", _count_of),
    _rule(r"\b(?:my data|my own data)\b", r"\b(?:give|send|export|download)\b.*\bmy (?:own )?data\b", _plain("my_data")),
    _rule(r"\bseason\b", r"^(?:the )?season(?: so far| chart| picture| overview)?$", _plain("season")),
    _rule(r"\b(?:books|income|profit|earnings|earned|takings|how much (?:money|have i made|did i make|have we made)|money (?:made|in)|sales (?:total|so far))\b", r"^(?:the |my )?(?:books|accounts|income|takings|earnings)$", _plain("books")),
    _rule(r"\b(?:labels?|qr codes?)\b", r"^(?:print |the |my |make |qr )*(?:labels|label sheet|qr codes?)(?: please| pls| sheet)*$", _plain("labels")),
    _rule(r"\bsettings?\b", r"^(?:/)?(?:my |the |show )*(?:settings?|preferences|options)$", _plain("settings")),
    _rule(r"\b(?:people|members)\b", r"^(?:the |list |all |club )*(?:people|members|keepers|buyers)$", _plain("people")),
    _rule(r"\bhow(?:s| is| are| r)\b|\bstatus\b|\bwhats (?:up|happening|going on|new|the (?:story|state|situation))\b|\bupdate on\b|\btell me about\b|\bdoing\b|\bstill\b|\banything (?:on|about)\b|\binfo\b|\bwhat about\b|\bwhats the latest\b|\bany news\b|\bshow me\b",
          r"^(?:status|info|details?|summary|overview|state of|update on|show|check up on|tell me about|report on)\b(?!.*\b(?:that|is|was)\b)|\bstatus$", _status),
    _rule(r"^(?:is|are|has|have|did|does|was|were|isnt|hasnt)\b|\b(?:holding|stripped|moved|dead|alive|spawned|sexed|released|counted|fed|for sale|sold)\b", None, _status_named),
)


def _forecast(question: Question) -> Partial | None:
    if re.search(r"\b(?:feed|food|water|strip|pellets?)\b", question.flat):
        return None
    subject = _subject(question, ("batch",))
    timed = re.search(r"\b(?:whens?|how long|how soon|how big|how large|how fast|forecast|what (?:day|date|month|week)|outlook|projection|will)\b", question.flat)
    strained = bool(question.facts.where("strain"))
    if not timed or (not subject and not re.search(r"\bforecast\b", question.flat)):
        return None
    if not subject and strained:
        return None
    partial = Partial("forecast")
    partial.put(*(subject[0] if subject else ("batch", question.facts.batch_like() or Trouble("batch"))))
    return partial


def _available_checked(question: Question) -> Partial | None:
    facts = question.facts
    told = re.search(r"\b(?:for sale|available|in stock|on offer|up for grabs|to sell|selling|on the shelf|availability|shelf|for grabs|sale list|stock list)\b", question.flat)
    if facts.where("batch", "fish") or any(token.has("thing", "food") for token in facts.tokens):
        return None
    return _available(question) if told or facts.where("strain") and not any(token.has("verb:hold", "verb:die") for token in facts.tokens) else None


def _due_checked(question: Question) -> Partial | None:
    if question.facts.where("fish", "batch", "place", "reservation", "hash", "member", "strain") or question.facts.has("thing"):
        return None
    return _due(question)


def _ration(question: Question) -> Partial | None:
    if not re.search(r"\b(?:feed|food|ration|eat|grams|feeding|fed)\b", question.flat):
        return None
    return _about("ration", ("batch", "place"))(question)


def _water(question: Question) -> Partial | None:
    if any(token.kind == "number" for token in question.facts.tokens):
        return None
    partial = Partial("water")
    places = [subject for subject in _subject(question, ("place",)) if subject[0] == "place"]
    if not places and not re.search(r"\b(?:water|params|parameters)\b", question.flat):
        return None
    if not places:
        here = question.facts.scene.context.here
        places = [("place", here)] if here else [("place", Trouble("place"))]
    partial.put(*places[0])
    return partial


def _contents_checked(question: Question) -> Partial | None:
    if any(token.has(*WATER) for token in question.facts.tokens) or question.facts.has("thing"):
        return None
    if re.search(r"\bhow many|how much|\bdead\b|\bdied\b|wrong|matter|problem|water\b", question.flat):
        return None
    return _contents(question)


