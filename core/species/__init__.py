"""What a species is like before the club's own fish have spoken: profiles as data, every figure with its mark."""

from core.species.catalogue import names, profile, profiles, sources
from core.species.profile import (
    Brood,
    Development,
    Figure,
    Growth,
    LengthWeight,
    Mark,
    Profile,
    Ready,
    StageSurvival,
    Survival,
)

__all__ = [
    "Brood",
    "Development",
    "Figure",
    "Growth",
    "LengthWeight",
    "Mark",
    "Profile",
    "Ready",
    "StageSurvival",
    "Survival",
    "names",
    "profile",
    "profiles",
    "sources",
]
