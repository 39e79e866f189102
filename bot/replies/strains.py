"""What is said about an ask by strain: the parts that there are, or that there is none."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bot.replies.words import capital, listed, of_sex

if TYPE_CHECKING:
    from core.fishroom.state import Strain
    from core.planning.standing import Ask


def name(key: str, strain: Strain | None) -> str:
    """The strain's name."""
    return strain.name if strain else key.replace("-", " ")


def wanted(ask: Ask) -> str:
    """ "1 male and 4 females", "6 fish"."""
    if ask.males or ask.females:
        return listed([of_sex(n, sex) for n, sex in ((ask.males, "male"), (ask.females, "female")) if n])  # type: ignore[arg-type]
    return of_sex(ask.count, ask.sex)


def none(strain: str, ask: Ask) -> str:
    """Nothing is for sale that fits."""
    return f"Nobody in the club can promise {wanted(ask)} of {strain} now. Shall I put you on the waiting list?"


def parts(strain: str, shown: Sequence[tuple[str, str, Ask]], missing: int) -> str:
    """The parts, and what could not be found."""
    lines = [f"• {wanted(ask)} from {keeper}'s batch {letters}" for keeper, letters, ask in shown]
    rest = f"\n{capital(of_sex(missing, None))} could not be found." if missing else ""
    if len(shown) == 1:
        keeper, letters, ask = shown[0]
        return f"So many cannot be promised now, but {wanted(ask)} of {strain} from {keeper}'s batch {letters} can be had. Shall I reserve these?"
    return f"No single batch has them all, but together ({strain}):\n" + "\n".join(lines) + rest
