"""What a question asks for: the kinds of query, each with the words that tell it.

The first rule that fits wins; a question that fits none has no answer here, and is left alone.
"""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bot.reading.facts import Facts
from bot.reading.partial import Partial
from bot.reading.pieces import Clause
from bot.reading.query_kinds import (
    about,
    available_checked,
    bagging,
    contents_checked,
    count_of,
    due_checked,
    forecast,
    history,
    holding_list,
    member_reservations,
    pairings,
    pickups,
    plain_of,
    ration,
    relatedness,
    reservations,
    status,
    status_named,
    strip_date,
    unsexed_needed,
    water,
    where,
)
from bot.reading.query_subjects import Question
from bot.reading.scene import Scene
from bot.reading.tokens import Token

_ASKING = re.compile(
    r"^(?:(?:ok|so|and|but|hi|hey|hello|hiya|um|er|please|pls|oh|well|btw|by the way|also|now|then|just|morning|yo|bot|frywire|,|quick question|:)\s*)*"
    r"(?:whats?|whos?|wheres?|whens?|hows?|which|why|whose|what|who|where|when|how|is|are|can(?! confirm| report)|could|do|does|did(?! (?:a|an|the|another|some|my|\d))|has|have|am|was|were|will|would|should|any|anyone|anything|anybody|isnt|arent|in (?:which|what)|at (?:which|what)|wen|wil|whatre|wat|wot|wher|whod|r(?= (?:f|m|fe|the|my|they|any|all|a|b|c|d|e) ?)|u got|you got|ya got|shall|may|got any|got some|theres any|do you|has anyone|tell me|remind me|show me|show|list|give me|let me see|lemme see|lemme know|let me know|need to know|i need to know|i want to know|want to know|id like to know|wondering|curious)\b"
)


_TAIL = re.compile(r"(?:[^\w?]+(?:thanks|thank you|thx|ta|cheers|lol|haha|please|pls|plz|mate|bot)?)+$")
"""Thanks and the like behind what is asked."""


def is_question(tokens: Sequence[Token], asked: bool) -> bool:
    """Whether the words ask for something: by a question mark or by how they begin."""
    return asked or bool(_ASKING.match(flatten(tokens)))


def flatten(tokens: Sequence[Token]) -> str:
    """The words of some tokens in one string."""
    return " ".join(token.text for token in tokens)


def query_of(tokens: Sequence[Token], scene: Scene, asked: bool) -> Partial | None:
    """The query that some words make; None where they make none."""
    flat = _TAIL.sub("", flatten(tokens))
    if tokens and tokens[0].kind == "place" and flat.startswith("show "):
        flat = flat.removeprefix("show ")  # the show tank, not "show me"
    opened = bool(_ASKING.match(flat)) or asked
    for rule in _RULES:
        patterns = (rule.asked, rule.told) if opened else (rule.told,)
        if any(pattern is not None and pattern.search(flat) for pattern in patterns):
            partial = rule.make(Question(flat, Facts(Clause(list(tokens)), scene), asked))
            if partial is not None:
                return partial
    return _named_alone(tokens, scene) if asked else None


