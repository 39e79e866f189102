"""What is to be expected of broods and batches: the one place to ask, for care, promises and answers alike."""

from core.planning.batch_growth import Strand, parts, strands
from core.planning.batch_outlook import BatchOutlook, Purpose, ReadyDays, batch_outlook, ready_days, size_for
from core.planning.brood_outlook import BroodOutlook, brood_outlook, course_of
from core.planning.survival_record import (
    Exposure,
    daily_survival,
    exposures,
    male_share,
    mouth_survival,
    survival_stretches,
    unsexed_needed,
)
from core.planning.temperature import DayWindow, Warmth, day_of, usual_temperature, warmth_over

__all__ = [
    "BatchOutlook",
    "BroodOutlook",
    "DayWindow",
    "Exposure",
    "Purpose",
    "ReadyDays",
    "Strand",
    "Warmth",
    "batch_outlook",
    "brood_outlook",
    "course_of",
    "daily_survival",
    "day_of",
    "exposures",
    "male_share",
    "mouth_survival",
    "parts",
    "ready_days",
    "size_for",
    "strands",
    "survival_stretches",
    "unsexed_needed",
    "usual_temperature",
    "warmth_over",
]
