"""Which species Frywire knows, under which names, and which profile stands in for the others."""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

import yaml

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

GENERAL = "general"
"""The profile of a species that Frywire does not know."""


class ProfileDataError(Exception):
    """The species data that came with Frywire is damaged. Install Frywire again."""


def profile(name: str) -> Profile:
    """The profile of a species by key, common name or scientific name; the general profile for any other name."""
    return profiles()[names().get(_plain(name), GENERAL)]


@cache
def names() -> Mapping[str, str]:
    """Every name a species goes by, in lower case, with the key of its profile."""
    return MappingProxyType(
        {_plain(name): known.key for known in profiles().values() for name in (known.key, *known.scientific, *known.names)}
    )


@cache
def profiles() -> Mapping[str, Profile]:
    """All profiles by key."""
    entries = _data()["profiles"]
    return MappingProxyType({key: _profile(key, entries) for key in entries})


@cache
def sources() -> Mapping[str, str]:
    """The publications behind verified and remembered figures, by short key."""
    return MappingProxyType(dict(_data()["sources"]))


def _plain(name: str) -> str:
    return " ".join(name.lower().split())


@cache
def _data() -> dict[str, Any]:
    text = (files("core.species") / "profiles.yaml").read_text(encoding="utf-8")
    data: dict[str, Any] = yaml.safe_load(text)
    return data


def _profile(key: str, entries: Mapping[str, Any]) -> Profile:
    said = _with_what_it_is_like(key, entries)
    return Profile(
        key=key,
        names=tuple(_plain(name) for name in entries[key]["names"]),
        scientific=tuple(entries[key]["scientific"]),
        temperature_c=_figure(said["temperature_c"]),
        ph=_figure(said["ph"]),
        development=Development(**_figures(said["development"])),
        growth=Growth(**_figures(said["growth"])),
        length_weight=LengthWeight(**_figures(said["length_weight"])),
        ready_mm=Ready(**_figures(said["ready_mm"])),
        brood=Brood(**_figures(said["brood"])),
        survival=Survival(**{stage: _stage(said["survival"], stage) for stage in ("mouth", "box", "grow_out")}),
        male_share=_figure(said["male_share"]),
        male_share_worth=_figure(said["male_share_worth"]),
        maturity_mm=_figure(said["maturity_mm"]),
        maturity_months=_figure(said["maturity_months"]),
        protein=_figure(said["protein"]),
    )


def _with_what_it_is_like(key: str, entries: Mapping[str, Any]) -> dict[str, Any]:
    own: dict[str, Any] = entries[key]
    if key == GENERAL:
        return own
    return _over(_with_what_it_is_like(own.get("like", GENERAL), entries), own)


def _over(below: dict[str, Any], above: dict[str, Any]) -> dict[str, Any]:
    """`above` laid over `below`, section by section; a figure is replaced whole, with its mark."""
    merged = dict(below)
    for name, value in above.items():
        section = isinstance(value, dict) and "likely" not in value
        merged[name] = _over(below[name], value) if section else value
    return merged


def _stage(section: Mapping[str, Any], stage: str) -> StageSurvival:
    return StageSurvival(_figure(section[stage]), _figure(section[f"{stage}_worth"]))


def _figures(section: Mapping[str, Any]) -> dict[str, Figure]:
    return {name: _figure(entry) for name, entry in section.items()}


def _figure(entry: Mapping[str, Any]) -> Figure:
    mark = Mark(entry["mark"])
    if (mark is Mark.PRACTICE) != ("source" not in entry) or not entry["low"] <= entry["likely"] <= entry["high"]:
        raise ProfileDataError(f"figure without order or source: {entry}")
    source = None if mark is Mark.PRACTICE else sources()[entry["source"]]
    return Figure(float(entry["likely"]), float(entry["low"]), float(entry["high"]), mark, source)