def _named_alone(tokens: Sequence[Token], scene: Scene) -> Partial | None:
    """ "B?", "f6?"."""
    said = [token for token in tokens if token.kind != "punct" and not token.has("filler")]
    return (
        status_named(Question("", Facts(Clause(list(tokens)), scene), True))
        if len(said) == 1 and said[0].kind in ("fish", "batch", "place")
        else None
    )


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
    _rule(
        r"\bhelp\b|what (?:can|could) (?:you|u|it|this|the bot|i (?:say|ask|do|type|write))\b|what do (?:you|u|i) (?:do|know|understand|say|ask|type|write)$|\bwhat commands\b|how (?:do|does|to) (?:i |you |u |we )?(?:this (?:bot )?work|use (?:you|this|it)|work|it work)|how (?:does|do) (?:this|it|you|the bot)(?: bot)? work",
        r"^(?:please |pls |i need )?(?:/)?help(?: me)?(?: please| pls)?$|^commands$|^menu$|^instructions$|^\? ?$|^how to use|^how does this work|^what can (?:i|you|u)",
        plain_of("help"),
    ),
    _rule(
        r"\b(?:earliest|soonest|best) (?:day|date|time|moment)\b.*\bstrip|\bstrip(?:ped|s|ping)?\b.*\b(?:date|day|due|ready|when)\b|\b(?:when|what day|what date|how (?:long|soon|many days))\b.*\b(?:strip|stripped|stripping|striped)\b|\b(?:ready|time|due|safe|ok|okay|can i|should i|able|too early) (?:to |for |be )*strip|\bstrip(?:ping)? (?:date|day|window|time)\b|^when (?:is|will) (?:(?:f|fem|female) )?[a-z0-9]+ (?:be )?due$|\bcan (?:i|we) strip\b|\bshould (?:i|we) strip\b|\b(?:ready|due) (?:for |to be )strip",
        r"\bstrip(?:ping)? (?:date|day|window|time|due)\b|^when (?:to |can i |do i )?strip",
        strip_date,
    ),
    _rule(
        r"\brelated(?:ness)?\b|\b(?:kin|kinship|inbred|inbreeding|siblings|sibs|cousins|brother|sister|same (?:parents|blood|family))\b",
        r"^(?:relatedness|kinship|related|inbreeding)\b|\brelated(?:ness)?\b.*\?$|^how related",
        relatedness,
    ),
    _rule(
        r"\bhow many (?:unsexed|fry|juveniles|juvies|fish|young|babies|youngsters)?\b.*\b(?:for|to get|to have|to be|need|get|have|so that)\b.*\b(?:male|males|female|females|pair|trio|f|m|\d+[fm])\b|\bunsexed\b.*\b(?:needed|need|required)\b",
        r"^unsexed (?:needed|required)\b|^(?:fry|juveniles) needed\b",
        unsexed_needed,
    ),
    _rule(r"\bbag(?:s|ging|ged)?\b", r"^bag(?:s|ging)?\b", bagging),
    _rule(
        r"\b(?:pair|pairing|pairings|mate|match|matches|put with|breed with|cross|crossed|best male|which male|what male|least related|best mate|best partner)\b.*",
        r"^(?:pairings?|best (?:male|mate|match|pairings?))\b",
        pairings,
    ),
    _rule(
        r"\bfamily\b|\b(?:parents?|pedigree|lineage|ancestors|bloodline|family tree|father|mother|sire|dam|dad|mum|mom|offspring)\b",
        r"^(?:family|pedigree|lineage|family tree|parents)\b(?! of .* (?:is|are))",
        about("family", ("female", "male", "batch")),
    ),
    _rule(
        r"\b(?:chart|graph|plot|curve|picture of the growth|growth of)\b",
        r"^(?:chart|graph|plot|growth(?! forecast)|growth chart|growth curve|show chart|draw)\b",
        about("chart", ("batch", "place")),
    ),
    _rule(
        r"\bwanted(?: list)?\b(?!.*\bto\b)|\bwaiting list\b|\bwho (?:wants|is looking|needs)\b|\bwhos looking\b|\bwhat (?:are|do) (?:people|members|others) (?:looking|want|after)",
        r"^(?:the |show |me )*(?:wanted|wish|waiting) ?list(?: please| pls)*$",
        plain_of("wanted_list"),
    ),
    _rule(
        r"\bpick ?ups?\b|\bpicking up\b|\bpick up\b|\bcollect(?:s|ing|ions?)?\b|\bcoming (?:for|to (?:get|collect|fetch))\b|\bwho(?:s| is)? gets? (?:fish|what)\b|\bhandovers?\b|\bwho(?:s| is) coming\b|\bfetch(?:es|ing)?\b|\bgets? (?:collected|picked up)\b|\bbeing (?:collected|picked up)\b",
        r"^(?:upcoming |next |coming |all |list |the |show |todays |tomorrows |future |pending )*(?:pick ?ups?|collections)(?: list| today| tomorrow| tmrw| this week| coming up| due| next| for today| for this week| planned| please| pls| for tomorrow)*$",
        pickups,
    ),
    _rule(
        r"\b(?:reserv\w*|bookings?|booked|orders?|spoken for|set aside|earmarked|promised|put (?:my|his|her|their) name|has? dibs|on hold for)\b",
        r"^(?:list |all |my |the |show |me |open |current |every |\w+s )*(?:reservations?|bookings?|orders?|reserved|res)(?: list| for \w+| of \w+| on (?:batch )?\w+| from (?:batch )?\w+)*$",
        reservations,
    ),
    _rule(None, r"^\w+ (?:reservations?|bookings?|orders?)$", member_reservations),
    _rule(
        r"\b(?:who|whos|which|any|anyone|anybody|list|how many|what|show|whats|are)\b.*\b(?:holding|carrying|brooding|mouthbrooding|mouth full|mouthfuls?|mouths full|full mouth|has a mouthful|full|incubating|hold)\b",
        r"^(?:holding|holding ones|ones holding|the holding ones|holders|holding list|list (?:of )?(?:holding|holders)|females holding|holding females|all holding|list holding females|current holders|show holding)(?: list| now| females| today)*$",
        holding_list,
    ),
    _rule(
        r"\b(?:ready|saleable|sellable|sale size|big enough|large enough|sell size|full size|grown|reach|hit|be \d|sell(?:able)?|up for sale|for sale size|for sale|sexable)\b.*|\bwhens?\b.*\b(?:be )?(?:sold|offered|sell|go on sale|old enough)\b",
        r"^(?:forecast|outlook|projection|fcst|fc)\b|\bforecast\b",
        lambda q: forecast(q),
    ),
    _rule(
        r"\bforecast\b|\bhow (?:big|large|long)\b.*\bbe\b|\bhow (?:big|large|heavy)\b.*\b(?:is|are|r|now)\b|\bwhat size\b|\bhow fast\b.*\bgrow|\bhow (?:long|soon|many (?:days|weeks))\b.*\b(?:till|until|til|before)\b",
        r"^forecast\b",
        lambda q: forecast(q),
    ),
    _rule(
        r"\b(?:for sale|available|in stock|on offer|up for grabs|to sell|selling|sale|can i buy|to buy|can i get|on the shelf|offered|spare|sells|have .* left to sell|going begging|for grabs|prices?|how much (?:are|is|for)|costs?)\b|\bany\b.*\b(?:going|spare)\b|^(?:who|whos) (?:has|got|selling)\b|\bhave (?:you |u )?(?:got )?any\b|\bdo (?:you|u|we) have\b|\bhave (?:you|u) got\b|^got (?:any )?",
        r"^available (?=\w)(?!now$)|^(?:the |weekly |this weeks )*(?:shelf|stock list|for sale list|availability|sale list|available|whats available|for sale)(?: list| now| please| pls)*$",
        lambda q: available_checked(q),
    ),
    _rule(
        r"\b(?:due|to ?do|jobs?|tasks?|chores?|to be done|needs? doing|need to do|must i do|must be done|must get done|must we do|should i do|have to do|on (?:the )?(?:list|agenda|plan|schedule)|agenda|coming up|happening|whats on(?: for| today| tomorrow| tmrw| this week|$)|on today|planned|plan for|up next|needs? (?:my )?attention|scheduled|do i (?:need to|have to) do)\b",
        r"^(?:(?:and )?(?:today|tomorrow|tmrw|this week)(?= ?\?*$)|due|todo|to do|tasks?|jobs?|agenda|digest|chores|task list|to do list|todays? (?:jobs|tasks|list|digest|plan)|my (?:tasks|jobs|list)|this weeks (?:jobs|tasks)|tomorrows (?:jobs|tasks|list)|jobs list|list (?:of )?(?:jobs|tasks))(?: list| today| tomorrow| tmrw| tmw| this week| for today| for tomorrow| for tmrw| for (?:the|this) week| week| now| due)*$",
        lambda q: due_checked(q),
    ),
    _rule(
        r"^when (?:did|was|were|had|has)\b.*\b(?:spawn\w*|born|hatch\w*|strip\w*|died|die|move\w*|join\w*|arrive\w*|come|came|sold|counted|measured|fed|released?)\b|\bhistory\b|\bwhat happened (?:to|with|in)\b|\brecord of\b|\blog (?:of|for)\b|\b(?:past|back ?story|timeline)\b|\bwhat has happened\b",
        r"^(?:(?:the |full |whole |complete |show |me )*history|log|timeline|story|journal|records?|hist|hstry)\b(?:(?! that).)*$|\bhistory$",
        history,
    ),
    _rule(
        r"\bhow much (?:food|to feed|should|do|does|can|is)\b.*\b(?:feed|food|eat|get|ration)?\b.*|\bration\b|\bhow many grams\b|\bhow often\b.*\bfeed\b|\bfeed\b.*\bhow much\b|\bwhat (?:food|should|shall|must|can|do|does|to)\b.*\b(?:eat|eats|eating|feed|fed)\b",
        r"^ration\b|^feeding (?:plan|ration|amount)\b|^how much (?:to )?feed\b|^food for\b",
        lambda q: ration(q),
    ),
    _rule(
        rf"\b(?:{_PARAM})\b.*\b(?:in|of|at|for|like|ok|okay|doing|was|is|last)\b|\b(?:hows|how is|how are|whats|what is|what are|what was|is|are|check)\b.*\b(?:{_PARAM}|levels|readings?|no 2|no 3|nh 3)\b|\b(?:is|are)\b.*\b(?:safe|toxic|poisonous)\b",
        r"^(?!water (?:change|changes|changed)\b)(?:(?:last |latest |recent )?water(?: values| params| readings| quality| tests?| history)?|params|parameters|readings)\b(?: for| of| in)?(?!.*\d\.)",
        lambda q: water(q),
    ),
    _rule(
        r"\bwheres? (?:is |are )?(?:everybody|everyone|they all|all (?:of )?(?:them|my fish|the fish))\b|^(?:who|what|which fish|what fish) do (?:i|we) have(?: here| now| in all)?$",
        None,
        plain_of("status"),
    ),
    _rule(
        r"\bwhere\b|\bwheres\b|\bwhereabouts\b|\bwher\b|\b(?:which|what|wat) (?:tank|tub|box|place|pond|one)\b.*\b(?:in|is|are|at|has|holds|did)\b|\bin (?:which|what) (?:tank|tub|box|place)\b|\b(?:which|what) (?:tank|box|tub)\b",
        r"^(?:where|whereabouts|find|locate|location(?: of)?)\b",
        where,
    ),
    _rule(
        r"^(?:.*\b)?(?:what(?:s| is| are| fish| batches| all| do i have| have i got)?|who(?:s| is| are| all| lives)?|which(?: fish| batches| females| males| ones)?|anything|anyone|contents?|list|show me whats|list everything|tell me whats|show)\b.*\b(?:in|inside|living in|lives in|contents of|swimming in|at|kept in|of)\b.*",
        r"^(?:contents?(?: of)?|in|list)\b|\bcontents$",
        lambda q: contents_checked(q),
    ),
    _rule(
        r"^(?:who|whos|whose|who is)\b.*\b(?:keeps?|keeping|owns?|looks? after|raising|rears?)\b|^whose\b|^who(?:s| has| is)? (?:got |have |has )",
        None,
        lambda q: status_named(q) if q.facts.where("batch") else None,
    ),
    _rule(
        r"\bhow (?:old|young)\b|\bwhat age\b|\bany (?:fe)?males?\b|\bhow many\b|\bhow much\b|\bwhats left\b|\bcount\b|\bwhat is left\b|\bleft in\b|\bnumber of\b|\bnumbers?\b|\bheadcount\b|\btotal in\b|\bremaining\b|\bleft of\b",
        r"^(?:numbers?|how many|headcount of|whats left)\b",
        count_of,
    ),
    _rule(r"\b(?:my data|my own data)\b", r"\b(?:give|send|export|download)\b.*\bmy (?:own )?data\b", plain_of("my_data")),
    _rule(
        r"\bseason\b",
        r"^(?:the |my |show )*season(?: so far| chart| picture| overview| report| summary| review)?$",
        plain_of("season"),
    ),
    _rule(
        r"\b(?:books|income|profit|earnings|earned|takings|how much (?:money|(?:have|did) (?:i|we) (?:made|make|sold|sell|earned|earn|taken|take))|money (?:made|in)|sales (?:total|so far))\b",
        r"^(?:the |my )?(?:season totals?|books|accounts|income|takings|earnings)$",
        plain_of("books"),
    ),
    _rule(
        r"\b(?:labels?|qr codes?)\b",
        r"^(?:print |the |my |make |qr |all |i |we |need |want |give me |send me )*(?:labels|label sheet|qr codes?)(?: please| pls| sheet| for [\w ]+)*$",
        plain_of("labels"),
    ),
    _rule(r"\bsettings?\b", r"^(?:/)?(?:my |the |show )*(?:settings?|preferences|options)$", plain_of("settings")),
    _rule(
        r"\b(?:people|members)\b|\bwhos? (?:is |are |else is |else )?(?:all )?in the club\b",
        r"^(?:the |list |all |club )*(?:people|members|keepers|buyers)$",
        plain_of("people"),
    ),
    _rule(
        r"\bhow(?:s| is| are| r)\b|\bstatus\b|\bwhats (?:up|happening|going on|new|the (?:story|state|situation))\b|\bupdate on\b|\btell me about\b|\bdoing\b|\bstill\b|\banything (?:on|about)\b|\binfo\b|\bwhat about\b|\bwhats the latest\b|\bany news\b|\bshow me\b",
        r"^(?:status|info|details?|summary|(?:(?:give me |show me )?(?:an? |the )?)?overview|state of|update on|show|check up on|tell me about|report on)\b(?!.*\b(?:that|is|was)\b)|\bstatus$",
        status,
    ),
    _rule(
        r"^(?:got |have you got |do you have )?any (?!.*\b(?:dead|died|lost|losses|sick|ill|news|spawn\w*|eggs|problems?|idea|on|about|with|in|tips|experience)\b)",
        None,
        lambda q: available_checked(q) if q.facts.where("strain", "profile") else None,
    ),
    _rule(
        r"^(?:is|are|has|have|did|does|was|were|isnt|hasnt)\b|\b(?:holding|stripped|moved|dead|alive|spawned|sexed|released|counted|fed|for sale|sold)\b",
        None,
        status_named,
    ),
)
