"""A club that reckons in inches, gallons and Fahrenheit reads nothing else; cautions come when their work is first told."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.play.stage import PlainStage
from tests.conversations.begun import stage_after

NOW = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
CLUB = """club: Mill Pond Breeders; units us; dates MDY
people: Nell keeper; Otto buyer
-- Mon 2 Mar 2026 18:00
Nell: new tank 1, 55 gallons, 79 F
Nell: new box 1, 2 gallons, hangs in tank 1
Nell: new tub, 130 gallons, 80 F, aquaponic
Nell: added 4 female yellow labs and a male to tank 1
Nell: female 3 holding since 13 days ago
Nell: bought 30 young yellow labs, 1.5 in, into tub
Nell: tub ph 8.2 ammonia .5 nitrite .2 nitrate 50 temp 88f
Nell: offer A at 5
Otto: reserve 4 of A, pickup saturday 10am
"""
ASKED = (
    "what's due", "what's due this week", "when can I strip 3", "how big is A", "what should A eat", "what should I feed in tub",
    "is the water in tub safe", "bags for 4 of A 3 hours", "what's in tub", "status of A", "history of A", "what's available",
    "upcoming pickups", "how is tank 1", "settings", "move A to tank 9", "stripped 3, 24 fry into box 1", "when will A be ready",
)  # fmt: skip
METRIC = re.compile(r"°C|m³|\d\s*(?:cm|mm|L|litres?|kg)\b|\b\d{1,2} [A-Z][a-z]{2}\b(?! \d{4})")

PELLETS = re.compile(r"\S+ mm, about \d+% protein")
"""Fish food is sold by millimetres everywhere."""


@pytest.fixture
def stage(tmp_path: Path) -> PlainStage:
    """An American keeper with a female that holds, young fish in a tub, and water that is not well."""
    return stage_after(CLUB, tmp_path, NOW)


def test_no_answer_speaks_metric_in_a_club_that_does_not(stage: PlainStage) -> None:
    said = {asked: "\n".join(one.text for one in stage.say("Nell", asked)) for asked in ASKED}
    stage.unasked()
    stage.advance(datetime(2026, 3, 7, 18, 0, tzinfo=UTC))
    told = {f"unasked, to {who}": "\n".join(one.text for one in shown) for who, shown in stage.unasked().items()}
    found = {asked: METRIC.findall(PELLETS.sub("", text)) for asked, text in {**said, **told}.items()}
    assert {asked: metric for asked, metric in found.items() if metric} == {}


def test_all_cautions_of_a_work_come_when_it_is_first_told_and_then_rest(stage: PlainStage) -> None:
    with_oxygen = stage.say("Nell", "bags for 4 of A 3 hours")[0].text
    assert "Only fit fish travel" in with_oxygen
    assert "oxygen cylinder stands upright" in with_oxygen
    assert "Caution" not in stage.say("Nell", "bags for 5 of A 3 hours")[0].text
