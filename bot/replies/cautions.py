"""What is said where work can hurt somebody: short, once and then monthly, never in place of a vet, a doctor or the law.

A caution has a kind; what members tell and ask leads to kinds of caution. Nothing here gives a dose or a diagnosis.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

AGAIN_AFTER = timedelta(days=30)
"""A caution of a kind is shown the first time, then once a month."""


@dataclass(frozen=True, slots=True)
class Caution:
    """What is said, and what it rests on."""

    text: str
    source: str


CAUTIONS: Mapping[str, Caution] = {
    "mains": Caution(
        "Unplug heater, pump and lights before hands go in. A residual-current device (RCD, GFCI) that is tested now "
        "and then helps, but does not stop every shock; wiring is for an electrician.",
        "HSE wording on RCDs as repeated by an electrical firm (text seen); unplugging is common practice",
    ),
    "skin": Caution(
        "Cover cuts or wear gloves: tank water can infect them. If a sore comes up even weeks later, see a doctor and "
        "say that you keep fish.",
        "Mycobacterium marinum as described in a university's wellness letter and a veterinary blog (texts seen)",
    ),
    "hygiene": Caution(
        "Wash hands after work in the water, keep nets and bag water out of the kitchen, and let small children only "
        "watch. Sick or dying fish: ask a vet.",
        "CDC sheet on healthy pets, general (text seen); the rest is common practice",
    ),
    "heavy": Caution(
        "A litre of water weighs a kilogram (a US gallon over 8 lb): empty a tub before moving it, lift buckets half "
        "full, mind what the floor bears. Keep a lid on; no child alone near deep water. Local rules for work come "
        "first.",
        "HSE leaflet INDG143 on manual handling (from memory); the rest is common practice",
    ),
    "chemicals": Caution(
        "Test reagents and treatments: read the label, wear gloves, never mix, keep them labelled and away from "
        "children. I give no doses of medicines: that is for a vet, and some are restricted by law.",
        "common practice, no source",
    ),
    "stripping": Caution(
        "Stripping is a choice, not a need: only if somebody has shown you how, with wet hands and a soft net, "
        "seconds out of the water, no squeezing; not a first brood, not a thin or sick female, not before the window. "
        "Some countries regulate it; in doubt let her finish, or ask a vet.",
        "common practice; the time out of water is that of advice on sexing by the vent (text seen)",
    ),
    "transport": Caution(
        "Only fit fish travel, by the shortest way, dark, neither cold nor hot, labelled. At home: float the closed "
        "bag, then lift the fish over at once; no airstone in the bag, no bag water into the tank. Local rules on "
        "moving animals come first.",
        "CITES packer's guidelines (text seen); IATA live animals rules (from memory); the rest is common practice",
    ),
    "sick": Caution(
        "Fish that look ill: test the water first, for most trouble comes from there; give them quiet and air, and ask a vet who knows "
        "fish. I name no disease, no medicine and no dose.",
        "common practice, no source",
    ),
    "release": Caution(
        "Never release fish, plants or their water outdoors: it harms wild life and is against the law in many "
        "places. Fish nobody can keep go back to the club, to a shop that takes them, or to a vet.",
        "Wildlife and Countryside Act 1981 s. 14 and Regulation (EU) 1143/2014, by way of trade and extension pages (texts seen)",
    ),
    "oxygen": Caution(
        "An oxygen cylinder stands upright and tied; no smoking, oil or grease near it; open it slowly, air the room "
        "and the car; let somebody trained fill the bags. The supplier's and local rules come first.",
        "HSE leaflet INDG459 on oxygen (from memory)",
    ),
    "euthanasia": Caution(
        "To end a fish's life is for somebody who has learned it: ask a vet. Not the freezer, not ice, not the drain; "
        "local law says who may do it and how.",
        "AVMA guidelines 2020 (from memory); common practice",
    ),
    "selling": Caution(
        "Selling fish may need a licence and be taxed, and some places ban sales at fairs or in the street, or the "
        "species itself (tilapia above all). Ask your local authority before you offer.",
        "pages of English councils (texts seen); rules elsewhere differ",
    ),
    "quarantine": Caution(
        "Keep what comes in apart for about a month, with a net of its own, and look at it daily. Ask a vet before treating.",
        "several weeks: a trade article (text seen); thirty days is common practice",
    ),
}
"""Cautions by kind."""

GENERAL = "I give hobbyists' guidance, not veterinary or legal advice: local rules and your vet come first."
"""Said to everybody once, when they arrive, and in help."""

LEADS_TO: Mapping[str, tuple[str, ...]] = {
    # what members tell
    "stripped": ("stripping",),
    "place_added": ("mains", "heavy"),
    "water_changed": ("mains", "skin"),
    "water_tested": ("chemicals",),
    "moved": ("skin",),
    "measured": ("skin",),
    "sexed": ("skin",),
    "died": ("hygiene",),
    "culled": ("euthanasia",),
    "joined": ("quarantine",),
    "batch_joined": ("quarantine",),
    "left": ("release",),
    "offered": ("selling",),
    "price": ("selling",),
    "sold": ("selling", "release"),
    "pickup_set": ("transport",),
    "collected": ("release",),
    # what members ask
    "strip_date": ("stripping",),
    "water": ("chemicals",),
    "bagging": ("transport", "oxygen"),
    "pickups": ("transport",),
    "labels": ("mains", "heavy"),
    "ration": ("hygiene",),
}
"""Kinds of caution by the kind of what was told or asked; anything else needs none."""


IN_TALK: tuple[tuple[re.Pattern[str], str], ...] = (
    (
        re.compile(
            r"\b(?:sick|(?:look|looks|is|are|seem|seems) ill|disease[sd]?|bloat(?:ed)?|ich|white ?spots?|fung(?:us|al)|velvet|parasites?"
            r"|(?:has|have|got) worms|gasp(?:s|ing)|swollen|pop ?eye"
            r"|fin ?rot|medicines?|medication|medicate|meds|antibiotics?|dos(?:e|age)|upside down)\b",
            re.IGNORECASE,
        ),
        "sick",
    ),
    (
        re.compile(
            r"\b(?:releas\w+|set\b.*\bfree|let\b.*\bgo|dump\w*|put)\b.*\b(?:lake|river|creek|stream|canal|wild|outdoors)\b", re.IGNORECASE
        ),
        "release",
    ),
    (re.compile(r"\b(?:euthan\w+|put (?:him|her|it|them|(?:female|male|f|m) ?\d+) (?:down|to sleep)|clove oil)\b", re.IGNORECASE), "euthanasia"),
)
"""Words in talk that is not recorded, and the kind of caution that is their answer."""


def kinds_in_talk(text: str) -> list[str]:
    """Kinds of caution that answer talk: a sick fish, fish to be let go outdoors, a life to be ended."""
    return [kind for words, kind in IN_TALK if words.search(text)]


def caution(kind: str) -> str:
    """The caution of a kind, in our words; KeyError for a kind there is not."""
    return CAUTIONS[kind].text


def kinds_for(told_or_asked: Iterable[str]) -> list[str]:
    """Kinds of caution that these kinds of events or queries lead to, each once, in their order."""
    return list(dict.fromkeys(kind for one in told_or_asked for kind in LEADS_TO.get(one, ())))


def due_cautions(shown: Mapping[str, date], kinds: Iterable[str], day: date) -> list[str]:
    """Those of the kinds of caution that are due: never shown to this member, or last shown a month ago or longer.

    `shown` has the day each kind was last shown; the caller writes `day` there for what it shows.
    """
    return [kind for kind in dict.fromkeys(kinds) if kind not in shown or day - shown[kind] >= AGAIN_AFTER]
